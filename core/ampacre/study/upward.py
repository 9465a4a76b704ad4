"""The upward pass: tallies and demand, from the leaves to the source."""

from collections.abc import Iterator, Mapping

from ampacre.codebook.articles import cite
from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.study.apart import apart_from, behind_places, carried_up, floors_of, watching_lines
from ampacre.study.bays import Bay, of_keys
from ampacre.study.circuit import Carried
from ampacre.study.demand import demand_of
from ampacre.study.dwelling import dwelling_lines, sole_dwelling
from ampacre.study.facts import Demand, Line
from ampacre.study.farm import farm_loads
from ampacre.study.leaves import leaf_tally
from ampacre.study.loads import Below, Given, Loads, Site
from ampacre.study.measured import measured_lines, refusals, with_record
from ampacre.study.memo import Memo
from ampacre.study.methods import worked
from ampacre.study.multifamily import flats_of
from ampacre.study.outlets import outlet_load
from ampacre.study.sites import PARKS
from ampacre.study.tally import Tally, added, connected_va
from ampacre.study.terms import Case
from ampacre.study.tree import Tree

__all__ = ["RECORD_NOT_USED", "loads_of", "parks_of"]

RECORD_NOT_USED = "Measured demand not used"


def loads_of(
    memo: Memo,
    bay: Bay,
    given: Given,
    carried: Mapping[str, Carried],
    parks: Mapping[str, r.Basis],
    further: Mapping[str, Loads],
) -> dict[str, Loads]:
    """Compute the load at every piece of a bay, leaves first; `further` are those of the next bays.

    `memo` holds demands of an earlier walk, which stand where nothing below a piece has changed.
    """
    memo.turn()
    site = Site(
        bay.project, bay.tree, given.member_of, given.rules, carried, given.serving, parks, memo
    )
    found = dict(further)
    for key in reversed(bay.keys):
        found[key] = _loads(site, key, found)
    return of_keys(found, bay.keys)


def parks_of(project: Project, tree: Tree) -> dict[str, r.Basis]:
    """The park or marina that each piece is in: that of the nearest point above that is one."""
    found: dict[str, r.Basis] = {}
    if not any(isinstance(p, r.Point) and p.basis in PARKS for p in project.equipment.values()):
        return found
    for key in tree.island.order:
        piece = project.equipment[key]
        feed = tree.island.feed.get(key)
        basis = piece.basis if isinstance(piece, r.Point) else None
        if basis in PARKS:
            found[key] = basis
        elif feed is not None and feed.parent in found:
            found[key] = found[feed.parent]
    return found


def _loads(site: Site, key: str, found: Mapping[str, Loads]) -> Loads:
    project, tree = site.project, site.tree
    piece = project.equipment[key]
    system = tree.gives[key]
    own = _own(site, key)
    fed = [child for child in tree.children[key] if found[child].below.tally]
    tally = added(own, *(carried_up(site, child, found[child].below.tally) for child in fed))
    taken = added(own, *(carried_up(site, child, found[child].below.offered) for child in fed))
    sole = fed[0] if len(fed) == 1 and not own else None
    basis = piece.basis if isinstance(piece, r.Point) else None
    stated = basis is not None
    if basis is None and sole is not None:
        basis = found[sole].basis
    notes = list(_leaf_lines(piece, site.rules.edition))
    measured = isinstance(piece, r.Point) and stated and basis == "measured"
    apart = apart_from(site, key, own, fed, found)
    if measured:
        taken, notes = _by_record(site, key, taken)
        apart = {
            group: beyond._replace(tally=_by_record(site, key, beyond.tally)[0])
            if beyond.tally
            else beyond
            for group, beyond in apart.items()
        }
    case = Case(
        taken,
        system,
        site.rules,
        floors_of((found[child].figure.tables for child in fed), {}),
        key if stated else "",
        frozenset(_whole(site, key)),
        _least_rating_a(site, key),
        behind_places(site, key, taken, apart) | apart,
    )
    same = sole is not None and basis == found[sole].basis and tree.gives[sole] == system
    watches = any(limit.at == key for limit in site.rules.limits.values())
    if watches:
        notes += watching_lines(site, key)
    works_here = measured or watches
    if sole is not None and same and not works_here and _passes_on(project, key, sole):
        figure = found[sole].figure
    else:
        made_from = (basis, case, connected_va(tally), tuple(notes))
        figure = site.memo.of(key, made_from, demand_of)
    transferred = None
    if isinstance(piece, r.TransferSwitch):
        transferred = _transferred(piece, basis, case._replace(apart=apart), connected_va(tally))
    offered, method = taken, figure.demand.method
    if stated:
        offered = _marked(key, method, taken)
        apart = {
            group: beyond._replace(tally=_marked(key, method, beyond.tally))
            for group, beyond in apart.items()
        }
    alone = _dwelling_va(basis, case) if stated else {}
    return Loads(Below(tally, offered), basis, figure, transferred, alone, apart)


def _leaf_lines(piece: r.Equipment, edition: str) -> tuple[Line, ...]:
    """How the load of a piece comes about, where it is more than its nameplate."""
    if isinstance(piece, r.DwellingLoad):
        return dwelling_lines(piece, edition)
    if isinstance(piece, r.Load):
        found = outlet_load(piece, edition)
        return found.lines if found else ()
    return ()


def _passes_on(project: Project, key: str, sole: str) -> bool:
    """Whether a point only passes on the demand of the one below it."""
    through_winding = isinstance(project.equipment[sole], r.Transformer)
    piece = project.equipment[key]
    facts = isinstance(piece, r.Point) and (piece.measured is not None or piece.farm is not None)
    return not through_winding and not facts


def _own(site: Site, key: str) -> Tally:
    arrives = site.tree.arrives[key]
    tally = leaf_tally(
        site.project, site.member_of, site.project.equipment[key], arrives.legs, arrives,
        site.parks.get(key),
    )  # fmt: skip
    if key in site.rules.moved:
        return added(*({each._replace(new=True): amount} for each, amount in tally.items()))
    return tally


def _by_record(site: Site, key: str, taken: Tally) -> tuple[Tally, list[Line]]:
    """Put a measured record in the place of existing load, or say why it can't stand for it."""
    piece = site.project.equipment[key]
    assert isinstance(piece, r.Point)
    edition = site.rules.edition
    record = piece.measured
    source_below = site.carried[key].source
    if record is None:
        why: tuple[str, ...] = ("no record is entered",)
    else:
        why = refusals(record, site.rules.measured_solar, source_below=source_below)
    if record is not None and not why:
        system = site.tree.gives[key]
        notes = measured_lines(record, system, edition)
        if source_below and record.generation != "gross":
            said = "as stated" if record.generation == "none" else "by project policy"
            article = cite("metered_load", edition)
            note = f"the record is taken as it is, {said}"
            notes.append(Line("Source below the meter", cite=article, note=note))
        return with_record(key, record, taken, system), notes
    article = cite("metered_load", edition)
    return taken, [Line(RECORD_NOT_USED, cite=article, note=each) for each in why]


def _marked(key: str, method: str, tally: Tally) -> Tally:
    """Mark the loads that the method of a point keeps together at the points above.

    Apartments are marked anew at each such point; other loads keep the mark of the lowest.
    """
    if method == "multifamily optional":
        kept = flats_of(tally)
    elif method == "farm building":
        kept = {each: a for each, a in farm_loads(tally).items() if not each.unit}
    elif method in ("optional dwelling", "existing dwelling"):
        dwelling = sole_dwelling(tally)
        kept = {
            each: a for each, a in flats_of(tally).items()
            if each.dwelling == dwelling and not each.unit
        }  # fmt: skip
    else:
        return tally
    rest = {each: amount for each, amount in tally.items() if each not in kept}
    return added(rest, *({each._replace(unit=key): amount} for each, amount in kept.items()))


def _dwelling_va(basis: r.Basis | None, case: Case) -> dict[str, float]:
    """Load of the one dwelling by the method of its point, chargers aside; for the running case."""
    dwelling = sole_dwelling(case.tally)
    if not dwelling or basis not in ("optional dwelling", "existing dwelling"):
        return {}
    without = {each: a for each, a in case.tally.items() if each.category != "charger"}
    found = worked(basis, case._replace(tally=without))
    if found.method != basis:
        return {}
    return {dwelling: sum(share.va for share in found.shares)}


def _whole(site: Site, key: str) -> Iterator[str]:
    """Dwellings of which every load hangs at or below a piece."""
    for dwelling, members in site.carried[key].members.items():
        if site.serving.get(dwelling) == members:
            yield dwelling


def _least_rating_a(site: Site, key: str) -> float | None:
    """The smallest rating that is known on a point's own supply [A]."""
    feed = site.tree.island.feed.get(key)
    run = site.project.runs[feed.run] if feed else None
    devices = (getattr(site.project.equipment[key], "main", None), run.device if run else None)
    known = [device.rating_a for device in devices if device is not None and device.rating_a]
    return min(known, default=None)


def _transferred(
    switch: r.TransferSwitch, basis: r.Basis | None, case: Case, connected: float
) -> Demand:
    """Load that a standby supply must carry: all of it, or what the load manager leaves on.

    A managed group that measures ahead of the switch sees nothing of it, and does not count.
    """
    limits = {
        group: limit
        for group, limit in case.rules.limits.items()
        if not limit.at or group in case.apart
    }
    case = case._replace(rules=case.rules._replace(limits=limits))
    if switch.load_manager:
        kept = _not_shed(case.tally)
        apart = {
            group: beyond._replace(tally=_not_shed(beyond.tally), floors={})
            for group, beyond in case.apart.items()
        }
        case = case._replace(tally=kept, floors={}, apart=apart)
        connected = connected_va(kept)
    return demand_of(basis, case, connected).demand


def _not_shed(tally: Tally) -> Tally:
    return {key: amount for key, amount in tally.items() if not key.shed}
