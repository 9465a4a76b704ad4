"""Chooses a starting point for a new project, with a preview of its drawing."""

from functools import cached_property

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from ampacre.model.project import Project
from ampacre.model.templates import TEMPLATES, Template
from ampacre.sheets.one_line import lay_out
from ampacre.study.study import Study
from ampacre_gui.canvas.painter import Sketch, paint
from ampacre_gui.dialogs.running import run_dialog
from ampacre_gui.guard import Guarded
from ampacre_gui.look import look
from ampacre_gui.phrases import filled, said

__all__ = ["TemplateDialog", "choose_template"]


def choose_template(parent: QWidget | None) -> Project | None:
    """Ask for a starting point; gives a project made from it, None where nobody wants one."""
    dialog = TemplateDialog(parent)
    return dialog.project() if run_dialog(dialog) else None


class _Start:
    """A starting point, made and drawn when it is first looked at."""

    def __init__(self, template: Template) -> None:
        self.template = template

    @cached_property
    def project(self) -> Project:
        return self.template.make()

    @cached_property
    def sketch(self) -> Sketch:
        return Sketch(lay_out(Study(self.project)).picture.elements)


class _Preview(Guarded, QWidget):
    """The drawing of a starting point, as large as there is room."""

    def __init__(self) -> None:
        super().__init__()
        self._start: _Start | None = None
        policy = QSizePolicy.Policy.Expanding
        self.setSizePolicy(policy, policy)

    def show_start(self, start: _Start) -> None:
        self._start = start
        words = filled(self.tr("Drawing of %1"), start.template.name)
        self.setAccessibleName(words)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(500, 400)

    def minimumSizeHint(self) -> QSize:
        return QSize(260, 200)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), look().paper)
        if self._start is None:
            return
        sketch = self._start.sketch
        room = QRectF(self.rect()).adjusted(12, 12, -12, -12)
        bounds = sketch.bounds
        scale = min(room.width() / bounds.width(), room.height() / bounds.height())
        painter.translate(room.center())
        painter.scale(scale, scale)
        painter.translate(-bounds.center())
        paint(painter, sketch, look(), scale)


class TemplateDialog(QDialog):
    """A list of starting points; beside it the drawing and a sentence on the one chosen."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("New From a Template"))
        self._starts = [_Start(template) for template in TEMPLATES]
        self.list = QListWidget()
        self.list.setAccessibleName(self.tr("Templates"))
        self.list.setWordWrap(True)
        self.list.addItems([said(template.name) for template in TEMPLATES])
        self.list.setFixedWidth(210)
        self.preview = _Preview()
        self.sentence = QLabel()
        self.sentence.setWordWrap(True)
        self.sentence.setMinimumHeight(self.fontMetrics().lineSpacing() * 2)
        note = QLabel(
            self.tr(
                "All but the utility's line is new work. Lengths and loads stand for those of the property."
            )
        )
        note.setWordWrap(True)
        note.setObjectName("quiet")
        buttons = QDialogButtonBox()
        start = buttons.addButton(
            self.tr("Start from This"), QDialogButtonBox.ButtonRole.AcceptRole
        )
        start.setDefault(True)
        buttons.addButton(QDialogButtonBox.StandardButton.Cancel)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self.list.currentRowChanged.connect(self._look)
        self.list.itemActivated.connect(lambda _: start.click())
        seen = QVBoxLayout()
        for widget, share in ((self.preview, 1), (self.sentence, 0), (note, 0)):
            seen.addWidget(widget, share, Qt.AlignmentFlag(0))
        choice = QHBoxLayout()
        choice.setSpacing(14)
        choice.addWidget(self.list)
        choice.addLayout(seen, 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(16, 14, 16, 14)
        box.setSpacing(12)
        box.addLayout(choice, 1)
        box.addWidget(buttons)
        self.resize(960, 640)
        self.list.setCurrentRow(0)

    def _look(self, row: int) -> None:
        start = self._starts[row]
        self.preview.show_start(start)
        self.sentence.setText(said(start.template.sentence))

    def project(self) -> Project:
        """The project of the starting point that is chosen."""
        return self._starts[self.list.currentRow()].project
