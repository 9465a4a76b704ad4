"""Overhead spans: their clearance, and the wire that may hang free."""

from collections.abc import Iterator
from typing import Final

from ampacre.codebook.conductors import area_cmil, size_word
from ampacre.model.project import Edit
from ampacre.rules.paths import METRES_PER_FT, as_large_as, relabelled
from ampacre.rules.questions import ask_of_run
from ampacre.rules.reading import run_name
from ampacre.rules.rule import Finding, exceeds, found, on_run
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

TOPIC = "overhead"

LONG_SPAN_M: Final = 50 * METRES_PER_FT
_LEAST_SIZE: Final = {"cu": ("10", "8"), "al": ("8", "6")}
"""Smallest open wires by metal: for spans to 50 ft, and beyond (NEC 225.6(A))."""
_OVER: Final = {"walk": "a walk", "drive": "a drive or a yard", "road": "a road or farm land"}


def least_clearance_m(spans: str, ground_v: float) -> float:
    """Least clearance of a span of 1000 V or less [m] (NEC 225.18, 230.24(B)).

    10 ft over walks at 150 V to ground or less; 12 ft over residential ground and drives at 300 V
    or less, 15 ft above that; 18 ft over roads, truck parking and farm land.
    """
    if spans == "road":
        return 18 * METRES_PER_FT
    if spans == "walk" and ground_v <= 150:
        return 10 * METRES_PER_FT
    return (12 if ground_v <= 300 else 15) * METRES_PER_FT


def _raise(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    needed_m = float(finding.values["needed_m"])
    label = f"Raise {run_name(study, run)}, to {needed_m / METRES_PER_FT:.0f} ft at its lowest"
    yield relabelled(study, "runs", run.id, label, clearance_m=needed_m)


@on_run(
    "overhead-span-clear", topic=TOPIC, severity="violation", cite="overhead_clearance",
    remedies=_raise,
)  # fmt: skip
def overhead_span_clear(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """An overhead span keeps its clearance over what it spans.

    By the voltage to ground and by what passes below (NEC 225.18, 230.24(B)); at its lowest point,
    in the greatest sag.
    """
    run, system = facts.run, facts.system
    if run.place != "overhead" or run.clearance_m is None or run.spans is None or system is None:
        return
    needed_m = least_clearance_m(run.spans, system.ground_v)
    if run.clearance_m < needed_m - 1e-6:
        yield found(
            "overhead-span-clear", run.id,
            "{run} hangs {clearance_m} over {what}; it must keep {needed_m}.",
            run=run_name(study, run), clearance_m=run.clearance_m, what=_OVER[run.spans],
            needed_m=needed_m,
        )  # fmt: skip


def _heavier(study: Study, finding: Finding) -> Iterator[Edit]:
    return as_large_as(study, study.run(finding.where), str(finding.values["floor"]))


@on_run(
    "overhead-wire-least-size", topic=TOPIC, severity="warning", cite="overhead_wire",
    remedies=_heavier,
)  # fmt: skip
def overhead_wire_least_size(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Wire that hangs free is strong enough for its span.

    10 AWG copper or 8 AWG aluminum to 50 ft, 8 AWG copper or 6 AWG aluminum beyond, unless it is
    carried by a messenger (NEC 225.6(A)). A cable is taken to have one.
    """
    run = facts.run
    size, metal = run.conductors.size, facts.material.value
    if run.place != "overhead" or run.raceway is not None or size is None or metal is None:
        return
    length_m = run.length_m or 0.0
    floor = _LEAST_SIZE[metal][1 if exceeds(length_m, LONG_SPAN_M) else 0]
    if length_m and area_cmil(size) < area_cmil(floor):
        yield found(
            "overhead-wire-least-size", run.id,
            "{run} spans {length_m} with {size} wire; without a messenger it is {least} or larger.",
            run=run_name(study, run), length_m=length_m, size=size_word(size), floor=floor,
            least=size_word(floor),
        )  # fmt: skip


@ask_of_run(
    "overhead-clear-of-roofs", topic=TOPIC, severity="violation", cite="overhead_roofs",
    text="Does the span keep 8 ft 6 in over roofs, and 3 ft from windows, doors and porches?",
)  # fmt: skip
def overhead_clear_of_roofs(_study: Study, facts: RunFacts) -> bool:
    """An overhead span keeps clear of roofs, windows and doors.

    8 ft 6 in over roofs, less over steep ones at 300 V or less and where it passes an overhang; 3 ft
    from windows that open, doors and porches (NEC 225.19, 230.9, 230.24(A)).
    """
    return facts.run.place == "overhead"
