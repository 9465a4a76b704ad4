"""Shares: what each part of a tally counts for at a point."""

from collections.abc import Mapping
from typing import NamedTuple

from ampacre.study.facts import Line
from ampacre.study.tally import Amount, Key, Tally, connected_va

__all__ = ["Motor", "Share", "block_share", "listed", "share_of", "tabled"]

_NOTHING: Tally = {}
_SLACK_VA = 1e-6


class Motor(NamedTuple):
    """The largest motor at a point: current [A], load [VA], legs, and whether it was continuous.

    One that does not run with the others may be the largest by the project's policy.
    """

    amperes: float
    va: float
    legs: str
    continuous: bool
    runs: bool = True


class Share(NamedTuple):
    """One part of the load at a point: its worksheet line, and the loads that it stands for.

    Each load of `part` counts for `ratio` of what is connected. `table` names the table that the
    count came from. `steady` tells that the 25 % of continuous load is added in sizing, `motors`
    that its motors may be the largest at the point; `beside` holds loads that do not count but
    whose motor may be the largest. `spread` are the legs that the demand falls on, where these are
    others than the loads are on. `lasting` is the ratio of what may run for hours where this is not
    `ratio`, as what is held back at times of the greatest load runs at others.
    """

    line: Line
    part: Tally = _NOTHING
    ratio: float = 0.0
    table: str = ""
    steady: bool = True
    motors: bool = True
    beside: Tally = _NOTHING
    spread: str = ""
    lasting: float | None = None

    @property
    def va(self) -> float:
        """Demand of this part [VA]."""
        return self.ratio * connected_va(self.part)

    def on_legs(self) -> dict[str, float]:
        """Demand [VA] by the legs it is on."""
        return self._by_legs(self.part, self.ratio)

    def continuous(self) -> dict[str, float]:
        """Continuous part of the demand [VA] by the legs it is on."""
        if not self.steady:
            return {}
        steady = {key: amount for key, amount in self.part.items() if key.continuous}
        return self._by_legs(steady, self.ratio if self.lasting is None else self.lasting)

    def _by_legs(self, part: Tally, ratio: float) -> dict[str, float]:
        found: dict[str, float] = {}
        for key, amount in part.items():
            legs = self.spread or key.legs
            found[legs] = found.get(legs, 0.0) + ratio * amount.va
        return found

    def motor(self) -> Motor | None:
        """The motor with the largest current (NEC 430.17) among its motors and compressors."""
        running = self.part if self.motors else {}
        motors = [
            Motor(amount.motor_a, amount.motor_va, key.legs, self.steady and key.continuous)
            for key, amount in running.items()
            if amount.motor_a
        ]
        motors += [
            Motor(amount.motor_a, amount.motor_va, key.legs, continuous=False, runs=False)
            for key, amount in self.beside.items()
            if amount.motor_a
        ]
        return max(motors, default=None)


def share_of(part: Tally, label: str, demand_va: float, citation: str, note: str = "") -> Share:
    """Count a demand [VA] for a part of the tally, spread over it as its connected load is."""
    connected = connected_va(part)
    ratio = demand_va / connected if connected else 0.0
    return Share(Line(label, connected, ratio, demand_va, "VA", citation, note), part, ratio)


def tabled(share: Share, table: str, floors: Mapping[str, float]) -> Share:
    """Hold a share to no less than the largest result of the same table directly below.

    The tables by number step down: ten units may come out below nine. What feeds both can't carry
    less than the nine (common practice; the code does not say). What is connected bounds it: the
    rest of a larger result comes from loads that another method takes.
    """
    least_va = min(floors.get(table, 0.0), connected_va(share.part))
    if share.va >= least_va - _SLACK_VA or not connected_va(share.part):
        return share._replace(table=table)
    note = f"not below a part of it; by its own number {share.va:,.0f} VA"
    if share.line.note:
        note = f"{share.line.note}; {note}"
    raised = share_of(share.part, share.line.label, least_va, share.line.cite, note)
    return share._replace(line=raised.line, ratio=raised.ratio, table=table)


def block_share(label: str, va: float, legs: str, citation: str, note: str = "") -> Share:
    """A result that stands for loads nobody sees any more: on all legs alike, all of it."""
    part = {Key("block", legs): Amount(va)}
    line = Line(label, va, 1.0, va, "VA", citation, note)
    return Share(line, part, 1.0, steady=False, motors=False)


def listed(label: str, va: float, citation: str, note: str = "in the pool") -> Share:
    """A line that says what a later line holds; it counts for nothing itself."""
    return Share(Line(label, va, None, None, "VA", citation, note))
