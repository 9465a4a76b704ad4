"""Raceways and trenches that runs share: cover and fill. Said at the first run that lies in one."""

from collections.abc import Iterator

from ampacre.codebook.burial import METRES_PER_IN
from ampacre.model.project import Edit
from ampacre.rules.paths import relabelled
from ampacre.rules.raceways import holds, raceway_word, sizes_above
from ampacre.rules.rule import Finding, found, on_project
from ampacre.study.study import Study

TOPIC = "raceways"


def _deeper(study: Study, finding: Finding) -> Iterator[Edit]:
    raceway = study.project.raceways[finding.about]
    needed_m = float(finding.values["needed_m"])
    label = f"Lay {raceway.name} deeper, under {needed_m / METRES_PER_IN:.0f} in of cover"
    yield relabelled(study, "raceways", raceway.id, label, cover_m=needed_m)


@on_project(
    "shared-cover-deep-enough", topic=TOPIC, severity="violation", cite="cover_table",
    remedies=_deeper,
)  # fmt: skip
def shared_cover_deep_enough(study: Study) -> Iterator[Finding]:
    """A raceway or trench that runs share has the cover that its kind and its place ask for.

    By NEC Table 300.5(A) as for a single run, or by a local amendment.
    """
    for facts in study.all_raceways():
        raceway, needed_m = facts.raceway, facts.cover_needed_m
        if raceway.cover_m is None or raceway.kind is None or needed_m is None or not facts.runs:
            continue
        if raceway.cover_m < needed_m - 1e-6:
            yield found(
                "shared-cover-deep-enough", min(facts.runs),
                "{raceway} has {cover_m} of cover as {kind}; it needs {needed_m}.",
                about=raceway.id, raceway=raceway.name, cover_m=raceway.cover_m,
                kind=raceway_word(raceway.kind), needed_m=needed_m,
            )  # fmt: skip


def _larger(study: Study, finding: Finding) -> Iterator[Edit]:
    raceway = study.project.raceways[finding.about]
    for size in sizes_above(raceway.kind, raceway.trade_size):
        label = f"Lay {raceway.name} as a {size} in raceway"
        edit = relabelled(study, "raceways", raceway.id, label, trade_size=size)
        if holds(study.fork(study.project.apply(edit)).raceway(raceway.id).fill):
            yield edit
            return


@on_project(
    "shared-fill-within-limit", topic=TOPIC, severity="violation", cite="fill_table",
    remedies=_larger,
)  # fmt: skip
def shared_fill_within_limit(study: Study) -> Iterator[Finding]:
    """A raceway that runs share is filled by all of them no more than its limit.

    40 % of its area by more than two conductors, whichever circuits they belong to (NEC Chapter 9
    Table 1).
    """
    for facts in study.all_raceways():
        raceway, fill = facts.raceway, facts.fill
        if raceway.trade_size is None or fill is None or fill.fits or not facts.runs:
            continue
        yield found(
            "shared-fill-within-limit", min(facts.runs),
            "The conductors of {count} runs fill {fill_pct} of {raceway}, a {size} in raceway; "
            "{limit_pct} is the most.",
            about=raceway.id, count=str(len(facts.runs)), fill_pct=fill.fill_pct,
            raceway=raceway.name, size=fill.trade_size, limit_pct=fill.limit_pct,
        )  # fmt: skip
