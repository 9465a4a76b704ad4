"""The records of a project: what each piece, run and setting says of itself.

Every record is frozen and typed. A field left empty (None) means "let the study choose" on new
work and "not known" on what is there already. Bounds are part of the types, so that a file and an
edit are held to the same limits. Units are in the names: `_m` metre, `_mm` millimetre, `_a` ampere,
`_v` volt, `_va` volt-ampere, `_kw` kilowatt, `_kva` kilovolt-ampere, `_ka` kiloampere, `_pct` per
cent, `_c` degree Celsius, `_m2` square metre, `_hp` horsepower.
"""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ampacre.model.system import SystemName

Id = Annotated[str, Meta(min_length=1, max_length=40, pattern=r"^[A-Za-z0-9_-]+$")]
Label = Annotated[str, Meta(max_length=120)]
Text = Annotated[str, Meta(max_length=4000)]
# Ratings have a least value above zero, so that no quotient of them overflows.
Amperes = Annotated[float, Meta(ge=0.001, le=6000)]
Volts = Annotated[float, Meta(ge=1, le=50_000)]
VoltAmperes = Annotated[float, Meta(ge=0, le=1e8)]
KiloAmperes = Annotated[float, Meta(ge=0.001, le=1000)]
Kilo = Annotated[float, Meta(ge=0.001, le=1e5)]
Metres = Annotated[float, Meta(ge=0, le=100_000)]
SquareMetres = Annotated[float, Meta(ge=0, le=1e6)]
Percent = Annotated[float, Meta(ge=0.01, le=100)]
Celsius = Annotated[float, Meta(ge=-60, le=90)]
Ratio = Annotated[float, Meta(ge=0.01, le=100)]
Horsepower = Annotated[float, Meta(ge=0.001, le=1000)]
Count = Annotated[int, Meta(ge=0, le=100)]
Space = Annotated[int, Meta(ge=1, le=126)]
Millimetres = Annotated[float, Meta(ge=-1e6, le=1e6)]
SiteMetres = Annotated[float, Meta(ge=-100_000, le=100_000)]

Owner = Literal["customer", "utility"]
Basis = Literal[
    "connected",
    "general",
    "standard dwelling",
    "optional dwelling",
    "existing dwelling",
    "measured",
    "multifamily optional",
    "two dwellings",
    "farm building",
    "farm",
    "recreational-vehicle park",
    "marina",
    "mobile-home park",
    "mobile home",
]
Occupancy = Literal[
    "armory or auditorium", "automotive", "bank", "barber or beauty shop", "church", "club",
    "convention center", "courthouse", "dormitory", "exercise center", "fire station",
    "commercial garage", "gymnasium", "clinic", "hospital", "hotel or motel", "industrial loft",
    "library", "lodge", "factory", "movie theater", "museum", "office", "parking garage",
    "penitentiary", "performing arts theater", "police station", "post office", "restaurant",
    "retail store", "school", "sports arena", "town hall", "transportation", "warehouse",
    "workshop", "assembly hall", "corridor or stairs", "storage space",
]  # fmt: skip
Role = Literal[
    "utility",
    "service",
    "feeder",
    "branch",
    "tap",
    "transformer secondary",
    "generator output",
    "supply-side source",
]
Position = Literal["normal", "standby", "open", "closed"]
Material = Literal["cu", "al"]
Size = Literal[
    "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0",
    "250", "300", "350", "400", "500", "600", "700", "750", "800", "900", "1000",
]  # fmt: skip
Place = Literal[
    "yard",
    "under driveway",
    "under road",
    "under building",
    "indoors",
    "outdoors",
    "on roof",
    "overhead",
]
TradeSize = Literal[
    "1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4", "5", "6",
]  # fmt: skip
RacewayKind = Literal["pvc", "steel", "aluminum", "direct burial", "cable"]
Insulation = Literal[
    "TW", "THW", "THWN", "THWN-2", "THHN", "XHHW", "XHHW-2", "RHW", "RHW-2", "USE", "USE-2",
    "NM-B", "UF-B", "SER", "SEU",
]  # fmt: skip
Terminal = Literal[60, 75, 90]
DeviceVolts = Literal["120", "120/240", "240", "277/480", "480", "600"]
ReceptacleAmperes = Literal[15, 20, 30, 40, 50, 60]
Degrees = Annotated[float, Meta(ge=0, le=3600)]
Edition = Literal["2017", "2020", "2023"]
Date = Annotated[str, Meta(max_length=10)]
PowerFactor = Annotated[float, Meta(ge=0.1, le=1)]
PaperName = Literal["ANSI B", "ANSI D", "Arch D", "A3", "letter"]
DutyPercent = Literal[20, 30, 40, 50, 60, 70, 80, 90, 100]


class Record(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Anything with an id that stands in a table of the project."""

    id: Id


class Device(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """An overcurrent device: a circuit breaker or a set of fuses.

    `unmarked` tells that it bears no interrupting rating. `series_ka` is what it may interrupt in
    combination with the device ahead of it, `series_basis` who says so. `volts` is its marking: a
    slash rating holds to ground and between lines. `highest_a` is the highest setting of an
    adjustable one, which counts unless `adjustment_locked`.
    """

    kind: Literal["breaker", "fuse"] = "breaker"
    rating_a: Amperes | None = None
    interrupting_ka: KiloAmperes | None = None
    listed_100_pct: bool = False
    unmarked: bool = False
    series_ka: KiloAmperes | None = None
    series_basis: Literal["tested", "engineered"] | None = None
    volts: DeviceVolts | None = None
    highest_a: Amperes | None = None
    adjustment_locked: bool = False
    lockable: bool | None = None


class Conductors(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """The wires of a run: `sets` in parallel, each with these sizes; empty for one of known size.

    `neutral` and `grounding` may say "none": the wire is known not to be there.
    """

    size: Size | None = None
    material: Material | None = None
    insulation: Insulation | None = None
    sets: Annotated[int, Meta(ge=1, le=12)] | None = None
    neutral: Size | Literal["none"] | None = None
    grounding: Size | Literal["none", "raceway"] | None = None
    grounding_material: Material | None = None


class Standing(Record, frozen=True, kw_only=True):
    """What stands for a time: from stage `since` (None: it was there before) until `until`.

    `reuses` names the removed piece or run whose material this one is made of. Equipment and runs
    also have `was`, the record of what stood here before, under the same id, until `since`.
    """

    since: Id | None = None
    until: Id | None = None
    reuses: Id | None = None


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
    what its overload protection is set to.
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


LoadCategory = Literal[
    "lighting",
    "receptacles",
    "multioutlet",
    "show window",
    "sign",
    "track lighting",
    "heat",
    "appliance",
    "kitchen",
    "welder",
    "elevator",
    "other",
]


class Load(Use, frozen=True, kw_only=True, tag="load"):
    """Any other load on a circuit of its own.

    `continuous` left empty is taken as yes. `uses_neutral` matters on circuits of two or three
    legs; a one-leg circuit always uses it. `receptacles` counts those on the circuit, of the
    rating `receptacle_a`; one yoke is one. Lighting may say the `floor_area_m2` that it lights and
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
    """A supply post for a visitor's vehicle or boat, with receptacles of these ratings.

    One that is `open_to_public` belongs to a park, one on a `dock` gives shore power. It supplies
    `sites` of a kind, on a dock slips; a lot takes homes of up to `home_va`. `submetered` tells
    that every slip has a meter of its own.
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


class Segment(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """A part of a run that lies in a raceway, cable or trench shared with other runs."""

    raceway: Id
    length_m: Metres


class Run(Standing, frozen=True, kw_only=True):
    """An edge, from the supplying end to the supplied end.

    The device stands at the supplying end unless `protected_at` says otherwise. `spaces` are those
    of the panel it leaves, and give its legs; a run that leaves anything else says its `legs`, or
    nothing for all of them. `lands_on` matters at a transfer switch. A length of 0 is a joint by bus inside one
    enclosure. `neutral_with` names the circuit whose neutral this one shares. `gfci_protected` tells
    of protection for people at the device or the first outlet, `ground_fault_trip_a` what the
    protection of equipment trips at. An overhead run keeps `clearance_m` over what it `spans`.
    """

    name: Label = ""
    source: Id
    target: Id
    role: Role = "feeder"
    owner: Owner = "customer"
    protected_at: Literal["supply", "load", "none"] = "supply"
    spaces: tuple[Space, ...] = ()
    legs: Literal["", "A", "B", "C", "AB", "BC", "AC", "ABC"] = ""
    lands_on: Literal["normal", "standby"] = "normal"
    device: Device | None = None
    conductors: Conductors = Conductors()
    raceway: RacewayKind | None = None
    trade_size: TradeSize | None = None
    place: Place | None = None
    cover_m: Metres | None = None
    segments: tuple[Segment, ...] = ()
    length_m: Metres | None = None
    ambient_c: Celsius | None = None
    terminal_c: Terminal | None = None
    neutral_with: Id | None = None
    gfci_protected: bool | None = None
    ground_fault_trip_a: Amperes | None = None
    bends_deg: Degrees | None = None
    spans: Literal["walk", "drive", "road"] | None = None
    clearance_m: Metres | None = None
    was: "Run | None" = None


class Structure(Record, frozen=True, kw_only=True):
    """A building or an outdoor spot that equipment stands in.

    `several_supplies` is the reason for more than one service or feeder. `east_m` and `north_m`
    place it on the site, from any point that all structures are measured from.
    `metal_water_pipe` and `steel_frame` tell what there is in it to be bonded.
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


class Answer(Record, frozen=True, kw_only=True):
    """What somebody saw on site, in answer to a keyed question about a place.

    `who` saw it, `when` is the day in ISO 8601; empty where nobody put it down.
    """

    question: Label
    where: Id
    value: Literal["yes", "no", "unknown"]
    note: Text = ""
    who: Label = ""
    when: Label = ""


class ManagedGroup(Record, frozen=True, kw_only=True, tag_field="kind", tag="managed"):
    """Chargers, or groups of them, held under one limit by a listed energy management system."""

    name: Label
    members: tuple[Id, ...]
    limit_a: Amperes
    listed: bool | None = None
    access_restricted: bool | None = None
    fail_safe_a: Amperes | None = None


class NoncoincidentGroup(Record, frozen=True, kw_only=True, tag_field="kind", tag="noncoincident"):
    """Loads of which only one runs at a time."""

    name: Label
    members: tuple[Id, ...]


AnyGroup = ManagedGroup | NoncoincidentGroup


class Placement(Record, frozen=True, kw_only=True):
    """How far a piece (same id) is moved by hand from its tidy place on the drawing."""

    dx_mm: Millimetres = 0.0
    dy_mm: Millimetres = 0.0


class Accepted(Record, frozen=True, kw_only=True):
    """A finding that somebody accepted, and why."""

    rule: Label
    where: Id
    about: Label = ""
    reason: Text
    who: Label = ""
    when: Label = ""


class Stage(Record, frozen=True, kw_only=True):
    """A step of the work; stages follow one another by `order`."""

    name: Label
    order: Annotated[int, Meta(ge=0, le=10_000)] = 0


class State(Record, frozen=True, kw_only=True):
    """Positions of transfer switches and devices (by id of switch or run) in one situation."""

    name: Label
    positions: dict[Id, Position]


class Settings(Record, frozen=True, kw_only=True):
    """What holds for the whole project. There is one, with the id "project".

    `least_cover_m`, `required_material` and `required_insulation` are local amendments: the cover
    that stands for the code's, and the conductors that new work must have. `review_above_a` is the
    service size above which the office wants a seal or a formal review, `ct_above_a` that above
    which the utility meters by current transformers, `single_phase_kva` its largest single-phase
    service. What is said of permits and of the utility is printed as it is entered.
    """

    name: Label = "Untitled property"
    address: Text = ""
    owner: Label = ""
    prepared_by: Label = ""
    jurisdiction: Label = ""
    utility: Label = ""
    scope: Text = ""
    notes: Text = ""
    edition: Edition = "2023"
    units: Literal["us", "metric"] = "us"
    ambient_c: Celsius = 30.0
    feeder_drop_pct: Percent = 3.0
    branch_drop_pct: Percent = 3.0
    total_drop_pct: Percent = 5.0
    least_cover_m: Metres | None = None
    required_material: Material | None = None
    required_insulation: Insulation | None = None
    mixed_optional: Literal["tally", "block"] = "tally"
    optional_chargers: Literal["outside", "inside"] = "outside"
    cooking: Literal["column C", "lesser"] = "column C"
    existing_hvac: Literal["in the pool", "left out"] = "in the pool"
    measured_solar: Literal["gross only", "net over a year"] = "gross only"
    noncoincident_motor: Literal["added", "left out"] = "added"
    unnamed_leg: Literal["one leg", "all legs"] = "one leg"
    why_not_farm: Text = ""
    permit_number: Label = ""
    parcel: Label = ""
    occupancy: Label = ""
    owner_contact: Label = ""
    preparer_contact: Label = ""
    contractor: Label = ""
    licence: Label = ""
    owner_builder: bool | None = None
    engineer: Label = ""
    review_above_a: Amperes | None = None
    copies: Annotated[int, Meta(ge=1, le=20)] | None = None
    paper: PaperName = "ANSI B"
    utility_job: Label = ""
    utility_letter: Label = ""
    service_date: Date = ""
    meter_approval: Label = ""
    ct_above_a: Amperes | None = None
    single_phase_kva: Kilo | None = None
    outage: Label = ""
    easement: Label = ""
    dig_ticket: Label = ""


class Issue(Record, frozen=True, kw_only=True):
    """A set of sheets that was handed in; `digest` is that of the project it was made from."""

    number: Annotated[int, Meta(ge=0, le=10_000)]
    date: Date = ""
    note: Text = ""
    digest: Annotated[str, Meta(max_length=64)] = ""


WORK = "work"
"""Id of the one stage that a new project has."""
