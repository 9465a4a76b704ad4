"""What a study and its review found, as plain objects for JSON."""

from typing import Any

import msgspec

from ampacre.model.words import kind_of
from ampacre.rules.reading import place_name, run_name
from ampacre.rules.review import Review
from ampacre.rules.rule import Finding
from ampacre.study.capacity import capacity_worksheet
from ampacre.study.facts import (
    Chosen,
    Demand,
    EquipmentFacts,
    Fault,
    RunFacts,
    Voltage,
)
from ampacre.study.study import Study

__all__ = ["report"]

_CHOICES = (
    "sets",
    "size",
    "material",
    "insulation",
    "neutral",
    "grounding",
    "grounding_material",
    "raceway",
    "trade_size",
    "place",
    "interrupting_ka",
    "terminal_c",
)


def report(review: Review) -> dict[str, Any]:
    """Give everything computed and found as plain objects; units are in the names."""
    study = review.study
    return {
        "project": study.settings.name,
        "edition": study.settings.edition,
        "equipment": {facts.piece.id: _equipment(study, facts) for facts in study.all_equipment()},
        "runs": {facts.run.id: _run(study, facts) for facts in study.all_runs()},
        "findings": [_finding(review, finding) for finding in review.findings],
        "missing": [
            {"where": where, "name": place_name(study, where), "text": text}
            for where, lacks in review.missing
            for text in lacks
        ],
    }


def _equipment(study: Study, facts: EquipmentFacts) -> dict[str, Any]:
    return {
        "name": facts.piece.name,
        "kind": kind_of(facts.piece),
        "work": facts.work,
        "supplied": facts.supplied,
        "system": facts.system.name if facts.system else None,
        "feed": facts.feed,
        "parent": facts.parent,
        "at_service": facts.at_service,
        "device_ahead_a": facts.device_ahead_a,
        "chosen": dict(facts.chosen),
        **_demand(facts.demand),
        "transferred": _demand(facts.transferred) if facts.transferred else None,
        "fault": _fault(facts.fault),
        "starting": msgspec.to_builtins(facts.starting) if facts.starting else None,
        "voltage": _voltage(study.voltage(facts.piece.id)),
        "missing": list(facts.missing),
        "assumptions": list(facts.assumptions),
        "worksheets": [
            msgspec.to_builtins(worked.worksheet)
            for worked in (facts.demand, facts.transferred, facts.grounding)
            if worked
        ]
        + [msgspec.to_builtins(capacity_worksheet(facts))],
    }


def _run(study: Study, facts: RunFacts) -> dict[str, Any]:
    chosen: dict[str, Chosen[Any]] = {"device_a": facts.device, "cover_m": facts.cover}
    chosen |= {name: getattr(facts, name) for name in _CHOICES}
    ampacity, running = facts.ampacity, study.running(facts.run.id)
    return {
        "name": run_name(study, facts.run),
        "source": facts.run.source,
        "target": facts.run.target,
        "role": facts.run.role,
        "work": facts.work,
        "supplied": facts.supplied,
        "system": facts.system.name if facts.system else None,
        "legs": facts.legs,
        "volts_v": facts.volts,
        "length_m": facts.run.length_m,
        **_demand(facts.demand),
        "running_a": list(running.leg_a),
        "neutral_running_a": running.neutral_a,
        **{name: choice.value for name, choice in chosen.items()},
        "how": {name: choice.how for name, choice in chosen.items()},
        "why": {name: choice.why for name, choice in chosen.items() if choice.why},
        "protecting_a": facts.protecting_a,
        "ampacity_a": ampacity.allowed_a if ampacity else None,
        "terminal_ampacity_a": ampacity.terminal_a if ampacity else None,
        "corrected_ampacity_a": ampacity.corrected_a if ampacity else None,
        "ampacity_governed_by": ampacity.governs if ampacity else None,
        "needed": facts.needed,
        "governs": facts.governs,
        "largest_device_a": facts.largest_device.rating_a if facts.largest_device else None,
        "met_by_310_12": facts.met_by_310_12,
        "current_carrying": facts.current_carrying,
        "neutral_needed": facts.neutral_needed,
        "fill_pct": facts.fill_pct,
        "cover_needed_m": facts.cover_needed_m,
        "companions": list(facts.companions),
        "upsized_from": facts.upsized_from,
        "grounding_needed": facts.grounding_needed,
        "drop_v": facts.drop_v,
        "drop_pct": facts.drop_pct,
        "total_drop_pct": facts.total_drop_pct,
        "ground_a": facts.ground_a,
        "ground_device_a": facts.ground_device_a,
        "ground_from": facts.ground_from,
        "missing": list(facts.missing),
        "assumptions": list(facts.assumptions),
        "worksheets": [msgspec.to_builtins(facts.worksheet)] if facts.worksheet.lines else [],
    }


def _demand(demand: Demand | None) -> dict[str, Any]:
    """Demand at a point; `calculated_a` and `sizing_a` are those of the heavier leg."""
    return {
        "method": demand.method if demand else None,
        "connected_va": demand.connected_va if demand else None,
        "calculated_va": demand.calculated_va if demand else None,
        "sizing_va": demand.sizing_va if demand else None,
        "calculated_a": demand.heavier_a if demand else None,
        "sizing_a": demand.heavier_sizing_a if demand else None,
        "neutral_a": demand.neutral_a if demand else None,
        "calculated_leg_a": list(demand.calculated_a) if demand else [],
        "sizing_leg_a": list(demand.sizing_a) if demand else [],
    }


def _fault(fault: Fault | None) -> dict[str, Any] | None:
    return msgspec.to_builtins(fault) if fault else None


def _voltage(voltage: Voltage | None) -> dict[str, Any] | None:
    if voltage is None:
        return None
    return {
        "leg_v": [abs(phasor) for phasor in voltage.leg_v],
        "lowest_pct": voltage.lowest_pct,
        "highest_pct": voltage.highest_pct,
    }


def _finding(review: Review, finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "where": finding.where,
        "about": finding.about,
        "name": place_name(review.study, finding.where),
        "message": review.message(finding),
        "values": dict(finding.values),
        "cite": review.cite(finding),
        "remedies": [edit.label for edit in review.remedies(finding)],
        "accepted": review.accepted(finding) is not None,
    }
