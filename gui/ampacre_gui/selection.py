"""What is selected: one set of ids per window, the same in every view."""

from collections.abc import Iterable

from PySide6.QtCore import QObject, Signal

__all__ = ["Selection"]


class Selection(QObject):
    """Ids of the selected pieces and runs, in the order in which they were selected."""

    changed = Signal()
    reveal = Signal(str)
    """Somebody asked to be shown this element: views scroll to it."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._ids: tuple[str, ...] = ()

    @property
    def ids(self) -> tuple[str, ...]:
        """All that is selected."""
        return self._ids

    @property
    def current(self) -> str | None:
        """The element selected last, whose details are shown."""
        return self._ids[-1] if self._ids else None

    def __contains__(self, key: object) -> bool:
        return key in self._ids

    def set(self, ids: Iterable[str]) -> None:
        fresh = tuple(dict.fromkeys(ids))
        if fresh != self._ids:
            self._ids = fresh
            self.changed.emit()

    def only(self, key: str) -> None:
        self.set((key,))

    def toggle(self, key: str) -> None:
        kept = tuple(other for other in self._ids if other != key)
        self.set(kept if key in self._ids else (*self._ids, key))

    def add(self, ids: Iterable[str]) -> None:
        self.set((*self._ids, *ids))

    def clear(self) -> None:
        self.set(())

    def go_to(self, key: str) -> None:
        """Select one element and have it shown."""
        self.only(key)
        self.reveal.emit(key)

    def keep(self, present: Iterable[str]) -> None:
        """Forget what is no longer there."""
        there = set(present)
        self.set(key for key in self._ids if key in there)
