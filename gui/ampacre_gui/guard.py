"""Keeps the program alive when code of ours fails inside a call that Qt makes.

On Python 3.11 an exception raised by the interpreter itself (`1/0`, `int("x")`) that leaves a
Python override of a Qt virtual method ends the process. Every class of ours that overrides one
therefore derives from `Guarded`, which wraps each override: a fault is logged, told to `faults`,
and answered with an empty value of the kind that Qt expects.
"""

import functools
import logging
import sys
import traceback
from collections.abc import Callable
from types import FunctionType, TracebackType
from typing import Any

from PySide6.QtCore import QMimeData, QModelIndex, QObject, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainterPath

__all__ = ["Faults", "Guarded", "faults", "overrides", "watch_everything_else"]

_log = logging.getLogger(__name__)

_ANSWERS: dict[str, Callable[[], Any]] = {
    "boundingRect": QRectF,
    "columnCount": int,
    "count": int,
    "createEditor": lambda: None,
    "event": bool,
    "eventFilter": bool,
    "expandingDirections": lambda: Qt.Orientation(0),
    "flags": lambda: Qt.ItemFlag.NoItemFlags,
    "hasHeightForWidth": bool,
    "heightForWidth": int,
    "index": QModelIndex,
    "itemAt": lambda: None,
    "mimeData": QMimeData,
    "mimeTypes": list,
    "minimumSize": QSize,
    "minimumSizeHint": QSize,
    "parent": QModelIndex,
    "rowCount": int,
    "setData": bool,
    "shape": QPainterPath,
    "sizeHint": QSize,
    "supportedDropActions": lambda: Qt.DropAction.IgnoreAction,
    "takeAt": lambda: None,
}
"""Empty answers by method; any other method answers None, which void ones and variants accept."""


class Faults(QObject):
    """Where faults of the program are told; the window listens and shows them."""

    happened = Signal(str, str)
    """One sentence, and the details that somebody could send on."""

    def __init__(self) -> None:
        super().__init__()
        self._told: set[tuple[str, int]] = set()

    def tell(self, error: BaseException) -> None:
        """Log a fault; show it the first time that it comes from this line."""
        details = "".join(traceback.format_exception(error))
        last = traceback.extract_tb(error.__traceback__)[-1:]
        place = (last[0].filename, last[0].lineno or 0) if last else ("", 0)
        if place in self._told:
            return
        self._told.add(place)
        _log.error("%s", details)
        self.happened.emit(f"{type(error).__name__}: {error}", details)


faults = Faults()


def overrides(cls: type) -> dict[str, FunctionType]:
    """Methods that a class itself defines and a Qt class it derives from has too."""
    qt_classes = [base for base in cls.__mro__[1:] if base.__module__.startswith("PySide6.")]
    return {
        name: method
        for name, method in vars(cls).items()
        if isinstance(method, FunctionType)
        and not name.startswith("__")
        and any(hasattr(base, name) for base in qt_classes)
    }


def _wrapped(method: FunctionType) -> Callable[..., Any]:
    answer = _ANSWERS.get(method.__name__, lambda: None)

    @functools.wraps(method)
    def guarded(*args: Any, **kwargs: Any) -> Any:
        try:
            return method(*args, **kwargs)
        except Exception as error:  # noqa: BLE001 - whatever it is, it must not reach Qt
            faults.tell(error)
            return answer()

    guarded.__dict__["is_guarded"] = True
    return guarded


class Guarded:
    """Base of every class that overrides methods of Qt; stands before the Qt class."""

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        for name, method in overrides(cls).items():
            setattr(cls, name, _wrapped(method))


def watch_everything_else() -> None:
    """Send faults of slots and timers, which Qt survives, the same way as guarded ones."""

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, Exception):
            faults.tell(error)
        else:
            sys.__excepthook__(kind, error, trace)

    sys.excepthook = hook
