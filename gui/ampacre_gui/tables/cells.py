"""What stands in a table: columns as data, cells, and drafts that become one edit.

Nothing here draws or listens: a sheet says which rows there are, what their cells hold, and what
typing into a cell makes of the project.
"""

import re
from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, NamedTuple

from ampacre.model import records as r
from ampacre.model.project import Change, Edit, Project, TableName
from ampacre.quantity import NotUnderstood, UnitSystem, exact, show, unit_word
from ampacre.study.facts import RunFacts
from ampacre_gui.document import Document
from ampacre_gui.names import element_name
from ampacre_gui.panels.entries import choice_word, read_entry, shown
from ampacre_gui.panels.form import FieldSpec, form_of, value_at, with_value
from ampacre_gui.panels.hints import chosen_in_place
from ampacre_gui.panels.relevance import is_relevant

__all__ = [
    "Cell", "Column", "Draft", "Sheet", "bare", "field_column", "flag_cell", "in_order",
    "run_field", "text_cell", "worked_cell", "write_run_field",
]  # fmt: skip


class Cell(NamedTuple):
    """What a cell shows. `how` is as in the facts, "worked out" for computed values.

    `entry` is the text that an editor begins with, `copied` that which the clipboard gets where it
    is not the text shown; `order` is what rows are sorted by, None for nothing.
    """

    text: str = ""
    order: float | str | None = None
    how: str = "entered"
    why: str = ""
    entry: str = ""
    copied: str = ""
    mark: str = ""

    @property
    def plain(self) -> str:
        """The text for the clipboard, with all digits of what was entered."""
        return "" if self.how == "spare" else self.copied or self.text


class Column(NamedTuple):
    """A column: its head, how its cells are read from a row, and the field that they change.

    `unit` is the suffix of the unit that the head names; `chars` the usual width. A column without
    a `field` may still be `typed` into where its sheet knows what that means.
    """

    name: str
    title: str
    read: Callable[[Any], Cell]
    field: FieldSpec | None = None
    unit: str = ""
    chars: int = 9
    right: bool = False
    typed: bool = False
    clears: bool = True
    about: str = ""


class Draft:
    """A project in which cells are being typed over; all of it becomes one edit."""

    def __init__(self, project: Project) -> None:
        self._before = project
        self._equipment = dict(project.equipment)
        self._runs = dict(project.runs)
        self._touched: dict[tuple[TableName, str], None] = {}
        self.project = replace(project, equipment=self._equipment, runs=self._runs)
        self.notes: dict[str, Any] = {}
        """What a sheet remembers of a row from one cell to the next."""

    def put(self, record: Any) -> None:
        """Put a piece or run in place of what stands under its id."""
        table: TableName = "runs" if isinstance(record, r.Run) else "equipment"
        (self._runs if table == "runs" else self._equipment)[record.id] = record
        self._touched[table, record.id] = None

    def edit(self, label: str) -> Edit:
        """Give the edit that makes the draft of the project."""
        changes = (
            Change(table, key, self._before.table(table).get(key), self.project.table(table)[key])
            for table, key in self._touched
        )
        return Edit(label, tuple(change for change in changes if change.before != change.after))


class Sheet(ABC):
    """The rows of one table, by keys that stay the same for the same thing."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.columns: tuple[Column, ...] = ()

    @property
    def units(self) -> UnitSystem:
        """Units of the project."""
        return self.document.project.settings.units

    @abstractmethod
    def follow(self) -> None:
        """Take up what has changed in the document beyond rows and cells."""

    @abstractmethod
    def keys(self) -> list[str]:
        """Give the keys of all rows, in the order of the table."""

    @abstractmethod
    def stamp(self, key: str) -> tuple[object, ...]:
        """Give the things that a row is made of: the same things, the same cells."""

    @abstractmethod
    def row(self, key: str) -> Any:
        """Give what the columns read; raises KeyError where the row is gone."""

    @abstractmethod
    def element(self, key: str) -> str:
        """Give the id of the piece or run that a row stands for, "" for none."""

    @abstractmethod
    def place(self, key: str, number: int) -> str:
        """Say which row is meant, in words; `number` is its place in the table."""

    @abstractmethod
    def can_type(self, key: str, column: Column) -> bool:
        """Tell whether a cell takes entries."""

    @abstractmethod
    def write(self, draft: Draft, key: str, column: Column, text: str) -> str:
        """Type a text into a cell of a draft; gives the words for undo.

        Raises NotUnderstood, with what would be right.
        """

    def choices(self, column: Column) -> list[str]:
        """Give the words that a cell of a column takes, none where it takes anything."""
        spec = column.field
        return [choice_word(spec, value) for value in spec.choices] if spec else []


def in_order(cell: Cell) -> tuple[Any, ...]:
    """Give what rows are sorted by: numbers by size, names with numbers in them by those."""
    if cell.order is None:
        return (1,)
    if isinstance(cell.order, str):
        parts = re.split(r"(\d+)", cell.order.casefold())
        return (
            0,
            tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts),
        )
    return (0, cell.order)


def bare(value: float | None, unit: str, units: UnitSystem) -> str:
    """Show a value without its unit, which the head of the column tells."""
    return "" if value is None else _without_unit(show(value, unit, units), unit, units)


def _without_unit(text: str, unit: str, units: UnitSystem) -> str:
    return text.removesuffix(f" {unit_word(unit, units)}") if unit else text


def text_cell(text: str) -> Cell:
    """A cell of words that follow from elsewhere."""
    return Cell(text, text or None, "worked out")


def worked_cell(value: float | None, unit: str, units: UnitSystem, why: str = "") -> Cell:
    """A cell with a computed number."""
    return Cell(bare(value, unit, units), value, "worked out", why)


def flag_cell(document: Document, key: str, missing: tuple[str, ...] = ()) -> Cell:
    """The gravest finding at an element that nobody accepted, with all of them as the reason."""
    review = document.review
    findings = [each for each in review.of(key) if review.accepted(each) is None]
    why = "\n".join(review.message(each) for each in findings)
    mark = review.worst(key) or ""
    if mark:
        more = f" +{len(findings) - 1}" if len(findings) > 1 else ""
        return Cell(f"{mark}{more}", mark, "worked out", why, mark=mark)
    if missing:
        return Cell(
            "not checked", "z", "worked out", "missing: " + "; ".join(missing), mark="missing"
        )
    return Cell(how="worked out")


def run_field(name: str) -> FieldSpec:
    """Give the spec of a field of a run by its name, dotted where it is nested."""
    return _RUN_FIELDS[name]


_RUN_FIELDS: Mapping[str, FieldSpec] = {
    spec.name: spec for group in form_of(r.Run) for spec in group.fields
}


def field_column(name: str, title: str, *, chars: int = 9, about: str = "") -> Column:
    """A column of a field of runs.

    Its rows say by `facts` and `units` which run, None for a row without one, and how it is shown.
    """
    spec = run_field(name)

    def read(row: Any) -> Cell:
        return _field_cell(spec, row.facts, row.units) if row.facts else Cell()

    return Column(
        name, title, read, spec, spec.unit, chars, right=spec.editor == "number", typed=True,
        about=about,
    )  # fmt: skip


def _field_cell(spec: FieldSpec, facts: RunFacts, units: UnitSystem) -> Cell:
    """A field of a run: what is entered, or what the study chose or assumed in its place."""
    value = value_at(facts.run, spec.path)
    chosen = chosen_in_place(spec, facts)
    if chosen is not None and value == _default(spec):
        cell = _valued(spec, chosen.value, units)
        return cell._replace(how=chosen.how, why=chosen.why, entry="", copied="")
    if value is None:
        return Cell(how="unknown")
    return _valued(spec, value, units)


def _default(spec: FieldSpec) -> Any:
    """What an emptied field goes back to."""
    return value_at(_BLANK, spec.path)


_BLANK = r.Run(id="blank", source="a", target="b")


def _valued(spec: FieldSpec, value: Any, units: UnitSystem) -> Cell:
    if spec.editor == "choice":
        words = choice_word(spec, value)
        return Cell(words, float(spec.choices.index(value)), entry=words)
    entry = shown(spec, value, units)
    if spec.editor != "number":
        return Cell(entry, entry, entry=entry)
    if spec.whole:
        return Cell(entry, value, entry=entry)
    copied = _without_unit(exact(value, spec.unit, units), spec.unit, units)
    return Cell(bare(value, spec.unit, units), value, entry=entry, copied=copied)


def write_run_field(draft: Draft, key: str, column: Column, text: str) -> str:
    """Type a text into a field of a run, where an empty one leaves it to the study.

    Gives the words for undo. Raises NotUnderstood, also where the column is of no field.
    """
    spec, run = column.field, draft.project.runs[key]
    if spec is None:
        raise NotUnderstood("this is worked out and cannot be typed over")
    if not is_relevant(draft.project, run, spec):
        raise NotUnderstood("this run has no device of its own, so nothing belongs here")
    units = draft.project.settings.units
    value = read_entry(spec, text, units) if text.strip() else _default(spec)
    if value != value_at(run, spec.path):
        draft.put(with_value(run, spec.path, value))
    return f"Change {spec.word} of {element_name(draft.project, key)}"
