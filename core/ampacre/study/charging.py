"""Vehicle chargers at a point: unmanaged ones whole, managed groups at no more than their limit."""

from collections.abc import Mapping, Sequence

from ampacre.codebook.articles import cite
from ampacre.study.shares import Share, share_of
from ampacre.study.tally import Tally, connected_va, counted, picked
from ampacre.study.terms import Limit

__all__ = ["charger_shares"]


def charger_shares(tally: Tally, limits: Mapping[str, Limit], edition: str) -> list[Share]:
    """Chargers: unmanaged ones at 100 %, each managed group at no more than its limit.

    A group counts min(limit, sum of its members' settings and nested groups) at any point, for
    the members below that point (NEC 625.42, 750.30, 2023 220.70).
    """
    chargers = picked(tally, "charger")
    shares = []
    free = {key: amount for key, amount in chargers.items() if key.group not in limits}
    if free:
        shares.append(
            share_of(
                free, f"Chargers, {counted(free)}", connected_va(free), cite("evse_load", edition)
            )
        )
    settings: dict[str, float] = {}
    outermost: dict[str, Tally] = {}
    for key, amount in chargers.items():
        if key.group in limits:
            settings[key.group] = settings.get(key.group, 0.0) + amount.va
            outermost.setdefault(_outermost(key.group, limits), {})[key] = amount
    inside: dict[str, list[str]] = {}
    for group, limit in limits.items():
        inside.setdefault(limit.outer, []).append(group)
    for group, members in sorted(outermost.items()):
        shares.append(
            share_of(
                members, f"Chargers managed by {limits[group].name}, {counted(members)}",
                _held(group, settings, limits, inside), cite("managed_group", edition),
                f"limit {limits[group].limit_va:,.0f} VA",
            )
        )  # fmt: skip
    return shares


def _outermost(group: str, limits: Mapping[str, Limit]) -> str:
    while limits[group].outer in limits:
        group = limits[group].outer
    return group


def _held(
    group: str,
    settings: Mapping[str, float],
    limits: Mapping[str, Limit],
    inside: Mapping[str, Sequence[str]],
) -> float:
    own = settings.get(group, 0.0)
    nested = sum(_held(inner, settings, limits, inside) for inner in inside.get(group, ()))
    return min(limits[group].limit_va, own + nested)
