"""Short lists of what was used last, newest first, that outlive the program."""

from PySide6.QtCore import QSettings

__all__ = ["note_use", "used_lately"]

_MOST = 6


def used_lately(setting: str) -> list[str]:
    """Give the names that a setting keeps."""
    stored = QSettings().value(setting, [])
    return [stored] if isinstance(stored, str) else list(stored or [])  # type: ignore[call-overload]


def note_use(setting: str, name: str) -> None:
    """Put a name first in what a setting keeps."""
    others = [other for other in used_lately(setting) if other != name]
    QSettings().setValue(setting, [name, *others][:_MOST])
