"""The run schedule: ends, device, conductors, grounding, raceway, length, drop, ampacity."""

from collections.abc import Iterator

from ampacre.model import records as r
from ampacre.rules.reading import is_circuit
from ampacre.rules.review import Review
from ampacre.sheets.labelling import work_mark
from ampacre.sheets.load_sheets import WORKSHEET
from ampacre.sheets.references import references
from ampacre.sheets.run_labels import BY_BUS, rating_words
from ampacre.sheets.table import Column, Notes, Part, Table, without_blank
from ampacre.sheets.wording import (
    computed,
    cover_words,
    egc_words,
    length_words,
    line_row,
    place_words,
    run_title,
    runs_in_order,
    way_words,
    wire_words,
)
from ampacre.study.design_drop import LAGGING
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

__all__ = ["run_schedule", "run_worksheets"]

_RUNS = (
    Column("Run, from and to", 60),
    Column("Work", 22),
    Column("Device", 21),
    Column("Conductors", 53),
    Column("Grounding", 32),
    Column("Raceway or cable", 34),
    Column("Fill", 20, "right"),
    Column("Lies", 25),
    Column("Cover", 28),
    Column("Length", 25, "right"),
    Column("Bends", 20, "right"),
)
_CARRY = (
    Column("Run, from and to", 62),
    Column("Load, A", 25, "right"),
    Column("Sizing, A", 26, "right"),
    Column("Carries, A", 29, "right"),
    Column("Terminals", 30, "right"),
    Column("What governs the size", 78),
    Column("Drop", 21, "right"),
    Column("Drop from the service", 26, "right"),
    Column("See findings", 26),
)
_RACEWAYS = (
    Column("Shared raceway or trench", 60),
    Column("Kind", 45),
    Column("Runs in it", 110),
    Column("Current-carrying conductors", 45, "right"),
    Column("Fill", 25, "right"),
    Column("Grounding", 30),
)


_LOAD_ENDS = ("Neutral, sizing", "Alternative")
"""The last lines of the load, which stands on the sheets of the load calculation."""
_SHOWN_PCT = 0.1


def run_schedule(study: Study, review: Review) -> Iterator[Part]:
    """Make the schedule in two tables: what is laid, and what it carries.

    Joints by bus are left out, but for those of a service, whose conductors are looked for; so is
    what stands for the many circuits of a dwelling.
    """
    runs = [facts for facts in runs_in_order(study) if is_circuit(study, facts)]
    shown = [f for f in runs_in_order(study) if f in runs or f.run.role == "service"]
    laid = Table("Runs: what is laid", _RUNS, tuple(_laid(study, facts) for facts in shown))
    yield without_blank(laid, "Bends")
    found = references(review)
    rows = tuple((*_carried(study, facts), found.get(facts.run.id, "")) for facts in runs)
    yield without_blank(Table("Runs: what they carry", _CARRY, rows), "See findings")
    raised = tuple(_raised(study, runs))
    if raised:
        yield Notes("Drops with reactance", (" ".join(raised),))
    shared = tuple(_shared(study, key) for key in sorted(study.project.raceways))
    yield Table("Raceways that runs share", _RACEWAYS, shared)


def _laid(study: Study, facts: RunFacts) -> tuple[str, ...]:
    run, units = facts.run, study.settings.units
    by_bus = run.length_m == 0
    fill = facts.fill_pct
    return (
        run_title(study, run),
        work_mark(run),
        rating_words(run, facts).text,
        BY_BUS if by_bus else wire_words(run, facts),
        egc_words(run, facts),
        way_words(run, facts),
        "" if fill is None else f"{fill:.0f} %",
        place_words(run, facts),
        cover_words(facts, units),
        "" if by_bus else length_words(run, units),
        "" if run.bends_deg is None else f"{run.bends_deg:g} deg",
    )


def _carried(study: Study, facts: RunFacts) -> tuple[str, ...]:
    total = facts.total_drop_pct
    terminals = f"{facts.terminal_c.value} °C{'*' if facts.terminal_c.how == 'assumed' else ''}"
    theirs = facts.run.owner == "utility"
    return (
        run_title(study, facts.run),
        computed(facts.calculated_a, "a"),
        computed(facts.sizing_a, "a"),
        computed(facts.ampacity.allowed_a, "a") if facts.ampacity and not theirs else "",
        "" if theirs else terminals,
        _governs(facts),
        "" if facts.drop_pct is None else f"{facts.drop_pct:.1f} %",
        "" if total is None else f"{total:.1f} %",
    )


def _raised(study: Study, runs: list[RunFacts]) -> Iterator[str]:
    """Say which drops reactance would raise, by a tenth of a per cent or more."""
    told = []
    for facts in runs:
        drop_pct, raised_pct = facts.drop_pct, facts.lagging_drop_pct
        if drop_pct is not None and raised_pct is not None and raised_pct >= drop_pct + _SHOWN_PCT:
            told.append(f"{run_title(study, facts.run)} {raised_pct:.1f} %")
    if told:
        yield (
            "The drops above count resistance alone. With reactance, were the load at a power factor "
            f"of {LAGGING:g}:"
        )
        yield f"{'; '.join(told)}."


def _governs(facts: RunFacts) -> str:
    """Say what the size comes from; the utility sizes its own conductors by rules of its own."""
    if facts.run.owner == "utility":
        return "the utility's conductors and rules"
    if not facts.needed:
        return facts.ampacity.governs if facts.ampacity else ""
    beyond = f"; {facts.upsized_from} would carry the load" if facts.upsized_from else ""
    return f"at least {facts.needed}: {facts.governs}{beyond}"


def _shared(study: Study, key: str) -> tuple[str, ...]:
    raceway = study.project.raceways[key]
    facts = study.found.raceways.get(key)
    if facts is None:
        return raceway.name, raceway.kind or "", "no run lies in it", "", "", ""
    kind = f"{facts.kind.value or ''} {facts.trade_size.value or ''}".strip()
    runs = [run_title(study, study.project.runs[run]) for run in facts.runs]
    return (
        raceway.name,
        kind,
        "; ".join(runs),
        str(facts.current_carrying),
        f"{facts.fill.fill_pct:.0f} %" if facts.fill else "",
        raceway.grounding or "",
    )


def run_worksheets(study: Study) -> Iterator[Part]:
    """Give the working of ampacity, grounding, fill and drop of everything but branch circuits."""
    units = study.settings.units
    for facts in runs_in_order(study):
        run: r.Run = facts.run
        if run.length_m == 0 or run.role == "branch" or run.owner == "utility":
            continue
        lines = facts.worksheet.lines
        ends = [n for n, line in enumerate(lines) if line.label.startswith(_LOAD_ENDS)]
        at = max(ends, default=-1)
        rows = tuple(line_row(line, units) for line in lines[at + 1 :])
        table = Table(f"{run_title(study, run)}: conductors", WORKSHEET, rows)
        yield without_blank(table, "Quantity")
