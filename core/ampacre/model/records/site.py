"""Where equipment stands and runs lie: structures, shared raceways, grounding."""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ampacre.model.records.bounds import (
    Celsius,
    Count,
    Id,
    Label,
    Material,
    Metres,
    Place,
    RacewayKind,
    SiteMetres,
    Size,
    TradeSize,
)
from ampacre.model.records.record import Record

__all__ = ["Electrode", "Grounding", "Raceway", "Structure"]


class Structure(Record, frozen=True, kw_only=True):
    """A building or an outdoor spot that equipment stands in.

    `several_supplies` is the reason for more than one service or feeder. `east_m` and `north_m`
    place it on the site, from any point that all structures are measured from.
    `metal_water_pipe` and `steel_frame` tell what there is in it to be bonded; `livestock_or_dust`
    that animals are kept or corrosive dust gathers in it.
    """

    name: Label
    use: Literal["dwelling", "accessory", "farm building", "commercial", "outdoor"] | None = None
    several_supplies: (
        Literal[
            "fire pump",
            "emergency or standby",
            "parallel power production",
            "charging equipment listed for it",
            "several feeders of one panel",
            "above 2000 A",
            "different voltage or use",
            "documented switching",
            "special permission",
        ]
        | None
    ) = None
    east_m: SiteMetres | None = None
    north_m: SiteMetres | None = None
    metal_water_pipe: bool | None = None
    steel_frame: bool | None = None
    livestock_or_dust: bool | None = None


class Raceway(Record, frozen=True, kw_only=True):
    """A raceway, cable or trench that several runs share for a part of their way.

    `grounding` is a grounding conductor in it that serves all of their circuits.
    """

    name: Label
    kind: RacewayKind | None = None
    trade_size: TradeSize | None = None
    place: Place | None = None
    cover_m: Metres | None = None
    ambient_c: Celsius | None = None
    grounding: Size | None = None
    grounding_material: Material | None = None


class Electrode(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """One kind of grounding electrode at a place; `count` of them, `spacing_m` apart.

    `length_m` is that in contact with earth or concrete. A ring has the `size` of its conductor
    and a `depth_m`, a plate a `depth_m` and the `area_m2` that touches earth.
    """

    kind: Literal[
        "rod", "concrete-encased", "ring", "metal water pipe", "building steel", "plate"
    ]  # fmt: skip
    count: Annotated[int, Meta(ge=1, le=50)] = 1
    spacing_m: Metres | None = None
    length_m: Metres | None = None
    resistance_ohm: Annotated[float, Meta(ge=0, le=10_000)] | None = None
    size: Size | None = None
    depth_m: Annotated[float, Meta(ge=0, le=100)] | None = None
    area_m2: Annotated[float, Meta(ge=0, le=100)] | None = None


class Grounding(Record, frozen=True, kw_only=True):
    """The grounding of a service, a separately derived source (`at` a piece) or a structure.

    A record without electrodes says that there are none. `water_pipe_bond` and `steel_bond` are
    the conductors that bond a building's metal water pipes and its steel frame;
    `bonding_terminals` counts those that communication systems find for their bonds.
    """

    at: Id
    electrodes: tuple[Electrode, ...] = ()
    conductor: Size | None = None
    conductor_material: Material | None = None
    bonding_jumper: Size | None = None
    bonding_jumper_material: Material | None = None
    water_pipe_bond: Size | Literal["none"] | None = None
    steel_bond: Size | Literal["none"] | None = None
    bond_material: Material | None = None
    bonding_terminals: Count | None = None
