"""Load that no one method takes whole: Part III, with blocks for what a method keeps together."""

from ampacre.codebook.articles import cite
from ampacre.study.existing_dwelling import existing_shares, is_new
from ampacre.study.farm import building_share, buildings
from ampacre.study.general import part_three
from ampacre.study.multifamily import flats_of, multifamily_shares
from ampacre.study.optional_dwelling import dwelling_load, optional_shares
from ampacre.study.shares import Share, block_share
from ampacre.study.tally import Tally
from ampacre.study.terms import Case

__all__ = ["block_va", "kept_dwellings", "mixed_shares"]


def kept_dwellings(case: Case) -> dict[str, str]:
    """Dwellings below a point that a method of Part IV has for their own, and its name.

    A new dwelling has none for existing ones.
    """
    found: dict[str, str] = {}
    for key in case.tally:
        unit = case.rules.units.get(key.unit)
        if unit is not None and key.dwelling and unit.basis.endswith("dwelling"):
            found[key.dwelling] = unit.basis
    return {
        dwelling: basis
        for dwelling, basis in found.items()
        if basis != "existing dwelling" or not is_new(case, dwelling)
    }


def block_va(case: Case, dwelling: str, method: str) -> float:
    """Load of a dwelling by its own method, without its chargers [VA]."""
    own = {k: a for k, a in dwelling_load(case.tally, dwelling).items() if k.category != "charger"}
    shares_of = existing_shares if method == "existing dwelling" else optional_shares
    return sum(share.va for share in shares_of(case._replace(tally=own), dwelling))


def mixed_shares(case: Case) -> list[Share]:
    """Demand of a tally: Part III for what stands by itself, a block for each farm building.

    Apartments are entered in their table again; a dwelling of the optional method counts by the
    project's policy as its loads under Part III, or as a block.
    """
    rules, edition = case.rules, case.rules.edition
    loose: Tally = dict(case.tally)
    shares: list[Share] = []
    if rules.mixed_optional == "block":
        for dwelling, method in kept_dwellings(case).items():
            va = block_va(case, dwelling, method)
            article = cite(method.replace(" ", "_"), edition)
            label = f"Dwelling by the {method.removesuffix(' dwelling')} method, as a block"
            shares.append(block_share(label, va, case.system.legs, article))
            loose = {
                k: a for k, a in loose.items() if k.dwelling != dwelling or k.category == "charger"
            }
    for unit, part in buildings(case).items():
        shares.append(building_share(rules.units[unit], part, edition))
        loose = {key: amount for key, amount in loose.items() if key not in part}
    flats = {
        key: amount
        for key, amount in flats_of(loose).items()
        if key.unit in rules.units and rules.units[key.unit].basis == "multifamily optional"
    }
    if flats:
        shares += multifamily_shares(case._replace(tally=flats))
        loose = {key: amount for key, amount in loose.items() if key not in flats}
    return [*part_three(case._replace(tally=loose)), *shares]
