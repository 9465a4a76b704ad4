"""How full a raceway is, and the smallest one that will do."""

from collections.abc import Sequence
from typing import NamedTuple

from ampacre.codebook.dimensions import Outside
from ampacre.codebook.raceways import JAM_RATIOS, bore, fill_limit, stocked_sizes

__all__ = ["Filled", "filled", "jam_ratio", "smallest_raceway"]


class Filled(NamedTuple):
    """A raceway with its conductors: areas [in2], fill and its limit [per cent], jam ratio.

    `jam_ratio` is the inside diameter over that of the conductors, where three of them could jam
    at it; None where they could not.
    """

    trade_size: str
    area_in2: float
    fill_pct: float
    limit_pct: float
    jam_ratio: float | None

    @property
    def fits(self) -> bool:
        """Whether the fill is within its limit."""
        return self.fill_pct <= self.limit_pct + 1e-9


def jam_ratio(inside_in: float, wires: Sequence[Outside]) -> float | None:
    """Ratio of diameters of three like conductors pulled together, where it is one that jams.

    From 2.8 to 3.2 (NEC Chapter 9 Table 1, informational note 2); with another number of
    conductors, or unlike ones, it is unlikely.
    """
    if len(wires) != 3 or len({wire.diameter_in for wire in wires}) > 1:
        return None
    ratio = inside_in / wires[0].diameter_in
    low, high = JAM_RATIOS
    return ratio if low <= ratio <= high else None


def filled(
    kind: str, trade_size: str, wires: Sequence[Outside], *, nipple: bool = False
) -> Filled | None:
    """Fill of a raceway with conductors of any sizes (NEC Chapter 9 Tables 1 and 4, note 6).

    None where the raceway is not made in this size.
    """
    inside = bore(kind, trade_size)
    if inside is None:
        return None
    area_in2 = sum(wire.area_in2 for wire in wires)
    return Filled(
        trade_size,
        area_in2,
        100 * area_in2 / inside.value.area_in2,
        fill_limit(len(wires), nipple=nipple).value,
        jam_ratio(inside.value.diameter_in, wires),
    )


def smallest_raceway(
    kind: str, wires: Sequence[Outside], *, nipple: bool = False, may_jam: bool = True
) -> Filled | None:
    """Smallest trade size that the conductors fill within the limit.

    `may_jam` false passes over one in which three of them could jam. None where no size is large
    enough, or `kind` is no raceway.
    """
    area_in2 = sum(wire.area_in2 for wire in wires)
    part = fill_limit(len(wires), nipple=nipple).value / 100
    for size in stocked_sizes(kind):
        inside = bore(kind, size)
        if inside is None or inside.value.area_in2 * part < area_in2:
            continue
        found = filled(kind, size, wires, nipple=nipple)
        if found is not None and found.fits and (may_jam or found.jam_ratio is None):
            return found
    return None
