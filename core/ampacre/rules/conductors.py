"""Conductors: what they carry, and whether a device protects them by the role of their run."""

import math
from collections.abc import Iterator
from functools import cache

import msgspec

from ampacre.codebook.conductors import area_cmil, dwelling_83, size_word
from ampacre.codebook.devices import small_conductor_limit
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.reading import assumed_terminals, is_circuit, known, run_name, target_of
from ampacre.rules.resizing import larger_size, with_device, with_size
from ampacre.rules.rule import Finding, exceeds, found, on_run
from ampacre.sizing.protection import largest_device_a
from ampacre.study.dwelling import sole_dwelling
from ampacre.study.facts import RunFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study

TOPIC = "conductors"

_NOT_ROUNDED: tuple[r.Role, ...] = ("tap", "transformer secondary")
_JUDGED_HERE: tuple[r.Role, ...] = (
    "service", "feeder", "branch", "tap", "transformer secondary",
)  # fmt: skip


def _by_dwelling_table(study: Study, facts: RunFacts) -> bool:
    """Whether NEC 310.12 lets a run's conductors have their device.

    For 100 to 400 A and the whole load of one dwelling, with nothing else and no source behind
    it; not on taps.
    """
    size, material, device_a = facts.size.value, facts.material.value, facts.protecting_a
    if size is None or material is None or device_a is None or facts.run.role in _NOT_ROUNDED:
        return False
    listed = dwelling_83(device_a, material)
    if listed is None:
        return False
    area = area_cmil(size) * facts.sets.value
    return area >= area_cmil(listed.value) and _is_one_dwelling(study, facts.run)


def _is_one_dwelling(study: Study, run: r.Run) -> bool:
    tally = study.equipment(run.target).tally or {}
    dwelling = sole_dwelling(tally)
    if not dwelling or any(key.dwelling != dwelling for key in tally):
        return False
    above = [run.target]
    while above:
        for _, piece in circuits_out(study, study.equipment(above.pop())):
            if isinstance(piece, (r.Inverter, r.Battery)):
                return False
            above.append(piece.id)
    return True


def _larger_wire(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.run(finding.where)
    size = larger_size(study, facts, facts.protecting_a)
    if size is not None and size != facts.run.conductors.size:
        yield with_size(study, facts, size)


@on_run(
    "wire-carries-load", topic=TOPIC, severity="violation", cite="feeder_conductor",
    roles=_JUDGED_HERE,
    remedies=_larger_wire,
)  # fmt: skip
def wire_carries_load(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Conductors carry their load, at their terminations and by their insulation.

    The termination column, or the conductor's own where that is lower, carries uncorrected the load
    with 125 % of its continuous part; the corrected and adjusted ampacity carries the calculated
    load (NEC 210.19(A)(1), 215.2(A)(1), 230.42, 110.14(C), 334.80). Conductors of the dwelling
    table need no 125 % (310.12). Chargers have a rule of their own; the conductors of a generator
    follow its nameplate (445.13).
    """
    carried = facts.ampacity
    if carried is None or known(facts.size) is None:
        return
    over_terminals = exceeds(facts.sizing_a, carried.terminal_a)
    over_insulation = exceeds(facts.calculated_a, carried.corrected_a)
    if not (over_terminals or over_insulation):
        return
    if not is_circuit(study, facts):
        return
    if isinstance(target_of(study, facts.run), r.Charger):
        return
    if not over_insulation and _by_dwelling_table(study, facts):
        return
    yield found(
        "wire-carries-load", facts.run.id,
        "The {size} conductors of {run} carry {terminal_a} uncorrected ({ends}) and {corrected_a} "
        "corrected by their insulation; the load is {calculated_a} calculated, {sizing_a} with "
        "125 % of its continuous part.{assumed}",
        run=run_name(study, facts.run), size=size_word(facts.size.value or ""),
        terminal_a=carried.terminal_a, ends=carried.ends, corrected_a=carried.corrected_a,
        calculated_a=facts.calculated_a, sizing_a=facts.sizing_a,
        assumed=assumed_terminals(facts) if over_terminals else "",
    )  # fmt: skip


def _protect(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.run(finding.where)
    allowed_a = float(finding.values["allowed_a"])
    device = msgspec.structs.replace(facts.run.device or r.Device(), rating_a=allowed_a)
    load_a = facts.calculated_a if device.listed_100_pct else facts.sizing_a
    if facts.run.protected_at == "supply" and allowed_a and not exceeds(load_a, allowed_a):
        edit = with_device(study, facts, allowed_a)
        if edit is not None:
            yield edit
    yield from _larger_wire(study, finding)


@on_run(
    "wire-protected", topic=TOPIC, severity="violation", cite="device_rating", roles=_JUDGED_HERE,
    remedies=_protect,
)  # fmt: skip
def wire_protected(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Conductors are protected at their ampacity, by the role of their run.

    Feeders, branches and services may have the next standard rating above an ampacity that is
    none itself, to 800 A (NEC 240.4(B) and (C), 230.90(A)); taps and transformer secondaries may
    not (240.21(B) and (C)); small conductors have fixed limits (240.4(D)). The device of a motor
    circuit may lawfully exceed its conductors (240.4(G), 430.52), generator outputs are judged by
    445, and one dwelling's whole supply by the table of 310.12.
    """
    carried, device_a = facts.ampacity, facts.protecting_a
    if carried is None or device_a is None or known(facts.size) is None:
        return
    size, metal, edition = facts.size.value, facts.material.value, study.settings.edition
    if size is None or metal is None:
        return
    if not exceeds(device_a, min(carried.allowed_a, _small_limit_a(size, metal, edition))):
        return
    run = facts.run
    if not is_circuit(study, facts) or isinstance(target_of(study, run), r.Motor):
        return
    largest = largest_device_a(
        carried.allowed_a, size, metal, edition, round_up=run.role not in _NOT_ROUNDED
    )
    if not exceeds(device_a, largest.rating_a) or _by_dwelling_table(study, facts):
        return
    yield found(
        "wire-protected", run.id,
        "The {size} conductors of {run} carry {carried_a} and may have a device of {allowed_a} "
        "at most ({why}); theirs is {device_a}.{assumed}",
        run=run_name(study, run), size=size_word(size), carried_a=carried.allowed_a,
        allowed_a=largest.rating_a, why=largest.why, device_a=device_a,
        assumed=assumed_terminals(facts),
    )  # fmt: skip


@cache
def _small_limit_a(size: str, metal: str, edition: str) -> float:
    """Largest device of a small conductor [A]; no limit for any other."""
    limit = small_conductor_limit(size, metal, edition)
    return limit.value if limit else math.inf
