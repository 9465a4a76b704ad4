"""Inverters on a panel's bus: the methods of NEC 705.12, of which one must hold."""

from collections.abc import Iterator
from typing import Literal, NamedTuple

import msgspec

from ampacre.codebook.devices import standard_below
from ampacre.codebook.ratings import BUS_A
from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.rules.reading import an, main_of, run_name, supply_device_a
from ampacre.rules.resizing import step_up
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "sources"

SOURCE_FACTOR = 1.25
FAR_END_FACTOR = 1.2


class Bus(NamedTuple):
    """A bus with sources: its rating, the device ahead, 125 % of the sources, all [A].

    `breakers_a` adds up all devices but the main, None where one is not known.
    """

    bus_a: float
    ahead_a: float
    sources_a: float
    breakers_a: float | None
    source_runs: tuple[RunFacts, ...]
    spaces: int

    @property
    def at_far_end(self) -> bool:
        """Whether every source's breaker stands in the last spaces, away from the main."""
        return all(
            run.run.spaces and max(run.run.spaces) >= self.spaces - 1 for run in self.source_runs
        )

    @property
    def method(self) -> Literal["sum", "far end", "breakers", ""]:
        """The first of the methods that holds, "" where none does."""
        total_a = self.ahead_a + self.sources_a
        if not exceeds(total_a, self.bus_a):
            return "sum"
        if self.at_far_end and not exceeds(total_a, FAR_END_FACTOR * self.bus_a):
            return "far end"
        if self.breakers_a is not None and not exceeds(self.breakers_a, self.bus_a):
            return "breakers"
        return ""


def bus_of(study: Study, facts: EquipmentFacts) -> Bus | None:
    """Read the sources on a panel's bus; None where there is none or an input is not known."""
    panel = facts.piece
    if not isinstance(panel, r.Panel) or panel.bus_a is None or facts.device_ahead_a is None:
        return None
    sources_a = 0.0
    source_runs: list[RunFacts] = []
    ratings: list[float | None] = []
    for run, piece in circuits_out(study, facts):
        ratings.append(supply_device_a(run))
        if isinstance(piece, (r.Inverter, r.Battery)):
            if piece.output_a is None:
                return None
            sources_a += SOURCE_FACTOR * piece.output_a
            source_runs.append(run)
    if not source_runs:
        return None
    stated = [rating for rating in ratings if rating is not None]
    breakers_a = sum(stated) if len(stated) == len(ratings) else None
    return Bus(
        panel.bus_a, facts.device_ahead_a, sources_a, breakers_a, tuple(source_runs), panel.spaces
    )


def _relieve_bus(study: Study, finding: Finding) -> Iterator[Edit]:
    panel = study.project.equipment[finding.where]
    facts = study.equipment(finding.where)
    bus = bus_of(study, facts)
    if bus is None or not isinstance(panel, r.Panel):
        return
    yield from _to_far_end(study, panel, bus)
    main = main_of(panel)
    fitting = standard_below(bus.bus_a - bus.sources_a, study.settings.edition)
    if main is not None and fitting and facts.demand is not None:
        load_a = facts.demand.heavier_a if main.listed_100_pct else facts.demand.heavier_sizing_a
        if not exceeds(load_a, fitting):
            smaller = msgspec.structs.replace(main, rating_a=fitting)
            edit = alter(study.project, "equipment", panel.id, main=smaller)
            label = f"Fit {an(f'{fitting:g} A main')} in {panel.name}"
            yield msgspec.structs.replace(edit, label=label)
    wider = step_up(bus.ahead_a + bus.sources_a, BUS_A)
    if wider is not None:
        edit = alter(study.project, "equipment", panel.id, bus_a=wider)
        yield msgspec.structs.replace(edit, label=f"Fit {panel.name} with {an(f'{wider:g} A bus')}")


def _to_far_end(study: Study, panel: r.Panel, bus: Bus) -> Iterator[Edit]:
    """Move the one source's breaker to the last free spaces, where the far-end method then holds."""
    if exceeds(bus.ahead_a + bus.sources_a, FAR_END_FACTOR * bus.bus_a) or bus.at_far_end:
        return
    if len(bus.source_runs) != 1:
        return
    run = study.project.runs[bus.source_runs[0].run.id]
    taken = {
        space
        for other in study.project.runs.values()
        if other.source == panel.id and other.until is None and other.id != run.id
        for space in other.spaces
    }
    poles = len(run.spaces)
    for last in (panel.spaces, panel.spaces - 1):
        wanted = tuple(range(last - 2 * (poles - 1), last + 1, 2))
        if poles and wanted[0] >= 1 and not taken.intersection(wanted):
            edit = alter(study.project, "runs", run.id, spaces=wanted)
            where = " and ".join(map(str, wanted))
            label = f"Move the breaker of {run_name(study, run)} to spaces {where}, the far end"
            yield msgspec.structs.replace(edit, label=label)
            return


@on_piece(
    "bus-carries-sources", r.Inverter, r.Battery,
    topic=TOPIC, severity="violation", cite="inverter_bus", remedies=_relieve_bus,
)  # fmt: skip
def bus_carries_sources(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A bus with inverters on it satisfies one of the methods of NEC 705.12.

    Device ahead plus 125 % of the sources' output current not above the bus; or not above 120 %
    of it with the sources' breakers at the far end from the main; or all breakers but the main
    not above the bus together. A main is taken to stand at the first spaces. Said once, at the
    panel that the sources are connected to.
    """
    if facts.feed is None or facts.parent is None:
        return
    bus = bus_of(study, study.equipment(facts.parent))
    if bus is None or bus.method or bus.source_runs[0].run.id != facts.feed:
        return
    yield found(
        "bus-carries-sources", facts.parent,
        "No method of 705.12 holds for the {bus_a} bus of {piece}: {ahead_a} ahead with 125 % of "
        "its sources is {total_a}; the far-end method allows {far_a}{far_end}; its breakers add "
        "up to {breakers}.",
        piece=study.equipment(facts.parent).piece.name, bus_a=bus.bus_a, ahead_a=bus.ahead_a,
        total_a=bus.ahead_a + bus.sources_a, far_a=FAR_END_FACTOR * bus.bus_a,
        far_end="" if bus.at_far_end else ", but the source is not at the far end",
        breakers="what is not known" if bus.breakers_a is None else f"{bus.breakers_a:g} A",
    )  # fmt: skip
