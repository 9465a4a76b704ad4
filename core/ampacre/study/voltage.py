"""Terminal voltages and running currents: the sweep over an island in a named running case."""

import math
from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ampacre.model import records as r
from ampacre.model.system import System
from ampacre.study.behind import source_matrix
from ampacre.study.impedance import HOT_C, Loops, conductor_impedance, transformer_ohms
from ampacre.study.leaves import Limit
from ampacre.study.sweep import (
    CURRENT,
    IMPEDANCE,
    POWER,
    Complexes,
    LoadColumns,
    Plug,
    Zone,
    sweep,
)
from ampacre.study.tally import Key, Tally
from ampacre.study.tree import Tree
from ampacre.study.wires import Wires

__all__ = ["Swept", "hot_ohms", "running"]

OTHER_POWER_FACTOR = 0.85
_RESISTIVE = frozenset(
    {"cooking", "dryer", "water heater", "supplementary heat", "space heat", "storage heat"}
)


class Swept(NamedTuple):
    """Leg voltages at every piece and leg currents of the run that feeds it, by piece."""

    volts: Mapping[str, tuple[complex, ...]]
    amperes: Mapping[str, tuple[complex, ...]]
    converged: bool


def hot_ohms(run: r.Run, wires: Wires) -> tuple[complex, complex]:
    """Impedance of a run's line conductor and of its neutral, one way [ohm]; 0 if not known."""
    line = conductor_impedance(run, wires, wires.size.value, HOT_C)
    neutral = conductor_impedance(run, wires, wires.neutral.value, HOT_C)
    return line or 0j, neutral or 0j


class _Load(NamedTuple):
    at: int
    leg: int
    to: int
    power_va: complex
    nominal_v: float
    model: int


def running(
    sources: Mapping[str, r.AnyEquipment],
    tree: Tree,
    ohms: Mapping[str, tuple[complex, complex]],
    tallies: Mapping[str, Tally],
    limits: Mapping[str, Limit],
    resting: frozenset[str],
    loops: Mapping[str, Loops],
) -> Swept:
    """Solve the case "everything on": all loads at nameplate, chargers at what they may draw.

    `sources` are the root of the island and its transformers, with chosen ratings and `loops`
    behind them. `ohms` are impedances of each run's line conductor and neutral, `tallies` are those
    of the pieces that use power; `resting` are noncoincident pieces that stand still. A dwelling
    runs at its calculated load. Inverters give nothing. A managed group shares its limit, or what
    other load leaves of it, in proportion to its settings.
    """
    roots = [tree.island.root]
    roots += [key for key in tree.island.order if key in sources and key != tree.island.root]
    home, members = _zones_of(tree, roots)
    shares = _managed_shares(tallies, limits)
    starts = [root for root in roots if tree.gives[root].name != "primary"]
    index_of = {root: index for index, root in enumerate(starts)}
    zones = []
    for root in starts:
        order = members[root]
        place = {key: index for index, key in enumerate(order)}
        loads = [
            load
            for key in order
            if key in tallies and key not in resting
            for load in _loads(tallies[key], place[key], tree.gives[root], shares)
        ]
        source = _source(sources[root], tree, root, home, index_of, loops)
        zones.append(_zone(tree, ohms, root, order, loads, home, members, index_of, source))
    if not zones:
        return Swept({}, {}, converged=True)
    solution = sweep(zones)
    volts: dict[str, tuple[complex, ...]] = {}
    amperes: dict[str, tuple[complex, ...]] = {}
    for root, zone_v, zone_a in zip(starts, solution.volts, solution.amperes, strict=True):
        legs = tree.gives[root].legs
        rows = zip(members[root], zone_v.tolist(), zone_a.tolist(), strict=True)
        for key, leg_v, leg_a in rows:
            if key != root:
                amperes[key] = tuple([leg_a[at] for at in _at(legs, tree.arrives[key].legs)])
            if home[key] == root:
                volts[key] = tuple([leg_v[at] for at in _at(legs, tree.gives[key].legs)])
    return Swept(volts, amperes, solution.converged)


@cache
def _at(legs: str, some: str) -> tuple[int, ...]:
    """Where some legs stand among those of a zone."""
    return tuple(legs.index(leg) for leg in some)


def _zones_of(tree: Tree, roots: list[str]) -> tuple[dict[str, str], dict[str, list[str]]]:
    """Which zone each piece is in by its load side, and the pieces of each zone in preorder."""
    home: dict[str, str] = {}
    members: dict[str, list[str]] = {root: [] for root in roots}
    for key in tree.island.order:
        feed = tree.island.feed.get(key)
        home[key] = key if key in members or feed is None else home[feed.parent]
        members[home[key]].append(key)
        if key in members and feed is not None:
            members[home[feed.parent]].append(key)
    return home, members


def _zone(
    tree: Tree,
    ohms: Mapping[str, tuple[complex, complex]],
    root: str,
    order: list[str],
    loads: list[_Load],
    home: Mapping[str, str],
    members: Mapping[str, list[str]],
    index_of: Mapping[str, int],
    source_ohm: Complexes,
) -> Zone:
    system = tree.gives[root]
    count = len(order)
    place = {key: index for index, key in enumerate(order)}
    line = np.zeros((count, len(system.legs)), complex)
    neutral = np.zeros(count, complex)
    end = np.arange(1, count + 1)
    for key in reversed(order):
        index = place[key]
        if key == root:
            continue
        feed = tree.island.feed[key]
        end[place[feed.parent]] = max(end[place[feed.parent]], end[index])
        line[index, :], neutral[index] = ohms[feed.run]
    source_v = np.array(system.leg_v, complex)
    plug = _plug(tree, root, home, members, index_of)
    return Zone(end, line, neutral, source_v, source_ohm, _columns(loads), plug)


def _plug(
    tree: Tree,
    root: str,
    home: Mapping[str, str],
    members: Mapping[str, list[str]],
    index_of: Mapping[str, int],
) -> Plug | None:
    """How a transformer's zone hangs on the one above, if that is solved too.

    A secondary that such a primary can't give stands for itself, at its nominal voltage.
    """
    feed = tree.island.feed.get(root)
    upper = home[feed.parent] if feed else ""
    if upper not in index_of:
        return None
    primary, secondary = tree.arrives[root], tree.gives[root]
    if secondary.phases > primary.phases or secondary.name == "120/208 single-phase":
        return None
    if secondary.phases == 3:
        turns = _three_phase_turns(primary, secondary)
    else:
        legs = tree.gives[upper].legs
        turns = np.zeros((len(secondary.legs), len(legs)))
        across = abs(primary.leg_v[0]) if len(primary.legs) == 1 else primary.line_v
        for index, volt in enumerate(secondary.leg_v):
            turns[index, legs.index(primary.legs[0])] = volt.real / across
            if len(primary.legs) > 1:
                turns[index, legs.index(primary.legs[1])] = -volt.real / across
    return Plug(index_of[upper], members[upper].index(root), turns)


def _three_phase_turns(primary: System, secondary: System) -> NDArray[np.float64]:
    """Each secondary leg to its neutral from the voltages between the primary's legs.

    The tapped unit of a high-leg bank stands between A and C, and gives both of them by halves.
    """
    if secondary.name == "120/240 high-leg":
        found = np.array([[0.5, 0.0, -0.5], [-0.5, 1.0, -0.5], [-0.5, 0.0, 0.5]])
        return found * secondary.line_v / primary.line_v
    found = np.eye(3) - np.roll(np.eye(3), 1, axis=1)
    return found * abs(secondary.leg_v[0]) / primary.line_v


def _source(
    piece: r.Equipment,
    tree: Tree,
    root: str,
    home: Mapping[str, str],
    index_of: Mapping[str, int],
    loops: Mapping[str, Loops],
) -> Complexes:
    """Impedance behind a zone's terminals (L x L) [ohm].

    A transformer under another solved zone has its own alone; otherwise what the fault study's
    loop has beyond the winding lies ahead of it: primary and utility.
    """
    feed = tree.island.feed.get(root)
    system = tree.gives[root]
    if not isinstance(piece, (r.Transformer, r.UtilitySource)):
        return source_matrix(system, 0j)
    loop = loops[root].line_line or 0j
    if system.phases == 3:
        loop /= 2
    if not isinstance(piece, r.Transformer):
        return source_matrix(system, loop)
    winding = transformer_ohms(piece, system, "least") or 0j
    if feed is not None and home[feed.parent] in index_of:
        return source_matrix(system, winding)
    return source_matrix(system, winding, loop - winding if loop else 0j)


def _columns(loads: list[_Load]) -> LoadColumns:
    at, leg, to, power, nominal, model = zip(*loads, strict=True) if loads else ((),) * 6
    return LoadColumns(
        np.array(at, int), np.array(leg, int), np.array(to, int), np.array(power, complex),
        np.array(nominal, float), np.array(model, int),
    )  # fmt: skip


def _managed_shares(tallies: Mapping[str, Tally], limits: Mapping[str, Limit]) -> dict[str, float]:
    """Part of its setting that each member of a managed group may draw, by innermost group."""
    settings: dict[str, float] = {}
    for tally in tallies.values():
        for key, amount in tally.items():
            if key.group in limits:
                settings[key.group] = settings.get(key.group, 0.0) + amount.va

    def wanted(group: str) -> float:
        nested = sum(held(inner) for inner, limit in limits.items() if limit.outer == group)
        return settings.get(group, 0.0) + nested

    def held(group: str) -> float:
        return limits[group].part * min(limits[group].limit_va, wanted(group))

    def share(group: str) -> float:
        own = held(group) / wanted(group) if wanted(group) else 1.0
        outer = limits[group].outer
        return own * share(outer) if outer in limits else own

    return {group: share(group) for group in settings}


def _loads(tally: Tally, at: int, system: System, shares: Mapping[str, float]) -> list[_Load]:
    found: list[_Load] = []
    for key, amount in tally.items():
        power = amount.va * shares.get(key.group, 1.0) * _direction(key)
        model = POWER
        if key.category == "charger":
            model = CURRENT
        elif key.category in ("heat", *_RESISTIVE):
            model = IMPEDANCE
        found += _between(key, power, model, at, system)
    return found


def _direction(key: Key) -> complex:
    """Unit phasor of a load's power: 1.0 for chargers and heat, else 0.85 lagging."""
    if key.category in ("charger", "heat", *_RESISTIVE):
        return 1 + 0j
    return complex(OTHER_POWER_FACTOR, math.sqrt(1 - OTHER_POWER_FACTOR**2))


def _between(key: Key, power: complex, model: int, at: int, system: System) -> list[_Load]:
    """Place a load on its legs: to neutral, or between two.

    On three legs a third of it stands between each two, or, if it uses the neutral, an equal part
    between the neutral and each leg that 120 V (or 277 V) loads may have.
    """
    legs = [system.legs.index(leg) for leg in key.legs]
    lowest = min(abs(volt) for volt in system.leg_v)
    if len(legs) == 3 and key.neutral:
        legs = [leg for leg in legs if abs(system.leg_v[leg]) < lowest + 1]
        return [_Load(at, leg, -1, power / len(legs), lowest, model) for leg in legs]
    if len(legs) == 1:
        return [_Load(at, legs[0], -1, power, abs(system.leg_v[legs[0]]), model)]
    if len(legs) == 2:
        return [_Load(at, legs[0], legs[1], power, system.line_v, model)]
    pairs = ((0, 1), (1, 2), (2, 0))
    return [_Load(at, legs[i], legs[j], power / 3, system.line_v, model) for i, j in pairs]
