"""Fault current against ratings, and whether a ground fault is large enough to be cleared."""

from collections.abc import Iterator

import msgspec

from ampacre.codebook.conductors import SIZES, area_cmil
from ampacre.codebook.devices import INTERRUPTING_KA, standard_below
from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Edit
from ampacre.rules.grounding import pulled
from ampacre.rules.reading import how_far, is_circuit, known, run_name
from ampacre.rules.resizing import step_up, with_device
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_run
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.study import Study

TOPIC = "fault current"

CLEARS_WELL = 5.0
CLEARS_BARELY = 2.0
"""Ground-fault current as a multiple of the device: common practice for NEC 250.4(A)(5)."""


def _next_ka(finding: Finding) -> float | None:
    return step_up(float(finding.values["fault_ka"]), (float(ka) for ka in INTERRUPTING_KA))


def _stronger_run_device(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    rating_ka = _next_ka(finding)
    if rating_ka is None or run.device is None:
        return
    device = msgspec.structs.replace(run.device, interrupting_ka=rating_ka)
    edit = alter(study.project, "runs", run.id, device=device)
    label = f"Fit a device of {rating_ka:g} kA for {run_name(study, run)}"
    yield msgspec.structs.replace(edit, label=label)


@on_run(
    "run-device-interrupts", topic=TOPIC, severity="violation", cite="interrupting",
    remedies=_stronger_run_device,
)  # fmt: skip
def run_device_interrupts(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """The device at the head of a run interrupts the greatest fault at its terminals.

    The greatest fault over all states that its poles can see, motors and inverters included,
    against the marked interrupting rating (NEC 110.9), or the series rating with the device ahead
    (240.86).
    """
    device = facts.run.device
    if device is None or device.interrupting_ka is None or facts.run.protected_at != "supply":
        return
    fault = study.equipment(facts.run.source).fault
    if fault is None:
        return
    fault_ka = fault.greatest.seen_ka(len(facts.legs))
    rating_ka = max(device.interrupting_ka, device.series_ka or 0.0)
    if exceeds(fault_ka, rating_ka):
        severity, reaches = how_far(fault)
        yield found(
            "run-device-interrupts", facts.run.id,
            "The device of {run} interrupts {rating_ka}; the fault at {piece} {reaches} {fault_ka}, "
            "{source_ka} from the supply alone.",
            severity=severity, reaches=reaches, run=run_name(study, facts.run), rating_ka=rating_ka,
            piece=study.equipment(facts.run.source).piece.name, fault_ka=fault_ka,
            source_ka=fault.source.seen_ka(len(facts.legs)),
        )  # fmt: skip


def _stronger_main(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    rating_ka = _next_ka(finding)
    if rating_ka is None or not isinstance(piece, (r.Panel, r.Disconnect)) or piece.main is None:
        return
    main = msgspec.structs.replace(piece.main, interrupting_ka=rating_ka)
    edit = alter(study.project, "equipment", piece.id, main=main)
    yield msgspec.structs.replace(edit, label=f"Fit a main of {rating_ka:g} kA in {piece.name}")


@on_piece(
    "main-interrupts", r.Panel, r.Disconnect,
    topic=TOPIC, severity="violation", cite="interrupting", remedies=_stronger_main,
)  # fmt: skip
def main_interrupts(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The main device of a panel or disconnect interrupts the greatest fault at its terminals.

    The greatest fault over all states against the marked interrupting rating (NEC 110.9).
    """
    main = facts.piece.main if isinstance(facts.piece, (r.Panel, r.Disconnect)) else None
    if main is None or main.interrupting_ka is None or facts.fault is None or not facts.system:
        return
    fault_ka = facts.fault.greatest.seen_ka(len(facts.system.legs))
    if exceeds(fault_ka, main.interrupting_ka):
        severity, reaches = how_far(facts.fault)
        yield found(
            "main-interrupts", facts.piece.id,
            "The main of {piece} interrupts {rating_ka}; the fault there {reaches} {fault_ka}, "
            "{source_ka} from the supply alone.",
            severity=severity, reaches=reaches, piece=facts.piece.name, rating_ka=main.interrupting_ka, fault_ka=fault_ka,
            source_ka=facts.fault.source.seen_ka(len(facts.system.legs)),
        )  # fmt: skip


def _stronger_gear(study: Study, finding: Finding) -> Iterator[Edit]:
    rating_ka = _next_ka(finding)
    if rating_ka is not None:
        piece = study.project.equipment[finding.where]
        edit = alter(study.project, "equipment", piece.id, short_circuit_ka=rating_ka)
        label = f"Fit {piece.name} with a short-circuit rating of {rating_ka:g} kA"
        yield msgspec.structs.replace(edit, label=label)


@on_piece(
    "gear-withstands-fault", r.Panel, r.Disconnect, r.Meter, r.TransferSwitch,
    topic=TOPIC, severity="violation", cite="short_circuit", remedies=_stronger_gear,
)  # fmt: skip
def gear_withstands_fault(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Equipment withstands the greatest fault at its terminals.

    The greatest fault of any kind over all states against the marked short-circuit current rating
    (NEC 110.10).
    """
    piece = facts.piece
    assert isinstance(piece, (r.Panel, r.Disconnect, r.Meter, r.TransferSwitch))
    if piece.short_circuit_ka is None or facts.fault is None:
        return
    fault_ka = facts.fault.greatest.greatest_ka
    if exceeds(fault_ka, piece.short_circuit_ka):
        severity, reaches = how_far(facts.fault)
        yield found(
            "gear-withstands-fault", piece.id,
            "{piece} is rated for faults of {rating_ka}; the fault there {reaches} {fault_ka}, "
            "{source_ka} from the supply alone.",
            severity=severity, reaches=reaches, piece=piece.name, rating_ka=piece.short_circuit_ka, fault_ka=fault_ka,
            source_ka=facts.fault.source.greatest_ka,
        )  # fmt: skip


def _clear_sooner(study: Study, finding: Finding) -> Iterator[Edit]:
    """Try a smaller device that still carries the load, then larger grounding conductors."""
    facts = study.run(finding.where)
    most_a = standard_below(float(finding.values["ground_a"]) / CLEARS_WELL, study.settings.edition)
    if facts.run.protected_at == "supply" and most_a and not exceeds(facts.sizing_a, most_a):
        edit = with_device(study, facts, most_a)
        if edit is not None:
            yield edit
    wires = study.project.runs[finding.where].conductors
    if wires.grounding not in SIZES or facts.size.value is None:
        return
    for size in SIZES[SIZES.index(wires.grounding) + 1 :]:
        if area_cmil(size) > area_cmil(facts.size.value):
            return
        edit = pulled(study, facts.run.id, size, None)
        if _clears(study, edit, finding.where):
            yield edit
            return


def _clears(study: Study, edit: Edit, key: str) -> bool:
    facts = study.fork(study.project.apply(edit)).run(key)
    if facts.ground_a is None or facts.ground_device_a is None:
        return False
    return not exceeds(CLEARS_WELL * facts.ground_device_a, facts.ground_a)


@on_run(
    "ground-fault-clears", topic=TOPIC, severity="warning", cite="clearing_time",
    roles=("feeder", "branch", "generator output"),
    remedies=_clear_sooner,
)  # fmt: skip
def ground_fault_clears(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A ground fault at the far end of a run is large enough to open its device soon.

    The least ground-fault current, by the grounding conductor and the grounded conductor of the
    system back to the winding, as a multiple of the device: below 5 times is advice, below 2 times
    a warning (common practice for NEC 250.4(A)(5)). On standby it goes by the bond that the system
    has then, which with a solid neutral is that of the service.
    """
    ground_a, device_a = facts.ground_a, facts.ground_device_a
    if not ground_a or device_a is None:
        return
    times = ground_a / device_a
    if times >= CLEARS_WELL or not is_circuit(study, facts) or known(facts.grounding) is None:
        return
    yield found(
        "ground-fault-clears", facts.run.id,
        "A ground fault at the end of {run} draws {ground_a}{on}, {times} times its {device_a} "
        "device; common practice wants {wanted} times.",
        severity="advice" if times >= CLEARS_BARELY else "warning",
        run=run_name(study, facts.run), ground_a=ground_a, times=times, device_a=device_a,
        wanted=CLEARS_WELL, on=f" on {facts.ground_from}" if facts.ground_from else "",
    )  # fmt: skip
