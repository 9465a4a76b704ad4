"""Vehicle chargers at a point: unmanaged ones whole, managed groups at no more than their limit."""

from collections.abc import Mapping, Sequence

from ampacre.codebook.articles import cite
from ampacre.study.shares import Share, share_of
from ampacre.study.tally import Tally, connected_va, counted, picked
from ampacre.study.terms import Limit, enclosing

__all__ = ["charger_shares"]


def charger_shares(tally: Tally, limits: Mapping[str, Limit], edition: str) -> list[Share]:
    """Chargers: unmanaged ones at 100 %, each managed group at no more than its limit.

    A group counts min(limit, sum of its members' settings and nested groups) at any point, for
    the members below that point (NEC 625.42, 750.30, 2023 220.70); one that holds all load at a
    place counts, there and above, what the other load leaves.
    """
    chargers = picked(tally, "charger")
    if not chargers:
        return []
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
            *_, around = enclosing(key.group, limits)
            outermost.setdefault(around, {})[key] = amount
    inside: dict[str, list[str]] = {}
    for group, limit in limits.items():
        inside.setdefault(limit.outer, []).append(group)
    for group, members in sorted(outermost.items()):
        share = share_of(
            members, f"Chargers managed by {limits[group].name}, {counted(members)}",
            _held(group, settings, limits, inside), cite("managed_group", edition),
            _note(limits[group]),
        )  # fmt: skip
        lasting_va = _held(group, settings, limits, inside, lasting=True)
        connected = connected_va(members)
        shares.append(share._replace(lasting=lasting_va / connected if connected else 0.0))
    return shares


def _note(limit: Limit) -> str:
    if not limit.at:
        return f"limit {limit.limit_va:,.0f} VA"
    note = f"all load at {limit.place} is held to {limit.limit_a:g} A"
    if limit.part < limit.lasting:
        note += "; more of it may run for hours while other load is less, and counts as continuous"
    return note


def _held(
    group: str,
    settings: Mapping[str, float],
    limits: Mapping[str, Limit],
    inside: Mapping[str, Sequence[str]],
    *,
    lasting: bool = False,
) -> float:
    limit, own = limits[group], settings.get(group, 0.0)
    nested = sum(
        _held(inner, settings, limits, inside, lasting=lasting) for inner in inside.get(group, ())
    )
    return (limit.lasting if lasting else limit.part) * min(limit.limit_va, own + nested)
