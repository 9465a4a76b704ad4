"""Cover over wiring in the ground."""

from functools import cache
from typing import Final

from ampacre.codebook.tables import Cited, rows

__all__ = ["DUG_DEEPER_M", "least_cover_m", "underground"]

METRES_PER_IN: Final = 0.0254

DUG_DEEPER_M: Final = 12 * METRES_PER_IN
"""Trenches are dug about a foot deeper than the least cover (common practice, from memory)."""

_LOCATIONS: Final = {
    "yard": "all_other",
    "under driveway": "dwelling_driveway",
    "under road": "roads_parking",
    "under building": "under_building",
}
"""Rows of the table by place. Only the drives of one- and two-family dwellings have a row of their
own; any other drive is a road."""

_COLUMNS: Final = {
    "direct burial": "c1_direct_burial",
    "cable": "c1_direct_burial",
    "steel": "c2_rmc_imc",
    "aluminum": "c2_rmc_imc",
    "imc": "c2_rmc_imc",
    **dict.fromkeys(("emt", "fmc", "lfmc", "pvc", "pvc 80", "lfnc", "ent"), "c3_nonmetallic"),
}
"""Columns of the table: thin-wall and flexible metal is no rigid metal conduit, but one of the "other
approved raceways"."""
_SMALL_BRANCH: Final = "c4_res_120v_gfci"


def underground(place: str) -> bool:
    """Whether a place is in the ground."""
    return place in _LOCATIONS


@cache
def least_cover_m(place: str, raceway: str, *, small_branch: bool = False) -> Cited[float] | None:
    """Least cover to finished grade [m] (NEC Table 300.5(A)); None above ground.

    `small_branch` is a residential branch circuit of 120 V or less behind a GFCI device of 20 A at
    most, which has a column of its own; the lesser depth of the two then counts (note 4).
    """
    location = _LOCATIONS.get(place)
    if location is None:
        return None
    columns = [_COLUMNS[raceway]] + ([_SMALL_BRANCH] if small_branch else [])
    found = [
        (float(row["min_cover_in"]) * METRES_PER_IN, int(row["verified"]))
        for row in rows("burial_cover")
        if row["location_id"] == location and row["wiring_column_id"] in columns
    ]
    cover_m, verified = min(found)
    return Cited(cover_m, "cover_table", verified)
