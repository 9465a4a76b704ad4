"""What the sheets are made with: paper, date, and the set that changes are marked against."""

from PySide6.QtCore import QDate, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QWidget

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.sheets.paper import PAPERS
from ampacre_gui.phrases import filled
from ampacre_gui.sheets.day_edit import DayEdit

__all__ = ["SettingsBar"]


class SettingsBar(QWidget):
    paper_chosen = Signal(str)
    """The name of another paper."""
    altered = Signal()
    """Another date, or another set to compare with."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.paper = QComboBox()
        for name, paper in PAPERS.items():
            self.paper.addItem(paper.words, name)
        self.paper.setToolTip(self.tr("Size of the sheets; kept with the project"))
        self.paper.activated.connect(lambda _: self.paper_chosen.emit(self.paper.currentData()))
        self.date = DayEdit(QDate.currentDate())
        self.date.setToolTip(self.tr("Date on the sheets"))
        self.date.dateChanged.connect(lambda _: self.altered.emit())
        self.since = QComboBox()
        self.since.setToolTip(
            self.tr("Changes get a triangle on the drawing and a line on the cover")
        )
        self.since.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.since.activated.connect(lambda _: self.altered.emit())
        self._issued: Project | None = None
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(6)
        for words, field in (
            (self.tr("&Paper"), self.paper),
            (self.tr("&Date"), self.date),
            (self.tr("&Mark changes since"), self.since),
        ):
            label = QLabel(words)
            label.setBuddy(field)
            field.setAccessibleName(words.replace("&", ""))
            box.addWidget(label)
            box.addWidget(field)
            box.addSpacing(10)
        box.addStretch(1)

    @property
    def issued(self) -> Project | None:
        """The project that changes are marked against, None where none are."""
        return self._issued if self.since.currentIndex() > 0 else None

    def show_paper(self, name: r.PaperName) -> None:
        self.paper.setCurrentIndex(self.paper.findData(name))

    def offer(self, last: r.Issue | None, issued: Project | None) -> None:
        """Offer the last set to compare with; `issued` is its project, None if that is gone."""
        nothing_chosen = self.since.count() > 1 and self.since.currentIndex() == 0
        known = self.since.count() > 1 and self._issued == issued
        self._issued = issued
        self.since.clear()
        if last is None:
            self.since.addItem(self.tr("no earlier set"))
        elif issued is None:
            words = self.tr("set %1: its project is gone")
            self.since.addItem(filled(words, last.number))
        else:
            self.since.addItem(self.tr("nothing"))
            self.since.addItem(filled(self.tr("set %1, %2"), last.number, last.date))
            self.since.setCurrentIndex(0 if nothing_chosen and known else 1)
        self.since.setEnabled(self.since.count() > 1)
