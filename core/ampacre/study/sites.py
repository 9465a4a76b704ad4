"""Sites of vehicles, slips of boats and lots of homes: what each counts for, and in which table."""

from ampacre.codebook.demand import rv_site_va
from ampacre.model import records as r
from ampacre.study.tally import Amount, Category, Key, Tally

__all__ = ["LEAST_LOT_VA", "PARKS", "site_tally"]

PARKS: tuple[r.Basis, ...] = ("recreational-vehicle park", "marina", "mobile-home park")
"""Methods that take the sites below them as let to the public, unless a site says otherwise."""
LEAST_LOT_VA = 16_000.0
"""A lot of a mobile-home park: NEC 550.31."""
_SITES = {50: "50A_120_240_or_208Y_120", 30: "30A_plus_20A", 20: "20A_only"}
_LARGE_VOLTS = 240.0
_LARGE_A = 50


def site_tally(piece: r.Pedestal, key: Key, park: r.Basis | None, edition: str) -> Tally:
    """Tally of a pedestal: the highest-rated receptacle of each of its sites, at slips all of them.

    Two receptacles of different voltage for one slip count as the larger (note 1 of the table of
    shore power, whose factor goes by the number of receptacles that count). Sites let to the public
    go by the table of their park. A private pedestal counts whole: the definitions of parks and
    marinas leave it out.
    """
    category, method = _table_of(piece)
    let = piece.open_to_public if piece.open_to_public is not None else park == method
    key = key._replace(category=category if let else "pedestal", neutral=True)
    if category == "slip" and let and piece.submetered:
        key = key._replace(detail="submetered")
    if category == "lot":
        va = max(LEAST_LOT_VA, piece.home_va or 0.0)
        return {key: Amount(va * piece.sites, piece.sites)}
    if not piece.receptacles_a:
        return {}
    counted = _at_slip(piece.receptacles_a) if piece.dock else (max(piece.receptacles_a),)
    if piece.site == "tent" and not piece.dock:
        va = rv_site_va("20A_tent_site", edition).value
    else:
        va = sum(_receptacle_va(rating, edition) for rating in counted)
    return {key: Amount(va * piece.sites, len(counted) * piece.sites)}


def _at_slip(receptacles_a: tuple[int, ...]) -> tuple[int, ...]:
    """Receptacles of one slip that count: from 50 A up they are of 240 V, smaller ones of 120 V."""
    apart = {rating >= _LARGE_A for rating in receptacles_a}
    if len(receptacles_a) == 2 and len(apart) == 2:
        return (max(receptacles_a),)
    return receptacles_a


def _table_of(piece: r.Pedestal) -> tuple[Category, r.Basis]:
    if piece.dock:
        return "slip", "marina"
    if piece.site == "mobile home":
        return "lot", "mobile-home park"
    return "vehicle site", "recreational-vehicle park"


def _receptacle_va(rating_a: int, edition: str) -> float:
    """Load of a receptacle [VA]: NEC 551.73(A); for boats its rating and voltage, the same numbers."""
    if rating_a in _SITES:
        return rv_site_va(_SITES[rating_a], edition).value
    return rating_a * _LARGE_VOLTS
