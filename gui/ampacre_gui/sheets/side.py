"""What can be done with the sheets: export, print, hand in; and the sets handed in so far."""

from collections.abc import Iterable

from PySide6.QtCore import QSettings, Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from ampacre.model import records as r
from ampacre_gui.phrases import filled, said
from ampacre_gui.sheets.forms import FORMS, Form

__all__ = ["Side"]

_NUMBER = Qt.ItemDataRole.UserRole
_WIDTH = 262


class Side(QWidget):
    export_wanted = Signal()
    print_wanted = Signal()
    issue_wanted = Signal()
    set_wanted = Signal(int)
    """The number of a set handed in, whose sheets are to be opened."""
    folder_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFixedWidth(_WIDTH)
        self.forms = QComboBox()
        self.forms.setAccessibleName(self.tr("Form"))
        for form in FORMS:
            self.forms.addItem(said(form.name))
        kept = [form.ending for form in FORMS].index(_kept_ending())
        self.forms.setCurrentIndex(kept)
        self.forms.currentIndexChanged.connect(self._take_form)
        self._good_for = _quiet()
        self.export = QPushButton(self.tr("&Export\u2026"))
        self.export.clicked.connect(self.export_wanted)
        self.print = QPushButton(self.tr("P&rint\u2026"))
        self.print.clicked.connect(self.print_wanted)
        self.sets = QListWidget()
        self.sets.setAccessibleName(self.tr("Sets handed in"))
        self.sets.setWordWrap(True)
        self.sets.itemActivated.connect(lambda _: self._open_set())
        self.sets.currentRowChanged.connect(lambda _: self._look())
        self._none_yet = _quiet()
        self._none_yet.setText(
            self.tr(
                "None yet. Issuing a set numbers it and keeps its sheets and its project beside "
                "the file; later sets then mark what has changed since."
            )
        )
        self.issue = QPushButton(self.tr("&Issue This Set\u2026"))
        self.issue.clicked.connect(self.issue_wanted)
        self.open_set = QPushButton(self.tr("&Open"))
        self.open_set.setToolTip(self.tr("Open the sheets of the set chosen above"))
        self.open_set.clicked.connect(self._open_set)
        self.show_folder = QPushButton(self.tr("Show &Folder"))
        self.show_folder.clicked.connect(self.folder_wanted)
        self._lay_out()
        self._say_form()
        self.show_sets(())

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addWidget(_heading(self.tr("Export")))
        box.addWidget(self.forms)
        box.addWidget(self._good_for)
        box.addLayout(_row(self.export, self.print))
        rule = QFrame()
        rule.setObjectName("rule")
        box.addSpacing(4)
        box.addWidget(rule)
        box.addWidget(_heading(self.tr("Sets handed in")))
        box.addWidget(self._none_yet)
        box.addWidget(self.sets, 1)
        box.addLayout(_row(self.open_set, self.show_folder))
        box.addWidget(self.issue)
        box.addStretch(0)

    @property
    def form(self) -> Form:
        return FORMS[self.forms.currentIndex()]

    def _take_form(self) -> None:
        QSettings().setValue("set form", self.form.ending)
        self._say_form()

    def _say_form(self) -> None:
        self._good_for.setText(said(self.form.good_for))

    def show_sets(self, issues: Iterable[r.Issue]) -> None:
        """List the sets handed in, the last one first."""
        self.sets.clear()
        for issue in sorted(issues, key=lambda issue: -issue.number):
            words = filled(self.tr("Set %1, %2"), issue.number, issue.date)
            item = QListWidgetItem(f"{words}\n{issue.note}" if issue.note else words, self.sets)
            item.setData(_NUMBER, issue.number)
        there = self.sets.count() > 0
        self.sets.setCurrentRow(0 if there else -1)
        for widget in (self.sets, self.open_set, self.show_folder):
            widget.setVisible(there)
        self._none_yet.setVisible(not there)
        self._look()

    def _look(self) -> None:
        self.open_set.setEnabled(self.sets.currentItem() is not None)

    def _open_set(self) -> None:
        item = self.sets.currentItem()
        if item is not None:
            self.set_wanted.emit(item.data(_NUMBER))


def _kept_ending() -> str:
    kept = str(QSettings().value("set form", ".pdf"))
    return kept if any(form.ending == kept for form in FORMS) else ".pdf"


def _heading(words: str) -> QLabel:
    label = QLabel(words)
    label.setObjectName("heading")
    return label


def _quiet() -> QLabel:
    label = QLabel()
    label.setObjectName("quiet")
    label.setWordWrap(True)
    return label


def _row(*widgets: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(6)
    for widget in widgets:
        row.addWidget(widget, 1)
    return row
