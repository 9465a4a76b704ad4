"""Voltage drop by design: of each run, and added along the path from the service."""

from collections.abc import Iterator

from ampacre.codebook.conductors import SIZES, ampacity, impedance_75c
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.reading import is_circuit, known, run_name
from ampacre.rules.resizing import with_size
from ampacre.rules.rule import Finding, exceeds, found, on_run
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

TOPIC = "voltage"

_FEEDERS: tuple[r.Role, ...] = ("feeder", "tap", "transformer secondary")


def _run_drop(rule: str, study: Study, facts: RunFacts, limit_pct: float) -> Iterator[Finding]:
    if facts.drop_pct is None or not exceeds(facts.drop_pct, limit_pct):
        return
    if is_circuit(study, facts) and known(facts.size) is not None:
        yield found(
            rule, facts.run.id,
            "The drop of {run} is {drop_pct} ({drop_v}) over {length_m} at {load_a}; the project's limit is "
            "{limit_pct}.",
            run=run_name(study, facts.run), drop_pct=facts.drop_pct, drop_v=facts.drop_v or 0.0,
            length_m=facts.run.length_m or 0.0, load_a=facts.calculated_a, limit_pct=limit_pct,
        )  # fmt: skip


def _larger_for_drop(study: Study, facts: RunFacts, limit_pct: float) -> Iterator[Edit]:
    """Give the smallest larger conductor with which the run's own drop is within a limit.

    The design drop goes with the resistance, and the neutral keeps its proportion at least.
    """
    size, metal, drop_pct = facts.size.value, facts.material.value, facts.drop_pct
    if size is None or metal is None or not drop_pct:
        return
    raceway = facts.raceway.value
    most_ohm = impedance_75c(size, metal, raceway).value.real * limit_pct / drop_pct
    for larger in SIZES[SIZES.index(size) + 1 :]:
        listed = ampacity(larger, metal, 75) is not None
        if listed and impedance_75c(larger, metal, raceway).value.real <= most_ohm:
            yield with_size(study, facts, larger)
            return


def _within_limit(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.run(finding.where)
    yield from _larger_for_drop(study, facts, float(finding.values["limit_pct"]))


@on_run(
    "feeder-drop-within-limit", topic=TOPIC, severity="advice", cite="drop_feeder",
    roles=_FEEDERS, remedies=_within_limit,
)  # fmt: skip
def feeder_drop_within_limit(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A feeder drops no more than the project's limit.

    Design drop at the calculated current, conductors at 75 C; 3 % by the informational note of
    NEC 215.2(A), which is advice.
    """
    limit_pct = study.settings.feeder_drop_pct
    return _run_drop("feeder-drop-within-limit", study, facts, limit_pct)


@on_run(
    "branch-drop-within-limit", topic=TOPIC, severity="advice", cite="drop_branch",
    roles=("branch",), remedies=_within_limit,
)  # fmt: skip
def branch_drop_within_limit(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A branch circuit drops no more than the project's limit.

    Design drop at the circuit's current, conductors at 75 C; 3 % by the informational note of
    NEC 210.19, which is advice.
    """
    limit_pct = study.settings.branch_drop_pct
    return _run_drop("branch-drop-within-limit", study, facts, limit_pct)


def _own_limit_pct(study: Study, facts: RunFacts) -> float:
    settings = study.settings
    return settings.branch_drop_pct if facts.run.role == "branch" else settings.feeder_drop_pct


def _path_within_limit(study: Study, finding: Finding) -> Iterator[Edit]:
    facts = study.run(finding.where)
    ahead_pct = float(finding.values["total_pct"]) - float(finding.values["drop_pct"])
    limit_pct = float(finding.values["limit_pct"])
    yield from _larger_for_drop(study, facts, limit_pct - ahead_pct)


@on_run(
    "total-drop-within-limit", topic=TOPIC, severity="advice", cite="drop_feeder",
    remedies=_path_within_limit,
)  # fmt: skip
def total_drop_within_limit(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """The drop added along the path from the service stays within the project's limit.

    Feeder and branch together 5 % by the informational notes of NEC 215.2(A) and 210.19, which
    are advice. Said at the run that passes the limit, not again for those behind it, and not
    where that run is the whole path and beyond its own limit.
    """
    total_pct, drop_pct = facts.total_drop_pct, facts.drop_pct
    limit_pct = study.settings.total_drop_pct
    if total_pct is None or drop_pct is None or not exceeds(total_pct, limit_pct):
        return
    if exceeds(total_pct - drop_pct, limit_pct) or not is_circuit(study, facts):
        return
    alone = not exceeds(total_pct, drop_pct)
    if alone and exceeds(drop_pct, _own_limit_pct(study, facts)):
        return
    yield found(
        "total-drop-within-limit", facts.run.id,
        "The path to the end of {run} drops {total_pct}, {drop_pct} of it in this run; the "
        "project's limit is {limit_pct}.",
        run=run_name(study, facts.run), total_pct=total_pct, drop_pct=drop_pct,
        limit_pct=limit_pct,
    )  # fmt: skip
