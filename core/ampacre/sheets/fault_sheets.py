"""Fault currents and voltages of every point, and the working of the worst case."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.quantity import show
from ampacre.rules.rule import exceeds
from ampacre.sheets.ratings import bound_mark, main_ka, rated_ka
from ampacre.sheets.table import Column, Notes, Part, Table
from ampacre.sheets.wording import (
    computed,
    length_words,
    number,
    run_title,
    runs_in_order,
    tree_order,
    wire_words,
)
from ampacre.study.facts import EquipmentFacts, FaultLevels, RunFacts
from ampacre.study.settle import main_of
from ampacre.study.study import Study

__all__ = ["fault_sheets"]

_FAULTS = (
    Column("Point", 60),
    Column("Greatest fault, kA", 30, "right"),
    Column("between lines, kA", 29, "right"),
    Column("to neutral, kA", 28, "right"),
    Column("from the supply alone, kA", 31, "right"),
    Column("Least fault, kA", 27, "right"),
    Column("Rated, kA", 24, "right"),
    Column("Verdict", 36),
    Column("Voltage", 26, "right"),
    Column("Drop from the service", 26, "right"),
)
_DEVICES = (
    Column("Device of", 95),
    Column("Fault at its line side, kA", 42, "right"),
    Column("Interrupts, kA", 35, "right"),
    Column("Verdict", 48),
    Column("Least ground fault, A", 45, "right"),
    Column("Times the device", 50, "right"),
)
_STEPS = (
    Column("From the source down", 80),
    Column("What it adds", 110),
    Column("Fault here, kA", 45, "right"),
    Column("Impedance so far, Ω", 80, "right"),
)
_VERDICTS = ("within", "rating to be chosen", "rating not read", "wires not known", "EXCEEDED")
"""What is said of a rating, from the best to the gravest."""


def fault_sheets(study: Study) -> Iterator[Part]:
    """Make the fault and voltage tables, and the working of the point with least in hand."""
    points = [facts for facts in tree_order(study) if facts.fault]
    yield Table(
        "Fault current and voltage", _FAULTS, tuple(_point(study, facts) for facts in points)
    )
    devices = [*_mains(points), *_run_devices(study)]
    yield Table("Overcurrent devices and faults", _DEVICES, tuple(map(_device, devices)))
    stated = [each for each in (*_gear(points), *devices) if _is_stated(each)]
    if stated:
        worst = max(stated, key=lambda each: each.faced_ka / (each.rated_ka or 1.0))
        what = f"device of {worst.of}" if worst.run else worst.of
        title = f"Worst case: {what}, {_marked(worst.faced_ka, worst.at)} kA, rated {worst.rated_ka:g} kA"
        yield Table(title, _STEPS, tuple(_steps(study, worst.at)))
    yield Notes("How faults are computed", tuple(" ".join(said.split()) for said in _METHOD))


class _Rating(NamedTuple):
    """A rating and the fault that it faces [kA], at a piece; of a run's device also the run."""

    of: str
    at: EquipmentFacts
    faced_ka: float
    rated_ka: float | None
    record: r.Standing
    run: RunFacts | None = None


def _gear(points: Iterable[EquipmentFacts]) -> Iterator[_Rating]:
    """Give the short-circuit rating of every piece that has one, read or not."""
    for facts in points:
        piece = facts.piece
        if isinstance(piece, (r.Meter, r.Disconnect, r.Panel, r.TransferSwitch)):
            yield _Rating(piece.name, facts, _greatest(facts), piece.short_circuit_ka, piece)


def _mains(points: Iterable[EquipmentFacts]) -> Iterator[_Rating]:
    """Give the main of every panel and disconnect that is known to have one."""
    for facts in points:
        piece = facts.piece
        if main_of(piece) and facts.fault and facts.system:
            faced_ka = facts.fault.greatest.seen_ka(len(facts.system.legs))
            yield _Rating(f"main of {piece.name}", facts, faced_ka, main_ka(piece), piece)


def _run_devices(study: Study) -> Iterator[_Rating]:
    """Give the device of every run, by its own rating or that with the device ahead."""
    for facts in runs_in_order(study):
        run, device = facts.run, facts.run.device
        if device is None and facts.device.value is None:
            continue
        at = study.equipment(run.source)
        faced_ka = at.fault.greatest.seen_ka(len(facts.legs)) if at.fault else 0.0
        stated = (facts.interrupting_ka.value, device.series_ka if device else None)
        rated_ka = max((ka for ka in stated if ka is not None), default=None)
        yield _Rating(run_title(study, run), at, faced_ka, rated_ka, run, facts)


def _is_stated(rating: _Rating) -> bool:
    """Whether a fault and a rating are known; a chosen rating follows the fault and tells nothing."""
    chosen = rating.run is not None and rating.run.interrupting_ka.how == "chosen"
    return bool(rating.faced_ka and rating.rated_ka and not chosen)


def _greatest(facts: EquipmentFacts) -> float:
    return facts.fault.greatest.greatest_ka if facts.fault else 0.0


def _verdict(ratings: Iterable[_Rating]) -> str:
    """Judge the ratings of one thing together: exceeded, else not read, else within."""
    verdicts = [_judged(rating) for rating in ratings if rating.faced_ka]
    return max(verdicts, key=_VERDICTS.index, default="")


def _judged(rating: _Rating) -> str:
    if rating.rated_ka is None:
        return "rating not read" if rating.record.since is None else "rating to be chosen"
    if not exceeds(rating.faced_ka, rating.rated_ka):
        return "within"
    return "wires not known" if rating.at.fault and rating.at.fault.at_most else "EXCEEDED"


def _point(study: Study, facts: EquipmentFacts) -> tuple[str, ...]:
    fault = facts.fault
    assert fault is not None
    feed = study.run(facts.feed) if facts.feed else None
    drop = feed.total_drop_pct if feed else None
    voltage = study.voltage(facts.piece.id)
    return (
        facts.piece.name,
        _marked(fault.greatest.greatest_ka, facts),
        _marked(fault.greatest.line_line_ka or fault.greatest.three_phase_ka, facts),
        _marked(fault.greatest.line_neutral_ka, facts),
        computed(fault.source.greatest_ka, "ka"),
        computed(_least(fault.least), "ka"),
        number(rated_ka(facts.piece), "ka"),
        _verdict([*_gear([facts]), *_mains([facts])]),
        f"{voltage.lowest_pct:.1f} %" if voltage else "",
        "" if drop is None else f"{drop:.1f} %",
    )


def _marked(ka: float | None, at: EquipmentFacts) -> str:
    """Show a greatest fault, with the mark of what rests on something that was not read."""
    return computed(ka, "ka") + (bound_mark(at) if ka else "")


def _least(levels: FaultLevels) -> float | None:
    """Give the smallest fault between conductors [kA]; what returns by ground stands elsewhere."""
    between = (levels.line_line_ka, levels.line_neutral_ka, levels.three_phase_ka)
    return min((level for level in between if level), default=None)


def _device(rating: _Rating) -> tuple[str, ...]:
    ground_a = rating.run.ground_a if rating.run else None
    device_a = rating.run.protecting_a if rating.run else None
    times = f"{ground_a / device_a:.1f} x {show(device_a, 'a')}" if ground_a and device_a else ""
    return (
        rating.of,
        _marked(rating.faced_ka or None, rating.at),
        number(rating.rated_ka, "ka"),
        _verdict([rating]),
        computed(ground_a, "a"),
        times,
    )


def _steps(study: Study, worst: EquipmentFacts) -> Iterator[tuple[str, ...]]:
    path = [worst]
    while path[-1].parent:
        path.append(study.equipment(path[-1].parent))
    for facts in reversed(path):
        feed = study.run(facts.feed) if facts.feed else None
        added = [_run_part(study, feed)] if feed and feed.run.length_m != 0 else []
        piece = facts.piece
        if isinstance(piece, r.UtilitySource):
            stated = show(piece.fault_ka, "ka") if piece.fault_ka else "taken as infinite"
            added.append(f"utility's figure {stated}")
        elif isinstance(piece, r.Transformer):
            pct = f"{piece.impedance_pct:g} %" if piece.impedance_pct else "impedance assumed"
            added.append(f"{show(piece.kva, 'kva') if piece.kva else 'not read'}, {pct}")
        source = (
            facts.fault.source.line_line_ka or facts.fault.source.greatest_ka if facts.fault else 0
        )
        ohms = ""
        if source and facts.system:
            factor = 3**0.5 if facts.fault and facts.fault.source.three_phase_ka else 1.0
            ohms = f"{facts.system.line_v / factor / source / 1000:.5f}"
        yield (
            piece.name,
            "; ".join(added) or "joint by bus, nothing",
            computed(source or None, "ka"),
            ohms,
        )
    if worst.fault and worst.fault.machines_ka:
        extra = computed(worst.fault.machines_ka, "ka")
        greatest = computed(_greatest(worst), "ka")
        yield "Motors and inverters", f"add {extra} kA to the supply's", greatest, ""


def _run_part(study: Study, facts: RunFacts) -> str:
    length = length_words(facts.run, study.settings.units)
    return f"{length} of {wire_words(facts.run, facts)}"


_METHOD = (
    """Greatest: conductors at 25 °C, the utility's greatest figure (infinite until one is entered),
    nameplate impedance as marked, with what motors and inverters add; for interrupting and
    short-circuit ratings (NEC 110.9, 110.10). * behind wires that are not read, taken as nothing.""",
    """Least: conductors at 75 °C, the utility's least figure, no machines; for clearing. The least
    ground fault returns by the grounding conductor to the bond (NEC 250.4(A)(5)).""",
    """Voltage is that of the running case with everything on, the utility's part included; drop is
    the design drop added along the path from the service, at calculated currents.""",
)
