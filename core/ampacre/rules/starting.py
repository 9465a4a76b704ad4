"""Motors that start: how deep the voltage at them dips."""

from collections.abc import Iterator
from typing import Final

from ampacre.model import records as r
from ampacre.rules.rule import Finding, exceeds, found, on_piece
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "voltage"

DEEP_PCT: Final = 20.0
"""Dip that a starting motor still comes up to speed with (common practice)."""
DROPS_OUT_PCT: Final = 30.0
"""Dip at which contactors open (common practice)."""


@on_piece("motor-can-start", r.Motor, topic=TOPIC, severity="warning", cite="common practice")
def motor_can_start(_study: Study, facts: EquipmentFacts) -> Iterator[Finding]:
    """The voltage at a motor does not dip too deep while it starts across the line.

    By its locked-rotor current and all impedance ahead, on the weaker of its supplies: above 20 %
    is advice, as it may start slowly or not at all; above 30 % a warning, as contactors open.
    """
    start = facts.starting
    if start is None or not exceeds(start.dip_pct, DEEP_PCT):
        return
    deep = exceeds(start.dip_pct, DROPS_OUT_PCT)
    yield found(
        "motor-can-start", facts.piece.id,
        "{piece} draws {locked_a} when it starts{on}, and its voltage dips by {dip_pct}; above "
        "{limit_pct} {what}.",
        severity="warning" if deep else "advice", piece=facts.piece.name, locked_a=start.locked_a,
        dip_pct=start.dip_pct, on=f" on {start.on}" if start.on else "",
        limit_pct=DROPS_OUT_PCT if deep else DEEP_PCT,
        what="contactors open" if deep else "it may not come up to speed",
    )  # fmt: skip
