"""The smallest conductor that carries a load behind its device."""

from typing import Final

from ampacre.codebook.conductors import SIZES
from ampacre.sizing.ampacity import conductor_ampacity
from ampacre.sizing.protection import largest_device_a

__all__ = ["smallest_size"]

_SMALLEST_IN_PARALLEL: Final = "1/0"


def smallest_size(
    sizing_a: float,
    calculated_a: float,
    device_a: float | None,
    material: str,
    *,
    insulation: str | None,
    terminal_c: int,
    ambient_c: float,
    wet: bool,
    sets: int,
    edition: str,
    current_carrying: int = 3,
    round_up: bool = True,
) -> str | None:
    """Smallest trade size that fits; None when nothing in the table does.

    The termination column must carry `sizing_a` [A], the corrected ampacity `calculated_a` [A]
    (NEC 210.19, 215.2, 230.42), and the device of rating `device_a` [A] must be one that the
    conductor may have (240.4; None where no device at the supply end protects it). Parallel
    sets start at 1/0 AWG (310.10(G); 2017: 310.10(H)).
    """
    first = SIZES.index(_SMALLEST_IN_PARALLEL) if sets > 1 else 0
    for size in SIZES[first:]:
        ampacity = conductor_ampacity(
            size,
            material,
            insulation=insulation,
            terminal_c=terminal_c,
            ambient_c=ambient_c,
            wet=wet,
            sets=sets,
            current_carrying=current_carrying,
        )
        if (
            ampacity is None
            or ampacity.terminal_a < sizing_a
            or ampacity.corrected_a < calculated_a
        ):
            continue
        if device_a is None:
            return size
        largest = largest_device_a(ampacity.allowed_a, size, material, edition, round_up=round_up)
        if largest.rating_a >= device_a:
            return size
    return None
