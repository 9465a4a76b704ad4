"""Downward: fault currents at every piece from the loops, with what machines add."""

from collections.abc import Mapping

from ampacre.model import records as r
from ampacre.model.system import System
from ampacre.study.behind import transformed
from ampacre.study.facts import FaultLevels
from ampacre.study.impedance import COLD_C, Loops, conductor_impedance, transformer_ohms
from ampacre.study.leaves import motor_a
from ampacre.study.tree import Tree
from ampacre.study.wires import Wires

__all__ = ["levels", "machine_ka"]

Pieces = Mapping[str, r.AnyEquipment]
Runs = Mapping[str, r.Run]

MOTOR_FACTOR = 4.0
"""First-cycle contribution of a running motor, times its full-load current (common practice)."""
INVERTER_FACTOR = 1.2
"""What an inverter adds to a fault, times its rated current (common practice)."""
FRACTIONAL_A = 8.0
"""Full-load current of a 1 hp motor at 230 V: smaller single-phase motors are left out."""
_LOCKED_ROTOR = complex(0.35, 0.937)
"""Direction of a motor's impedance at a power factor of 0.35 (from memory)."""


def levels(loops: Loops, system: System) -> FaultLevels:
    """Fault currents of one study from its loops, at nominal voltage [kA].

    I = V_LL / |Z_LL|, V_LN / |Z_LN|, and for three phases V_LL / sqrt(3) over the impedance of
    one leg, which is half the line-to-line loop: NEC 110.9 asks for the largest of them.
    """
    line_line = _kiloamperes(system.line_v, loops.line_line)
    three = None
    if system.phases == 3 and line_line is not None:
        three = line_line * 2 / 3**0.5
    return FaultLevels(
        line_line_ka=line_line if len(system.legs) > 1 else None,
        line_neutral_ka=_kiloamperes(_leg_v(system), loops.line_neutral),
        three_phase_ka=three,
        ground_ka=_kiloamperes(_ground_v(system), loops.line_ground),
    )


def _leg_v(system: System) -> float:
    """Voltage to neutral that the loop belongs to: in a high-leg delta that of the outer legs."""
    return min(abs(volt) for volt in system.leg_v)


def _ground_v(system: System) -> float:
    return _leg_v(system) if system.neutral else system.ground_v


def _kiloamperes(volts: float, ohms: complex | None) -> float | None:
    return volts / abs(ohms) / 1000 if ohms else None


def machine_ka(
    pieces: Pieces, runs: Runs, tree: Tree, wires: Mapping[str, Wires], loops: Mapping[str, Loops]
) -> dict[str, float]:
    """What running motors and inverters add to a line-to-line fault at each piece [kA].

    Motors are impedances behind the system's voltage, seen from the fault through the runs
    between: those below it, and those elsewhere by way of the common source. Single-phase motors
    below 1 hp and drive-fed ones are left out. Inverters add 1.2 times their current anywhere.
    `pieces` has what runs as a machine and the transformers between, with chosen ratings.
    """
    below = _admittance_below(pieces, runs, tree, wires)
    if not any(below.values()):
        motors = dict.fromkeys(tree.island.order, 0.0)
    else:
        motors = _seen_from_faults(pieces, runs, tree, wires, loops, below)
    inverters = _inverter_ka(pieces, tree)
    return {
        key: motors[key] + inverters / tree.gives[key].line_v if motors[key] or inverters else 0.0
        for key in tree.island.order
    }


def _inverter_ka(pieces: Pieces, tree: Tree) -> float:
    """Sum of all inverters as kiloamperes times volts, so that each voltage sees its share."""
    total = 0.0
    for key in tree.island.followers:
        piece = pieces.get(key)
        amperes = getattr(piece, "output_a", None) or 0.0
        total += INVERTER_FACTOR * amperes * tree.arrives[key].line_v / 1000
    return total


def _motor_admittance(piece: r.Equipment | None, system: System) -> complex:
    """Admittance of a motor between two lines [siemens]."""
    if not isinstance(piece, (r.Motor, r.DwellingLoad)) or len(system.legs) < 2:
        return 0j
    if isinstance(piece, r.DwellingLoad):
        amperes = sum(
            a.full_load_a or 0.0 for a in piece.appliances if a.kind in ("cooling", "heat pump")
        )
    else:
        amperes = 0.0 if piece.drive_fed else motor_a(piece, system.legs, system) or 0.0
    if amperes < FRACTIONAL_A and len(system.legs) < 3:
        return 0j
    line_line = amperes * (3**0.5 / 2 if len(system.legs) == 3 else 1.0)
    return MOTOR_FACTOR * line_line / system.line_v / _LOCKED_ROTOR


def _run_loop(runs: Runs, run: str, wires: Mapping[str, Wires]) -> complex:
    ohms = conductor_impedance(runs[run], wires[run], wires[run].size.value, COLD_C)
    return 2 * (ohms or 0j)


def _through(admittance: complex, ohms: complex) -> complex:
    """Admittance seen through an impedance."""
    return admittance / (1 + admittance * ohms) if admittance else 0j


def _upward(
    pieces: Pieces, runs: Runs, tree: Tree, wires: Mapping[str, Wires], key: str, below: complex
) -> complex:
    """Admittance that a piece shows, between two lines, to the one that feeds it."""
    piece = pieces.get(key)
    feed = tree.island.feed[key]
    if _on_one_leg(tree.arrives[key]):
        return 0j
    if isinstance(piece, r.Transformer):
        below = _through(below, _winding_loop(piece, tree.gives[key]) or 0j)
        below *= transformed(tree.arrives[key], tree.gives[key])
    return _through(below, _run_loop(runs, feed.run, wires))


def _on_one_leg(system: System) -> bool:
    return len(system.legs) == 1 and system.name != "primary"


def _winding_loop(piece: r.Transformer, system: System) -> complex | None:
    """A transformer's own part of the line-to-line loop on its secondary [ohm]."""
    ohms = transformer_ohms(piece, system, "greatest")
    if ohms is None:
        return None
    return 2 * ohms if system.phases == 3 else ohms


def _admittance_below(
    pieces: Pieces, runs: Runs, tree: Tree, wires: Mapping[str, Wires]
) -> dict[str, complex]:
    found: dict[str, complex] = {}
    for key in reversed(tree.island.order):
        own = _motor_admittance(pieces.get(key), tree.arrives[key])
        fed = (
            _upward(pieces, runs, tree, wires, child, found[child]) for child in tree.children[key]
        )
        found[key] = own + sum(fed)
    return found


def _seen_from_faults(
    pieces: Pieces,
    runs: Runs,
    tree: Tree,
    wires: Mapping[str, Wires],
    loops: Mapping[str, Loops],
    below: Mapping[str, complex],
) -> dict[str, float]:
    """Compare the fault with motors everywhere with the fault from the source alone [kA]."""
    above: dict[str, complex | None] = {}
    added: dict[str, float] = {}
    for key in tree.island.order:
        source = loops[key].line_line
        feed = tree.island.feed.get(key)
        if feed is None or _on_one_leg(tree.arrives[key]):
            above[key] = source
        else:
            elsewhere = below[feed.parent] - _upward(pieces, runs, tree, wires, key, below[key])
            above[key] = _step(pieces, runs, tree, wires, key, above[feed.parent], elsewhere)
        seen = above[key]
        volts = tree.gives[key].line_v
        if source and seen:
            with_motors = abs(1 / seen + below[key])
            added[key] = max(0.0, volts * (with_motors - 1 / abs(source)) / 1000)
        else:
            added[key] = 0.0
    return added


def _step(
    pieces: Pieces,
    runs: Runs,
    tree: Tree,
    wires: Mapping[str, Wires],
    key: str,
    parent: complex | None,
    elsewhere: complex,
) -> complex | None:
    """Impedance towards the source and all other motors, one piece further out."""
    if parent is None:
        return None
    seen = parent / (1 + parent * elsewhere) + _run_loop(runs, tree.island.feed[key].run, wires)
    piece = pieces.get(key)
    if isinstance(piece, r.Transformer):
        own = _winding_loop(piece, tree.gives[key])
        if own is None:
            return None
        return seen * transformed(tree.arrives[key], tree.gives[key]) + own
    return seen
