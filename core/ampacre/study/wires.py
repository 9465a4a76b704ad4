"""Downward: device, conductors, neutral and grounding conductor of each run, chosen or checked.

A choice reads given values and earlier steps only: the device comes from the sizing current, the
conductors from the device, and the drop limit of this run at nominal voltage may enlarge them.
"""

from typing import NamedTuple

from ampacre.codebook.articles import cite
from ampacre.codebook.conductors import SIZES, ampacity, area_cmil
from ampacre.codebook.devices import next_standard
from ampacre.model import records as r
from ampacre.model.standing import Work
from ampacre.model.system import System
from ampacre.sizing.ampacity import ASSUMED_INSULATION, conductor_ampacity
from ampacre.sizing.conductor import smallest_size
from ampacre.sizing.grounding import grounding_size
from ampacre.sizing.impedance import run_impedance
from ampacre.study.facts import Ampacity, Chosen, Demand, Line

__all__ = ["Circuit", "Wires", "design_drop", "wires_of"]

MOTOR_DEVICE_FACTOR = 2.5
"""Inverse-time breaker of a motor circuit: NEC Table 430.52."""
HOT_C = 75.0
HOT_AS_COLUMN = 75
"""Conductor temperature of the drop, and the ampacity column that new work may use."""


class Circuit(NamedTuple):
    """All that the choice of a run's device and wires depends on."""

    run: r.Run
    work: Work
    system: System
    demand: Demand
    to_motor: bool
    uses_neutral: bool
    device_ahead_a: float | None
    load_end_device_a: float | None
    drop_limit_pct: float
    ambient_c: float
    edition: str


class Wires(NamedTuple):
    """Device and conductors of a run, each with where it comes from."""

    device: Chosen[float | None]
    protecting_a: float | None
    size: Chosen[str | None]
    material: Chosen[str | None]
    insulation: Chosen[str | None]
    neutral: Chosen[str | None]
    grounding: Chosen[str | None]
    grounding_material: Chosen[str | None]
    raceway: Chosen[str | None]
    terminal_c: Chosen[int]
    ampacity: Ampacity | None
    upsized_from: str | None
    grounding_needed: str | None
    lines: tuple[Line, ...]
    missing: tuple[str, ...]


_NOTHING: Chosen[str | None] = Chosen(None, "unknown")


def wires_of(circuit: Circuit) -> Wires:
    """Choose or check one run."""
    run = circuit.run
    device, protecting_a = _device(circuit)
    material = _material(circuit, protecting_a)
    raceway = _raceway(circuit)
    wet = raceway.value in ("pvc", "direct burial")
    insulation = _insulation(circuit, raceway.value)
    terminal = _terminal(circuit, protecting_a)
    lines: list[Line] = []
    missing: list[str] = []
    if device.how == "unknown" and run.protected_at == "supply":
        missing.append("rating of the device at its supply end")
    needed = None
    if material.value is not None:
        needed = smallest_size(
            circuit.demand.heavier_sizing_a, circuit.demand.heavier_a, _protects(circuit, protecting_a),
            material.value, insulation=insulation.value, terminal_c=terminal.value,
            ambient_c=circuit.ambient_c, wet=wet, sets=run.conductors.sets,
            edition=circuit.edition, round_up=run.role not in ("tap", "transformer secondary"),
        )  # fmt: skip
    size = _size(circuit, needed, material.value, raceway.value)
    if size.how == "unknown":
        missing.append(
            "conductor size" if circuit.work != "new" else "a conductor that is large enough"
        )
    if size.value is not None and material.how == "unknown":
        missing.append("conductor metal")
    carried = _ampacity(circuit, size.value, material.value, insulation.value, terminal.value, wet)
    if carried is not None:
        lines += _ampacity_lines(circuit, carried, size, needed)
    reference = needed
    if size.value is None or needed is None or area_cmil(size.value) <= area_cmil(needed):
        reference = size.value
    grounding, grounding_material, grounding_needed = _grounding(
        circuit, protecting_a, size.value, material.value, reference, lines
    )
    if grounding.how == "unknown":
        missing.append("grounding conductor")
    neutral = _neutral(circuit, size.value, material.value, grounding_needed)
    if neutral.how == "unknown":
        missing.append("neutral")
    return Wires(
        device=device,
        protecting_a=protecting_a,
        size=size,
        material=material,
        insulation=insulation,
        neutral=neutral,
        grounding=grounding,
        grounding_material=grounding_material,
        raceway=raceway,
        terminal_c=terminal,
        ampacity=carried,
        upsized_from=reference if reference != size.value else None,
        grounding_needed=grounding_needed,
        lines=tuple(lines),
        missing=tuple(missing),
    )


def _device(circuit: Circuit) -> tuple[Chosen[float | None], float | None]:
    """The device of the run and the rating that protects its conductors, at either end."""
    run = circuit.run
    if run.protected_at == "supply":
        if run.device is not None and run.device.rating_a is not None:
            return Chosen(run.device.rating_a), run.device.rating_a
        if circuit.work != "new" or not circuit.demand.heavier_sizing_a:
            return Chosen(None, "unknown"), None
        wanted = circuit.demand.heavier_sizing_a
        why = f"next standard rating above {wanted:.1f} A"
        if circuit.to_motor:
            wanted = MOTOR_DEVICE_FACTOR * circuit.demand.heavier_a
            why = "next standard rating above 250 % of the motor's current"
        rating = next_standard(max(15.0, wanted), circuit.edition)
        if rating is None:
            return Chosen(None, "unknown", "beyond the largest standard rating: divide the load"), None
        return Chosen(rating, "chosen", why), rating
    if run.protected_at == "load":
        return Chosen(None, "entered"), circuit.load_end_device_a
    ahead = circuit.device_ahead_a if run.role in ("feeder", "branch") else None
    return Chosen(None, "entered"), ahead


def _protects(circuit: Circuit, protecting_a: float | None) -> float | None:
    """The device that the conductors must be able to have; motor circuits have their own rule."""
    if circuit.to_motor or circuit.run.role in ("service", "utility"):
        return None
    return protecting_a


def _material(circuit: Circuit, protecting_a: float | None) -> Chosen[str | None]:
    run = circuit.run
    if run.conductors.material is not None:
        return Chosen(run.conductors.material)
    if circuit.work != "new":
        return _NOTHING
    if (protecting_a or 0.0) >= 60.0 and run.role != "branch":
        return Chosen("al", "chosen", "common practice for feeders")
    return Chosen("cu", "chosen", "common practice for branch circuits")


def _raceway(circuit: Circuit) -> Chosen[str | None]:
    if circuit.run.raceway is not None:
        return Chosen(circuit.run.raceway)
    if circuit.work == "new":
        return Chosen("pvc", "chosen", "common practice outdoors and underground")
    return Chosen(None, "assumed", "taken as plastic raceway")


def _insulation(circuit: Circuit, raceway: str | None) -> Chosen[str | None]:
    if circuit.run.conductors.insulation is not None:
        return Chosen(circuit.run.conductors.insulation)
    if circuit.work == "new":
        kind = "USE-2" if raceway == "direct burial" else ASSUMED_INSULATION
        return Chosen(kind, "chosen", "90 C wire for wet places")
    return Chosen(ASSUMED_INSULATION, "assumed", "verify in field")


def _terminal(circuit: Circuit, protecting_a: float | None) -> Chosen[int]:
    """Termination column: 75 C is a purchase condition for new work (NEC 110.14(C))."""
    if circuit.run.terminal_c is not None:
        return Chosen(circuit.run.terminal_c)
    if circuit.work == "new" or (protecting_a or 0.0) > 100.0:
        return Chosen(75, "assumed", "buy equipment listed for 75 C terminals")
    return Chosen(60, "assumed", "existing up to 100 A: verify in field")


def _size(
    circuit: Circuit, needed: str | None, material: str | None, raceway: str | None
) -> Chosen[str | None]:
    run = circuit.run
    if run.conductors.size is not None:
        return Chosen(run.conductors.size)
    if circuit.work != "new" or needed is None or material is None:
        return _NOTHING
    if run.length_m is None:
        return Chosen(needed, "chosen", "by ampacity; its length is not entered")
    for size in SIZES[SIZES.index(needed) :]:
        if ampacity(size, material, HOT_AS_COLUMN) is None:
            continue
        z = run_impedance(size, material, raceway, run.conductors.sets, run.length_m, HOT_C)
        neutral = z if circuit.uses_neutral else None
        drop = design_drop(circuit.demand.calculated_a, circuit.system, z, neutral)
        if drop <= circuit.drop_limit_pct:
            why = "by ampacity" if size == needed else f"for {circuit.drop_limit_pct:g} % drop"
            return Chosen(size, "chosen", why)
    return Chosen(needed, "chosen", "by ampacity; no single conductor meets the drop limit")


def _ampacity(
    circuit: Circuit,
    size: str | None,
    material: str | None,
    insulation: str | None,
    terminal_c: int,
    wet: bool,
) -> Ampacity | None:
    if size is None or material is None:
        return None
    found = conductor_ampacity(
        size, material, insulation=insulation, terminal_c=terminal_c,
        ambient_c=circuit.ambient_c, wet=wet, sets=circuit.run.conductors.sets,
    )  # fmt: skip
    return Ampacity(found.terminal_a, found.corrected_a, found.governs) if found else None


def _ampacity_lines(
    circuit: Circuit, carried: Ampacity, size: Chosen[str | None], needed: str | None
) -> list[Line]:
    edition = circuit.edition
    demand = circuit.demand
    lines = [
        Line("Sizing current", None, None, demand.heavier_sizing_a, "A"),
        Line(
            "Ampacity at the terminations", None, None, carried.terminal_a, "A",
            cite("terminations", edition),
        ),
        Line("Calculated current", None, None, demand.heavier_a, "A"),
        Line(
            "Ampacity of the insulation, corrected", None, None, carried.corrected_a, "A",
            cite("ampacity_table", edition), note=f"governs: {carried.governs}",
        ),
    ]  # fmt: skip
    if needed is not None:
        why = f"conductor is {size.value}, {size.why or size.how}"
        lines.append(Line(f"Smallest conductor that would do: {needed}", note=why))
    return lines


def _grounding(
    circuit: Circuit,
    protecting_a: float | None,
    size: str | None,
    material: str | None,
    reference: str | None,
    lines: list[Line],
) -> tuple[Chosen[str | None], Chosen[str | None], str | None]:
    """Grounding conductor, its metal, and the size it would have to be."""
    wires = circuit.run.conductors
    metal: Chosen[str | None] = Chosen(wires.grounding_material)
    if wires.grounding_material is None:
        metal = Chosen(material, "chosen" if circuit.work == "new" else "assumed", "as the others")
    without = circuit.run.role in ("utility", "service", "transformer secondary")
    if without and wires.grounding is None:
        return Chosen("none", "chosen", "grounded conductor serves up to the bond"), metal, None
    needed = None
    known = size is not None and reference is not None and material is not None
    if known and protecting_a is not None and metal.value is not None and not without:
        assert size is not None
        assert reference is not None
        assert material is not None
        found = grounding_size(
            protecting_a, metal.value, hot_size=size, hot_material=material,
            hot_needed_size=reference, hot_sets=wires.sets,
        )  # fmt: skip
        needed = found.size
        note = f"table gives {found.table_size}"
        if found.ratio > 1:
            note += f", enlarged {found.ratio:.4f} times as the conductors are beyond {reference}"
        article = "egc_upsizing" if found.ratio > 1 else "egc_table"
        lines.append(
            Line(
                f"Grounding conductor: {needed} or larger", None, None, found.needed_cmil, "cmil",
                cite(article, circuit.edition), note,
            )
        )  # fmt: skip
    if wires.grounding is not None:
        return Chosen(wires.grounding), metal, needed
    if circuit.work == "new" and needed is not None:
        return Chosen(needed, "chosen", "by table and enlargement"), metal, needed
    return _NOTHING, metal, needed


def _neutral(
    circuit: Circuit, size: str | None, material: str | None, grounding: str | None
) -> Chosen[str | None]:
    """Neutral by NEC 220.61, not below the grounding conductor's size (215.2(A)(2))."""
    wires = circuit.run.conductors
    if wires.neutral is not None:
        return Chosen(wires.neutral)
    if not circuit.uses_neutral or not circuit.system.neutral:
        return Chosen("none", "chosen", "nothing uses it")
    if circuit.work != "new" or size is None or material is None:
        return _NOTHING
    if circuit.run.role == "branch" or len(circuit.system.legs) == 1:
        return Chosen(size, "chosen", "as the circuit's conductors")
    floor = area_cmil(grounding) if grounding else 0.0
    for candidate in SIZES[: SIZES.index(size) + 1]:
        carried = ampacity(candidate, material, HOT_AS_COLUMN)
        enough = carried is not None and carried.value * wires.sets >= circuit.demand.neutral_a
        if enough and area_cmil(candidate) >= floor:
            return Chosen(candidate, "chosen", f"{circuit.demand.neutral_a:.0f} A by 220.61")
    return Chosen(size, "chosen", "full size")


def design_drop(
    calculated_a: tuple[float, ...], system: System, line: complex, neutral: complex | None
) -> float:
    """Voltage drop of a run in per cent of leg voltage: heavier leg with its neutral.

    Resistances only, as a calculated current has no phase of its own: the trade's form
    I R, doubled by the way back (common practice; NEC 215.2 informational note for the limit).
    The neutral carries the phasor sum of the legs that loads to neutral may be on: the difference
    of the legs in a split-phase system and of the two outer legs of a high-leg delta. Without a
    neutral the drop is that between lines, over the line voltage.
    """
    heavier = max(calculated_a, default=0.0)
    if system.neutral and neutral is not None:
        leg_v = min(abs(volt) for volt in system.leg_v)
        amperes = zip(calculated_a, system.leg_v, strict=True)
        neutral_a = abs(sum(a * volt / leg_v for a, volt in amperes if abs(volt) < leg_v + 1))
        return 100 * (heavier * line.real + neutral_a * neutral.real) / leg_v
    if len(system.legs) == 1:
        return 100 * heavier * 2 * line.real / abs(system.leg_v[0])
    leg_v = system.line_v / (2 if len(system.legs) == 2 else 3**0.5)
    return 100 * heavier * line.real / leg_v
