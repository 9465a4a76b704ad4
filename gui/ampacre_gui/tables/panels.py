"""The two panels with tables: runs, and the circuits of one panel."""

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from ampacre.study.balancing import balance
from ampacre_gui.document import Document
from ampacre_gui.guard import Guarded
from ampacre_gui.look import look
from ampacre_gui.phrases import filled
from ampacre_gui.selection import Selection
from ampacre_gui.tables.cells import Sheet
from ampacre_gui.tables.circuits import CircuitsSheet
from ampacre_gui.tables.grid import Grid
from ampacre_gui.tables.model import TableModel
from ampacre_gui.tables.runs import RunsSheet

__all__ = ["CircuitsPanel", "RunsPanel"]

_NARROW = 620
"""In panels narrower than this the note has a line of its own."""


class _Note(QLabel):
    """What there is to say below a table: of the current cell, or of what was just tried."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("note")
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def say(self, text: str, *, trouble: bool) -> None:
        colours = look()
        palette = self.palette()
        colour = colours.layers["flag"] if trouble else colours.quiet
        palette.setColor(QPalette.ColorRole.WindowText, colour)
        self.setPalette(palette)
        self.setText(text)


class _TablePanel(Guarded, QWidget):
    """A table with a strip below it; while it can be seen, it follows the document one frame later."""

    def __init__(self, sheet: Sheet, document: Document, selection: Selection) -> None:
        super().__init__()
        self._document = document
        self._selection = selection
        self._seen = False
        self.model = TableModel(sheet, self)
        self.grid = Grid(self.model, selection, self)
        self.note = _Note()
        self.strip = QHBoxLayout()
        self.strip.setContentsMargins(8, 3, 8, 3)
        self.strip.setSpacing(8)
        self.strip.addWidget(self.note, 1)
        self._note_at = 0
        self._followed: tuple[str, ...] = ()
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(0)
        self._box.addWidget(self.grid, 1)
        self._box.addLayout(self.strip)
        self.setFocusProxy(self.grid)
        self._late = QTimer(self, singleShot=True, interval=0)
        self._late.timeout.connect(self._catch_up)
        self.grid.said.connect(self._say)
        document.changed.connect(lambda _: self._late.start())
        selection.changed.connect(self._late.start)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        # beside other things the note would be a narrow column of words
        self._place_note(apart=self.width() < _NARROW)

    def _place_note(self, *, apart: bool) -> None:
        if apart is (self.strip.indexOf(self.note) < 0):
            return
        if apart:
            self.strip.removeWidget(self.note)
            self.strip.insertStretch(self._note_at)
            self.note.setContentsMargins(8, 0, 8, 3)
            self._box.addWidget(self.note)
        else:
            self._box.removeWidget(self.note)
            self.strip.takeAt(self._note_at)
            self.note.setContentsMargins(0, 0, 0, 0)
            self.strip.insertWidget(self._note_at, self.note, 1)

    def _say(self, text: str) -> None:
        index = self.grid.currentIndex()
        plain = index.isValid() and text == self.model.note(index)
        trouble = bool(self.model.reason(index)) if plain else bool(text)
        self.note.say(text, trouble=trouble)

    def watch(self, seen: bool) -> None:
        """Take notice of whether anybody can see the table; behind another tab it costs nothing."""
        self._seen = seen
        self._catch_up()

    def _catch_up(self) -> None:
        if self._seen:
            self.renew()

    def renew(self) -> None:
        """Follow document and selection."""
        self.grid.renew()

    def _moves_on(self) -> bool:
        """Tell whether something else is selected than when this was asked last."""
        before, self._followed = self._followed, self._selection.ids
        return self._followed != before


class RunsPanel(_TablePanel):
    """One row per standing run; of a selected piece, the run that feeds it is brought to hand."""

    def __init__(self, document: Document, selection: Selection) -> None:
        super().__init__(RunsSheet(document), document, selection)
        self.grid.setAccessibleName(self.tr("Runs"))
        self.grid.let_sort()
        self.filter = QLineEdit()
        self.filter.setPlaceholderText(self.tr("Show rows with\u2026"))
        self.filter.setAccessibleName(self.tr("Show rows with these words"))
        self.filter.setClearButtonEnabled(True)
        self.filter.setMaximumWidth(190)
        self.filter.textChanged.connect(self.model.sift)
        self.filter.returnPressed.connect(self.grid.setFocus)
        self.grid.let_find(self.filter.setFocus)
        self.strip.addWidget(self.filter)

    def renew(self) -> None:
        moved_on, current = self._moves_on(), self._selection.current
        super().renew()
        facts = self._document.study.found.equipment.get(current or "")
        if moved_on and facts and facts.feed and self.model.row_of(facts.feed) >= 0:
            self.grid.show_rows([facts.feed])


class CircuitsPanel(_TablePanel):
    """The circuits of one panel: the selected one, or that which feeds what is selected."""

    def __init__(self, document: Document, selection: Selection) -> None:
        self._sheet = CircuitsSheet(document)
        super().__init__(self._sheet, document, selection)
        self.grid.setAccessibleName(self.tr("Circuits of a panel"))
        self.grid.verticalHeader().hide()
        self.panel = QComboBox()
        self.panel.setAccessibleName(self.tr("Panel"))
        self.panel.setMinimumWidth(130)
        self.panel.activated.connect(self._choose)
        word = QLabel(self.tr("&Panel"))
        word.setBuddy(self.panel)
        self.existing = QCheckBox(self.tr("Existing &too"))
        self.existing.setToolTip(self.tr("Let existing circuits take other spaces as well"))
        self.even = QPushButton(self.tr("&Balance Legs"))
        self.even.setToolTip(self.tr("Give new circuits spaces that load the legs alike"))
        self.even.clicked.connect(self.balance)
        for at, part in enumerate((word, self.panel, self.even, self.existing)):
            self.strip.insertWidget(at, part)
        self._note_at = self.strip.indexOf(self.note)

    def renew(self) -> None:
        moved_on, current = self._moves_on(), self._selection.current
        if moved_on:
            self._show_panel(self._sheet.panel_of(current))
        super().renew()
        self._fill_chooser()
        if moved_on and current and self.model.row_of(current) < 0:
            circuit = self._sheet.circuit_to(current)
            if circuit:
                self.grid.show_rows([circuit])

    def _show_panel(self, key: str) -> None:
        if key and key != self._sheet.panel:
            self._sheet.panel = key
            self.model.begin_anew()
            self.note.say("", trouble=False)

    def _choose(self, at: int) -> None:
        self._show_panel(str(self.panel.itemData(at)))
        self._fill_chooser()

    def _fill_chooser(self) -> None:
        panels = self._sheet.panels()
        shown = [
            (self.panel.itemText(at), self.panel.itemData(at)) for at in range(self.panel.count())
        ]
        if shown != panels:
            self.panel.clear()
            for name, key in panels:
                self.panel.addItem(name, key)
        self.panel.setCurrentIndex(self.panel.findData(self._sheet.panel))
        self.even.setEnabled(bool(panels))

    def balance(self) -> None:
        """Spread the circuits over the legs, or say that nothing would be gained."""
        try:
            edit = balance(
                self._document.study, self._sheet.panel, existing_too=self.existing.isChecked()
            )
        except KeyError:
            self.note.say(self.tr("There is no panel to balance."), trouble=True)
            return
        if not edit.changes:
            self.note.say(
                self.tr("The legs are as even as moving these circuits can make them."),
                trouble=False,
            )
            return
        before = self._sheet.unevenness_pct()
        if self._document.do(edit):
            self.renew()
            words = self.tr("The legs differed by %1 %, now by %2 %; circuits moved: %3.")
            apart = f"{before:.0f}", f"{self._sheet.unevenness_pct():.0f}"
            self.note.say(filled(words, *apart, len(edit.changes)), trouble=False)
