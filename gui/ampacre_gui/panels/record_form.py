"""A form of what records say of themselves: the fields that they share, in groups."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import msgspec
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QFrame, QLabel, QVBoxLayout, QWidget

from ampacre.model import records as r
from ampacre.model.edits import new_id, put
from ampacre.model.project import Change, Edit, Refused, StaleEdit, TableName
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre_gui.document import Document
from ampacre_gui.names import counted_elements, element_name, record_of
from ampacre_gui.panels.entries import sentence
from ampacre_gui.panels.fields import Field, FieldGrid, capital
from ampacre_gui.panels.form import FieldSpec, Group, empty_part, value_at, with_value
from ampacre_gui.panels.hints import Hint, hint
from ampacre_gui.panels.references import Choices, choices_for
from ampacre_gui.panels.relevance import is_relevant, is_seldom_filled
from ampacre_gui.phrases import filled, said

__all__ = ["Element", "Part", "RecordForm", "heading"]

Element = r.AnyEquipment | r.Run

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


class Part:
    """A group of fields on the page, each made when it is first shown.

    `box` says whether an optional part is there at all.
    """

    def __init__(self, group: Group, title: QWidget | None, box: QCheckBox | None) -> None:
        self.path = group.optional
        self.specs = group.fields
        self.box = box
        self.grid = FieldGrid()
        self.holder = QWidget()
        self.made: dict[FieldSpec, Field] = {}
        inside = QVBoxLayout(self.holder)
        inside.setContentsMargins(0, 4, 0, 0)
        inside.setSpacing(6)
        for widget in (title, box, self.grid):
            if widget is not None:
                inside.addWidget(widget)

    @property
    def fields(self) -> list[Field]:
        """The fields that are shown, from the top down."""
        made = (self.made.get(spec) for spec in self.specs)
        return [field for field in made if field is not None and not field.isHidden()]

    def add(self, field: Field) -> None:
        """Put a field where it belongs among the others."""
        self.made[field.spec] = field
        self.grid.add(field, self.specs.index(field.spec))

    def let_go(self) -> None:
        """Make the fields ready for another record."""
        for field in list(self.made.values()):
            if field.is_plain:
                field.forget()
            else:
                self.grid.take_out(self.made.pop(field.spec))


class RecordForm(QWidget):
    """Shows the fields of one or more records; an entry is one step that changes all of them.

    With `before` it shows and changes what stood in the place of each before the work.
    """

    entered = Signal()

    def __init__(
        self,
        document: Document,
        groups: Sequence[Group],
        keys: Sequence[str],
        *,
        before: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._keys = tuple(keys)
        self._before = before
        self.parts: list[Part] = []
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        for group in groups:
            part = self._part(group)
            self.parts.append(part)
            box.addWidget(part.holder)

    @property
    def fields(self) -> list[Field]:
        """The fields that are shown, from the top down."""
        return [field for part in self.parts for field in part.fields]

    @property
    def stops(self) -> list[QWidget]:
        """Where Tab stops, from the top down."""
        found: list[QWidget] = []
        for part in self.parts:
            found += [part.box] if part.box is not None else []
            for field in part.fields:
                found += field.stops
        return found

    def turn_to(self, keys: Sequence[str]) -> None:
        """Go on with as many other records of the same kinds."""
        self._keys = tuple(keys)
        for part in self.parts:
            part.let_go()

    # building ---------------------------------------------------------------------------------

    def _part(self, group: Group) -> Part:
        title = box = None
        if group.title != "work":
            first = self.tr("What it was") if self._before else self.tr("What it is")
            title = heading(self._titled(capital(group.title) or first))
        if group.optional and group.optional[0] in _PARTS:
            box = QCheckBox(said(_PARTS[group.optional[0]]))
            box.clicked.connect(lambda _: self._set_part(group.optional, box))
        return Part(group, title, box)

    def _field(self, spec: FieldSpec) -> Field:
        field = Field(spec, self._choices(spec), self._adder(spec))
        if self._before:
            field.call(self._titled(capital(spec.word)))
        field.entered.connect(lambda value: self._enter(field, value))
        return field

    def _titled(self, title: str) -> str:
        return filled(self.tr("Before: %1"), title.lower()) if self._before else title

    def _choices(self, spec: FieldSpec) -> Choices:
        if spec.part is r.Segment:
            return sorted((way.name, way.id) for way in self._document.project.raceways.values())
        if spec.editor in ("reference", "members"):
            return choices_for(self._document.project, self._keys[0], spec)
        return []

    def _adder(self, spec: FieldSpec) -> Callable[[str], None] | None:
        return self._add_structure if spec.table == "structures" else None

    # showing ----------------------------------------------------------------------------------

    def fill(
        self, facts: Mapping[str, EquipmentFacts | RunFacts], *, all_fields: bool = False
    ) -> None:
        """Show what the document says; `all_fields` shows those too that few ever fill."""
        records = [self._of(record) for record in self._records()]
        for part in self.parts:
            shown = {spec for spec in part.specs if self._is_shown(records, spec, all_fields)}
            for spec in shown - part.made.keys():
                part.add(self._field(spec))
            for field in part.made.values():
                visible = field.spec in shown
                if visible:
                    self._fill_field(field, records, facts)
                field.setVisible(visible)
                field.label.setVisible(visible)
            wanted = part.box is not None and (
                all_fields or all(_is_asked(record, part.path[0]) for record in records)
            )
            part.holder.setVisible(bool(shown) or wanted)
            if part.box is not None:
                _tick(part.box, {getattr(record, part.path[0]) is not None for record in records})

    def _is_shown(self, records: list[Element], spec: FieldSpec, all_fields: bool) -> bool:
        project = self._document.project
        if not all(is_relevant(project, record, spec) for record in records):
            return False
        return all_fields or not all(is_seldom_filled(record, spec) for record in records)

    def _fill_field(
        self,
        field: Field,
        records: list[Element],
        facts: Mapping[str, EquipmentFacts | RunFacts],
    ) -> None:
        units = self._document.project.settings.units
        values = [value_at(record, field.spec.path) for record in records]
        if any(value != values[0] for value in values):
            field.show_several(units)
            return
        known = {} if self._before else facts
        hints = {hint(field.spec, record, known.get(record.id), units) for record in records}
        told = hints.pop() if len(hints) == 1 else Hint(self.tr("nothing entered"))
        field.show_value(values[0], told, units)

    # entering ---------------------------------------------------------------------------------

    def _records(self) -> list[Element]:
        found = (record_of(self._document.project, key) for key in self._keys)
        return [record for record in found if record is not None]

    def _of(self, record: Element) -> Element:
        """Give the record that is shown: itself, or what it was."""
        was = record.was if self._before else None
        return record if was is None else was

    def _enter(self, field: Field, value: Any) -> None:
        path = field.spec.path
        edit = self._edit(field.spec.word, lambda record: with_value(record, path, value))
        try:
            self._document.make(edit)
        except (Refused, StaleEdit) as error:
            field.refuse(sentence(str(error)))
            return
        self.entered.emit()

    def _set_part(self, path: tuple[str, ...], box: QCheckBox) -> None:
        on = box.checkState() != Qt.CheckState.Unchecked

        def changed(record: Element) -> r.Record:
            if on == (getattr(record, path[0]) is not None):
                return record
            return with_value(record, path, empty_part(record, path[0]) if on else None)

        if not self._document.do(self._edit(_PARTS[path[0]].split(maxsplit=2)[2], changed)):
            self.entered.emit()

    def _edit(self, word: str, changed: Callable[[Element], r.Record]) -> Edit:
        changes = []
        records = self._records()
        for record in records:
            after: Any = changed(self._of(record))
            if self._before:
                after = msgspec.structs.replace(record, was=after)
            table: TableName = "runs" if isinstance(record, r.Run) else "equipment"
            if after != record:
                changes.append(Change(table, record.id, record, after))
        return Edit(self._label(word, records), tuple(changes))

    def _label(self, word: str, records: list[Element]) -> str:
        if len(records) > 1:
            return f"Set {word} of {counted_elements(records)}"
        before = " before the work" if self._before else ""
        return f"Change {word}{before} of {element_name(self._document.project, self._keys[0])}"

    def _add_structure(self, name: str) -> None:
        structure = r.Structure(id=new_id(), name=name)
        edit = self._edit(
            "structure", lambda record: with_value(record, ("structure",), structure.id)
        )
        self._document.do(put("", "structures", structure).then(edit))


def _tick(box: QCheckBox, there: set[bool]) -> None:
    """Tick a box where a part is there; half where only some records have it."""
    box.setTristate(len(there) > 1)
    if len(there) > 1:
        box.setCheckState(Qt.CheckState.PartiallyChecked)
    else:
        box.setChecked(there == {True})


def heading(text: str) -> QWidget:
    """Give a title with a rule below it."""
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
