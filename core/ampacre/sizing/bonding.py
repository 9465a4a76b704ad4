"""Grounding electrode conductors, bonding jumpers, and the neutral that a service must have.

All by the area of the ungrounded conductors of the service or source, parallel sets together.
"""

from collections.abc import Collection
from typing import Final, NamedTuple

from ampacre.codebook.conductors import area_cmil, size_of_area
from ampacre.codebook.grounding import electrode_limit, gec, supply_bonding_jumper

__all__ = ["Sized", "bonding_jumper", "electrode_conductor"]

_SHARE_BEYOND_TABLE: Final = 0.125
_ALUMINUM_FOR_COPPER: Final = 1750 / 1100
"""Area of aluminum that stands for one of copper: the ends of the two columns of the table."""


class Sized(NamedTuple):
    """A size, the article it comes from, and how far the value is confirmed."""

    size: str
    cite_key: str
    verified: int


def electrode_conductor(
    hot_cmil: float, hot_material: str, material: str, electrodes: Collection[str] = ()
) -> Sized:
    """Smallest grounding electrode conductor of `material` (NEC 250.66).

    `hot_cmil` is the area of the largest ungrounded conductor, its parallel sets together
    [circular mils]. `electrodes` are the kinds at the place, as records name them: where it leads
    only to rods and plates, or to a concrete-encased electrode, it need not be larger than they
    ever require (250.66(A) and (B)). Electrodes not known: the table.
    """
    listed = gec(hot_cmil, hot_material, material)
    found = Sized(listed.value, listed.cite_key, listed.verified)
    limits = [electrode_limit(kind, material) for kind in electrodes]
    known = [limit for limit in limits if limit is not None]
    if not known or len(known) < len(limits):
        return found
    most = max(known, key=lambda limit: area_cmil(limit.value))
    if area_cmil(most.value) < area_cmil(found.size):
        return Sized(most.value, most.cite_key, most.verified)
    return found


def bonding_jumper(hot_cmil: float, hot_material: str, material: str) -> Sized | None:
    """Smallest grounded conductor, main, system or supply-side bonding jumper (NEC 250.102(C)(1)).

    Beyond the table, above 1100 kcmil of copper or 1750 of aluminum: 12.5 per cent of the area,
    for an aluminum jumper of copper conductors as much more as the table's columns differ. None
    where that is more than 2000 kcmil.
    """
    listed = supply_bonding_jumper(hot_cmil, hot_material, material)
    if listed is not None:
        return Sized(listed.value, listed.cite_key, listed.verified)
    mixed = hot_material == "cu" and material == "al"
    needed = _SHARE_BEYOND_TABLE * hot_cmil * (_ALUMINUM_FOR_COPPER if mixed else 1.0)
    size = size_of_area(needed)
    return Sized(size, "supply_bonding_table", 2) if size else None
