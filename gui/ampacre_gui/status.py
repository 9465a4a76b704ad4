"""The status bar: what is selected or under way, the findings in all, and the zoom."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QStatusBar, QToolButton, QWidget

from ampacre.model.words import kind_of
from ampacre.rules.review import SEVERITIES
from ampacre_gui.canvas.view import View
from ampacre_gui.document import Document
from ampacre_gui.flags import flag_icon
from ampacre_gui.names import element_name
from ampacre_gui.panels.findings_text import counted
from ampacre_gui.phrases import filled, said
from ampacre_gui.selection import Selection

__all__ = ["Status"]

_ZOOMS = (25, 50, 75, 100, 150, 200)


class Status(QStatusBar):
    """Never the only place of a fact; what it says of findings stands in their panel too."""

    findings_wanted = Signal()

    def __init__(self, document: Document, selection: Selection, canvas: View) -> None:
        super().__init__()
        self._document = document
        self._selection = selection
        self._canvas = canvas
        self._words = QLabel()
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self.addWidget(self._words, 1)
        self._counts: dict[str, QToolButton] = {}
        holder = QWidget()
        line = QHBoxLayout(holder)
        line.setContentsMargins(0, 0, 0, 0)
        for mark in (*SEVERITIES, "missing", "fine"):
            button = QToolButton()
            button.setAutoRaise(True)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
            button.clicked.connect(self.findings_wanted)
            line.addWidget(button)
            self._counts[mark] = button
        self.addPermanentWidget(holder)
        self._zoom = QComboBox()
        self._zoom.setEditable(True)
        self._zoom.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self._zoom.setAccessibleName(self.tr("Zoom"))
        self._zoom.setToolTip(self.tr("Zoom; 100 % is the size on paper"))
        self._zoom.addItems([f"{pct} %" for pct in _ZOOMS])
        self._zoom.setFixedWidth(84)
        self._zoom.activated.connect(lambda _: self._take_zoom())
        editor = self._zoom.lineEdit()
        assert editor is not None
        editor.setAccessibleName(self._zoom.accessibleName())
        editor.returnPressed.connect(self._take_zoom)
        self.addPermanentWidget(self._zoom)
        self.setSizeGripEnabled(False)
        document.changed.connect(lambda _: self._renew())
        selection.changed.connect(self._show_selection)
        canvas.zoom_changed.connect(self._show_zoom)
        self.draw_icons()
        self._renew()
        self._show_zoom(canvas.zoom_pct)

    def draw_icons(self) -> None:
        for mark, button in self._counts.items():
            button.setIcon(flag_icon(mark))

    def say(self, text: str) -> None:
        """Show what is under way; with nothing to say, what is selected."""
        if text:
            self._words.setText(text)
        else:
            self._show_selection()

    def _show_selection(self) -> None:
        project = self._document.project
        ids = self._selection.ids
        if len(ids) == 1:
            piece = project.equipment.get(ids[0])
            kind = f"{said(kind_of(piece))} " if piece else ""
            self._words.setText(f"{kind}{element_name(project, ids[0])}")
        elif ids:
            self._words.setText(filled(self.tr("%1 selected"), len(ids)))
        else:
            pieces, runs = len(project.equipment), len(project.runs)
            there = self.tr("1 piece") if pieces == 1 else self.tr("%1 pieces")
            joined = self.tr("1 run") if runs == 1 else self.tr("%1 runs")
            self._words.setText(f"{filled(there, pieces)}, {filled(joined, runs)}")

    def _renew(self) -> None:
        review = self._document.review
        standing = [finding.severity for finding in review.standing]
        told: dict[str, int] = {mark: standing.count(mark) for mark in SEVERITIES}
        told["missing"] = len(review.missing)
        for mark, count in told.items():
            self._counts[mark].setVisible(count > 0)
            self._counts[mark].setText(str(count))
            self._counts[mark].setToolTip(counted(mark, count))
            self._counts[mark].setAccessibleName(counted(mark, count))
        fine = self._counts["fine"]
        fine.setVisible(not any(told.values()) and bool(self._document.project.equipment))
        fine.setText(self.tr("no findings"))
        self._show_selection()

    def _show_zoom(self, pct: float) -> None:
        self._zoom.setEditText(f"{pct:.0f} %")

    def _take_zoom(self) -> None:
        text = self._zoom.currentText().replace("%", "").strip()
        try:
            pct = float(text)
        except ValueError:
            pct = 0.0
        if 0 < pct < 10_000:
            self._canvas.zoom_to(pct)
        self._show_zoom(self._canvas.zoom_pct)
        self._canvas.setFocus()
