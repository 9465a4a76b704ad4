"""The kinds of equipment: the nodes of the drawing, from the utility's source to the loads."""

from typing import Annotated, Final, Literal

from msgspec import Meta, Struct

from ampacre.model.records.bounds import (
    Amperes,
    Basis,
    Count,
    Date,
    DutyPercent,
    Horsepower,
    Id,
    Kilo,
    KiloAmperes,
    Label,
    Metres,
    Occupancy,
    Owner,
    Percent,
    PowerFactor,
    Ratio,
    ReceptacleAmperes,
    SquareMetres,
    VoltAmperes,
    Volts,
)
from ampacre.model.records.record import Standing
from ampacre.model.records.wiring import Device
from ampacre.model.system import SystemName

__all__ = [
    "HEATERS",
    "HOUSEHOLD",
    "AnyEquipment",
    "Appliance",
    "Battery",
    "Charger",
    "Disconnect",
    "DwellingLoad",
    "Equipment",
    "Farm",
    "Gear",
    "Generator",
    "Inverter",
    "Junction",
    "Load",
    "LoadCategory",
    "Measured",
    "Meter",
    "Motor",
    "Panel",
    "Pedestal",
    "Point",
    "TransferSwitch",
    "Transformer",
    "Use",
    "UtilitySource",
]


class Measured(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """A record of the greatest demand at a point, and what is known of how it was taken.

    `demand` is the highest average over `interval_min` minutes in `unit`, amperes those of the
    heavier leg. `seasonal_va` is heating, cooling or other seasonal load that the record does not
    hold, by calculation. Dates are written 2026-01-31. `generation` tells what a source or load
    shaving below the point did to the record: "gross" saw all load nevertheless, "net" saw what was
    left of it.
    """

    kind: Literal["12-month", "30-day"] = "12-month"
    demand: Annotated[float, Meta(ge=0.001, le=1e5)] | None = None
    unit: Literal["kW", "kVA", "A"] = "kW"
    interval_min: Annotated[float, Meta(ge=1, le=60)] | None = None
    start: Date = ""
    end: Date = ""
    meter: Label = ""
    power_factor: PowerFactor | None = None
    seasonal_va: VoltAmperes = 0.0
    seasonal_included: bool | None = None
    occupied: bool | None = None
    heaviest_leg: bool | None = None
    overcurrent_protected: bool | None = None
    generation: Literal["none", "gross", "net"] | None = None


class Farm(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """What the farm methods ask of a building or of the common service.

    `simultaneous_va` is what is expected to run together in the building; empty, all of it.
    Buildings of the same `function` count as one load. `electric_grain_drying` is a fact of the
    farm, stated at the common service; empty counts as yes.
    """

    simultaneous_va: VoltAmperes | None = None
    function: Label = ""
    electric_grain_drying: bool | None = None


class Equipment(Standing, frozen=True, kw_only=True, tag_field="kind"):
    """A node of the drawing. `location` is where it stands, at or in its structure.

    `model` is maker and type as the data sheet has them, `listing` the standard of its listing mark.
    """

    name: Label
    model: Label = ""
    listing: Label = ""
    structure: Id | None = None
    location: Literal["indoors", "outdoors"] | None = None
    owner: Owner = "customer"
    was: "AnyEquipment | None" = None


class Point(Equipment, frozen=True, kw_only=True):
    """Equipment that passes load on and may have a basis of its own for computing it."""

    basis: Basis | None = None
    measured: Measured | None = None
    farm: Farm | None = None


class UtilitySource(Equipment, frozen=True, kw_only=True, tag="utility source"):
    """Where the utility's power comes from: its primary line, or a service of stated fault current.

    `fault_ka` and `fault_min_ka` are the utility's written figures at this place, line to line
    (three-phase where there are three); without them the source is taken as infinite.
    """

    system: SystemName = "primary"
    primary_v: Volts = 7200.0
    fault_ka: KiloAmperes | None = None
    fault_min_ka: KiloAmperes | None = None
    x_r: Ratio | None = None
    owner: Owner = "utility"


class Transformer(Point, frozen=True, kw_only=True, tag="transformer"):
    """A transformer; `system` is what its secondary gives."""

    system: SystemName = "120/240"
    kva: Kilo | None = None
    impedance_pct: Percent | None = None
    impedance_basis: Literal["nameplate", "catalogue"] | None = None
    x_r: Ratio | None = None
    neutral_bonded: bool | None = None


class Meter(Point, frozen=True, kw_only=True, tag="meter"):
    """A meter socket. A private meter stands in a feeder; a revenue meter ahead of the service.

    `neutral_bonded` tells whether its housing is joined to the neutral, `current_transformers`
    whether it measures by them instead of carrying the current itself.
    """

    role: Literal["revenue", "second rate", "private"] = "revenue"
    class_a: Amperes | None = None
    current_transformers: bool | None = None
    short_circuit_ka: KiloAmperes | None = None
    neutral_bonded: bool | None = None


class Gear(Point, frozen=True, kw_only=True):
    """Equipment that can be a service's or a building's disconnecting means.

    `poles` are those of its main device or switch. Pieces with the same `enclosure`, a name, stand
    in one. `surge` is the surge protective device at it, of nominal discharge current `surge_ka`.
    """

    poles: Literal[1, 2, 3] | None = None
    service_rated: bool | None = None
    enclosure: Label = ""
    surge: Literal["none", "type 1", "type 2"] | None = None
    surge_ka: KiloAmperes | None = None
    surge_short_circuit_ka: KiloAmperes | None = None


class Disconnect(Gear, frozen=True, kw_only=True, tag="disconnect"):
    """An enclosed switch or breaker. Without a `main` device it is a plain switch.

    With a `purpose` it stands ahead of the service disconnect and is not one itself.
    """

    purpose: Literal["meter disconnect", "emergency disconnect"] | None = None
    rating_a: Amperes | None = None
    main: Device | None = None
    lockable: bool | None = None
    short_circuit_ka: KiloAmperes | None = None
    neutral_bonded: bool | None = None


class Panel(Gear, frozen=True, kw_only=True, tag="panel"):
    """A panelboard: a bus with spaces for devices, its main at one end or in the middle.

    `main_lugs` tells that one without a main is known to have none.
    """

    bus_a: Amperes | None = None
    main: Device | None = None
    main_lugs: bool | None = None
    fed: Literal["end", "center"] | None = None
    spaces: Annotated[int, Meta(ge=1, le=126)] = 30
    short_circuit_ka: KiloAmperes | None = None
    neutral_bonded: bool | None = None


class TransferSwitch(Point, frozen=True, kw_only=True, tag="transfer switch"):
    """Connects its load to the normal or the standby supply.

    With `load_manager` the loads marked `shed_on_standby` are kept off the standby supply.
    """

    rating_a: Amperes | None = None
    automatic: bool | None = None
    neutral_switched: bool | None = None
    load_manager: bool = False
    short_circuit_ka: KiloAmperes | None = None


class Generator(Equipment, frozen=True, kw_only=True, tag="generator"):
    """A standby generator."""

    system: SystemName = "120/240"
    kw: Kilo | None = None
    kva: Kilo | None = None
    subtransient_pct: Percent | None = None
    neutral_bonded: bool | None = None


class Inverter(Equipment, frozen=True, kw_only=True, tag="inverter"):
    """A solar inverter that follows the system's voltage."""

    output_a: Amperes | None = None


class Battery(Equipment, frozen=True, kw_only=True, tag="battery"):
    """Storage with its inverter; `forming` units can carry an island by themselves."""

    output_a: Amperes | None = None
    energy_kwh: Kilo | None = None
    forming: bool = False
    system: SystemName = "120/240"


class Use(Equipment, frozen=True, kw_only=True):
    """A piece that uses power. `serves` names the dwelling whose load this is part of."""

    serves: Id | None = None
    shed_on_standby: bool = False


class Charger(Use, frozen=True, kw_only=True, tag="charger"):
    """Vehicle supply equipment. The setting counts only where it is locked against the user."""

    nameplate_a: Amperes | None = None
    setting_a: Amperes | None = None
    setting_locked: bool = False
    volts: Volts | None = None
    connection: Literal["hardwired", "receptacle"] | None = None
    receptacle_a: ReceptacleAmperes | None = None


class Motor(Use, frozen=True, kw_only=True, tag="motor"):
    """A motor, pump or compressor, by its full-load current or its horsepower.

    `compressor` is a sealed refrigerant compressor, whose `full_load_a` is its rated-load current.
    A packaged unit is marked with its `minimum_circuit_a` and `maximum_device_a`. `overload_a` is
    what its overload protection is set to, `locked_rotor_a` what it draws at the start. One that
    serves a dwelling may be its `conditioning`; where nothing is said, a compressor counts as a
    heat pump, which no method leaves out beside other heating.
    """

    full_load_a: Amperes | None = None
    power_hp: Horsepower | None = None
    volts: Volts | None = None
    drive_fed: bool = False
    continuous: bool = False
    compressor: bool = False
    minimum_circuit_a: Amperes | None = None
    maximum_device_a: Amperes | None = None
    overload_a: Amperes | None = None
    service_factor: Ratio | None = None
    locked_rotor_a: Amperes | None = None
    conditioning: Literal["cooling", "heat pump", "neither"] | None = None


LoadCategory = Literal[
    "lighting",
    "receptacles",
    "multioutlet",
    "show window",
    "sign",
    "track lighting",
    "heat",
    "supplementary heat",
    "storage heat",
    "cooling",
    "appliance",
    "range",
    "oven or cooktop",
    "clothes dryer",
    "kitchen",
    "welder",
    "elevator",
    "other",
]


HEATERS: Final[tuple[LoadCategory, ...]] = ("heat", "supplementary heat", "storage heat")
"""Categories of electric space heating."""
HOUSEHOLD: Final[tuple[LoadCategory, ...]] = ("range", "oven or cooktop", "clothes dryer")
"""Categories of a household's large appliances, which count by tables of their own."""


class Load(Use, frozen=True, kw_only=True, tag="load"):
    """Any other load on a circuit of its own.

    "heat" is that of rooms, one load for each control; "range", "oven or cooktop" and "clothes
    dryer" are a household's. `continuous` left empty is taken as yes, but not for those.
    `uses_neutral` matters on circuits of two or three legs; those of a household's range or dryer
    and those of one leg always use it.
    `receptacles` counts those on the circuit, of the rating `receptacle_a`; one yoke is one.
    Lighting may say the `floor_area_m2` that it lights and
    its `occupancy`, show windows, track lighting and multioutlet assemblies their `strip_m`, of
    assemblies also whether their outlets are `used_together`. Arc welders have a duty cycle, and
    may be a `motor_generator`. `nonlinear` load loads the neutral of a wye with harmonics.
    """

    category: LoadCategory = "other"
    va: VoltAmperes | None = None
    continuous: bool | None = None
    uses_neutral: bool = False
    volts: Volts | None = None
    receptacles: Count | None = None
    receptacle_a: ReceptacleAmperes | None = None
    floor_area_m2: SquareMetres | None = None
    occupancy: Occupancy | None = None
    strip_m: Metres | None = None
    used_together: bool = False
    duty_pct: DutyPercent | None = None
    motor_generator: bool = False
    nonlinear: bool = False


class Appliance(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """One appliance of a dwelling, by nameplate volt-amperes or amperes.

    `new` tells that it comes with the work, `typical` that its figure is a usual one that nobody
    has read off yet, `motor` that it is driven by one.
    """

    kind: Literal[
        "cooking",
        "dryer",
        "fixed appliance",
        "water heater",
        "cooling",
        "heat pump",
        "supplementary heat",
        "space heat",
        "storage heat",
    ]
    name: Label = ""
    va: VoltAmperes | None = None
    full_load_a: Amperes | None = None
    volts: Literal[120, 208, 240] = 240
    shed_on_standby: bool = False
    new: bool = False
    typical: bool = False
    motor: bool = False


class DwellingLoad(Equipment, frozen=True, kw_only=True, tag="dwelling load"):
    """All that a dwelling uses, entered as people know it instead of circuit by circuit."""

    floor_area_m2: SquareMetres = 0.0
    small_appliance_circuits: Count = 2
    laundry_circuits: Count = 1
    appliances: tuple[Appliance, ...] = ()


class Pedestal(Use, frozen=True, kw_only=True, tag="pedestal"):
    """A supply post for visitors' vehicles or boats.

    `receptacles_a` are the ratings of all receptacles at each of its sites. One that is
    `open_to_public` belongs to a park, one on a `dock` gives shore power. It supplies `sites` of a
    kind, on a dock slips; a lot takes homes of up to `home_va`. `submetered` tells that every slip
    has a meter of its own.
    """

    receptacles_a: tuple[Literal[20, 30, 50, 100], ...] = (30,)
    open_to_public: bool | None = None
    dock: bool = False
    site: Literal["vehicle", "tent", "mobile home"] = "vehicle"
    sites: Annotated[int, Meta(ge=1, le=500)] = 1
    home_va: VoltAmperes | None = None
    submetered: bool = False


class Junction(Point, frozen=True, kw_only=True, tag="junction"):
    """A splice box, handhole or wireway: conductors meet, nothing protects."""


AnyEquipment = (
    UtilitySource
    | Transformer
    | Meter
    | Disconnect
    | Panel
    | TransferSwitch
    | Generator
    | Inverter
    | Battery
    | Charger
    | Motor
    | Load
    | DwellingLoad
    | Pedestal
    | Junction
)
