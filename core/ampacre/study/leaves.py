"""What each piece that uses power adds to the tally, at nominal voltage."""

from collections.abc import Collection, Iterator, Mapping
from typing import cast

import msgspec

from ampacre.codebook.demand import motor_full_load_a
from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.system import System, volts_between
from ampacre.study.dwelling import dwelling_tally
from ampacre.study.outlets import outlet_load
from ampacre.study.sites import site_tally
from ampacre.study.tally import Amount, Category, Key, Tally, nominal_va
from ampacre.study.terms import Limit

__all__ = [
    "Limit",
    "adds_load",
    "charger_a",
    "chargers_in",
    "groups_of",
    "leaf_tally",
    "limits",
    "motor_a",
    "strays",
    "unconfirmed",
]

MINIMUM_CHARGER_VA = 7200.0
"""NEC 2023 220.57."""
_BY_RATING = ("kitchen", "welder", "elevator")
_IN_DWELLINGS: Mapping[str, Category] = {
    "multioutlet": "receptacles",
    "heat": "space heat",
    "range": "cooking",
    "oven or cooktop": "cooking",
    "clothes dryer": "dryer",
}
_ELSEWHERE: Mapping[str, Category] = {
    "multioutlet": "receptacles",
    "supplementary heat": "heat",
    "storage heat": "heat",
    "cooling": "appliance",
    "range": "appliance",
    "oven or cooktop": "appliance",
    "clothes dryer": "appliance",
}
"""Categories of the tally for those of loads that are named otherwise there.

Only the methods of dwellings tell kinds of heating and cooling apart.
"""


def charger_a(charger: r.Charger) -> float | None:
    """Current a charger counts with: its setting where locked, else its nameplate [A]."""
    if charger.setting_locked and charger.setting_a is not None:
        if charger.nameplate_a is None:
            return charger.setting_a
        return min(charger.setting_a, charger.nameplate_a)
    return charger.nameplate_a


def motor_a(motor: r.Motor, legs: str, system: System) -> float | None:
    """Full-load current of a motor: the larger of nameplate and horsepower table [A].

    NEC 430.6(A) takes the table for horsepower-rated motors; a submersible's nameplate may lie
    above it, and then governs.
    """
    listed = None
    if motor.power_hp is not None:
        volts = volts_between(legs, system)
        found = motor_full_load_a(motor.power_hp, volts, 3 if len(legs) == 3 else 1)
        listed = found.value if found else None
    known = [value for value in (listed, motor.full_load_a) if value is not None]
    return max(known, default=None)


def unconfirmed(group: r.ManagedGroup) -> tuple[str, ...]:
    """Say which of its conditions keep a managed group's limit from counting (NEC 750.30)."""
    lacking = []
    if not group.listed:
        lacking.append("its listing")
    if not group.access_restricted:
        lacking.append("that its setting is kept from users")
    if group.fail_safe_a is None:
        lacking.append("its fail-safe current")
    if group.holds == "all load" and group.measured_at is None:
        lacking.append("where it measures")
    return tuple(lacking)


def groups_of(project: Project, counting: Collection[str]) -> dict[str, str]:
    """Which group each member counts in.

    A charger or a managed group counts in the nearest managed group around it whose limit does,
    one of `counting`, if any.
    """
    around = {member: group.id for group in project.groups.values() for member in group.members}

    def nearest(group: str) -> str:
        while isinstance(project.groups.get(group), r.ManagedGroup) and group not in counting:
            group = around.get(group, "")
        return group

    return {member: found for member, group in around.items() if (found := nearest(group))}


def limits(
    project: Project, va_per_a: Mapping[str, float], parents: Mapping[str, str]
) -> dict[str, Limit]:
    """Limits of the managed groups that count on an island.

    `va_per_a` is what one ampere of a piece's circuit comes to [VA]: its voltage, for three legs
    times sqrt(3). A group takes that of the place where it holds all load, or of its first
    charger; all members of a group share one. `parents` are what feeds each piece. A group that
    holds all load at a place counts where all of its chargers are fed through there.
    """
    counting = {
        key: group
        for key, group in project.groups.items()
        if isinstance(group, r.ManagedGroup)
        and not unconfirmed(group)
        and not strays(project, group, parents)
    }
    member_of = groups_of(project, counting)
    found: dict[str, Limit] = {}
    for key, group in counting.items():
        chargers = chargers_in(project, group)
        va = next((va_per_a[member] for member in chargers if member in va_per_a), 0.0)
        limit = Limit(group.name, group.limit_a * va, member_of.get(key, ""), group.limit_a)
        at = group.measured_at
        if group.holds == "all load" and at is not None and at in va_per_a:
            limit = limit._replace(
                limit_va=group.limit_a * va_per_a[at], at=at, place=project.equipment[at].name
            )
        found[key] = limit
    return found


def strays(project: Project, group: r.ManagedGroup, parents: Mapping[str, str]) -> list[str]:
    """Chargers of a group that are not fed through the place where it holds all load."""
    at = group.measured_at
    if group.holds == "members" or at is None:
        return []
    fed = (key for key in chargers_in(project, group) if key in parents)
    return [key for key in fed if at not in _above(key, parents)]


def _above(key: str, parents: Mapping[str, str]) -> Iterator[str]:
    while key in parents:
        key = parents[key]
        yield key


def chargers_in(project: Project, group: r.ManagedGroup) -> list[str]:
    """Chargers of a group and of the groups inside it, in their order."""
    inside: list[str] = []
    for member in group.members:
        nested = project.groups.get(member)
        if isinstance(nested, r.ManagedGroup):
            inside += chargers_in(project, nested)
        else:
            inside.append(member)
    return inside


def leaf_tally(
    project: Project,
    member_of: Mapping[str, str],
    piece: r.Equipment,
    legs: str,
    system: System,
    park: r.Basis | None = None,
) -> Tally:
    """Tally of one piece on these legs; empty where it uses nothing or its load is not known.

    `member_of` is that of `groups_of`, `park` the method of the park or marina that the piece is in,
    if any.
    """
    if isinstance(piece, r.DwellingLoad):
        return dwelling_tally(piece, legs)
    if not isinstance(piece, r.Use):
        return {}
    key = Key(
        "other", legs, neutral=len(legs) == 1, dwelling=piece.serves or "",
        shed=piece.shed_on_standby, new=adds_load(piece),
    )  # fmt: skip
    if isinstance(project.groups.get(member_of.get(piece.id, "")), r.NoncoincidentGroup):
        key = key._replace(group=member_of[piece.id], member=piece.id)
    if isinstance(piece, r.Pedestal):
        return site_tally(piece, key, park, project.settings.edition)
    if isinstance(piece, r.Charger):
        return _charger(project, member_of, piece, key, system)
    if isinstance(piece, r.Motor):
        amperes = motor_a(piece, legs, system)
        if amperes is None:
            return {}
        va = nominal_va(amperes, legs, system)
        key = key._replace(category=_motor_category(piece), continuous=piece.continuous)
        return {key: Amount(va, 1, amperes, va)}
    assert isinstance(piece, r.Load)
    return _outlet(piece, key, project.settings.edition)


def adds_load(piece: r.Use) -> bool:
    """Whether a piece is load that comes with the work: new, or another load than it was."""
    if piece.since is None:
        return False
    if piece.was is None:
        return True
    place = ("since", "until", "reuses", "was", "name", "structure", "location", "owner")
    kept = {name: getattr(piece.was, name) for name in place}
    return msgspec.structs.replace(piece, **kept) != piece.was


def _outlet(piece: r.Load, key: Key, edition: str) -> Tally:
    """Tally of a load, with the part that is continuous apart from the rest."""
    found = outlet_load(piece, edition)
    if found is None:
        return {}
    rated = bool(piece.serves) or piece.category in _BY_RATING
    named = _IN_DWELLINGS if piece.serves else _ELSEWHERE
    category = named.get(piece.category, cast("Category", piece.category))
    key = key._replace(
        category=category,
        neutral=piece.uses_neutral or len(key.legs) == 1 or piece.category in r.HOUSEHOLD,
        rating_va=found.va if rated else 0.0,
        detail=(piece.occupancy or "") if piece.category == "lighting" else "",
        nonlinear=piece.nonlinear,
    )
    if found.continuous_va >= found.va:
        return {key._replace(continuous=True): Amount(found.va)}
    steady, rest = found.continuous_va, found.va - found.continuous_va
    if not steady:
        return {key: Amount(rest)}
    return {key._replace(continuous=True): Amount(steady), key: Amount(rest, 0)}


def _motor_category(motor: r.Motor) -> Category:
    """Category of a motor: of a dwelling's also what heats or cools it."""
    if not motor.serves or motor.conditioning == "neither":
        return "motor"
    if motor.conditioning is not None:
        return motor.conditioning
    return "heat pump" if motor.compressor else "motor"


def _charger(
    project: Project, member_of: Mapping[str, str], piece: r.Charger, key: Key, system: System
) -> Tally:
    amperes = charger_a(piece)
    if amperes is None:
        return {}
    if project.settings.edition == "2017" and piece.nameplate_a is not None:
        # adjustable settings came with 625.42 of 2020; they still hold for the charger's circuit
        amperes = piece.nameplate_a
    va = nominal_va(amperes, key.legs, system)
    group = member_of.get(piece.id, "")
    if not group and project.settings.edition == "2023":
        va = max(va, MINIMUM_CHARGER_VA)
    key = key._replace(category="charger", continuous=True, group=group)
    return {key: Amount(va)}
