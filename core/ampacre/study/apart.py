"""What lies beyond the places where managed groups measure, and what comes up through a piece."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.study.facts import Line
from ampacre.study.loads import Loads, Site
from ampacre.study.tally import Tally, added, leg_amperes, nominal_va
from ampacre.study.terms import Beyond, enclosing

__all__ = ["apart_from", "behind_places", "carried_up", "floors_of", "watching_lines"]


def apart_from(
    site: Site, key: str, own: Tally, fed: Sequence[str], found: Mapping[str, Loads]
) -> dict[str, Beyond]:
    """What lies beyond each managed group that measures at a piece or below it."""
    apart = {
        group: Beyond(limit.limit_a, {}, {})
        for group, limit in site.rules.limits.items()
        if limit.at == key
    }
    for child in fed:
        others = [other for other in fed if other != child]
        for group, beyond in found[child].apart.items():
            beside = (carried_up(site, other, found[other].below.offered) for other in others)
            apart[group] = Beyond(
                _carried_a(site, child, beyond.limit_a),
                added(own, *beside, carried_up(site, child, beyond.tally)),
                floors_of((found[other].figure.tables for other in others), beyond.floors),
            )
    return apart


def behind_places(
    site: Site, key: str, taken: Tally, apart: Mapping[str, Beyond]
) -> dict[str, Beyond]:
    """Limits of the places that all load of a point comes through.

    These are the groups that hold load here and measure neither here nor below. Through a
    transformer, or with fewer legs, the limit is taken by its volt-amperes, which is no less.
    """
    limits, system = site.rules.limits, site.tree.gives[key]
    if not isinstance(site.project.equipment[key], r.Point):
        return {}
    groups = {
        group
        for each in taken
        if each.category == "charger"
        for group in enclosing(each.group, limits)
    }
    return {
        group: Beyond(
            max(leg_amperes(system.legs, limits[group].limit_va, system).values()), {}, {}
        )
        for group in sorted(groups)
        if limits[group].at and group not in apart
    }


def watching_lines(site: Site, key: str) -> Iterator[Line]:
    """Say what a system that measures the current here does not see."""
    if site.carried[key].source:
        yield Line(
            "Source behind the measuring point",
            cite=cite("managed_group", site.rules.edition),
            note="what it gives comes on top of the limit, for the wires and buses behind this point",
        )


def floors_of(
    results: Iterable[Mapping[str, float]], least: Mapping[str, float]
) -> dict[str, float]:
    """Largest result of each table among points [VA], and no less than `least`."""
    floors = dict(least)
    for tables in results:
        for table, va in tables.items():
            floors[table] = max(va, floors.get(table, 0.0))
    return floors


def carried_up(site: Site, child: str, tally: Tally) -> Tally:
    """What a piece offers to the one that feeds it: through a transformer the legs are others."""
    if not isinstance(site.project.equipment[child], r.Transformer):
        return tally
    legs = site.tree.arrives[child].legs
    moved = [
        {key._replace(legs=legs, neutral=False, one_leg=False): amount}
        for key, amount in tally.items()
    ]
    return added(*moved)


def _carried_a(site: Site, child: str, amperes: float) -> float:
    """A current of a piece as the one that feeds it sees it."""
    if not isinstance(site.project.equipment[child], r.Transformer):
        return amperes
    gives, arrives = site.tree.gives[child], site.tree.arrives[child]
    va = nominal_va(amperes, gives.legs, gives)
    return max(leg_amperes(arrives.legs, va, arrives).values())
