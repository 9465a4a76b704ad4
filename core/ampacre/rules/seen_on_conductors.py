"""Conductors: colours, parallel sets, shared neutrals, as seen on site."""

from ampacre.model import records as r
from ampacre.rules.questions import ask_of_project, ask_of_run
from ampacre.rules.reading import of_kind
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

TOPIC = "conductors"


def _has_wires(study: Study) -> bool:
    return any(
        run.owner == "customer" and run.length_m != 0 for run in study.standing.runs.values()
    )


@ask_of_run(
    "parallel-conductors-alike", topic=TOPIC, severity="violation", cite="parallel_alike",
    text="Are the parallel conductors alike in length, metal, size, insulation and terminals, with "
    "all legs and the neutral in each raceway?",
)  # fmt: skip
def parallel_conductors_alike(_study: Study, facts: RunFacts) -> bool:
    """Parallel conductors share their current because they are alike.

    Length, metal, area, insulation and termination, and in each raceway a complete set (NEC
    310.10(G), 300.3(B); 2017: 310.10(H)).
    """
    return facts.sets.value > 1


@ask_of_run(
    "shared-neutral-common-trip", "branch", topic=TOPIC, severity="violation", cite="multiwire",
    text="Do the circuits that share this neutral open together, by a common trip or a handle tie?",
)  # fmt: skip
def shared_neutral_common_trip(_study: Study, facts: RunFacts) -> bool:
    """Circuits that share a neutral open together.

    So that nobody opens a neutral that still carries the other's current (NEC 210.4(B)); their wires
    are grouped in the panel.
    """
    return facts.run.neutral_with is not None


@ask_of_project(
    "neutrals-white", topic=TOPIC, severity="warning", cite="neutral_colour",
    text="Are all neutrals white or gray: to 6 AWG along their whole length, larger ones at their ends?",
)  # fmt: skip
def neutrals_white(study: Study) -> bool:
    """Neutrals are white or gray.

    Over their whole length, from 4 AWG up at least where they end (NEC 200.6).
    """
    return _has_wires(study)


@ask_of_project(
    "grounding-wires-green", topic=TOPIC, severity="warning", cite="grounding_colour",
    text="Are all grounding conductors bare or green, and no other conductor green?",
)  # fmt: skip
def grounding_wires_green(study: Study) -> bool:
    """Grounding conductors are bare, green, or green with yellow.

    Over their whole length, from 4 AWG up at least where they end (NEC 250.119).
    """
    return _has_wires(study)


@ask_of_project(
    "voltage-systems-told-apart", topic=TOPIC, severity="warning", cite="two_systems",
    text="Are the legs marked by phase and system, and is the scheme posted at each panel?",
)  # fmt: skip
def voltage_systems_told_apart(study: Study) -> bool:
    """Where a property has more than one voltage, conductors tell by which system they are of.

    At every splice and end, the scheme posted (NEC 210.5(C), 215.12(C)).
    """
    volts = {
        round(facts.system.line_v) for facts in of_kind(study, r.Panel) if facts.system is not None
    }
    return len(volts) > 1
