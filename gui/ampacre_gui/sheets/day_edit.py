"""Where a day is entered: the date on the sheets, the day that a set is issued."""

from PySide6.QtCore import QDate, Qt
from PySide6.QtWidgets import QDateEdit

__all__ = ["DayEdit"]


class DayEdit(QDateEdit):
    """Shows a day as ISO 8601 writes it; a calendar opens below."""

    def __init__(self, day: QDate) -> None:
        super().__init__(day)
        self.setDisplayFormat("yyyy-MM-dd")
        self.setCalendarPopup(True)

    @property
    def iso(self) -> str:
        """The day in ISO 8601."""
        return self.date().toString(Qt.DateFormat.ISODate)
