"""Parks: sites for visitors' vehicles that are open to the public."""

from collections.abc import Iterator
from typing import Final

from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.rules.paths import feed_of, relabelled
from ampacre.rules.pedestals import larger_device, protected_stated
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.reading import of_kind
from ampacre.rules.rule import Finding, exceeds, found, on_piece, on_project
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "pedestals"

LEAST_FEEDER_A: Final = 30.0
SHARE_OF_THIRTY: Final = 0.7
SHARE_OF_FIFTY: Final = {"new": 0.4, "existing": 0.2}
"""Sites of a park that have a 30 A and a 50 A receptacle (NEC 551.71)."""


def _is_site(piece: r.Equipment) -> bool:
    """Whether a pedestal is for vehicles in a park: open to the public, and not on a dock."""
    if not isinstance(piece, r.Pedestal) or not piece.open_to_public or piece.dock:
        return False
    return piece.site == "vehicle"


def _ratings(receptacles: tuple[int, ...]) -> str:
    return " and ".join(f"{rating} A" for rating in sorted(set(receptacles))) or "none"


def _complete(study: Study, finding: Finding) -> Iterator[Edit]:
    piece = study.project.equipment[finding.where]
    assert isinstance(piece, r.Pedestal)
    wanted = {*piece.receptacles_a, 20} | ({30} if 50 in piece.receptacles_a else set())
    label = f"Give {piece.name} receptacles of {_ratings(tuple(wanted))}"
    receptacles = tuple(sorted(wanted))
    yield relabelled(study, "equipment", piece.id, label, receptacles_a=receptacles)


@on_piece(
    "park-site-receptacles", r.Pedestal,
    topic=TOPIC, severity="violation", cite="rv_receptacles", remedies=_complete,
)  # fmt: skip
def park_site_receptacles(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """A site of a park has a 20 A receptacle, and with one of 50 A one of 30 A too.

    Every site with power; the rule of 50 A with 30 A is there from 2017 (NEC 551.71).
    """
    piece = facts.piece
    assert isinstance(piece, r.Pedestal)
    receptacles = piece.receptacles_a
    lacking = 20 not in receptacles or (50 in receptacles and 30 not in receptacles)
    if _is_site(piece) and lacking:
        yield found(
            "park-site-receptacles", piece.id,
            "{piece} has receptacles of {present}; a site of a park has 20 A, and with 50 A also "
            "30 A.",
            piece=piece.name, present=_ratings(receptacles),
        )  # fmt: skip


@on_project("park-receptacle-mix", topic=TOPIC, severity="violation", cite="rv_receptacles")
def park_receptacle_mix(study: Study) -> Iterator[Finding]:
    """Enough sites of a park have 30 A and 50 A receptacles.

    70 % of the sites 30 A; of new sites 40 % and of those there before 20 % 50 A, sites for tents
    left out (NEC 551.71).
    """
    sites = [facts for facts in of_kind(study, r.Pedestal) if _is_site(facts.piece)]
    if not sites:
        return
    thirty = _share(sites, 30)
    if exceeds(SHARE_OF_THIRTY, thirty):
        yield found(
            "park-receptacle-mix", "project",
            "{share_pct} of the park's {count} sites have a 30 A receptacle; {least_pct} must.",
            about="30", share_pct=100 * thirty, count=str(_count(sites)),
            least_pct=100 * SHARE_OF_THIRTY,
        )  # fmt: skip
    for work, least in SHARE_OF_FIFTY.items():
        part = [facts for facts in sites if (facts.work == "existing") == (work == "existing")]
        if part and exceeds(least, _share(part, 50)):
            yield found(
                "park-receptacle-mix", "project",
                "{share_pct} of the park's {count} {work} sites have a 50 A receptacle; "
                "{least_pct} must.",
                about=f"50 {work}", share_pct=100 * _share(part, 50), count=str(_count(part)),
                work=work, least_pct=100 * least,
            )  # fmt: skip


def _count(sites: list[EquipmentFacts]) -> int:
    """How many sites some pedestals supply."""
    return sum(each.piece.sites for each in sites if isinstance(each.piece, r.Pedestal))


def _share(sites: list[EquipmentFacts], rating: int) -> float:
    """Part of the sites that have a receptacle of this rating."""
    with_it = [each for each in sites if rating in getattr(each.piece, "receptacles_a", ())]
    return _count(with_it) / _count(sites)


@on_piece(
    "park-feeder-least", r.Pedestal,
    topic=TOPIC, severity="violation", cite="rv_feeder", remedies=larger_device,
)  # fmt: skip
def park_feeder_least(study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """Feeders of a park's sites are rated 30 A or more.

    Whatever the sites take by the demand factors of their number (NEC 551.72(A)).
    """
    if not _is_site(facts.piece):
        return
    run = feed_of(study, facts)
    device_a = run.protecting_a if run else None
    if device_a is not None and exceeds(LEAST_FEEDER_A, device_a):
        yield found(
            "park-feeder-least", facts.piece.id,
            "{piece} is fed behind {device_a}; feeders of a park are {needed_a} or more.",
            piece=facts.piece.name, device_a=device_a, needed_a=LEAST_FEEDER_A,
        )  # fmt: skip


# What is seen on site -------------------------------------------------------------------------


@ask_of_piece(
    "park-receptacle-protected", r.Pedestal,
    topic=TOPIC, severity="violation", cite="rv_gfci", stated=protected_stated,
    text="Are the 20 A receptacles protected by a ground-fault device for people?",
)  # fmt: skip
def park_receptacle_protected(_study: Study, facts: EquipmentFacts) -> bool:
    """The 15 and 20 A receptacles of a park's sites have ground-fault protection for people.

    A device in the receptacle or one in the breaker ahead of it (NEC 551.71(F)).
    """
    piece = facts.piece
    return isinstance(piece, r.Pedestal) and _is_site(piece) and 20 in piece.receptacles_a


@ask_of_piece(
    "park-site-disconnect", r.Pedestal,
    topic=TOPIC, severity="warning", cite="rv_disconnect",
    text="Does the site have a switch or breaker within reach, 2 to 6-1/2 ft above ground?",
)  # fmt: skip
def park_site_disconnect(_study: Study, facts: EquipmentFacts) -> bool:
    """Each site of a park can be switched off at the site.

    Readily accessible, its equipment 2 to 6-1/2 ft above ground (NEC 551.77).
    """
    return _is_site(facts.piece)
