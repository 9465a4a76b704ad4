"""Editors of single values. Each shows a value and a hint, and says what somebody entered.

An editor that can't make sense of what was typed keeps the text and says why; it never clears or
changes what stands in it.
"""

from collections.abc import Callable
from typing import Any, cast

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPalette,
    QStandardItemModel,
    QWheelEvent,
)
from PySide6.QtWidgets import QComboBox, QLineEdit, QPlainTextEdit, QWidget

from ampacre.quantity import NotUnderstood, UnitSystem
from ampacre_gui.guard import Guarded
from ampacre_gui.panels.entries import read_entry, sentence, shown
from ampacre_gui.panels.form import FieldSpec
from ampacre_gui.window_keys import WindowKeys

__all__ = ["SEVERAL", "ChoiceEditor", "LineEditor", "TextEditor"]

SEVERAL = "(several)"
"""What an editor shows where the selected records differ; left as it is, it changes nothing."""

_CLEARING = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)
_KEYS_OF_A_LIST = (*_CLEARING, Qt.Key.Key_Home, Qt.Key.Key_End)
_UNDO_KEYS = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)


def _asks_for_undo(event: QEvent) -> bool:
    """Whether keys of undo or redo are pressed. Where nothing was typed they are the document's."""
    if event.type() != QEvent.Type.ShortcutOverride:
        return False
    pressed = cast("QKeyEvent", event)
    return any(pressed.matches(key) for key in _UNDO_KEYS)


class LineEditor(Guarded, QLineEdit):
    """A line for a number with its unit, a name, or numbers with commas between them."""

    entered = Signal(object)
    refused = Signal(str)

    def __init__(self, spec: FieldSpec, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._spec = spec
        self._units: UnitSystem = "us"
        self._as_shown = self._known = ""
        WindowKeys.prevail_in(self)
        self.editingFinished.connect(self._finish)
        # why something else was refused says nothing of what is typed now
        self.textEdited.connect(lambda _: self.refused.emit(""))

    def show_value(self, value: Any, hint: str, units: UnitSystem) -> None:
        """Show a value; what somebody is just typing, or has typed wrongly, is left alone."""
        self._units = units
        self.setPlaceholderText(hint)
        self._take(shown(self._spec, value, units))

    def show_several(self, units: UnitSystem) -> None:
        """Show that records differ here; typing takes the place of these words."""
        self._units = units
        self.setPlaceholderText("")
        self._take(SEVERAL)

    def _take(self, text: str) -> None:
        untouched = self.text() == self._as_shown
        self._as_shown = self._known = text
        if untouched:
            self.setText(text)
            self.setCursorPosition(0)
        elif self.text() == text:
            self.refused.emit("")

    def _finish(self) -> None:
        if self.text() == self._as_shown:
            self.refused.emit("")
            return
        try:
            value = read_entry(self._spec, self.text(), self._units)
        except NotUnderstood as error:
            self.refused.emit(sentence(str(error)))
            return
        self._as_shown = self.text()
        self.refused.emit("")
        self.entered.emit(value)

    def event(self, event: QEvent) -> bool:
        if self.text() == self._as_shown and _asks_for_undo(event):
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.text() != self._known:
            self._as_shown = self._known
            self.setText(self._known)
            self.selectAll()
            self.refused.emit("")
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self.text() == SEVERAL:
            self.selectAll()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        if self.text() == SEVERAL:
            self.selectAll()

    def keep_as_typed(self) -> None:
        """Leave the text standing after the document refused it."""
        self._as_shown = ""

    def forget(self) -> None:
        """Let the next value take the place of what was typed and not taken."""
        self._as_shown = self.text()
        self.refused.emit("")


class TextEditor(Guarded, QPlainTextEdit):
    """Several lines of text; entered when the focus leaves."""

    entered = Signal(object)
    refused = Signal(str)

    def __init__(self, spec: FieldSpec, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._spec = spec
        self._units: UnitSystem = "us"
        self._as_shown = self._known = ""
        self.setTabChangesFocus(True)
        self.setFixedHeight(self.fontMetrics().lineSpacing() * 3 + 12)

    def show_value(self, value: Any, hint: str, units: UnitSystem) -> None:
        self._units = units
        self.setPlaceholderText(hint)
        if not self.hasFocus() and value != self.toPlainText():
            self.setPlainText(value)
        self._as_shown = self._known = value

    def event(self, event: QEvent) -> bool:
        if self.toPlainText() == self._as_shown and _asks_for_undo(event):
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.toPlainText() != self._known:
            self._as_shown = self._known
            self.setPlainText(self._known)
            self.selectAll()
            self.refused.emit("")
            return
        super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        text = self.toPlainText().strip()
        if text == self._as_shown:
            return
        try:
            read_entry(self._spec, text, self._units)
        except NotUnderstood as error:
            self.refused.emit(sentence(str(error)))
            return
        self._as_shown = text
        self.refused.emit("")
        self.entered.emit(text)

    def keep_as_typed(self) -> None:
        self._as_shown = ""

    def forget(self) -> None:
        self.refused.emit("")


class ChoiceEditor(Guarded, QComboBox):
    """A list of choices. Where nothing may be chosen, the first entry is empty and shows the hint.

    With `adder` the list is editable: what is typed and not in it goes there to be made.
    """

    entered = Signal(object)
    refused = Signal(str)

    def __init__(
        self,
        choices: list[tuple[str, Any]],
        *,
        optional: bool,
        adder: Callable[[str], None] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._optional = optional
        self._adder = adder
        self._added = ""
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        if optional:
            self.addItem("", None)
            self.setItemData(0, self._grey(), Qt.ItemDataRole.ForegroundRole)
        for word, value in choices:
            self.addItem(word, value)
        if adder:
            self.setEditable(True)
            self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
            WindowKeys.prevail_in(self._line())
            self._line().editingFinished.connect(self._finish_typing)
        self.activated.connect(lambda index: self.entered.emit(self.itemData(index)))

    def _line(self) -> QLineEdit:
        line = self.lineEdit()
        assert line is not None
        return line

    def _grey(self) -> Any:
        return self.palette().color(QPalette.ColorRole.PlaceholderText)

    def show_value(self, value: Any, hint: str, _units: UnitSystem) -> None:
        if self._optional:
            self.setItemText(0, hint if not self._adder else "")
        if self._adder:
            self._line().setPlaceholderText(hint)
        # findData compares variants, and takes True for 1 there
        index = next((i for i in range(self.count()) if self.itemData(i) == value), -1)
        self._choose(index, quiet=self._optional and index == 0)

    def show_several(self, _units: UnitSystem) -> None:
        """Show that records differ here; any choice, also that of nothing, is for all of them."""
        if self._optional:
            self.setItemText(0, self.tr("nothing entered"))
        if self._adder:
            self._line().setPlaceholderText(SEVERAL)
        self.setPlaceholderText(SEVERAL)
        self._choose(-1, quiet=True)

    def _choose(self, index: int, *, quiet: bool) -> None:
        self.setCurrentIndex(index)
        if self.property("nothing") != quiet:
            self.setProperty("nothing", quiet)
            self.style().unpolish(self)
            self.style().polish(self)

    def explain(self, value: Any, more: str) -> None:
        """Give a choice a tool tip."""
        self.setItemData(self.findData(value), more, Qt.ItemDataRole.ToolTipRole)

    def only_show(self, value: Any) -> None:
        """Keep a value among the choices that can be shown and not chosen."""
        model = self.model()
        assert isinstance(model, QStandardItemModel)
        model.item(self.findData(value)).setEnabled(False)

    def _finish_typing(self) -> None:
        text = self.currentText().strip()
        index = self.findText(text, Qt.MatchFlag.MatchFixedString)
        if index >= 0:
            if index != self.currentIndex():
                self.setCurrentIndex(index)
                self.entered.emit(self.itemData(index))
        elif text and self._adder and text != self._added:
            # the line is finished once more when it loses the focus
            self._added = text
            self._adder(text)

    def keep_as_typed(self) -> None:
        """Nothing to do: the panel shows the document's value again."""

    def forget(self) -> None:
        """Nothing to do: what can be typed is one of the choices."""

    def event(self, event: QEvent) -> bool:
        # these keys are for the list, and not for what is selected on the drawing
        if event.type() == QEvent.Type.ShortcutOverride:
            pressed = cast("QKeyEvent", event)
            if pressed.key() in _KEYS_OF_A_LIST and not pressed.modifiers():
                event.accept()
                return True
        # the list has the focus for its line too
        if self.currentText() == self.itemText(self.currentIndex()) and _asks_for_undo(event):
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _CLEARING and self._optional and not self.isEditable():
            if self.currentIndex() != 0:
                self.entered.emit(None)
            return
        super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        # a form that scrolls must not change values under the pointer
        event.ignore()
