"""One field of a form: its label, its editor, and the line that says why an entry was refused."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from ampacre.quantity import UnitSystem
from ampacre_gui.panels.editors import ChoiceEditor, LineEditor, TextEditor
from ampacre_gui.panels.entries import bounds_words, choice_word
from ampacre_gui.panels.form import FieldSpec
from ampacre_gui.panels.hints import Hint
from ampacre_gui.panels.members import MembersEditor
from ampacre_gui.panels.parts import PartsEditor
from ampacre_gui.panels.references import Choices
from ampacre_gui.phrases import breakable

__all__ = ["Field", "FieldGrid", "capital"]

Editor = LineEditor | TextEditor | ChoiceEditor | PartsEditor | MembersEditor


def capital(text: str) -> str:
    """Give a label with a capital first letter."""
    return text[:1].upper() + text[1:]


class Field(QWidget):
    """The editor of one field, with room below it for the reason of a refusal."""

    entered = Signal(object)

    def __init__(
        self,
        spec: FieldSpec,
        references: Choices,
        adder: Callable[[str], None] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.spec = spec
        self.label = QLabel(capital(spec.word))
        self.label.setWordWrap(True)
        self.editor = _editor_for(spec, references, adder)
        self.editor.setObjectName(spec.name)
        self.call(capital(spec.word))
        self.label.setBuddy(self.editor)
        self._reason = QLabel()
        self._reason.setWordWrap(True)
        self._reason.setObjectName("reason")
        self._reason.setTextFormat(Qt.TextFormat.PlainText)
        self._refused = ""
        self._reason.hide()
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(2)
        box.addWidget(self.editor)
        box.addWidget(self._reason)
        self.editor.entered.connect(self.entered)
        self.editor.refused.connect(self._show_reason)

    def call(self, name: str) -> None:
        """Give the editor its name for screen readers."""
        self.editor.setAccessibleName(name)
        line = self.editor.lineEdit() if isinstance(self.editor, ChoiceEditor) else None
        if line is not None:
            line.setAccessibleName(name)

    def show_value(self, value: Any, hint: Hint, units: UnitSystem) -> None:
        self.editor.show_value(value, hint.text, units)
        self.editor.setToolTip(hint.why or bounds_words(self.spec, units))

    def show_several(self, units: UnitSystem) -> None:
        """Show that the selected records differ here."""
        assert isinstance(self.editor, (LineEditor, ChoiceEditor))
        self.editor.show_several(units)
        self.editor.setToolTip(bounds_words(self.spec, units))

    def refuse(self, reason: str) -> None:
        """Say why the document did not take the entry, and leave the entry standing."""
        self.editor.keep_as_typed()
        self._show_reason(reason)

    @property
    def is_plain(self) -> bool:
        """Whether it can show any record's value; others list what their record may point to."""
        return isinstance(self.editor, (LineEditor, TextEditor)) or self.spec.editor == "choice"

    def forget(self) -> None:
        """Let the next value take the place of what was typed and not taken."""
        assert isinstance(self.editor, (LineEditor, TextEditor, ChoiceEditor))
        self.editor.forget()

    @property
    def stops(self) -> list[QWidget]:
        """Where Tab stops in it, in this order."""
        return self.editor.stops if isinstance(self.editor, PartsEditor) else [self.editor]

    @property
    def reason(self) -> str:
        """Why the entry was refused; empty when all is well."""
        return self._refused

    def _show_reason(self, reason: str) -> None:
        self._refused = reason
        self._reason.setText(breakable(reason))
        self._reason.setVisible(bool(reason))


def _editor_for(
    spec: FieldSpec, references: Choices, adder: Callable[[str], None] | None
) -> Editor:
    if spec.editor == "parts":
        return PartsEditor(spec, references)
    if spec.editor == "members":
        return MembersEditor(capital(spec.word), references)
    if spec.editor == "reference":
        return ChoiceEditor(references, optional=spec.optional, adder=adder)
    if spec.editor == "choice":
        choices = [(choice_word(spec, value), value) for value in spec.choices]
        return ChoiceEditor(choices, optional=spec.optional)
    return TextEditor(spec) if spec.long else LineEditor(spec)


class FieldGrid(QWidget):
    """Fields below one another, labels on the left; wide editors take both columns."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(10)
        self._grid.setVerticalSpacing(6)
        self._grid.setColumnStretch(0, 4)
        self._grid.setColumnStretch(1, 6)

    def add(self, field: Field, place: int) -> None:
        """Show a field at a place among the others, which need not be there yet."""
        row = 2 * place
        if field.spec.editor in ("parts", "members") or field.spec.long:
            self._grid.addWidget(field.label, row, 0, 1, 2)
            self._grid.addWidget(field, row + 1, 0, 1, 2)
            return
        self._grid.addWidget(field.label, row, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(field, row, 1)
        height = field.editor.sizeHint().height()
        field.label.setMinimumHeight(height)
        field.label.setAlignment(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)

    def take_out(self, field: Field) -> None:
        """Have a field no longer there."""
        for widget in (field.label, field):
            self._grid.removeWidget(widget)
            # it may be what asked for this, and is still at work
            widget.hide()
            widget.deleteLater()
