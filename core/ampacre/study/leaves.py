"""What each piece that uses power adds to the tally, at nominal voltage."""

from collections.abc import Mapping
from typing import NamedTuple

from ampacre.codebook.demand import motor_full_load_a
from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.system import System, volts_between
from ampacre.study.tally import Amount, Category, Key, Tally, added, nominal_va

__all__ = [
    "Limit",
    "charger_a",
    "dwelling_tally",
    "groups_of",
    "leaf_tally",
    "limits",
    "motor_a",
    "unconfirmed",
]

MINIMUM_CHARGER_VA = 7200.0  # NEC 2023 220.57
_SITE_VA = {50: 12_000.0, 30: 3_600.0, 20: 2_400.0}  # NEC 551.73(A), as a guide off the park
AREA_VA_PER_M2 = 3 / 0.09290304  # 3 VA per square foot: NEC 220.14(J), 2023 220.41
CIRCUIT_VA = 1500.0  # NEC 220.52


class Limit(NamedTuple):
    """A managed group's limit in VA of its members' circuits, and the group it is nested in."""

    name: str
    limit_va: float
    outer: str


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
    return tuple(lacking)


def groups_of(project: Project) -> dict[str, str]:
    """Which group each piece is directly a member of."""
    return {member: group.id for group in project.groups.values() for member in group.members}


def _counting(project: Project, member_of: Mapping[str, str], key: str) -> str:
    """Give the nearest managed group around a member whose limit counts, or ""."""
    at = member_of.get(key, "")
    while at:
        group = project.groups[at]
        if isinstance(group, r.ManagedGroup) and not unconfirmed(group):
            return at
        at = member_of.get(at, "")
    return ""


def limits(
    project: Project, member_of: Mapping[str, str], va_per_a: Mapping[str, float]
) -> dict[str, Limit]:
    """Limits of the managed groups that count.

    `va_per_a` is what one ampere of each charger's circuit comes to [VA]: its voltage, for three
    legs times sqrt(3). A group takes that of its first charger; all members of a group share one.
    """
    found: dict[str, Limit] = {}
    for key, group in project.groups.items():
        if not isinstance(group, r.ManagedGroup) or unconfirmed(group):
            continue
        va = next(
            (va_per_a[member] for member in _chargers_in(project, group) if member in va_per_a), 0.0
        )
        outer = _counting(project, member_of, key)
        found[key] = Limit(group.name, group.limit_a * va, outer)
    return found


def _chargers_in(project: Project, group: r.ManagedGroup) -> list[str]:
    inside: list[str] = []
    for member in group.members:
        nested = project.groups.get(member)
        if isinstance(nested, r.ManagedGroup):
            inside += _chargers_in(project, nested)
        else:
            inside.append(member)
    return inside


def leaf_tally(
    project: Project,
    member_of: Mapping[str, str],
    piece: r.Equipment,
    legs: str,
    system: System,
) -> Tally:
    """Tally of one piece on these legs; empty where it uses nothing or its load is not known."""
    if isinstance(piece, r.DwellingLoad):
        return dwelling_tally(piece, legs)
    if not isinstance(piece, r.Use):
        return {}
    if isinstance(piece, r.Pedestal):
        return _pedestal(piece, legs)
    if isinstance(piece, r.Charger):
        return _charger(project, member_of, piece, legs, system)
    group, member = "", ""
    if isinstance(project.groups.get(member_of.get(piece.id, "")), r.NoncoincidentGroup):
        group, member = member_of[piece.id], piece.id
    if isinstance(piece, r.Motor):
        amperes = motor_a(piece, legs, system)
        if amperes is None:
            return {}
        va = nominal_va(amperes, legs, system)
        key = Key(
            "motor", legs, piece.continuous, len(legs) == 1, dwelling=piece.serves or "",
            group=group, member=member, shed=piece.shed_on_standby,
        )  # fmt: skip
        return {key: Amount(va, 1, amperes, va)}
    assert isinstance(piece, r.Load)
    if piece.va is None:
        return {}
    # space and water heating is continuous for its branch circuit only (NEC 424.4(B), 422.13)
    continuous = piece.continuous is not False
    if piece.category == "heat" and piece.continuous is None:
        continuous = False
    key = Key(
        piece.category, legs, continuous, piece.uses_neutral or len(legs) == 1,
        dwelling=piece.serves or "", rating_va=piece.va if piece.serves else 0.0,
        group=group, member=member, shed=piece.shed_on_standby,
    )  # fmt: skip
    return {key: Amount(piece.va)}


def _charger(
    project: Project, member_of: Mapping[str, str], piece: r.Charger, legs: str, system: System
) -> Tally:
    amperes = charger_a(piece)
    if amperes is None:
        return {}
    va = nominal_va(amperes, legs, system)
    group = _counting(project, member_of, piece.id)
    if not group and project.settings.edition == "2023":
        va = max(va, MINIMUM_CHARGER_VA)
    key = Key(
        "charger", legs, continuous=True, neutral=len(legs) == 1, dwelling=piece.serves or "",
        group=group, shed=piece.shed_on_standby,
    )  # fmt: skip
    return {key: Amount(va)}


def _pedestal(piece: r.Pedestal, legs: str) -> Tally:
    """Count the highest-rated receptacle of a site at the value of NEC 551.73(A)."""
    if not piece.receptacles_a:
        return {}
    va = _SITE_VA[max(piece.receptacles_a)]
    key = Key("pedestal", legs, neutral=True, shed=piece.shed_on_standby)
    return {key: Amount(va)}


def dwelling_tally(piece: r.DwellingLoad, both: str) -> Tally:
    """Tally of a whole dwelling: lighting and circuits as one, each appliance by itself."""
    general = piece.floor_area_m2 * AREA_VA_PER_M2
    general += CIRCUIT_VA * (piece.small_appliance_circuits + piece.laundry_circuits)
    parts: list[Tally] = [
        {Key("dwelling general", both, neutral=True, dwelling=piece.id): Amount(general)}
    ]
    for appliance in piece.appliances:
        va = appliance.va
        if va is None and appliance.full_load_a is not None:
            va = appliance.full_load_a * appliance.volts
        if va is None:
            continue
        category: Category = appliance.kind
        one_leg = appliance.volts == 120
        key = Key(
            category, both, neutral=one_leg or category in ("cooking", "dryer"), one_leg=one_leg,
            dwelling=piece.id, rating_va=va, shed=appliance.shed_on_standby,
        )  # fmt: skip
        is_motor = category in ("heat pump", "cooling")
        amperes = (appliance.full_load_a or va / appliance.volts) if is_motor else 0.0
        parts.append({key: Amount(va, 1, amperes, amperes * appliance.volts)})
    return added(*parts)
