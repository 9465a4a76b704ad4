"""What joins pieces: overcurrent devices, conductors and the runs that they belong to."""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ampacre.model.records.bounds import (
    Amperes,
    Celsius,
    Degrees,
    DeviceVolts,
    Id,
    Insulation,
    KiloAmperes,
    Label,
    Material,
    Metres,
    Owner,
    Place,
    RacewayKind,
    Role,
    Size,
    Space,
    Terminal,
    TradeSize,
)
from ampacre.model.records.record import Standing

__all__ = ["Conductors", "Device", "Run", "Segment"]


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


class Segment(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """A part of a run that lies in a raceway, cable or trench shared with other runs."""

    raceway: Id
    length_m: Metres


class Run(Standing, frozen=True, kw_only=True):
    """An edge, from the supplying end to the supplied end.

    The device stands at the supplying end unless `protected_at` says otherwise. `spaces` are those
    of the panel it leaves, and give its legs; a run that leaves anything else says its `legs`, or
    nothing for all of them. `lands_on` matters at a transfer switch. A length of 0 is a joint by
    bus inside one enclosure. `neutral_with` names the circuit whose neutral this one shares.
    `gfci_protected` tells of protection for people at the device or the first outlet,
    `ground_fault_trip_a` what the protection of equipment trips at. An overhead run keeps
    `clearance_m` over what it `spans`.
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
