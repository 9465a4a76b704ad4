"""Grounding and bonding conductors by table."""

from functools import cache
from typing import Final

from ampacre.codebook.tables import Cited, rows

__all__ = ["egc", "electrode_limit", "gec", "supply_bonding_jumper"]


@cache
def egc(device_a: float, material: str) -> Cited[str] | None:
    """Smallest equipment grounding conductor behind a device (NEC Table 250.122).

    None behind a device above 6000 A, where the table ends.
    """
    for row in rows("egc"):
        if device_a <= float(row["ocpd_a_not_exceeding"]):
            return Cited(row[f"egc_{material}"], "egc_table", int(row["verified"]))
    return None


def gec(hot_cmil: float, hot_material: str, material: str) -> Cited[str]:
    """Smallest grounding electrode conductor (NEC Table 250.66).

    `hot_cmil` is the area of the largest ungrounded conductor, of all parallel sets together
    [circular mils]; `material` is that of the electrode conductor.
    """
    for row in rows("gec"):
        limit = row[f"{hot_material}_up_to_cmil"]
        if not limit or hot_cmil <= float(limit):
            return Cited(row[f"gec_{material}"], "gec_table", int(row["verified"]))
    raise AssertionError("the last row of the table has no upper end")


def supply_bonding_jumper(hot_cmil: float, hot_material: str, material: str) -> Cited[str] | None:
    """Smallest grounded conductor, main or supply-side bonding jumper (NEC Table 250.102(C)(1)).

    Arguments as for `gec`. None above 1100 kcmil copper or 1750 kcmil aluminum, where 12.5 per
    cent of the ungrounded area is needed instead.
    """
    for row in rows("supply_bonding"):
        limit = row[f"{hot_material}_up_to_cmil"]
        if limit and hot_cmil <= float(limit):
            return Cited(row[f"jumper_{material}"], "supply_bonding_table", int(row["verified"]))
    return None


_ELECTRODES: Final = {
    "rod": ("rod_pipe_plate", "electrode_rod"),
    "plate": ("rod_pipe_plate", "electrode_rod"),
    "concrete-encased": ("concrete_encased", "electrode_encased"),
}


def electrode_limit(kind: str, material: str) -> Cited[str] | None:
    """Largest electrode conductor that is ever required to one kind of electrode alone.

    NEC 250.66(A) and (B): 6 AWG copper or 4 AWG aluminum to rods and plates, 4 AWG copper to a
    concrete-encased electrode. None for the others, to which the table applies in full; a ring's
    own size, 2 AWG or larger, limits the conductor to it (250.66(C)), but is not known here.
    """
    item, cite_key = _ELECTRODES.get(kind, ("", ""))
    for row in rows("gec_special_electrodes"):
        if row["electrode"] == item and row[f"max_required_{material}"]:
            return Cited(row[f"max_required_{material}"], cite_key, int(row["verified"]))
    return None
