"""Starting points: small properties of usual shape, to be made one's own.

All but the utility's line is new work, and what the study can choose is left open. Lengths, areas
and loads are round figures that stand for those of the property.
"""

from collections.abc import Callable
from typing import Any, NamedTuple

import msgspec

from ampacre.model import records as r
from ampacre.model.edits import alter, new_id, new_run, put
from ampacre.model.project import Project, TableName
from ampacre.model.system import SYSTEMS

__all__ = ["TEMPLATES", "Template"]

_FOOT_M = 0.3048


class Template(NamedTuple):
    """A starting point: its name, what it holds in a sentence, and a function that makes it."""

    name: str
    sentence: str
    make: Callable[[], Project]


class _Making:
    """A project in the making."""

    def __init__(self, name: str) -> None:
        project = Project()
        self.project = project.apply(alter(project, "project", "project", name=name))

    def put(self, table: TableName, record: r.Record) -> str:
        """Put a record; gives its id."""
        self.project = self.project.apply(put("", table, record))
        return record.id

    def structure(self, name: str, use: Any) -> str:
        """Put a building or an outdoor spot."""
        return self.put("structures", r.Structure(id=new_id(), name=name, use=use))

    def add(
        self, kind: type[r.Equipment], name: str, source: str = "", length_ft: float = 0.0,
        **fields: Any,
    ) -> str:  # fmt: skip
        """Put a piece; with a source also the run from there."""
        piece: Any = kind(id=new_id(), name=name, **{"since": r.WORK} | fields)
        key = self.put("equipment", piece)
        if source:
            giver = self.project.equipment[source]
            run = new_run(self.project, giver, piece, SYSTEMS["120/240"])
            length_m = length_ft * _FOOT_M
            self.put("runs", msgspec.structs.replace(run, length_m=length_m, since=giver.since))
        return key

    def ground(self, at: str) -> None:
        """Put two ground rods at a piece or a structure."""
        rods = r.Electrode(kind="rod", count=2, spacing_m=8 * _FOOT_M, length_m=8 * _FOOT_M)
        self.put("grounding", r.Grounding(id=new_id(), at=at, electrodes=(rods,)))


def _service(making: _Making, place: str) -> str:
    """Put the utility's transformer, a meter and the service disconnect outdoors at a place."""
    line = making.add(r.UtilitySource, "Utility line", since=None)
    transformer = making.add(
        r.Transformer, "T-1", line, 0.0, owner="utility", impedance_pct=2.0,
        location="outdoors",
    )  # fmt: skip
    outside: dict[str, Any] = {"structure": place, "location": "outdoors"}
    meter = making.add(r.Meter, "M-1", transformer, 60.0, **outside)
    service = making.add(
        r.Disconnect, "Service", meter, 0.0, main=r.Device(), service_rated=True,
        neutral_bonded=True, surge="type 2", **outside,
    )  # fmt: skip
    making.ground(service)
    return service


def _house(making: _Making, place: str, source: str, length_ft: float) -> str:
    """Put the panel of a house and all that the house uses."""
    panel = making.add(
        r.Panel, "House panel", source, length_ft, structure=place, location="indoors",
        basis="optional dwelling", neutral_bonded=False,
    )  # fmt: skip
    making.add(
        r.DwellingLoad, "House", panel, structure=place, floor_area_m2=1800 * _FOOT_M**2,
        appliances=(
            r.Appliance(kind="cooking", name="Range", va=12_000.0, typical=True),
            r.Appliance(kind="dryer", name="Dryer", va=5_000.0, typical=True),
            r.Appliance(kind="water heater", name="Water heater", va=4_500.0, typical=True),
            r.Appliance(kind="heat pump", name="Heat pump", va=5_000.0, typical=True, motor=True),
        ),
    )  # fmt: skip
    return panel


def _house_with_service(making: _Making) -> str:
    place = making.structure("House", "dwelling")
    return _house(making, place, _service(making, place), 20.0)


def _outbuilding(making: _Making, name: str, use: Any, source: str, length_ft: float) -> str:
    """Put a building with a panel, lights and receptacles; gives the panel."""
    place = making.structure(name, use)
    panel = making.add(
        r.Panel, f"{name} panel", source, length_ft, structure=place, main=r.Device(),
        spaces=16, neutral_bonded=False,
    )  # fmt: skip
    making.ground(place)
    branch: dict[str, Any] = {"structure": place, "volts": 120.0}
    making.add(r.Load, f"{name} lights", panel, 25.0, category="lighting", va=600.0, **branch)
    making.add(
        r.Load, f"{name} receptacles", panel, 25.0, category="receptacles", receptacles=6, **branch
    )
    return panel


def _yard_with_panel(making: _Making, name: str, **fields: Any) -> tuple[str, str]:
    """Put a yard with a service and a panel beside it; gives the yard and the panel."""
    yard = making.structure("Yard", "outdoor")
    service = _service(making, yard)
    panel = making.add(
        r.Panel, name, service, 6.0, structure=yard, location="outdoors", neutral_bonded=False,
        **fields,
    )  # fmt: skip
    return yard, panel


def _one_house() -> Project:
    making = _Making("House with one panel")
    _house_with_service(making)
    return making.project


def _house_and_outbuilding() -> Project:
    making = _Making("House and outbuilding")
    house = _house_with_service(making)
    shed = _outbuilding(making, "Workshop", "accessory", house, 100.0)
    place = making.project.equipment[shed].structure
    making.add(r.Charger, "C-1", shed, 20.0, nameplate_a=32.0, structure=place)
    return making.project


def _farm_yard() -> Project:
    making = _Making("Farm yard")
    _, panel = _yard_with_panel(making, "Yard panel")
    home = making.structure("House", "dwelling")
    outside = making.add(
        r.Disconnect, "House disconnect", panel, 130.0, structure=home, location="outdoors",
        main=r.Device(), service_rated=True, neutral_bonded=False,
    )  # fmt: skip
    making.ground(home)
    _house(making, home, outside, 20.0)
    barn = _outbuilding(making, "Barn", "farm building", panel, 200.0)
    place = making.project.equipment[barn].structure
    making.add(r.Motor, "Barn fan", barn, 50.0, power_hp=1.0, volts=240.0, structure=place)
    well = making.structure("Well", "outdoor")
    making.add(r.Motor, "Well pump", panel, 160.0, power_hp=1.5, volts=240.0, structure=well)
    return making.project


def _visitor_pedestals() -> Project:
    making = _Making("Visitor pedestals")
    yard, panel = _yard_with_panel(making, "Yard panel", basis="recreational-vehicle park")
    for number, length_ft in enumerate((60.0, 100.0, 130.0, 160.0), 1):
        making.add(
            r.Pedestal, f"PED-{number}", panel, length_ft, structure=yard,
            receptacles_a=(50, 30, 20), open_to_public=True,
        )  # fmt: skip
    return making.project


def _charging_yard() -> Project:
    making = _Making("Charging yard")
    yard, panel = _yard_with_panel(making, "Charging panel")
    chargers = [
        making.add(
            r.Charger, f"C-{number}", panel, 25.0 + 15.0 * number, structure=yard, nameplate_a=48.0,
            connection="hardwired", volts=240.0,
        )
        for number in range(1, 5)
    ]  # fmt: skip
    making.put(
        "groups",
        r.ManagedGroup(
            id=new_id(), name="Charging yard", members=tuple(chargers), limit_a=120.0, listed=True,
            access_restricted=True, fail_safe_a=24.0,
        ),
    )  # fmt: skip
    return making.project


TEMPLATES: tuple[Template, ...] = (
    Template(
        "House with one panel",
        "A service on the wall of a house, one panel, and what the house uses in one entry.",
        _one_house,
    ),
    Template(
        "House and outbuilding",
        "A house whose panel feeds a workshop with lights, receptacles and a vehicle charger.",
        _house_and_outbuilding,
    ),
    Template(
        "Farm yard: house, barn, well",
        "One service in the yard, from which feeders go to a house, a barn and a well pump.",
        _farm_yard,
    ),
    Template(
        "Visitor pedestals",
        "A yard panel with four pedestals for visitors' vehicles, on a service of its own.",
        _visitor_pedestals,
    ),
    Template(
        "Charging yard with managed chargers",
        "Four vehicle chargers that a load manager holds under one limit, on their own service.",
        _charging_yard,
    ),
)
