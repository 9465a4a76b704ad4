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

from ampacre.model.words import value_word
from ampacre.quantity import NotUnderstood, UnitSystem, exact, read, show
from ampacre_gui.guard import Guarded
from ampacre_gui.panels.form import FieldSpec

__all__ = [
    "SEVERAL",
    "ChoiceEditor",
    "LineEditor",
    "TextEditor",
    "bounds_words",
    "choice_word",
    "shown",
]

SEVERAL = "(several)"
"""What an editor shows where the selected records differ; left as it is, it changes nothing."""

_UNDO_KEYS = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)
_CHOICE_WORDS: dict[tuple[str, Any], str] = {
    ("legs", ""): "all of them",
    ("protected_at", "supply"): "supply end",
    ("protected_at", "load"): "load end",
    ("protected_at", "none"): "nowhere",
    ("neutral", "none"): "no neutral",
    ("grounding", "none"): "no grounding conductor",
    ("grounding", "raceway"): "the metal raceway",
    ("raceway", "pvc"): "PVC conduit",
    ("raceway", "steel"): "steel conduit",
    ("raceway", "aluminum"): "aluminum conduit",
    ("units", "us"): "US customary",
    ("connection", "receptacle"): "cord and plug",
    ("mixed_optional", "tally"): "counts by the standard method above",
    ("mixed_optional", "block"): "counts as a block by its own method",
    ("optional_chargers", "outside"): "chargers counted apart",
    ("optional_chargers", "inside"): "chargers inside the pool",
    ("edition", "2017"): "NEC 2017",
    ("edition", "2020"): "NEC 2020",
    ("edition", "2023"): "NEC 2023",
}


def choice_word(spec: FieldSpec, value: Any) -> str:
    """Give the words of one choice of a field."""
    name = spec.path[-1]
    special = _CHOICE_WORDS.get((name, value))
    if special:
        return special
    if name == "trade_size":
        return f"{value} in"
    if name in ("size", "neutral", "grounding"):
        return f"{value} {'AWG' if '/' in value or int(value) < 250 else 'kcmil'}"
    if spec.unit and type(value) in (int, float):
        return show(value, spec.unit)
    return value_word(value)


def shown(spec: FieldSpec, value: Any, units: UnitSystem) -> str:
    """Give a value as its line editor shows it, so that reading it back gives the same value."""
    if value is None:
        return ""
    if spec.editor == "several":
        return ", ".join(str(item) for item in value)
    if spec.editor == "number":
        return str(value) if spec.whole else exact(value, spec.unit, units)
    return str(value)


def _read(spec: FieldSpec, text: str, units: UnitSystem) -> Any:
    """Read what was typed into a line. Raises NotUnderstood with the reason in words."""
    text = text.strip()
    if spec.editor == "text":
        if len(text) > spec.longest:
            raise NotUnderstood(f"this takes at most {spec.longest} characters")
        return text
    if spec.editor == "several":
        return tuple(
            _read_item(spec, item) for item in text.replace(";", ",").split(",") if item.strip()
        )
    if not text and spec.optional:
        return None
    value = read(text, spec.unit, units)
    if spec.whole:
        if value != int(value):
            raise NotUnderstood("this wants a whole number")
        value = int(value)
    _hold_to_bounds(spec, value, units)
    return value


def _read_item(spec: FieldSpec, text: str) -> int:
    value = read(text, spec.unit)
    if value != int(value):
        raise NotUnderstood("this wants whole numbers with commas between them")
    if spec.choices and value not in spec.choices:
        allowed = ", ".join(str(choice) for choice in spec.choices)
        raise NotUnderstood(f"{text.strip()} is not one of {allowed}")
    _hold_to_bounds(spec, value, "us")
    return int(value)


def _bound(spec: FieldSpec, value: float, units: UnitSystem) -> str:
    """Show a bound; a small one is not rounded to nothing."""
    words = show(value, spec.unit, units)
    return (
        exact(value, spec.unit, units) if value and words == show(0.0, spec.unit, units) else words
    )


def bounds_words(spec: FieldSpec, units: UnitSystem) -> str:
    """Say between which values a number may lie; "" for anything else."""
    if spec.editor != "number" or spec.low is None or spec.high is None:
        return ""
    low, high = _bound(spec, spec.low, units), _bound(spec, spec.high, units)
    return f"{'More than' if spec.open_low else 'From'} {low} to {high}"


def _hold_to_bounds(spec: FieldSpec, value: float, units: UnitSystem) -> None:
    if spec.low is not None and (value < spec.low or (spec.open_low and value == spec.low)):
        least = _bound(spec, spec.low, units)
        raise NotUnderstood(f"this must be {'more than' if spec.open_low else 'at least'} {least}")
    if spec.high is not None and value > spec.high:
        raise NotUnderstood(f"this must be at most {_bound(spec, spec.high, units)}")


class LineEditor(Guarded, QLineEdit):
    """A line for a number with its unit, a name, or numbers with commas between them."""

    entered = Signal(object)
    refused = Signal(str)

    def __init__(self, spec: FieldSpec, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._spec = spec
        self._units: UnitSystem = "us"
        self._as_shown = ""
        self.editingFinished.connect(self._finish)

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
        self._as_shown = text
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
            value = _read(self._spec, self.text(), self._units)
        except NotUnderstood as error:
            self.refused.emit(_sentence(str(error)))
            return
        self._as_shown = self.text()
        self.refused.emit("")
        self.entered.emit(value)

    def event(self, event: QEvent) -> bool:
        # in a field where nothing was typed, undo and redo are the document's
        if event.type() == QEvent.Type.ShortcutOverride and self.text() == self._as_shown:
            pressed = cast("QKeyEvent", event)
            if any(pressed.matches(key) for key in _UNDO_KEYS):
                event.ignore()
                return False
        return super().event(event)

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


class TextEditor(Guarded, QPlainTextEdit):
    """Several lines of text; entered when the focus leaves."""

    entered = Signal(object)
    refused = Signal(str)

    def __init__(self, spec: FieldSpec, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._spec = spec
        self._as_shown = ""
        self.setTabChangesFocus(True)
        self.setFixedHeight(self.fontMetrics().lineSpacing() * 3 + 12)

    def show_value(self, value: Any, hint: str, _units: UnitSystem) -> None:
        self.setPlaceholderText(hint)
        if not self.hasFocus() and value != self.toPlainText():
            self.setPlainText(value)
        self._as_shown = value

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        text = self.toPlainText().strip()
        if text == self._as_shown:
            return
        if len(text) > self._spec.longest:
            self.refused.emit(f"This takes at most {self._spec.longest} characters.")
            return
        self._as_shown = text
        self.refused.emit("")
        self.entered.emit(text)

    def keep_as_typed(self) -> None:
        self._as_shown = ""


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

    def wheelEvent(self, event: QWheelEvent) -> None:
        # a form that scrolls must not change values under the pointer
        event.ignore()


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"
