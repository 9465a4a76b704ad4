"""The equipment grounding conductor of a run."""

from msgspec import Struct

from ampacre.codebook.conductors import area_cmil, size_of_area
from ampacre.codebook.grounding import egc

__all__ = ["GroundingSize", "grounding_size"]


class GroundingSize(Struct, frozen=True):
    """A grounding conductor and how it came about.

    `table_size` is that of NEC Table 250.122, `ratio` the enlargement of the ungrounded
    conductors by area (1 where there is none), `needed_cmil` the area after it [circular mils].
    """

    size: str
    table_size: str
    ratio: float
    needed_cmil: float


def grounding_size(
    device_a: float,
    material: str,
    *,
    hot_size: str,
    hot_material: str,
    hot_needed_size: str,
    hot_sets: int = 1,
) -> GroundingSize:
    """Smallest wire-type equipment grounding conductor of `material` (NEC 250.122(A) and (B)).

    Where the ungrounded conductors are larger than `hot_needed_size`, the size that ampacity
    alone asks for, the table's area grows in the same proportion; the ratio is never rounded.
    It need not be larger than the ungrounded conductors, all `hot_sets` together.
    """
    table_size = egc(device_a, material).value
    ratio = max(1.0, area_cmil(hot_size) / area_cmil(hot_needed_size))
    # Multiply before dividing: an area that comes out even stays even.
    needed_cmil = area_cmil(table_size)
    if ratio > 1.0:
        needed_cmil = needed_cmil * area_cmil(hot_size) / area_cmil(hot_needed_size)
    if material == hot_material:
        needed_cmil = min(needed_cmil, area_cmil(hot_size) * hot_sets)
    size = size_of_area(needed_cmil)
    if size is None:
        raise ValueError(
            f"a grounding conductor of {needed_cmil:,.0f} circular mils is beyond the largest "
            "conductor, 2000 kcmil: use more than one"
        )
    return GroundingSize(size, table_size, ratio, needed_cmil)
