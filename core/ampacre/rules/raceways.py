"""Raceways and trenches: cover, fill, conductors that may jam, bends."""

from collections.abc import Iterator

from ampacre.codebook.burial import METRES_PER_IN
from ampacre.codebook.raceways import RACEWAYS, bend_limit_deg, stocked_sizes
from ampacre.model import records as r
from ampacre.model.project import Edit
from ampacre.model.words import value_word
from ampacre.rules.paths import relabelled
from ampacre.rules.questions import ask_of_run
from ampacre.rules.reading import run_name
from ampacre.rules.rule import Finding, exceeds, found, on_run
from ampacre.sizing.fill import Filled
from ampacre.study.facts import RunFacts
from ampacre.study.study import Study

TOPIC = "raceways"


def _deeper(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    needed_m = float(finding.values["needed_m"])
    inches = needed_m / METRES_PER_IN
    label = f"Lay {run_name(study, run)} deeper, under {inches:.0f} in of cover"
    yield relabelled(study, "runs", run.id, label, cover_m=needed_m)
    if run.raceway not in ("steel", "aluminum", "imc"):
        label = f"Lay {run_name(study, run)} in rigid metal conduit"
        yield relabelled(study, "runs", run.id, label, raceway="steel")


@on_run(
    "cover-deep-enough", topic=TOPIC, severity="violation", cite="cover_table", remedies=_deeper
)
def cover_deep_enough(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Buried wiring has the cover that its kind and its place ask for.

    24 in for cable in the ground, 18 in for plastic raceway, 6 in for rigid metal; 24 in for all
    under roads, 18 in under a dwelling's drive (NEC Table 300.5(A); 2017: Table 300.5). A local
    amendment stands for the table.
    """
    run, needed_m = facts.run, facts.cover_needed_m
    if run.cover_m is None or needed_m is None or run.raceway is None:
        return
    if run.cover_m < needed_m - 1e-6:
        yield found(
            "cover-deep-enough", run.id,
            "{run} has {cover_m} of cover as {raceway}, {place}; it needs {needed_m}.",
            run=run_name(study, run), cover_m=run.cover_m, raceway=raceway_word(run.raceway),
            place="in the yard" if run.place in (None, "yard") else str(run.place),
            needed_m=needed_m,
        )  # fmt: skip


def raceway_word(kind: str) -> str:
    """Say a kind of raceway in words."""
    return "plastic raceway" if kind == "pvc" else value_word(kind)


def sizes_above(kind: str | None, size: str | None) -> tuple[str, ...]:
    """Give the stocked trade sizes of a kind of raceway above one; plastic where it is not known."""
    sizes = stocked_sizes(kind or "pvc")
    return tuple(sizes[sizes.index(size) + 1 :]) if size in sizes else ()


def holds(fill: Filled | None) -> bool:
    """Whether a raceway holds its conductors, without their jamming in the pull."""
    return fill is not None and fill.fits and fill.jam_ratio is None


def _larger_raceway(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    for size in sizes_above(run.raceway, run.trade_size):
        label = f"Pull {run_name(study, run)} in a {size} in raceway"
        edit = relabelled(study, "runs", run.id, label, trade_size=size)
        if holds(study.fork(study.project.apply(edit)).run(run.id).fill):
            yield edit
            return


@on_run(
    "raceway-fill-within-limit", topic=TOPIC, severity="violation", cite="fill_table",
    remedies=_larger_raceway,
)  # fmt: skip
def raceway_fill_within_limit(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A raceway is filled no more than its limit.

    53 % of its area by one conductor, 31 % by two, 40 % by more, 60 % in a nipple of 24 in or less
    (NEC Chapter 9 Table 1 and note 4).
    """
    fill = facts.fill
    if fill is None or facts.run.trade_size is None or fill.fits:
        return
    yield found(
        "raceway-fill-within-limit", facts.run.id,
        "The conductors of {run} fill {fill_pct} of a {size} in raceway; {limit_pct} is the most.",
        run=run_name(study, facts.run), fill_pct=fill.fill_pct, size=fill.trade_size,
        limit_pct=fill.limit_pct,
    )  # fmt: skip


@on_run(
    "conductors-not-jamming", topic=TOPIC, severity="advice", cite="jam_ratio",
    remedies=_larger_raceway,
)  # fmt: skip
def conductors_not_jamming(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """Three conductors are not of the diameter at which they jam side by side in a bend.

    Inside diameter over conductor diameter between 2.8 and 3.2 (NEC Chapter 9 Table 1,
    informational note 2).
    """
    fill = facts.fill
    if fill is None or facts.run.trade_size is None or fill.jam_ratio is None:
        return
    yield found(
        "conductors-not-jamming", facts.run.id,
        "The three conductors of {run} may jam in a {size} in raceway: it is {ratio} times their "
        "diameter.",
        run=run_name(study, facts.run), size=fill.trade_size, ratio=fill.jam_ratio,
    )  # fmt: skip


def _pull_box(study: Study, finding: Finding) -> Iterator[Edit]:
    run = study.project.runs[finding.where]
    limit = float(finding.values["limit"])
    label = f"Put a pull box into {run_name(study, run)}, with {limit:.0f} degrees either side"
    yield relabelled(study, "runs", run.id, label, bends_deg=limit)


@on_run(
    "bends-between-pulls", topic=TOPIC, severity="violation", cite="bend_limit",
    remedies=_pull_box,
)  # fmt: skip
def bends_between_pulls(study: Study, facts: RunFacts) -> Iterator[Finding]:
    """A raceway has no more than 360 degrees of bends between two pull points.

    Four quarter bends in all, those at boxes included (NEC 344.26, 352.26, 358.26;
    2023: 352.24(B)).
    """
    bends, kind = facts.run.bends_deg, facts.raceway.value
    limit = bend_limit_deg(kind) if bends is not None and kind is not None else None
    if bends is not None and limit is not None and exceeds(bends, limit.value):
        yield found(
            "bends-between-pulls", facts.run.id,
            "{run} has {bends} degrees of bends between two pull points; {limit} is the most.",
            run=run_name(study, facts.run), bends=bends, limit=limit.value,
        )  # fmt: skip


# What is seen on site -------------------------------------------------------------------------

EXPANDS_M = 1.88
"""A straight run of plastic raceway that changes by 1/4 in over 100 F (NEC Table 352.44)."""


def _between_structures(study: Study, run: r.Run) -> bool:
    here, there = study.standing.equipment[run.source], study.standing.equipment[run.target]
    return here.structure != there.structure and run.length_m != 0


def _goes_down(facts: RunFacts) -> bool:
    return facts.run.place in ("yard", "under driveway", "under road")


@ask_of_run(
    "raceway-expansion-fitting", topic=TOPIC, severity="warning", cite="expansion",
    text="Does the plastic raceway have expansion fittings where it is straight for long?",
)  # fmt: skip
def raceway_expansion_fitting(_study: Study, facts: RunFacts) -> bool:
    """Plastic raceway above ground has expansion fittings.

    Where it changes by 1/4 in or more between fixed points: about 6 ft over 100 F (NEC 352.44).
    """
    run = facts.run
    outside = run.place in ("outdoors", "on roof")
    return outside and run.raceway in ("pvc", "pvc 80") and (run.length_m or 0.0) > EXPANDS_M


@ask_of_run(
    "raceway-sealed-at-building", "service", "feeder", "branch",
    topic=TOPIC, severity="warning", cite="raceway_seal",
    text="Are the underground raceways sealed where they enter the building, spares included?",
)  # fmt: skip
def raceway_sealed_at_building(study: Study, facts: RunFacts) -> bool:
    """Underground raceways are sealed where they enter a building.

    Spare ones too, so that water and gas don't come along (NEC 225.27, 230.8).
    """
    raceway = facts.run.raceway in RACEWAYS
    return raceway and _goes_down(facts) and _between_structures(study, facts.run)


@ask_of_run(
    "riser-guarded", topic=TOPIC, severity="violation", cite="riser",
    text="Where the buried conductors come up, is a raceway around them from 18 in below to 8 ft "
    "above grade?",
)  # fmt: skip
def riser_guarded(_study: Study, facts: RunFacts) -> bool:
    """Buried conductors that come up are guarded.

    From the required cover, at most 18 in below grade, to 8 ft above it or to the enclosure (NEC
    300.5(D)(1)).
    """
    return facts.run.raceway == "direct burial" and _goes_down(facts)


@ask_of_run(
    "service-ribbon-laid", "service", topic=TOPIC, severity="warning", cite="ribbon",
    text="Does a warning ribbon lie in the trench, 12 in above the service conductors?",
)  # fmt: skip
def service_ribbon_laid(_study: Study, facts: RunFacts) -> bool:
    """A warning ribbon lies over underground service conductors.

    12 in above them, where they are 18 in deep or more and not in concrete (NEC 300.5(D)(3)).
    """
    return _goes_down(facts) and (facts.run.cover_m or 0.4572) >= 0.4572 - 1e-6


@ask_of_run(
    "service-raceway-strong-enough", "service",
    topic=TOPIC, severity="warning", cite="service_methods",
    text="Where the service raceway may be hit, is it metal or Schedule 80?",
)  # fmt: skip
def service_raceway_strong_enough(_study: Study, facts: RunFacts) -> bool:
    """A service raceway that may be hit is metal or Schedule 80.

    Rigid metal, intermediate or Schedule 80 plastic where exposed to damage (NEC 230.43, 230.50(B)).
    """
    return facts.run.raceway in ("pvc", "ent", "lfnc") and facts.run.length_m != 0
