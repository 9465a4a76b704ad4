"""Details of what is selected: its computed numbers, and a form of everything it says of itself."""

from collections.abc import Callable
from typing import Any, NamedTuple

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QCheckBox,
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from ampacre.model import records as r
from ampacre.model.edits import new_id, put
from ampacre.model.project import Change, Edit, Refused, StaleEdit, TableName
from ampacre.model.standing import work_of
from ampacre.model.words import kind_of
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre_gui.document import Document
from ampacre_gui.icons import kind_icon
from ampacre_gui.names import element_name, record_of
from ampacre_gui.panels.fields import Field, FieldGrid, capital
from ampacre_gui.panels.form import FieldSpec, Group, empty_part, form_of, value_at, with_value
from ampacre_gui.panels.hints import hint
from ampacre_gui.panels.numbers import numbers_of
from ampacre_gui.panels.references import Choices, choices_for
from ampacre_gui.panels.relevance import is_relevant, is_seldom_filled
from ampacre_gui.selection import Selection

__all__ = ["Details"]

_HINT_WORDS = {
    0: "Select a piece or a run to see and change what it is.",
    2: "Several are selected. Delete removes them; dragging moves the pieces.",
}


_PARTS = {
    "main": "Has a main device",
    "measured": "Has a record of measured demand",
    "farm": "Counts as farm load",
}
"""Parts that may be there or not, with the words of the box that says so."""

_ASKED_BY_BASIS = {"measured": ("measured",), "farm": ("farm building", "farm")}
"""Parts that are asked for once the load is computed by these methods, and seldom otherwise."""


def _is_asked(record: r.Record, part: str) -> bool:
    bases = _ASKED_BY_BASIS.get(part)
    return bases is None or getattr(record, "basis", None) in bases


class _Part(NamedTuple):
    """A group of fields on the page; `box` says whether an optional part is there at all."""

    holder: QWidget
    fields: list[Field]
    path: tuple[str, ...]
    box: QCheckBox | None


class Details(QScrollArea):
    """Shows one record; built anew when another kind is selected, else only brought up to date."""

    worksheet_wanted = Signal()

    def __init__(
        self, document: Document, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._key = ""
        self._fields: list[Field] = []
        self._parts: list[_Part] = []
        self._built_for: object = None
        self._all = False
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(self.tr("Details of the selection"))
        document.changed.connect(lambda _: self._show())
        selection.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        selected = self._selection.ids
        record = record_of(self._document.project, selected[0]) if len(selected) == 1 else None
        if record is None:
            self._key, self._built_for = "", None
            self._fields, self._parts = [], []
            self.setWidget(_words(self.tr(_HINT_WORDS[min(len(selected), 2)])))
            return
        shape = (record.id, type(record), self._references_shape())
        if shape != self._built_for:
            self._key, self._built_for = record.id, shape
            self.setWidget(self._built(record))
        self._fill(record)

    def _references_shape(self) -> tuple[Any, ...]:
        project = self._document.project
        return (
            tuple(sorted((s.name, s.id) for s in project.structures.values())),
            tuple(sorted(stage.name for stage in project.stages.values())),
            tuple(sorted(way.name for way in project.raceways.values())),
        )

    # building ---------------------------------------------------------------------------------

    def _built(self, record: r.AnyEquipment | r.Run) -> QWidget:
        page = QWidget()
        box = QVBoxLayout(page)
        box.setContentsMargins(12, 10, 12, 16)
        box.setSpacing(8)
        self._head, self._what, self._way = QLabel(), QLabel(), QLabel()
        box.addLayout(self._headline(record))
        box.addWidget(self._way)
        self._numbers = QWidget()
        self._numbers_form = QFormLayout(self._numbers)
        self._numbers_form.setContentsMargins(0, 2, 0, 2)
        self._numbers_form.setVerticalSpacing(3)
        self._numbers_form.setHorizontalSpacing(12)
        self._notes = QLabel()
        self._notes.setWordWrap(True)
        self._notes.setTextFormat(Qt.TextFormat.PlainText)
        box.addWidget(_heading(self.tr("Worked out")))
        box.addWidget(self._numbers)
        box.addWidget(self._notes)
        self._fields, self._parts = [], []
        for group in form_of(type(record)):
            self._add_group(box, group)
        self._more = QPushButton()
        self._more.clicked.connect(self._show_more)
        box.addWidget(self._more, 0, Qt.AlignmentFlag.AlignLeft)
        box.addStretch(1)
        return page

    def _headline(self, record: r.AnyEquipment | r.Run) -> QHBoxLayout:
        line = QHBoxLayout()
        line.setSpacing(10)
        if not isinstance(record, r.Run):
            symbol = QLabel()
            symbol.setPixmap(kind_icon(kind_of(record), 36).pixmap(QSize(36, 36)))
            line.addWidget(symbol, 0, Qt.AlignmentFlag.AlignTop)
        words = QVBoxLayout()
        words.setSpacing(1)
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 1.25)
        font.setBold(True)
        self._head.setFont(font)
        for label in (self._head, self._what, self._way):
            label.setWordWrap(True)
        words.addWidget(self._head)
        words.addWidget(self._what)
        line.addLayout(words, 1)
        self._way.setTextFormat(Qt.TextFormat.RichText)
        self._way.linkActivated.connect(self._selection.go_to)
        return line

    def _add_group(self, box: QVBoxLayout, group: Group) -> None:
        title = self.tr(capital(group.title)) if group.title else self.tr("What it is")
        holder = QWidget()
        inside = QVBoxLayout(holder)
        inside.setContentsMargins(0, 4, 0, 0)
        inside.setSpacing(6)
        inside.addWidget(_heading(title))
        grid = FieldGrid()
        box_for_part = None
        if group.optional and group.optional[0] in _PARTS:
            box_for_part = QCheckBox(self.tr(_PARTS[group.optional[0]]))
            box_for_part.clicked.connect(lambda on: self._set_part(group.optional, on=on))
            inside.addWidget(box_for_part)
        fields = []
        for spec in group.fields:
            field = Field(spec, self._choices(spec), self._adder(spec))
            field.entered.connect(lambda value, field=field: self._enter(field, value))
            grid.add(field)
            fields.append(field)
        inside.addWidget(grid)
        box.addWidget(holder)
        self._fields += fields
        self._parts.append(_Part(holder, fields, group.optional, box_for_part))

    def _choices(self, spec: FieldSpec) -> Choices:
        if spec.part is r.Segment:
            return sorted((way.name, way.id) for way in self._document.project.raceways.values())
        if spec.editor in ("reference", "members"):
            return choices_for(self._document.project, self._key, spec)
        return []

    def _adder(self, spec: FieldSpec) -> Callable[[str], None] | None:
        return self._add_structure if spec.table == "structures" else None

    # showing ----------------------------------------------------------------------------------

    def _fill(self, record: r.AnyEquipment | r.Run) -> None:
        project, units = self._document.project, self._document.project.settings.units
        facts = self._facts(record)
        self._head.setText(capital(element_name(project, record.id)))
        kind = self.tr("run") if isinstance(record, r.Run) else kind_of(record)
        self._what.setText(f"{kind} \u00b7 {work_of(record)}")
        self._way.setText(self._way_words(record, facts))
        self._way.setVisible(bool(self._way.text()))
        self._fill_numbers(facts)
        shown = {field.spec.path for field in self._fields if self._is_shown(record, field.spec)}
        for field in self._fields:
            value = value_at(record, field.spec.path)
            field.show_value(value, hint(field.spec, record, facts, units), units)
            field.setVisible(field.spec.path in shown)
            field.label.setVisible(field.spec.path in shown)
        for part in self._parts:
            any_shown = any(field.spec.path in shown for field in part.fields)
            wanted = part.box is not None and (self._all or _is_asked(record, part.path[0]))
            part.holder.setVisible(any_shown or wanted)
            if part.box is not None:
                part.box.setChecked(getattr(record, part.path[0]) is not None)
        self._more.setText(
            self.tr("Show fewer fields") if self._all else self.tr("Show all fields")
        )

    def _is_shown(self, record: r.Record, spec: FieldSpec) -> bool:
        fits = is_relevant(self._document.project, record, spec)
        return fits and (self._all or not is_seldom_filled(record, spec))

    def _show_more(self) -> None:
        self._all = not self._all
        self._show()

    def _facts(self, record: r.AnyEquipment | r.Run) -> EquipmentFacts | RunFacts | None:
        study = self._document.study
        try:
            return study.run(record.id) if isinstance(record, r.Run) else study.equipment(record.id)
        except KeyError:
            return None

    def _way_words(
        self, record: r.AnyEquipment | r.Run, facts: EquipmentFacts | RunFacts | None
    ) -> str:
        project = self._document.project
        if isinstance(record, r.Run):
            return (
                self.tr("From %1 to %2")
                .replace("%1", _link(project, record.source))
                .replace("%2", _link(project, record.target))
            )
        if isinstance(facts, EquipmentFacts) and facts.parent and facts.feed:
            return (
                self.tr("Fed from %1 over %2")
                .replace("%1", _link(project, facts.parent))
                .replace("%2", f'<a href="{facts.feed}">{self.tr("this run")}</a>')
            )
        if isinstance(facts, EquipmentFacts) and not facts.supplied:
            return self.tr("Not supplied from anywhere")
        return ""

    def _fill_numbers(self, facts: EquipmentFacts | RunFacts | None) -> None:
        while self._numbers_form.rowCount():
            self._numbers_form.removeRow(0)
        numbers = numbers_of(self._document.study, facts) if facts else []
        for number in numbers:
            value = QLabel(number.value)
            value.setAlignment(Qt.AlignmentFlag.AlignRight)
            value.setWordWrap(True)
            value.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            label = QLabel(number.label)
            for part in (label, value):
                part.setToolTip(number.about)
            self._numbers_form.addRow(label, value)
        notes = []
        if facts and facts.missing:
            notes.append(self.tr("Missing: ") + "; ".join(facts.missing))
        if facts and facts.assumptions:
            notes.append(self.tr("Assumed: ") + "; ".join(facts.assumptions))
        if not numbers and not notes:
            notes.append(self.tr("Nothing yet."))
        self._notes.setText("\n".join(notes))
        self._notes.setVisible(bool(notes))

    # entering ---------------------------------------------------------------------------------

    def _enter(self, field: Field, value: Any) -> None:
        before = record_of(self._document.project, self._key)
        if before is None:
            return
        after = with_value(before, field.spec.path, value)
        try:
            self._document.make(self._edit(field.spec.word, before, after))
        except (Refused, StaleEdit) as error:
            field.refuse(capital(str(error)))
            return
        self._show()

    def _set_part(self, path: tuple[str, ...], *, on: bool) -> None:
        before = record_of(self._document.project, self._key)
        if before is not None:
            after = with_value(before, path, empty_part(before, path[0]) if on else None)
            self._document.do(self._edit(path[0], before, after))

    def _edit(self, words: str, before: Any, after: Any) -> Edit:
        name = element_name(self._document.project, before.id)
        table: TableName = "runs" if isinstance(before, r.Run) else "equipment"
        changes = (Change(table, before.id, before, after),) if before != after else ()
        return Edit(f"Change {words} of {name}", changes)

    def _add_structure(self, name: str) -> None:
        before = record_of(self._document.project, self._key)
        if before is None:
            return
        structure = r.Structure(id=new_id(), name=name)
        after = with_value(before, ("structure",), structure.id)
        edit = put("", "structures", structure).then(self._edit("structure", before, after))
        self._document.do(edit)

    def focus_first(self) -> None:
        """Put the cursor into the first field."""
        if self._fields:
            self.setFocus()
            self._fields[0].editor.setFocus()


def _words(text: str) -> QWidget:
    label = QLabel(text)
    label.setWordWrap(True)
    label.setAlignment(Qt.AlignmentFlag.AlignTop)
    label.setContentsMargins(14, 14, 14, 14)
    return label


def _heading(text: str) -> QWidget:
    holder = QWidget()
    box = QVBoxLayout(holder)
    box.setContentsMargins(0, 4, 0, 0)
    box.setSpacing(3)
    label = QLabel(text)
    label.setObjectName("heading")
    rule = QFrame()
    rule.setFrameShape(QFrame.Shape.HLine)
    rule.setObjectName("rule")
    box.addWidget(label)
    box.addWidget(rule)
    return holder


def _link(project: Any, key: str) -> str:
    name = element_name(project, key).replace("&", "&amp;").replace("<", "&lt;")
    return f'<a href="{key}">{name}</a>'
