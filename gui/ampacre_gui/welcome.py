"""What an empty drawing says: how to begin, and what could be opened instead."""

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from ampacre_gui.phrases import filled, said
from ampacre_gui.samples import SAMPLES

__all__ = ["Welcome"]

_WIDEST = 560


class Welcome(QFrame):
    """Lies over the canvas until the first piece is there; drops go through to the canvas."""

    blank_wanted = Signal()
    template_wanted = Signal()
    open_wanted = Signal()
    sample_wanted = Signal(str)
    """The file of a sample."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("welcome")
        title = QLabel(self.tr("Draw the supply from the utility down"))
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 1.6)
        title.setFont(font)
        self.words = QLabel(
            self.tr(
                "Drag \u201cutility source\u201d from Equipment onto this sheet, "
                "then drop each next piece onto the one that feeds it."
            )
        )
        self.words.setObjectName("quiet")
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(10)
        for label in (title, self.words):
            label.setAlignment(Qt.AlignmentFlag.AlignCenter)
            label.setWordWrap(True)
            box.addWidget(label)
        self.choices = self._choices()
        box.addWidget(self.choices)

    def _choices(self) -> QWidget:
        choices = QWidget()
        grid = QGridLayout(choices)
        grid.setContentsMargins(0, 6, 0, 0)
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(6)
        grid.setColumnStretch(1, 1)
        rows: list[tuple[str, str, Callable[[], object]]] = [
            (self.tr("Blank Sheet"), self.tr("Begin with a utility source"), self._begin),
            (
                self.tr("From a Template\u2026"), self.tr("A small property, ready to be altered"),
                self.template_wanted.emit,
            ),
            (
                self.tr("Open a Project\u2026"), self.tr("Go on with a file of yours"),
                self.open_wanted.emit,
            ),
        ]  # fmt: skip
        for sample in SAMPLES:
            shows = filled(self.tr("Sample: %1"), said(sample.shows))
            wanted = partial(self.sample_wanted.emit, sample.file)
            rows.append((said(sample.title), shows, wanted))
        for row, (text, what, act) in enumerate(rows):
            button = QPushButton(text)
            button.clicked.connect(lambda _=False, act=act: act())
            button.setAccessibleDescription(what)
            label = QLabel(what)
            label.setObjectName("quiet")
            label.setWordWrap(True)
            grid.addWidget(button, row, 0)
            grid.addWidget(label, row, 1)
        return choices

    def _begin(self) -> None:
        """Leave only what says how, step by step."""
        self.choices.hide()
        self.words.setAlignment(Qt.AlignmentFlag.AlignLeft)
        self.words.setText(
            "\n".join(
                (
                    self.tr(
                        "1.  Below Equipment, choose whether you draw new work or what is existing."
                    ),
                    self.tr(
                        "2.  Drag \u201cutility source\u201d onto this sheet, "
                        "or type its name in the search line and press Enter."
                    ),
                    self.tr(
                        "3.  Drop each next piece onto the one that feeds it: "
                        "transformer, meter, panel, loads."
                    ),
                    self.tr("4.  Click a line between two pieces to enter how long that run is."),
                )
            )
        )
        self.centre()
        self.blank_wanted.emit()

    def centre(self) -> None:
        """Take the middle of the canvas."""
        parent = self.parentWidget()
        assert parent is not None
        width = min(parent.width() - 40, _WIDEST)
        height = (
            self.heightForWidth(width) if self.hasHeightForWidth() else self.sizeHint().height()
        )
        self.setGeometry(
            (parent.width() - width) // 2, max((parent.height() - height) // 2, 0), width, height
        )
