"""The finding at hand: its rule, its source, what would put it right, and its acceptance."""

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from ampacre.model.edits import new_id, put
from ampacre.model.project import Change, Edit, Refused, StaleEdit
from ampacre.model.records import Accepted
from ampacre.rules.rule import RULES, Finding
from ampacre_gui.buttons import WordyButton
from ampacre_gui.dialogs.accept import ask_reason
from ampacre_gui.document import Document
from ampacre_gui.flow import Flow
from ampacre_gui.names import element_name
from ampacre_gui.panels.findings_text import accepted_words
from ampacre_gui.panels.halves import HandPage, wrapped
from ampacre_gui.phrases import filled

__all__ = ["FindingPage"]


class FindingPage(HandPage):
    """Remedies are applied with one click, and an acceptance asks for its reason."""

    go = Signal()
    """Somebody wants to see the place of the finding on the drawing."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Finding at hand"))
        self._document = document

    def say(self, words: str) -> None:
        """Show words in place of a finding."""
        label = QLabel(words)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setWordWrap(True)
        label.setAlignment(Qt.AlignmentFlag.AlignTop)
        label.setContentsMargins(12, 10, 12, 10)
        self.setWidget(label)

    def show_finding(self, finding: Finding) -> None:
        """Show a finding of the document's present review."""
        review = self._document.review
        page = QWidget()
        box = QVBoxLayout(page)
        box.setContentsMargins(12, 8, 12, 8)
        box.setSpacing(6)
        rule = RULES[finding.rule]
        title = wrapped(rule.title)
        font = QFont(self.font())
        font.setBold(True)
        title.setFont(font)
        box.addWidget(title)
        source = wrapped(review.cite(finding))
        source.setObjectName("quiet")
        box.addWidget(source)
        accepted = review.accepted(finding)
        if accepted is not None:
            box.addWidget(wrapped(accepted_words(review, finding)))
        else:
            for edit in review.remedies(finding):
                box.addWidget(self._remedy_button(edit))
        box.addLayout(self._lower_buttons(finding, accepted))
        if rule.explanation:
            explanation = wrapped(rule.explanation)
            explanation.setObjectName("quiet")
            box.addWidget(explanation)
        box.addStretch(1)
        self.setWidget(page)

    def _remedy_button(self, edit: Edit) -> QPushButton:
        button = WordyButton(edit.label, partial(self._after, edit))
        button.setObjectName("remedy")
        button.clicked.connect(partial(self._apply, edit))
        return button

    def _after(self, edit: Edit) -> str:
        """Say what stands after a remedy, before it is applied."""
        try:
            _, review = self._document.preview(edit)
        except (Refused, StaleEdit) as error:
            return str(error)
        after = {finding.key for finding in review.findings}
        before = {finding.key for finding in self._document.review.findings}
        words = self.tr("Clears %1, raises %2 new")
        return filled(words, len(before - after), len(after - before))

    def _lower_buttons(self, finding: Finding, accepted: Accepted | None) -> Flow:
        line = Flow()
        line.setSpacing(6)
        if finding.where != "project":
            go = QPushButton(self.tr("Show on Drawing"))
            go.clicked.connect(self.go)
            line.addWidget(go)
        if accepted is None:
            accept = QPushButton(self.tr("Accept\u2026"))
            accept.setToolTip(self.tr("Keep it as it is and say why"))
            accept.clicked.connect(partial(self.accept, finding))
        else:
            accept = QPushButton(self.tr("Take Acceptance Back"))
            accept.setToolTip(self.tr("Have it stand again as a finding"))
            accept.clicked.connect(partial(self.reject, accepted))
        line.addWidget(accept)
        return line

    def _apply(self, edit: Edit) -> None:
        self._document.do(edit)

    def accept(self, finding: Finding) -> None:
        """Ask why a finding is accepted, and keep that."""
        told = ask_reason(self._document.review.message(finding), self)
        if told is None:
            return
        accepted = Accepted(
            id=new_id(), rule=finding.rule, where=finding.where, about=finding.about,
            reason=told.reason, who=told.who, when=told.when,
        )  # fmt: skip
        name = element_name(self._document.project, finding.where)
        self._document.do(put(f"Accept a finding at {name}", "accepted", accepted))

    def reject(self, accepted: Accepted) -> None:
        """Take an acceptance back."""
        label = self.tr("Take an acceptance back")
        self._document.do(Edit(label, (Change("accepted", accepted.id, accepted, None),)))
