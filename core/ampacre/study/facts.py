"""What is known of each piece and run after the passes. Rules, sheets and the screen read these."""

from collections.abc import Mapping
from typing import Generic, Literal, NamedTuple, TypeVar

from msgspec import Struct

from ampacre.model import records as r
from ampacre.model.standing import Work
from ampacre.model.system import System
from ampacre.sizing.fill import Filled
from ampacre.sizing.protection import LargestDevice
from ampacre.sizing.taps import Tap
from ampacre.study.tally import Tally

__all__ = [
    "Ampacity",
    "Chosen",
    "Demand",
    "EquipmentFacts",
    "Fault",
    "FaultLevels",
    "GroundingFacts",
    "How",
    "Line",
    "RacewayFacts",
    "RunFacts",
    "Running",
    "Starting",
    "Voltage",
    "Watched",
    "Worksheet",
]

T = TypeVar("T")

How = Literal["entered", "chosen", "assumed", "unknown"]


class Chosen(NamedTuple, Generic[T]):
    """A value and where it comes from; `why` is the reason of a choice or an assumption."""

    value: T
    how: How = "entered"
    why: str = ""


class Line(Struct, frozen=True):
    """One line of a worksheet. `quantity` and `result` are in `unit`; `factor` has none."""

    label: str
    quantity: float | None = None
    factor: float | None = None
    result: float | None = None
    unit: str = ""
    cite: str = ""
    note: str = ""


class Worksheet(Struct, frozen=True):
    """The line-by-line working of a computed number."""

    title: str
    lines: tuple[Line, ...] = ()


class Demand(Struct, frozen=True):
    """Load at a point by its method, per leg of the point's system in order.

    `calculated_a` is after demand without 125 %; `sizing_a` adds 25 % of the continuous part;
    `neutral_a` is the sizing neutral of NEC 220.61. `balanced` tells that the legs were taken as
    equal because the load is a block.
    """

    method: str
    worksheet: Worksheet
    connected_va: float
    calculated_va: float
    sizing_va: float
    calculated_a: tuple[float, ...]
    sizing_a: tuple[float, ...]
    neutral_a: float
    largest_motor_a: float = 0.0
    balanced: bool = False

    @property
    def heavier_a(self) -> float:
        """Calculated current of the heavier leg [A]."""
        return max(self.calculated_a, default=0.0)

    @property
    def heavier_sizing_a(self) -> float:
        """Sizing current of the heavier leg [A]."""
        return max(self.sizing_a, default=0.0)


class FaultLevels(Struct, frozen=True):
    """Fault currents of one study [kA]; None where the system has no such fault."""

    line_line_ka: float | None = None
    line_neutral_ka: float | None = None
    three_phase_ka: float | None = None
    ground_ka: float | None = None

    @property
    def greatest_ka(self) -> float:
        """The largest of them, 0 where nothing is known."""
        levels = (
            self.line_line_ka,
            self.line_neutral_ka,
            self.three_phase_ka,
            self.ground_ka,
        )
        return max((level for level in levels if level is not None), default=0.0)

    def seen_ka(self, legs: int) -> float:
        """The largest that a device on this many legs may have to interrupt, 0 if not known."""
        if legs > 1:
            return self.greatest_ka
        return max(self.line_neutral_ka or 0.0, self.ground_ka or 0.0) or self.greatest_ka


class Fault(Struct, frozen=True):
    """Both fault studies at a point.

    `greatest` is the maximum study over all states, machines included; `source` the maximum of
    the normal source alone; `least` the minimum study over all states. `machines_ka` is what
    motors and inverters add to the greatest. `at_most` tells that a run on the way is not known, so
    that the greatest is only an upper bound.
    """

    greatest: FaultLevels
    source: FaultLevels
    least: FaultLevels
    machines_ka: float = 0.0
    at_most: bool = False


class Voltage(Struct, frozen=True):
    """Terminal voltages of the running case: each leg's phasor against the neutral [V]."""

    leg_v: tuple[complex, ...]
    lowest_pct: float
    highest_pct: float


class Running(Struct, frozen=True):
    """Currents of the running case: of each leg and of the neutral, None without one [A]."""

    leg_a: tuple[float, ...] = ()
    neutral_a: float | None = None


class Ampacity(Struct, frozen=True):
    """What a run's conductors carry [A]: uncorrected, corrected, and which governs.

    See `sizing.ampacity.ConductorAmpacity`.
    """

    terminal_a: float
    corrected_a: float
    ends: str
    governs: str

    @property
    def allowed_a(self) -> float:
        """The lesser of the two."""
        return min(self.terminal_a, self.corrected_a)


class GroundingFacts(Struct, frozen=True):
    """Grounding and bonding conductors that a service, a separate source or a building needs.

    By the ungrounded conductors `hot` with their material and sets, "" where they were not read:
    then nothing is asked for; `by_load` tells that there are none, and these are what the load
    would need. `electrode` and `jumper` are the smallest sizes by material, "cu" and "al";
    `jumper_kind` is "main bonding jumper" or "system bonding jumper", "" where none belongs.
    `record` is what the project says of the place.
    """

    at: str
    hot: str
    hot_material: str
    hot_sets: int
    electrode: Mapping[str, str]
    jumper: Mapping[str, str]
    jumper_kind: str
    record: r.Grounding | None
    worksheet: Worksheet
    by_load: bool = False


class Starting(Struct, frozen=True):
    """A motor's start across the line: its current [A] and the dip at its terminals [per cent].

    `on` is the generator that supplies it then, "" for the normal supply.
    """

    locked_a: float
    dip_pct: float
    on: str = ""


class Watched(Struct, frozen=True):
    """What a managed group faces that holds all load at a place to its limit.

    `load_a` is the calculated load there with its members at their settings, `uncontrolled_a`
    without them, on the heaviest leg that they are on [A].
    """

    group: str
    limit_a: float
    load_a: float
    uncontrolled_a: float


class EquipmentFacts(Struct, frozen=True):
    """All that is known of one piece.

    `feed` is the run that supplies it in the normal state and `parent` the piece at its other
    end; both None where it is a source or not supplied. `device_ahead_a` is the rating of the
    nearest overcurrent device on its supply side, its own main included; `ahead_unread` tells that
    there is one whose rating was not read. `at_service` tells that it is the first disconnecting
    means behind the service point, `may_bond` that a neutral bond belongs there. `transferred` is
    the demand that stays on a standby supply, at transfer switches. `watched` says what the managed
    groups face that measure here, `starting` how a motor starts on the weaker of its supplies.
    """

    piece: r.Equipment
    work: Work
    supplied: bool
    system: System | None = None
    feed: str | None = None
    parent: str | None = None
    runs_out: tuple[str, ...] = ()
    at_service: bool = False
    ahead_of_service: bool = False
    may_bond: bool = False
    device_ahead_a: float | None = None
    ahead_unread: bool = False
    chosen: Mapping[str, float] = {}
    tally: Tally | None = None
    demand: Demand | None = None
    transferred: Demand | None = None
    watched: tuple[Watched, ...] = ()
    starting: Starting | None = None
    fault: Fault | None = None
    grounding: GroundingFacts | None = None
    missing: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()


class RacewayFacts(Struct, frozen=True):
    """All that is known of a raceway, cable or trench that runs share.

    `runs` lie in it; `current_carrying` counts their conductors that heat it. `fill` is None where
    a size is not known or it is no raceway. `grounding_needed` is the least grounding conductor
    that may serve all the circuits, None for fewer than two. `cover_needed_m` is by the code or a
    local amendment.
    """

    raceway: r.Raceway
    runs: tuple[str, ...]
    current_carrying: int
    kind: Chosen[str | None]
    trade_size: Chosen[str | None]
    fill: Filled | None
    cover: Chosen[float | None]
    cover_needed_m: float | None
    grounding_needed: str | None
    grounding_material: str | None
    worksheet: Worksheet


class RunFacts(Struct, frozen=True):
    """All that is known of one run.

    `system` and `legs` are those of the circuit, `volts` between its legs (or to neutral for one
    leg). Ratings and wires carry where they come from; `protecting_a` is the device whose trip
    protects the conductors (at either end), None where there is none. `drop_pct` is the design
    drop of the run alone, `total_drop_pct` added along the path from the service, with
    `windings_drop_pct` of it in transformers on the way. `ground_a` is the least ground-fault
    current at its far end, `ground_device_a` the device that it has to open, in the state where it
    is fewer times the device; `ground_from` is the generator that it comes from, "" in the normal
    state. `lagging_drop_pct` is the drop of the run with its reactance, were its load at a power
    factor of 0.85. `upsized_from` is the conductor that ampacity alone would have asked for, where
    the drop or the user went beyond it.

    `needed` is the smallest conductor that carries load and device in as many sets, `governs` says
    in words which limit decided the size. `largest_device` is the most that may protect the
    conductors, by NEC 240.4 or 310.12 (None: another article judges it); `met_by_310_12` tells
    that the dwelling table stands for the 125 per cent at the terminals. `tap` is the rule that a
    tap or secondary comes under. `fill` is that of the run's own raceway, `companions` the runs in
    raceways that it shares. `neutral_enlarged` is the least neutral of a feeder by NEC 215.2 where
    its line conductors are enlarged, None for any other. `cover_needed_m` is the least cover where
    it lies in the ground.
    """

    run: r.Run
    work: Work
    supplied: bool
    system: System | None = None
    legs: str = ""
    volts: float = 0.0
    demand: Demand | None = None
    device: Chosen[float | None] = Chosen(None, "unknown")
    interrupting_ka: Chosen[float | None] = Chosen(None, "unknown")
    protecting_a: float | None = None
    size: Chosen[str | None] = Chosen(None, "unknown")
    material: Chosen[str | None] = Chosen(None, "unknown")
    insulation: Chosen[str | None] = Chosen(None, "unknown")
    neutral: Chosen[str | None] = Chosen(None, "unknown")
    grounding: Chosen[str | None] = Chosen(None, "unknown")
    grounding_material: Chosen[str | None] = Chosen(None, "unknown")
    raceway: Chosen[str | None] = Chosen(None, "unknown")
    terminal_c: Chosen[int] = Chosen(75, "assumed")
    ampacity: Ampacity | None = None
    upsized_from: str | None = None
    grounding_needed: str | None = None
    sets: Chosen[int] = Chosen(1, "assumed")
    needed: str | None = None
    governs: str = ""
    largest_device: LargestDevice | None = None
    met_by_310_12: bool = False
    tap: Tap | None = None
    current_carrying: int = 0
    hottest_c: float = 30.0
    wet: bool = True
    neutral_needed: str | None = None
    neutral_enlarged: str | None = None
    place: Chosen[str | None] = Chosen(None, "unknown")
    trade_size: Chosen[str | None] = Chosen(None, "unknown")
    fill: Filled | None = None
    cover: Chosen[float | None] = Chosen(None, "unknown")
    cover_needed_m: float | None = None
    companions: tuple[str, ...] = ()
    drop_v: float | None = None
    drop_pct: float | None = None
    total_drop_pct: float | None = None
    lagging_drop_pct: float | None = None
    windings_drop_pct: float = 0.0
    ground_a: float | None = None
    ground_device_a: float | None = None
    ground_from: str = ""
    worksheet: Worksheet = Worksheet("")
    missing: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()

    @property
    def fill_pct(self) -> float | None:
        """Fill of the run's own raceway [per cent]."""
        return self.fill.fill_pct if self.fill else None

    @property
    def calculated_a(self) -> float:
        """Calculated current of the heavier leg [A]."""
        return self.demand.heavier_a if self.demand else 0.0

    @property
    def sizing_a(self) -> float:
        """Sizing current of the heavier leg [A]."""
        return self.demand.heavier_sizing_a if self.demand else 0.0
