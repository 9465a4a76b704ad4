"""The table of a panel's circuits: one row per circuit, spare rows, and the sums of the legs."""

from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from types import MappingProxyType
from typing import NamedTuple

import msgspec

from ampacre.model import records as r
from ampacre.model.edits import new_id, new_run, next_name
from ampacre.model.words import KINDS, kind_of
from ampacre.quantity import NotUnderstood, UnitSystem
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.leg_loads import leg_share, leg_totals, unevenness_pct
from ampacre_gui.document import Document
from ampacre_gui.names import element_name
from ampacre_gui.panels.entries import read_entry, read_name
from ampacre_gui.panels.relevance import is_relevant
from ampacre_gui.tables.cells import (
    Cell,
    Column,
    Draft,
    Sheet,
    field_column,
    flag_cell,
    run_field,
    text_cell,
    worked_cell,
    write_run_field,
)

__all__ = ["CircuitsSheet"]

_SPARE = "space "
_FOOT = "foot"
_KINDS = tuple(kind for kind in KINDS if kind not in ("utility source", "generator"))
_SPACES = run_field("spaces")


class _Row(NamedTuple):
    """What the columns read: a circuit with its facts, a spare space, or the sums."""

    spaces: tuple[int, ...] = ()
    name: str = ""
    kind: str = ""
    facts: RunFacts | None = None
    legs: str = ""
    va: Mapping[str, float] = MappingProxyType({})
    flag: Cell = Cell(how="worked out")
    units: UnitSystem = "us"
    title: str = ""


def _spaces_cell(row: _Row) -> Cell:
    text = ", ".join(map(str, row.spaces))
    return Cell(text, row.spaces[0] if row.spaces else None, entry=text)


def _name_cell(row: _Row) -> Cell:
    if row.title:
        return Cell(row.title, how="sum", why="Of the heavier leg")
    return Cell(row.name, row.name, entry=row.name) if row.name else Cell("spare", how="spare")


def _poles_cell(row: _Row) -> Cell:
    count = len(row.spaces) if row.facts and row.spaces else len(row.legs) if row.facts else None
    return worked_cell(count or None, "", row.units)


def _leg_cell(leg: str, row: _Row) -> Cell:
    cell = worked_cell(row.va.get(leg), "va", row.units)
    return cell._replace(how="sum") if row.title else cell


_FIRST = (
    Column(
        "spaces", "Space", _spaces_cell, _SPACES, chars=8, right=True, typed=True, clears=False,
        about="One number keeps the poles; several say all of them, such as 1, 3",
    ),
    Column(
        "feeds", "Feeds", _name_cell, chars=23, typed=True, clears=False,
        about="A name typed into a spare row adds a load there",
    ),
    Column(
        "kind", "Kind", lambda row: text_cell(row.kind), chars=12, typed=True, clears=False,
        about="A kind typed into a spare row adds a piece of that kind there",
    ),
    Column("poles", "Poles", _poles_cell, chars=6, right=True),
    Column("legs", "Legs", lambda row: text_cell(row.legs), chars=6),
    field_column("device.rating_a", "Device", about="Rating of the overcurrent device"),
    field_column("conductors.size", "Size", chars=10, about="Size of the circuit conductors"),
)  # fmt: skip
_FLAG = Column("flag", "Flag", lambda row: row.flag, chars=13, about="The gravest finding here")


class CircuitsSheet(Sheet):
    """Rows are what leaves one panel in the order of its spaces, then the sums."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.panel = ""
        self.follow()

    # the panel --------------------------------------------------------------------------------

    def panels(self) -> list[tuple[str, str]]:
        """Give names and ids of all standing panels."""
        pieces = (facts.piece for facts in self.document.study.all_equipment())
        return sorted((piece.name, piece.id) for piece in pieces if isinstance(piece, r.Panel))

    def panel_of(self, key: str | None) -> str:
        """Give the panel that an element is, or that feeds it; "" where there is none."""
        study, project = self.document.study, self.document.project
        at = key or ""
        seen: set[str] = set()
        while at and at not in seen:
            seen.add(at)
            run = project.runs.get(at)
            if run:
                at = run.source
            if isinstance(project.equipment.get(at), r.Panel):
                return at
            facts = study.found.equipment.get(at)
            at = facts.parent or "" if facts else ""
        return ""

    def circuit_to(self, key: str) -> str:
        """Give the run of this panel that an element hangs from; "" where it does not."""
        study, project = self.document.study, self.document.project
        starts = {facts.run.target: facts.run.id for facts in self._circuits()}
        run = project.runs.get(key)
        at: str | None = run.source if run else key
        seen: set[str] = set()
        while at and at not in seen:
            if at in starts:
                return starts[at]
            seen.add(at)
            facts = study.found.equipment.get(at)
            at = facts.parent if facts else None
        return ""

    def follow(self) -> None:
        known = [key for _, key in self.panels()]
        if self.panel not in known:
            self.panel = known[0] if known else ""
        facts = self._facts()
        legs = facts.system.legs if facts and facts.system else ""
        self.columns = (*_FIRST, *(_leg_column(leg) for leg in legs), _FLAG)

    def _facts(self) -> EquipmentFacts | None:
        return self.document.study.found.equipment.get(self.panel)

    def _piece(self) -> r.Panel | None:
        facts = self._facts()
        return facts.piece if facts and isinstance(facts.piece, r.Panel) else None

    def _circuits(self) -> list[RunFacts]:
        facts = self._facts()
        return [self.document.study.run(key) for key in facts.runs_out] if facts else []

    def unevenness_pct(self) -> float:
        """How far the lightest leg is below the heaviest [per cent of the heaviest]."""
        return unevenness_pct(self._totals())

    def _totals(self) -> dict[str, float]:
        facts = self._facts()
        return leg_totals(self._circuits(), facts.system.legs if facts and facts.system else "")

    # rows -------------------------------------------------------------------------------------

    def keys(self) -> list[str]:
        panel = self._piece()
        if panel is None:
            return []
        at = {facts.run.id: facts.run.spaces or (999,) for facts in self._circuits()}
        taken = {space for spaces in at.values() for space in spaces}
        free = (space for space in range(1, panel.spaces + 1) if space not in taken)
        at |= {f"{_SPARE}{space}": (space,) for space in free}
        return [*sorted(at, key=lambda key: (at[key], key)), _FOOT]

    def stamp(self, key: str) -> tuple[object, ...]:
        project = self.document.project
        if key == _FOOT:
            return tuple(self._circuits())
        if key.startswith(_SPARE):
            return (project.settings,)
        facts = self.document.study.run(key)
        target = project.equipment.get(facts.run.target)
        found = self.document.review.of(key)
        return (facts, target, found, project.accepted, project.settings)

    def row(self, key: str) -> _Row:
        if key == _FOOT:
            totals = self._totals()
            uneven = f", {unevenness_pct(totals):.0f} % apart" if len(totals) > 1 else ""
            return _Row(va=totals, units=self.units, title=f"Connected{uneven}")
        if key.startswith(_SPARE):
            return _Row(_spare(key), units=self.units)
        facts = self.document.study.run(key)
        target = self.document.project.equipment[facts.run.target]
        return _Row(
            facts.run.spaces,
            target.name,
            kind_of(target),
            facts,
            facts.legs,
            leg_share(facts),
            flag_cell(self.document, key, facts.missing),
            self.units,
        )

    def element(self, key: str) -> str:
        return "" if key == _FOOT or key.startswith(_SPARE) else key

    def place(self, key: str, number: int) -> str:
        if key == _FOOT:
            return "the sums"
        return key if key.startswith(_SPARE) else element_name(self.document.project, key)

    def choices(self, column: Column) -> list[str]:
        return list(_KINDS) if column.name == "kind" else super().choices(column)

    # typing -----------------------------------------------------------------------------------

    def can_type(self, key: str, column: Column) -> bool:
        if key == _FOOT or not column.typed:
            return False
        if key.startswith(_SPARE):
            return column.name in ("feeds", "kind")
        run = self.document.project.runs.get(key)
        if run is None or column.name == "kind":
            return False
        field = column.field
        return field is None or is_relevant(self.document.project, run, field)

    def write(self, draft: Draft, key: str, column: Column, text: str) -> str:
        if key == _FOOT:
            raise NotUnderstood("the sums are worked out and cannot be typed over")
        if key.startswith(_SPARE):
            return self._write_spare(draft, key, column, text)
        run = draft.project.runs[key]
        target = draft.project.equipment[run.target]
        if column.name == "kind":
            raise NotUnderstood(f"{target.name} is there already as a {kind_of(target)}")
        if column.name == "feeds":
            draft.put(msgspec.structs.replace(target, name=read_name(text)))
            return f"Change name of {target.name}"
        if column.name == "spaces":
            draft.put(msgspec.structs.replace(run, spaces=self._read_spaces(run, text)))
            return f"Change spaces of {element_name(draft.project, key)}"
        return write_run_field(draft, key, column, text)

    def _read_spaces(self, run: r.Run, text: str) -> tuple[int, ...]:
        spaces: tuple[int, ...] = read_entry(_SPACES, text, self.units)
        if not spaces:
            raise NotUnderstood("the number of a space is wanted here, such as 5")
        if len(spaces) == 1 and len(run.spaces) > 1:
            spaces = tuple(range(spaces[0], spaces[0] + 2 * len(run.spaces), 2))
        panel = self._piece()
        if panel and max(spaces) > panel.spaces:
            raise NotUnderstood(f"{panel.name} has spaces 1 to {panel.spaces}")
        return spaces

    def _write_spare(self, draft: Draft, key: str, column: Column, text: str) -> str:
        """Put a piece with its circuit into a spare space; name and kind may come in turn."""
        if not text.strip():
            return ""
        if column.name not in ("feeds", "kind"):
            raise NotUnderstood("this space is spare; type a name or a kind into it first")
        name, kind, ids = draft.notes.get(key, ("", "load", (new_id(), new_id())))
        if column.name == "feeds":
            name = read_name(text)
        else:
            kind = _read_kind(text)
        draft.notes[key] = (name, kind, ids)
        made = self._make(draft, _spare(key)[0], name, kind, ids)
        return f"Add {kind} {made} to {element_name(draft.project, self.panel)}"

    def _make(self, draft: Draft, space: int, name: str, kind: str, ids: tuple[str, str]) -> str:
        panel, facts = self._piece(), self._facts()
        assert panel is not None
        assert facts is not None
        piece = KINDS[kind](
            id=ids[0],
            name=name or next_name(draft.project, kind),
            structure=panel.structure,
            since=r.WORK,
        )
        # as it would be in an empty panel: what it takes of spaces does not depend on the others
        empty = replace(draft.project, runs={})
        run = new_run(empty, panel, piece, facts.system)
        spaces = tuple(range(space, space + 2 * len(run.spaces), 2))
        others = (run for run in draft.project.runs.values() if run.source == panel.id)
        taken = {
            each for run in others if run.id != ids[1] and not run.until for each in run.spaces
        }
        if spaces and (max(spaces) > panel.spaces or taken.intersection(spaces)):
            wanted = " and ".join(map(str, spaces))
            raise NotUnderstood(f"a {kind} takes spaces {wanted} from here, and they are not free")
        draft.put(piece)
        draft.put(msgspec.structs.replace(run, id=ids[1], spaces=spaces))
        return piece.name


def _leg_column(leg: str) -> Column:
    return Column(
        f"leg {leg}", f"Leg {leg}", partial(_leg_cell, leg), unit="va", chars=10, right=True,
        about=f"Connected load on leg {leg}",
    )  # fmt: skip


def _spare(key: str) -> tuple[int]:
    return (int(key.removeprefix(_SPARE)),)


def _read_kind(text: str) -> str:
    typed = " ".join(text.casefold().split())
    if typed not in _KINDS:
        raise NotUnderstood(
            f'"{text[:60]}" is not a kind of equipment; known are {", ".join(_KINDS)}'
        )
    return typed
