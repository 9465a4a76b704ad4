"""The table of runs: one row per standing run, with what is entered, chosen and worked out."""

from functools import partial
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.quantity import NotUnderstood, UnitSystem
from ampacre.study.facts import RunFacts
from ampacre_gui.document import Document
from ampacre_gui.names import element_name
from ampacre_gui.panels.relevance import is_relevant
from ampacre_gui.tables.cells import (
    Cell,
    Column,
    Draft,
    Sheet,
    field_column,
    flag_cell,
    text_cell,
    worked_cell,
    write_run_field,
)

__all__ = ["RUN_COLUMNS", "RunRow", "RunsSheet"]


class RunRow(NamedTuple):
    """What the columns of a run are read from."""

    facts: RunFacts
    source: str
    target: str
    fault_ka: float | None
    flag: Cell
    units: UnitSystem


def _number(title: str, unit: str, name: str, *, chars: int = 8, about: str) -> Column:
    """A column of a number that the study works out."""
    return Column(
        name, title, partial(_worked, name, unit), unit=unit, chars=chars, right=True, about=about
    )


def _worked(name: str, unit: str, row: RunRow) -> Cell:
    facts = row.facts
    if name == "fault_ka":
        return worked_cell(row.fault_ka, unit, row.units)
    if name == "allowed_a":
        ampacity = facts.ampacity
        why = f"governed by {ampacity.governs}" if ampacity else ""
        return worked_cell(ampacity.allowed_a if ampacity else None, unit, row.units, why)
    return worked_cell(getattr(facts, name), unit, row.units)


RUN_COLUMNS = (
    Column("source", "From", lambda row: text_cell(row.source), chars=13),
    Column("target", "To", lambda row: text_cell(row.target), chars=13),
    field_column("length_m", "Length", about="One way; 0 is a joint by bus"),
    field_column("device.rating_a", "Device", about="Rating of the overcurrent device"),
    field_column("conductors.size", "Size", chars=10, about="Size of the circuit conductors"),
    field_column("conductors.material", "Metal", about="Metal of the circuit conductors"),
    field_column("conductors.insulation", "Insulation", chars=10),
    field_column("conductors.sets", "Sets", chars=6, about="Conductors in parallel per leg"),
    field_column("conductors.neutral", "Neutral", chars=10),
    field_column("conductors.grounding", "Grounding", chars=10, about="Equipment grounding conductor"),
    field_column("raceway", "Raceway", chars=13, about="Kind of raceway or cable"),
    field_column("trade_size", "Trade size", chars=10, about="Of the run's own raceway"),
    _number("Load", "a", "calculated_a", about="Calculated current of the heavier leg"),
    _number("Ampacity", "a", "allowed_a", chars=11, about="What the conductors may carry"),
    _number("Drop", "pct", "drop_pct", about="Voltage drop of this run, at its calculated current"),
    _number("Fault at end", "ka", "fault_ka", chars=14, about="Greatest fault current at its far end"),
    Column("flag", "Flag", lambda row: row.flag, chars=13, about="The gravest finding at the run"),
)  # fmt: skip


class RunsSheet(Sheet):
    """Rows are runs, in the order of the supply."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.columns = RUN_COLUMNS

    def follow(self) -> None:
        """Columns and scope are always the same."""

    def keys(self) -> list[str]:
        """Each run after that which feeds its source, those of one source by space and name."""
        study, project = self.document.study, self.document.project
        leaving: dict[str, list[r.Run]] = {}
        for facts in study.all_runs():
            leaving.setdefault(facts.run.source, []).append(facts.run)
        for runs in leaving.values():
            # the first is taken last from the stack, so that it comes on top
            runs.sort(
                key=lambda run: (run.spaces or (999,), element_name(project, run.target), run.id),
                reverse=True,
            )
        found: dict[str, None] = {}
        for start in (*(island.root for island in study.islands), *sorted(leaving)):
            stack = list(leaving.get(start, ()))
            while stack:
                run = stack.pop()
                if run.id not in found:
                    found[run.id] = None
                    stack.extend(leaving.get(run.target, ()))
        return list(found)

    def stamp(self, key: str) -> tuple[object, ...]:
        study, project = self.document.study, self.document.project
        facts = study.run(key)
        run = facts.run
        ends = (project.equipment.get(run.source), project.equipment.get(run.target))
        found = self.document.review.of(key)
        return (facts, *ends, self._fault(run), found, project.accepted, project.settings)

    def _fault(self, run: r.Run) -> float | None:
        facts = self.document.study.found.equipment.get(run.target)
        return facts.fault.greatest.greatest_ka or None if facts and facts.fault else None

    def row(self, key: str) -> RunRow:
        project = self.document.project
        facts = self.document.study.run(key)
        return RunRow(
            facts,
            element_name(project, facts.run.source),
            element_name(project, facts.run.target),
            self._fault(facts.run),
            flag_cell(self.document, key, facts.missing),
            self.units,
        )

    def element(self, key: str) -> str:
        return key

    def place(self, key: str, number: int) -> str:
        return f"row {number}, {element_name(self.document.project, key)}"

    def can_type(self, key: str, column: Column) -> bool:
        run = self.document.project.runs.get(key)
        field = column.field
        return bool(run and field and is_relevant(self.document.project, run, field))

    def write(self, draft: Draft, key: str, column: Column, text: str) -> str:
        if column.name in ("source", "target"):
            raise NotUnderstood(
                "the ends of a run are drawn and cannot be typed over; Feed From (Ctrl+L) moves it"
            )
        return write_run_field(draft, key, column, text)
