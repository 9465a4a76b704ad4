"""Buildings with livestock or corrosive dust: what the code asks there and is not checked."""

from collections.abc import Iterator

from ampacre.rules.handfuls import gathered
from ampacre.rules.rule import Finding, found, on_project
from ampacre.study.study import Study

TOPIC = "structures"


@gathered
def _occupied(study: Study, key: str) -> Iterator[str]:
    structure = study.standing.equipment[key].structure
    if structure is not None:
        yield structure


@on_project("agricultural-building", topic=TOPIC, severity="ask", cite="agricultural_buildings")
def agricultural_building(study: Study) -> Iterator[Finding]:
    """Wiring among livestock or corrosive dust is not checked here.

    Article 547 asks for more there: enclosures and cables that stand dust and damp, grounding
    conductors of their own kind, a grounding plane under what animals touch and its bonding. None
    of it is checked; the authority says what holds. A farm building of which nobody said whether
    it is one is named too.
    """
    for key in sorted(study.project.structures.keys() & set(_occupied(study))):
        structure = study.project.structures[key]
        if structure.livestock_or_dust:
            yield found(
                "agricultural-building", "project",
                "{structure} holds livestock or corrosive dust: what Article 547 asks of its "
                "wiring, grounding and bonding is not checked.",
                about=key, structure=structure.name,
            )  # fmt: skip
        elif structure.use == "farm building" and structure.livestock_or_dust is None:
            yield found(
                "agricultural-building", "project",
                "Say whether {structure} holds livestock or corrosive dust: Article 547 would hold "
                "there, and is not checked.",
                about=key, severity="advice", structure=structure.name,
            )  # fmt: skip
