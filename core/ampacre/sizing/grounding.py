"""The equipment grounding conductor of a run, and one that several circuits share."""

from collections.abc import Iterable
from functools import lru_cache

from msgspec import Struct

from ampacre.codebook.conductors import area_cmil, size_of_area
from ampacre.codebook.grounding import egc

__all__ = ["GroundingSize", "grounding_size", "shared_grounding"]


class GroundingSize(Struct, frozen=True):
    """A grounding conductor and how it came about.

    `table_size` is that of NEC Table 250.122, `ratio` the enlargement of the ungrounded
    conductors by area (1 where there is none), `needed_cmil` the area after it [circular mils].
    """

    size: str
    table_size: str
    ratio: float
    needed_cmil: float


@lru_cache(maxsize=4096)
def grounding_size(
    device_a: float,
    material: str,
    *,
    hot_size: str,
    hot_material: str,
    hot_needed_size: str,
    hot_sets: int = 1,
    hot_needed_sets: int | None = None,
) -> GroundingSize | None:
    """Smallest wire-type equipment grounding conductor of `material` (NEC 250.122(A) and (B)).

    Where the ungrounded conductors are larger than `hot_needed_size`, the size that ampacity
    alone asks for (in `hot_needed_sets`; as many as there are unless said), the table's area grows
    in the same proportion; the ratio is never rounded.
    It need not be larger than the ungrounded conductors, all `hot_sets` together. None beyond the
    tables: a device above 6000 A, or more than 2000 kcmil.
    """
    listed = egc(device_a, material)
    if listed is None:
        return None
    hot_cmil = area_cmil(hot_size) * hot_sets
    enough_cmil = area_cmil(hot_needed_size) * (hot_needed_sets or hot_sets)
    ratio = max(1.0, hot_cmil / enough_cmil)
    # Multiply before dividing: an area that comes out even stays even.
    needed_cmil = area_cmil(listed.value)
    if ratio > 1.0:
        needed_cmil = needed_cmil * hot_cmil / enough_cmil
    if material == hot_material:
        needed_cmil = min(needed_cmil, hot_cmil)
    size = size_of_area(needed_cmil)
    return GroundingSize(size, listed.value, ratio, needed_cmil) if size else None


def shared_grounding(circuits: Iterable[GroundingSize]) -> GroundingSize | None:
    """One grounding conductor for several circuits of a raceway, cable or trench.

    The largest of what each of them asks for, its device and its enlargement considered
    (NEC 250.122(B) and (C)). None for no circuits.
    """
    return max(circuits, key=lambda one: area_cmil(one.size), default=None)
