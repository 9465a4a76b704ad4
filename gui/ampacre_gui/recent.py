"""The files opened last, newest first."""

from pathlib import Path

from PySide6.QtCore import QSettings

from ampacre_gui.lately import note_use, used_lately

__all__ = ["forget_all", "recent_files", "remember"]

_FILES = "recent"


def recent_files() -> list[Path]:
    """Give the remembered files, those that are gone included."""
    return [Path(name) for name in used_lately(_FILES)]


def remember(path: Path) -> None:
    """Put a file first."""
    note_use(_FILES, str(path.resolve()))


def forget_all() -> None:
    """Empty the list."""
    QSettings().remove(_FILES)
