"""Items glide to where a changed layout puts them, so that the eye can follow."""

from typing import NamedTuple

from PySide6.QtCore import QEasingCurve, QObject, QPoint, QPointF, QVariantAnimation, Signal
from PySide6.QtWidgets import QStyle

from ampacre_gui.canvas.painter import level_of
from ampacre_gui.canvas.scene import Scene
from ampacre_gui.canvas.zooming import Zooming

__all__ = ["Gliding", "Snapshot", "snapshot"]

_DURATION_MS = 180
_MOST_ITEMS = 400
"""Where more than this would move at once, nothing glides: it could not be followed anyway."""


class Snapshot(NamedTuple):
    """Where what may glide stands, and which part of the drawing is in view."""

    places: dict[str, QPointF]
    origin: QPointF


def snapshot(view: Zooming, drawing: Scene) -> Snapshot:
    """Note where everything in view stands; from afar nothing glides, and nothing is noted."""
    near = level_of(view.px_per_unit) == "near"
    places = drawing.places_in(view.visible_area()) if near else {}
    return Snapshot(places, view.mapToScene(QPoint()))


class Gliding(QObject):
    """Moves items from where they stood on the screen to their places."""

    settled = Signal()
    """What was moving stands in its place."""

    def __init__(self, view: Zooming, drawing: Scene) -> None:
        super().__init__(view)
        self._view = view
        self._drawing = drawing
        self._moves: dict[str, QPointF] = {}
        self._clock = QVariantAnimation(self)
        self._clock.setStartValue(1.0)
        self._clock.setEndValue(0.0)
        self._clock.setEasingCurve(QEasingCurve.Type.OutCubic)
        self._clock.valueChanged.connect(self._hold)
        self._clock.finished.connect(self.stop)

    @property
    def under_way(self) -> bool:
        """Whether something is moving."""
        return bool(self._moves)

    def start(self, before: Snapshot) -> None:
        """Let what was in view glide from where it stood on the screen."""
        self.stop()
        hint = QStyle.StyleHint.SH_Widget_Animation_Duration
        wanted = self._view.style().styleHint(hint, None, self._view)
        if wanted <= 0 or len(before.places) > _MOST_ITEMS:
            return
        scrolled = self._view.mapToScene(QPoint()) - before.origin
        for key, place in before.places.items():
            item = self._drawing.item(key)
            if item:
                off = place - item.place + scrolled
                if (off * self._view.px_per_unit).manhattanLength() > 1:
                    self._moves[key] = off
        if self._moves:
            self._hold(1.0)
            self._clock.setDuration(min(wanted, _DURATION_MS))
            self._clock.start()

    def stop(self) -> None:
        """Put everything in its place."""
        self._clock.stop()
        moved, self._moves = self._moves, {}
        for key in moved:
            self._drawing.move_off(key, QPointF())
        if moved:
            self.settled.emit()

    def _hold(self, part: float) -> None:
        for key, off in self._moves.items():
            self._drawing.move_off(key, off * part)
