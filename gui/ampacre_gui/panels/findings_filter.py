"""The bar above the findings: which of them are shown, by severity, topic and words."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QPushButton, QWidget

from ampacre.rules.review import SEVERITIES
from ampacre.rules.rule import RULES
from ampacre_gui.panels.fields import capital
from ampacre_gui.phrases import said

__all__ = ["FindingsFilter"]

_MARKS = {
    "violation": "Violations",
    "warning": "Warnings",
    "ask": "To ask the authority",
    "advice": "Advice",
    "accepted": "Accepted",
    "missing": "Not checked",
}


class FindingsFilter(QWidget):
    """Holds what is wanted; the panel asks it of each finding."""

    changed = Signal()
    copy_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = QLineEdit()
        self.words.setPlaceholderText(self.tr("Find words"))
        self.words.setAccessibleName(self.tr("Show only findings with these words"))
        self.words.setClearButtonEnabled(True)
        self.words.setMinimumWidth(84)
        self.mark, self.topic = QComboBox(), QComboBox()
        self.mark.addItem(self.tr("All kinds"), "")
        for mark in (*SEVERITIES, "accepted", "missing"):
            self.mark.addItem(said(_MARKS[mark]), mark)
        self.topic.addItem(self.tr("All topics"), "")
        for topic in sorted({rule.topic for rule in RULES.values()}):
            self.topic.addItem(capital(topic), topic)
        self.mark.setAccessibleName(self.tr("Show only findings of this kind"))
        self.topic.setAccessibleName(self.tr("Show only findings on this topic"))
        self.copy = QPushButton(self.tr("Copy"))
        self.copy.setToolTip(self.tr("Copies the findings that are shown, as text"))
        line = QHBoxLayout(self)
        line.setContentsMargins(6, 4, 6, 4)
        line.setSpacing(6)
        line.addWidget(self.words, 1)
        for box in (self.mark, self.topic):
            box.setToolTip(box.accessibleName())
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            box.setMinimumContentsLength(4)
            box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            box.currentIndexChanged.connect(lambda _: self.changed.emit())
            line.addWidget(box)
        line.addWidget(self.copy)
        self.words.textChanged.connect(lambda _: self.changed.emit())
        self.copy.clicked.connect(self.copy_wanted)

    @property
    def is_on(self) -> bool:
        """Whether anything may be kept back."""
        return bool(self._looked_for or self.mark.currentData() or self.topic.currentData())

    @property
    def _looked_for(self) -> list[str]:
        return self.words.text().casefold().split()

    def takes_mark(self, mark: str) -> bool:
        """Tell whether findings of a severity, accepted ones or missing inputs are wanted."""
        return self.mark.currentData() in ("", mark)

    def takes(self, topic: str, words: str) -> bool:
        """Tell whether a finding on a topic, with these words, is wanted."""
        told = words.casefold()
        fits = self.topic.currentData() in ("", topic)
        return fits and all(word in told for word in self._looked_for)
