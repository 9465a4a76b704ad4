"""The files opened last, newest first."""

from pathlib import Path

from PySide6.QtCore import QSettings

__all__ = ["forget_all", "recent_files", "remember"]

_MOST = 6


def recent_files() -> list[Path]:
    """Give the remembered files, those that are gone included."""
    stored = QSettings().value("recent", [])
    names = [stored] if isinstance(stored, str) else list(stored or [])  # type: ignore[call-overload]
    return [Path(name) for name in names]


def remember(path: Path) -> None:
    """Put a file first."""
    path = path.resolve()
    others = [other for other in recent_files() if other != path]
    QSettings().setValue("recent", [str(each) for each in [path, *others][:_MOST]])


def forget_all() -> None:
    """Empty the list."""
    QSettings().remove("recent")
