"""Downward: loop impedances from the source to every piece, for one study of one island."""

import math
from collections.abc import Mapping
from typing import Final, Literal, NamedTuple

from ampacre.codebook.transformers import typical_impedance
from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.system import System
from ampacre.sizing.impedance import run_impedance, transformer_impedance
from ampacre.study.bays import Bay
from ampacre.study.behind import Matrix, loop_between, source_matrix, transformed
from ampacre.study.design_drop import HOT_C
from ampacre.study.wires import Wires

__all__ = [
    "COLD_C",
    "CONDUCTORS_C",
    "HOT_C",
    "Bonds",
    "Loops",
    "Studied",
    "added_ohms",
    "conductor_impedance",
    "grounding_and_neutral",
    "loops_of",
    "transformer_ohms",
]

Studied = Literal["greatest", "least"]

COLD_C = 25.0
CONDUCTORS_C: Final[Mapping[Studied, float]] = {"greatest": COLD_C, "least": HOT_C}
"""Temperature of conductors in each study."""
_TYPICAL_X_R = 1.5
_GENERATOR_REACTANCE = {"greatest": 10.0, "least": 25.0}
_GENERATOR_X_R = 20.0


class Loops(NamedTuple):
    """Loop impedances of a fault at a piece's load side [ohm].

    None where there is no such loop or something on the way to it is not known. Line to line, line
    to neutral, and line to ground by the wires that bring a ground-fault current back. A
    three-phase fault sees half the line-to-line loop. `bounded` tells that a run on the way is not
    known and was taken as nothing, so that the fault is less than these give.
    """

    line_line: complex | None
    line_neutral: complex | None
    line_ground: complex | None
    bounded: bool = False


class Bonds(NamedTuple):
    """Bonds of an island that a generator supplies, where the set has none.

    `at` are pieces where neutral and grounding conductors meet. `back` leads from each switch that
    leaves the neutral connected to the bond of the normal supply and back [ohm], None where there
    is no such way or it is not known.
    """

    at: frozenset[str]
    back: Mapping[str, Mapping[Studied, complex | None]]


def conductor_impedance(
    run: r.Run, wires: Wires, size: str | None, temp_c: float, material: str | None = None
) -> complex | None:
    """Impedance of one conductor of a run, one way [ohm]; None where it is not known.

    A run of length 0 is a joint by bus and has none.
    """
    if run.length_m == 0:
        return 0j
    metal = material or wires.material.value
    if size is None or size == "none" or metal is None or run.length_m is None:
        return None
    return run_impedance(size, metal, wires.raceway.value, wires.sets.value, run.length_m, temp_c)


def loops_of(
    bay: Bay,
    settled: Project,
    wires: Mapping[str, Wires],
    above: Loops | None,
    studied: Studied,
    bonds: Bonds | None = None,
) -> dict[str, Loops]:
    """Add up the loops of a bay from the source outward, from those `above` it.

    The greatest study takes conductors cold and what is not known as nothing; the least takes them
    hot and gives no figure beyond what is not known. `bonds` are those of the island where a
    generator supplies it and has none of its own.
    """
    temp_c = CONDUCTORS_C[studied]
    tree = bay.tree
    found: dict[str, Loops] = {}
    for key in bay.keys:
        piece = settled.equipment[key]
        feed = tree.island.feed.get(key)
        if feed is None:
            found[key] = _source_loops(piece, tree.gives[key], studied)
            continue
        run = settled.runs[feed.run]
        system = tree.arrives[key]
        behind = found.get(feed.parent, above)
        assert behind is not None
        ahead = key in tree.ahead or key in tree.at_service
        reached = _through(behind, run, wires[feed.run], piece, system, temp_c, ahead)
        if studied == "greatest":
            no_neutral = wires[feed.run].neutral.value == "none" and run.length_m != 0
            reached = _through_known(behind, reached, system, no_neutral)
        if isinstance(piece, r.Transformer):
            reached = _behind_transformer(piece, reached, system, tree.gives[key], studied)
        found[key] = _at_bond(key, reached, bonds, studied) if bonds else reached
    return found


def _at_bond(key: str, reached: Loops, bonds: Bonds, studied: Studied) -> Loops:
    """Loops at a piece where a ground-fault current finds its way to the neutral, if it does."""
    if key in bonds.at:
        return reached._replace(line_ground=reached.line_neutral)
    if key in bonds.back:
        back = bonds.back[key][studied]
        return reached._replace(line_ground=added_ohms(reached.line_neutral, back))
    return reached


def _through(
    above: Loops,
    run: r.Run,
    wires: Wires,
    piece: r.Equipment,
    system: System,
    temp_c: float,
    ahead: bool,
) -> Loops:
    """Extend each loop by a run: out by a line conductor, back by its fellow."""
    line = conductor_impedance(run, wires, wires.size.value, temp_c)
    neutral = conductor_impedance(run, wires, wires.neutral.value, temp_c)
    if system.name == "primary":
        neutral = line
    bonded = getattr(piece, "neutral_bonded", None)
    back = neutral
    if not ahead:
        back = _grounding_impedance(run, wires, temp_c)
        if wires.grounding.value == "none" and run.length_m:
            # an old three-wire feeder returns by the neutral that is bonded at its far end
            back = neutral if bonded else None
    single = len(system.legs) == 1 and system.name != "primary"
    return Loops(
        None if single else added_ohms(above.line_line, line, line),
        added_ohms(above.line_neutral, line, neutral) if system.neutral else None,
        added_ohms(above.line_ground, line, back),
        above.bounded,
    )


def _through_known(above: Loops, reached: Loops, system: System, no_neutral: bool) -> Loops:
    """For the greatest study, take an unknown run as a joint: the fault behind it is as large."""
    single = len(system.legs) == 1 and system.name != "primary"
    line_line = None if single else reached.line_line or above.line_line
    line_neutral = None
    if system.neutral and not no_neutral:
        line_neutral = reached.line_neutral or above.line_neutral
    taken = (line_line, line_neutral) != (reached.line_line, reached.line_neutral)
    bounded = above.bounded or (taken and system.name != "primary")
    return Loops(line_line, line_neutral, reached.line_ground, bounded)


def added_ohms(above: complex | None, *more: complex | None) -> complex | None:
    """Impedances in a row [ohm]; None where one is not known."""
    if above is None or None in more:
        return None
    return above + sum(part for part in more if part is not None)


def _grounding_impedance(run: r.Run, wires: Wires, temp_c: float) -> complex | None:
    size = wires.grounding.value
    metal = wires.grounding_material.value
    if size == "raceway":
        # a metal raceway carries at least what the table's wire would (common practice)
        size, metal = wires.grounding_needed, "cu"
    return conductor_impedance(run, wires, size, temp_c, metal)


def grounding_and_neutral(run: r.Run, wires: Wires, temp_c: float) -> complex | None:
    """One way by a run's grounding conductor and back by its neutral [ohm]; None if not known."""
    neutral = conductor_impedance(run, wires, wires.neutral.value, temp_c)
    return added_ohms(_grounding_impedance(run, wires, temp_c), neutral)


def _split(ohms: float, x_r: float) -> complex:
    resistance = ohms / math.hypot(1.0, x_r)
    return complex(resistance, resistance * x_r)


def _source_loops(piece: r.Equipment, system: System, studied: Studied) -> Loops:
    if isinstance(piece, r.Generator):
        return _generator_loops(piece, system, studied)
    if not isinstance(piece, r.UtilitySource):
        return Loops(None, None, None)
    fault_ka = piece.fault_ka if studied == "greatest" else piece.fault_min_ka or piece.fault_ka
    if fault_ka is None:
        return Loops(0j, 0j, 0j) if system.name == "primary" else Loops(None, None, None)
    x_r = piece.x_r or _TYPICAL_X_R
    # the utility's figure is line to line, or three-phase where there are three
    per_a = system.line_v / math.sqrt(3) if system.phases == 3 else system.line_v
    return _loops(system, source_matrix(system, _split(per_a / fault_ka / 1000, x_r)))


def _generator_loops(piece: r.Generator, system: System, studied: Studied) -> Loops:
    """Subtransient reactance behind the alternator's terminals, on its kVA.

    Not entered: 10 % for the greatest and 25 % for the least current, the range of such sets
    (common practice).
    """
    kva = piece.kva or piece.kw
    if kva is None:
        return Loops(None, None, None)
    pct = piece.subtransient_pct or _GENERATOR_REACTANCE[studied]
    base = transformer_impedance(kva, system.line_v, pct, _GENERATOR_X_R)
    return _loops(system, source_matrix(system, base))


def _loops(system: System, matrix: Matrix) -> Loops:
    """Loops at the terminals of a source. Without a neutral one leg or the middle is grounded."""
    if len(system.legs) == 1:
        ohms = complex(matrix[0, 0])
        return Loops(ohms, ohms if system.neutral else None, ohms)
    line_line = loop_between(matrix, 0, 1)
    to_middle = complex(matrix[0, 0])
    if system.neutral:
        return Loops(line_line, to_middle, to_middle)
    return Loops(line_line, None, to_middle if system.ground_v < system.line_v else line_line)


def transformer_ohms(piece: r.Transformer, system: System, studied: Studied) -> complex | None:
    """A transformer's impedance on its secondary, for one of the studies; None without its kVA.

    The marked value as it is if read from the nameplate; from a catalogue 0.9 of it for the
    greatest and 1.1 for the least current; not known at all, an end of the range in use.
    """
    if piece.kva is None:
        return None
    typical = typical_impedance(piece.kva, system.phases)
    x_r = piece.x_r or typical.x_r
    if piece.impedance_pct is None:
        pct = typical.low_pct if studied == "greatest" else typical.high_pct
    elif piece.impedance_basis == "nameplate":
        pct = piece.impedance_pct
    else:
        pct = piece.impedance_pct * (0.9 if studied == "greatest" else 1.1)
    return transformer_impedance(piece.kva, system.line_v, pct, x_r)


def _behind_transformer(
    piece: r.Transformer, reached: Loops, primary: System, secondary: System, studied: Studied
) -> Loops:
    """Start the loops afresh on the secondary; what lies ahead is seen through the ratio."""
    ohms = transformer_ohms(piece, secondary, studied)
    one_leg = len(primary.legs) == 1 and primary.name != "primary"
    seen = reached.line_neutral if one_leg else reached.line_line
    if ohms is None or seen is None:
        return Loops(None, None, None)
    ahead = seen * transformed(primary, secondary)
    if secondary.phases == 3:
        ahead /= 2
    behind = _loops(secondary, source_matrix(secondary, ohms, ahead))
    return behind._replace(bounded=reached.bounded)
