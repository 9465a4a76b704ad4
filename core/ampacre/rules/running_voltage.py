"""Terminal voltages of the running case against the standard's ranges."""

from collections.abc import Iterator
from typing import Final

from ampacre.model import records as r
from ampacre.rules.reading import place_name
from ampacre.rules.rule import Finding, exceeds, found, on_project
from ampacre.study.study import Study

TOPIC = "voltage"

LEAST_A_PCT, LEAST_B_PCT, MOST_B_PCT = 100 * 108 / 120, 100 * 104 / 120, 100 * 127 / 120
"""Utilization voltage in per cent of nominal: Range A and B at their ends (ANSI C84.1)."""
SERVICE_A_PCT = 100 * 114 / 120
"""Service voltage in per cent of nominal: the lower end of Range A (ANSI C84.1)."""
_SLACK_PCT: Final = 1e-6


def _roots(study: Study) -> Iterator[tuple[str]]:
    return ((island.root,) for island in study.islands)


@on_project(
    "voltage-within-range", topic=TOPIC, severity="warning", cite="voltage_range", parts=_roots
)
def voltage_within_range(study: Study, root: str) -> Iterator[Finding]:
    """What uses power gets a voltage within the standard's ranges when everything runs.

    At the terminals 104 to 127 V on a base of 120 V (ANSI C84.1 Range B); below 108 V, the end of
    Range A, it is advice. The source is taken at its nominal voltage.
    """
    # one look at a whole island: any load moves all voltages of it a little
    for key, voltage in study.voltages(root).items():
        low, high = voltage.lowest_pct, voltage.highest_pct
        if low < LEAST_A_PCT - _SLACK_PCT or exceeds(high, MOST_B_PCT):
            yield from _out_of_range(study, key, low, high)


def _out_of_range(study: Study, key: str, low: float, high: float) -> Iterator[Finding]:
    piece = study.standing.equipment[key]
    if not isinstance(piece, (r.Use, r.DwellingLoad)) or piece.owner != "customer":
        return
    if low < LEAST_A_PCT - _SLACK_PCT:
        yield found(
            "voltage-within-range", key,
            "{piece} gets {low_pct} of its nominal voltage when everything runs; {least_pct} is "
            "the least {range}.",
            severity="warning" if low < LEAST_B_PCT - _SLACK_PCT else "advice",
            piece=piece.name, low_pct=low,
            least_pct=LEAST_B_PCT if low < LEAST_B_PCT - _SLACK_PCT else LEAST_A_PCT,
            range="of Range B" if low < LEAST_B_PCT - _SLACK_PCT else "of Range A",
        )  # fmt: skip
    else:
        yield found(
            "voltage-within-range", key,
            "{piece} gets {high_pct} of its nominal voltage; {most_pct} is the most.",
            about="high", piece=piece.name, high_pct=high,
            most_pct=MOST_B_PCT,
        )  # fmt: skip


@on_project("load-can-be-carried", topic=TOPIC, severity="warning", cite="common practice")
def load_can_be_carried(study: Study) -> Iterator[Finding]:
    """The wiring can carry what is connected to it at all.

    Where no voltages satisfy all loads at once, the load is beyond what the impedances let through,
    and none of the voltages can be shown (common practice).
    """
    for branch in study.solved.normal:
        if not branch.running.converged:
            root = branch.tree.island.root
            yield found(
                "load-can-be-carried", root,
                "What hangs on {piece} cannot run all at once: no voltage satisfies it.",
                piece=place_name(study, root),
            )  # fmt: skip
