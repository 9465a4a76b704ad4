"""The load letter: what a utility asks of a service, as data."""

from collections.abc import Collection, Iterator
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.study.dwelling import appliance_motor_a
from ampacre.study.facts import EquipmentFacts
from ampacre.study.fed import below
from ampacre.study.leaves import chargers_in, motor_a, unconfirmed
from ampacre.study.study import Study
from ampacre.study.tally import nominal_va

__all__ = ["HeldPlace", "LargestMotor", "LoadLetter", "load_letters"]


class LargestMotor(NamedTuple):
    """The motor with the largest current behind a service."""

    name: str
    amperes: float
    power_hp: float | None


class HeldPlace(NamedTuple):
    """A place where a manager holds all load to a limit [A]."""

    group: str
    place: str
    limit_a: float


class LoadLetter(NamedTuple):
    """What a utility asks of one service.

    `connected_kva` and `demand_kva` are by the code's calculation. Chargers count at what their
    hardware can draw; `managed_a` is the limit that confirmed managers hold the outermost groups
    below this service to, all together, with the chargers that they leave out in `unmanaged`.
    `held` are the places of the service where managers hold all load.
    `service_a` is the size asked for. The transformer's load is that of all its services.
    """

    service: str
    meter: str
    system: str
    method: str
    connected_kva: float
    demand_kva: float
    demand_a: float
    largest_motor: LargestMotor | None
    chargers: int
    chargers_kw: float
    managed_a: float | None
    held: tuple[HeldPlace, ...]
    unmanaged: int
    service_a: float | None
    transformer: str
    transformer_kva: float | None
    transformer_load_kva: float | None

    @property
    def transformer_pct(self) -> float | None:
        """Load of the transformer in per cent of its rating."""
        if not self.transformer_kva or self.transformer_load_kva is None:
            return None
        return 100 * self.transformer_load_kva / self.transformer_kva


def load_letters(study: Study) -> tuple[LoadLetter, ...]:
    """One letter for each service: each first disconnecting means behind the service point."""
    return tuple(
        _letter(study, facts)
        for facts in study.all_equipment()
        if facts.at_service and facts.demand is not None
    )


def _letter(study: Study, facts: EquipmentFacts) -> LoadLetter:
    assert facts.demand is not None
    under = [*below(study, facts.piece.id)]
    chargers = [each for each in under if isinstance(each.piece, r.Charger)]
    meter = _above(study, facts, r.Meter)
    transformer = _above(study, facts, r.Transformer)
    kva = getattr(transformer.piece, "kva", None) if transformer else None
    if transformer is not None and kva is None:
        kva = transformer.chosen.get("kva")
    groups = study.standing.groups
    held = {
        each.group: HeldPlace(groups[each.group].name, at.piece.name, each.limit_a)
        for at in (*under, *_path(study, facts))
        for each in at.watched
    }
    limits, managed = _managed(study.standing, {each.piece.id for each in chargers}, held.keys())
    return LoadLetter(
        service=facts.piece.name,
        meter=meter.piece.name if meter else "",
        system=facts.system.name if facts.system else "",
        method=facts.demand.method,
        connected_kva=facts.demand.connected_va / 1000,
        demand_kva=facts.demand.calculated_va / 1000,
        demand_a=facts.demand.heavier_a,
        largest_motor=_largest_motor(under),
        chargers=len(chargers),
        chargers_kw=sum(map(_hardware_kw, chargers)),
        managed_a=limits,
        held=tuple(held[group] for group in sorted(held)),
        unmanaged=len(chargers) - managed,
        service_a=facts.device_ahead_a,
        transformer=transformer.piece.name if transformer else "",
        transformer_kva=kva,
        transformer_load_kva=(
            transformer.demand.calculated_va / 1000 if transformer and transformer.demand else None
        ),
    )


def _path(study: Study, facts: EquipmentFacts) -> Iterator[EquipmentFacts]:
    """A piece and what stands on its supply side, up to the source."""
    at: EquipmentFacts | None = facts
    while at is not None:
        yield at
        at = study.equipment(at.parent) if at.parent else None


def _above(study: Study, facts: EquipmentFacts, kind: type[r.Equipment]) -> EquipmentFacts | None:
    """The nearest piece of a kind on the supply side of a piece, itself included."""
    return next((at for at in _path(study, facts) if isinstance(at.piece, kind)), None)


def _largest_motor(below: list[EquipmentFacts]) -> LargestMotor | None:
    """The largest motor or compressor, those of dwellings' appliances among them."""
    found = []
    for facts in below:
        piece = facts.piece
        if isinstance(piece, r.Motor) and facts.system is not None:
            amperes = motor_a(piece, facts.system.legs, facts.system)
            if amperes is not None:
                found.append(LargestMotor(piece.name, amperes, piece.power_hp))
        elif isinstance(piece, r.DwellingLoad):
            for appliance in piece.appliances:
                amperes = appliance_motor_a(appliance)
                if amperes:
                    name = appliance.name or appliance.kind
                    found.append(LargestMotor(f"{name} of {piece.name}", amperes, None))
    return max(found, key=lambda motor: motor.amperes, default=None)


def _hardware_kw(facts: EquipmentFacts) -> float:
    """Most that a charger can draw [kW], whatever it is set to; power factor 1."""
    piece = facts.piece
    assert isinstance(piece, r.Charger)
    amperes = piece.nameplate_a or piece.setting_a or 0.0
    if facts.system is None:
        return 0.0
    return nominal_va(amperes, facts.system.legs, facts.system) / 1000


def _managed(
    project: Project, chargers: set[str], watched: Collection[str]
) -> tuple[float | None, int]:
    """Limits of the outermost groups of these chargers [A], and how many chargers are managed.

    A group that holds all load at a place, one of `watched`, has no limit for its chargers alone;
    a group inside it may have.
    """
    managed = {
        key: group
        for key, group in project.groups.items()
        if isinstance(group, r.ManagedGroup)
        and not unconfirmed(group)
        and (group.holds == "members" or key in watched)
    }
    inner = {
        member for group in managed.values() if group.holds == "members" for member in group.members
    }
    limits, held = [], set()
    for key, group in managed.items():
        members = chargers & set(chargers_in(project, group))
        held |= members
        if members and group.holds == "members" and key not in inner:
            limits.append(group.limit_a)
    return sum(limits) if limits else None, len(held)
