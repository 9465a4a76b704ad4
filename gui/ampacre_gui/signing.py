"""Who says so, and on which day: what an answer and an acceptance are signed with."""

from PySide6.QtCore import QDate, QSettings, Qt

__all__ = ["keep_signer", "last_signer", "today"]

_KEY = "who"


def last_signer() -> str:
    """Give the name that was signed with last on this computer."""
    return str(QSettings().value(_KEY, ""))


def keep_signer(who: str) -> None:
    """Keep a name for the next time."""
    QSettings().setValue(_KEY, who)


def today() -> str:
    """Give the day in ISO 8601."""
    return QDate.currentDate().toString(Qt.DateFormat.ISODate)
