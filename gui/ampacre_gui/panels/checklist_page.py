"""One question of the site checklist: its words, where they come from, and its answer."""

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFont, QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from ampacre.codebook.articles import cite
from ampacre.model.words import signed
from ampacre.rules.questions import Asked
from ampacre.rules.rule import RULES
from ampacre_gui.guard import Guarded
from ampacre_gui.panels.halves import HandPage, wrapped
from ampacre_gui.phrases import filled
from ampacre_gui.signing import keep_signer, last_signer

__all__ = ["ChecklistPage"]

_LONGEST_NOTE = 4000
_LONGEST_NAME = 120


class ChecklistPage(Guarded, HandPage):
    """Says what somebody answered; what comes of it is the panel's."""

    replied = Signal(str)
    noted = Signal(str)
    taken_back = Signal()
    left = Signal()
    """Escape or Enter in the note: the list has the keys again."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Question at hand"))
        self._noted_before = ""
        self._shown: Asked | None = None
        self.place, self.question, self.source, self.why = (wrapped() for _ in range(4))
        font = QFont(self.font())
        font.setBold(True)
        self.question.setFont(font)
        for quiet in (self.place, self.source, self.why):
            quiet.setObjectName("quiet")
        self.signed = wrapped()
        self.signed.setObjectName("quiet")
        self._answering = QWidget()
        self.buttons: dict[str, QPushButton] = {}
        self._lay_out()

    def _lay_out(self) -> None:
        line = QHBoxLayout()
        words = {"yes": self.tr("Yes"), "no": self.tr("No"), "unknown": self.tr("Unknown")}
        for value, word in words.items():
            button = QPushButton(word)
            button.setCheckable(True)
            button.setObjectName("reply")
            button.clicked.connect(lambda _=False, value=value: self.replied.emit(value))
            button.installEventFilter(self)
            self.buttons[value] = button
            line.addWidget(button)
        self.back = QPushButton(self.tr("Take Answer Back"))
        self.back.clicked.connect(self.taken_back)
        line.addStretch(1)
        self.note = QLineEdit()
        self.note.setMaxLength(_LONGEST_NOTE)
        self.note.setAccessibleName(self.tr("Note"))
        self.note.setPlaceholderText(self.tr("Note: what was seen, measured or promised"))
        self.note.setToolTip(self.tr("A note without an answer is kept as unknown"))
        self.note.editingFinished.connect(self._finish_note)
        self.note.returnPressed.connect(self.left)
        self.note.installEventFilter(self)
        self.who = QLineEdit(last_signer())
        self.who.setMaxLength(_LONGEST_NAME)
        self.who.setAccessibleName(self.tr("Seen by"))
        self.who.setPlaceholderText(self.tr("Your name, to sign the answers with"))
        self.who.setToolTip(self.tr("The sheets print it with the day of the answer"))
        self.who.editingFinished.connect(lambda: keep_signer(self.signer()))
        self.who.returnPressed.connect(self.left)
        inside = QVBoxLayout(self._answering)
        inside.setContentsMargins(0, 2, 0, 2)
        inside.addLayout(line)
        inside.addWidget(self.signed)
        inside.addWidget(self.note)
        by = QHBoxLayout()
        by.addWidget(QLabel(self.tr("Seen by")))
        by.addWidget(self.who, 1)
        inside.addLayout(by)
        inside.addWidget(self.back, 0, Qt.AlignmentFlag.AlignLeft)
        page = QWidget()
        box = QVBoxLayout(page)
        box.setContentsMargins(12, 8, 12, 8)
        box.setSpacing(5)
        for part in (self.place, self.question, self.source, self._answering, self.why):
            box.addWidget(part)
        box.addStretch(1)
        self.setWidget(page)

    def show_line(self, line: Asked | None, place: str, edition: str, nothing: str) -> None:
        """Show a question and its answer; without one, say in words why there is none."""
        rule = RULES.get(line.question) if line else None
        self.place.setText(place)
        self.question.setText(line.text if line else nothing)
        self.source.setText(cite(rule.cite, edition) if rule else "")
        self.why.setText(f"{rule.title}. {rule.explanation}".strip() if rule else "")
        for label in (self.place, self.source, self.why):
            label.setVisible(bool(label.text()))
        self._answering.setVisible(line is not None)
        answer = line.answer if line else None
        for value, button in self.buttons.items():
            button.setChecked(answer is not None and answer.value == value)
            button.setEnabled(line is not None and line.stands)
        self.back.setVisible(answer is not None)
        if not self.who.hasFocus():
            self.who.setText(last_signer())
        by = signed(answer) if answer else ""
        self.signed.setText(filled(self.tr("Answered: %1"), by))
        self.signed.setVisible(bool(by))
        self.note.setEnabled(line is not None and line.stands)
        # a note that is being written outlives what happens elsewhere
        if line != self._shown:
            self._noted_before = answer.note if answer else ""
            self.note.setText(self._noted_before)
        self._shown = line

    def signer(self) -> str:
        """Give the name that answers are signed with."""
        return self.who.text().strip()

    def focus_note(self) -> None:
        if self.note.isVisible() and self.note.isEnabled():
            self.note.setFocus(Qt.FocusReason.OtherFocusReason)
            self.note.selectAll()

    def written_note(self) -> str:
        """Give the note as it stands, whether or not it has been kept already."""
        return self.note.text().strip()

    def _finish_note(self) -> None:
        """Keep the note, unless an answer is about to be given that it goes with."""
        note = self.written_note()
        if note != self._noted_before and QApplication.focusWidget() not in self.buttons.values():
            self._noted_before = note
            self.noted.emit(note)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QFocusEvent) and event.lostFocus() and watched is not self.note:
            if event.reason() != Qt.FocusReason.ActiveWindowFocusReason:
                self._finish_note()
            return False
        if (
            watched is self.note
            and event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
            and event.key() == Qt.Key.Key_Escape
        ):
            self.note.setText(self._noted_before)
            self.left.emit()
            return True
        return super().eventFilter(watched, event)
