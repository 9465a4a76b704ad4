"""Grounding and bonding conductors by table."""

from ampacre.codebook.tables import Cited, rows

__all__ = ["egc", "gec", "supply_bonding_jumper"]


def egc(device_a: float, material: str) -> Cited[str]:
    """Smallest equipment grounding conductor behind a device (NEC Table 250.122)."""
    for row in rows("egc"):
        if device_a <= float(row["ocpd_a_not_exceeding"]):
            return Cited(row[f"egc_{material}"], "egc_table", int(row["verified"]))
    raise ValueError(f"{device_a:g} A is above the largest device of NEC Table 250.122, 6000 A")


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
