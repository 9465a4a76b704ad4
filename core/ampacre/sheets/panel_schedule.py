"""Panel schedules: each circuit with its spaces, legs, device, conductors and load, and leg totals."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.quantity import show
from ampacre.sheets.labelling import work_mark
from ampacre.sheets.piece_labels import with_choices
from ampacre.sheets.ratings import bound_mark
from ampacre.sheets.run_labels import device_words
from ampacre.sheets.table import Column, Notes, Part, Table, without_blank
from ampacre.sheets.wording import egc_words, nameplate, number, tree_order, wire_words
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.leg_loads import leg_share, leg_totals, unevenness_pct
from ampacre.study.study import Study

__all__ = ["leg_va", "panel_schedules"]

_COLUMNS = (
    Column("No.", 22),
    Column("Circuit", 68),
    Column("Legs", 18),
    Column("Device", 40),
    Column("Conductors", 76),
    Column("GFCI", 18),
)
_LEG_WIDTH = 23.0


def panel_schedules(study: Study) -> Iterator[Part]:
    """Make the schedule of every panel, each with its own notes."""
    for facts in tree_order(study):
        if isinstance(facts.piece, r.Panel):
            yield from _schedule(study, facts)


def _schedule(study: Study, facts: EquipmentFacts) -> Iterator[Part]:
    panel = with_choices(facts)
    assert isinstance(panel, r.Panel)
    mark = work_mark(facts.piece)
    runs = sorted(
        (study.run(key) for key in facts.runs_out),
        key=lambda run: (run.run.spaces or (999,), run.run.id),
    )
    totals, legs = leg_va(study, facts), _legs(facts)
    rows = [_circuit(study, run, legs) for run in runs]
    if rows:
        sums = (number(totals.get(leg, 0.0), "va") for leg in legs)
        rows.append(("", "Connected, by leg", legs, "", "", "", *sums))
    else:
        rows.append(("", "no circuit leaves this panel", *[""] * (4 + len(legs))))
    columns = (*_COLUMNS, *(Column(f"{leg}, VA", _LEG_WIDTH, "right") for leg in legs))
    title = f"Panel {panel.name} {mark}: {_head(panel, facts)}"
    yield without_blank(Table(title, columns, tuple(rows)), "GFCI")
    notes = " ".join(_notes(panel, facts, runs, totals))
    yield Notes(f"{panel.name}: spaces and balance", (notes,))


def _legs(facts: EquipmentFacts) -> str:
    return "".join(facts.system.legs) if facts.system else ""


def _head(panel: r.Panel, facts: EquipmentFacts) -> str:
    system = f"{facts.system.name} V" if facts.system else "not supplied"
    wires = len(_legs(facts)) + (2 if facts.system and facts.system.neutral else 1)
    phase = "3 phase" if len(_legs(facts)) == 3 else "1 phase"
    return f"{system}, {phase}, {wires} wires with ground, {nameplate(panel)}"


def _circuit(study: Study, facts: RunFacts, legs: str) -> tuple[str, ...]:
    run = facts.run
    target = study.project.equipment[run.target]
    name = f"{work_mark(run)} {run.name + ': ' if run.name else ''}{target.name}"
    has_device = run.device or facts.device.value or run.protected_at == "supply"
    device = device_words(run, facts).text.removeprefix("device ") if has_device else "none here"
    wires = ", ".join(filter(None, (wire_words(run, facts), egc_words(run, facts))))
    protection = {True: "yes", False: "no", None: ""}[run.gfci_protected]
    if isinstance(target, r.DwellingLoad):
        device, wires = "", "the dwelling's circuits, not entered one by one"
    share = leg_share(facts)
    return (
        ", ".join(map(str, run.spaces)),
        name,
        facts.legs,
        device,
        wires,
        protection,
        *(number(share[leg], "va") if leg in share else "" for leg in legs),
    )


def leg_va(study: Study, facts: EquipmentFacts) -> dict[str, float]:
    """Connected volt-amperes on each leg of a panel, of all circuits that leave it."""
    return leg_totals(map(study.run, facts.runs_out), _legs(facts))


def _notes(
    panel: r.Panel, facts: EquipmentFacts, runs: list[RunFacts], totals: dict[str, float]
) -> Iterator[str]:
    taken = {space for run in runs for space in run.run.spaces}
    free = [space for space in range(1, panel.spaces + 1) if space not in taken]
    yield (
        f"{panel.spaces} spaces, {len(taken)} taken by the circuits entered here, {len(free)} "
        f"without an entry: {_ranges(free) or 'none'}."
    )
    if facts.demand:
        calculated = ", ".join(
            f"{leg} {show(value, 'a')}"
            for leg, value in zip(_legs(facts), facts.demand.calculated_a, strict=False)
        )
        yield f"Calculated load by leg: {calculated}; neutral {show(facts.demand.neutral_a, 'a')}."
    if any(totals.values()):
        yield f"Legs differ by {unevenness_pct(totals):.0f} % of the heavier one, connected."
    if facts.fault:
        fault = show(facts.fault.greatest.greatest_ka, "ka") + bound_mark(facts)
        unread = "not read" if panel.since is None else "to be chosen"
        rated = show(panel.short_circuit_ka, "ka") if panel.short_circuit_ka else unread
        yield f"Fault current {fault}; short-circuit rating {rated}."
    bond = {
        True: "neutral bonded here",
        False: "neutral apart from grounding",
        None: "bond not read" if panel.since is None else "bond to be stated",
    }
    yield f"{bond[panel.neutral_bonded][:1].upper()}{bond[panel.neutral_bonded][1:]}."


def _ranges(spaces: list[int]) -> str:
    """Say numbers as ranges: "3, 5-9"."""
    found: list[list[int]] = []
    for space in spaces:
        if found and space == found[-1][-1] + 1:
            found[-1].append(space)
        else:
            found.append([space])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in found)
