"""Load calculations: existing, added, moved and total per point, whether ratings carry it, worksheets."""

from collections.abc import Iterator, Mapping

from ampacre.model import records as r
from ampacre.model.naming import listed
from ampacre.model.words import kind_of
from ampacre.quantity import show
from ampacre.sheets.table import Column, Notes, Part, Table
from ampacre.sheets.wording import computed, line_row, number, tree_order
from ampacre.study.before_after import Row, before_and_after
from ampacre.study.capacity import capacity
from ampacre.study.facts import EquipmentFacts
from ampacre.study.fed import circuits_out
from ampacre.study.study import Study
from ampacre.study.tally import connected_va, picked

__all__ = ["WORKSHEET", "load_sheets"]

WORKSHEET = (
    Column("Line", 110),
    Column("Quantity", 34, "right"),
    Column("Factor", 28, "right"),
    Column("Result", 34, "right"),
    Column("Source", 109),
)
_CONNECTED = (
    Column("Point", 44),
    Column("Existing, VA", 33, "right"),
    Column("Added, VA", 31, "right"),
    Column("Moved here, VA", 36, "right"),
    Column("Moved away, VA", 37, "right"),
    Column("Removed, VA", 34, "right"),
    Column("Total, VA", 33, "right"),
    Column("Added by", 67),
)
_CALCULATED = (
    Column("Point", 44),
    Column("Method", 55),
    Column("Existing, VA", 36, "right"),
    Column("Existing, A", 34, "right"),
    Column("Total, VA", 36, "right"),
    Column("Total, A", 34, "right"),
    Column("Growth", 34, "right"),
    Column("Neutral, A", 42, "right"),
)
_ADEQUACY = (
    Column("Point", 60),
    Column("Rating of", 56),
    Column("Rating", 34, "right"),
    Column("Faces", 38),
    Column("Load", 34, "right"),
    Column("Used", 26, "right"),
    Column("Verdict", 67),
)
_STANDBY = (
    Column("Standby supply", 60),
    Column("Load", 90),
    Column("Kind", 45),
    Column("Connected VA", 45, "right"),
    Column("On the standby supply", 75),
)
_CHARGERS = (
    Column("Charger", 56),
    Column("Load, A", 32, "right"),
    Column("x 1.25, A", 32, "right"),
    Column("Circuit device, A", 44, "right"),
    Column("Verdict", 76),
    Column("Setting", 75),
)
_MANAGED = (
    Column("Load management", 60),
    Column("Limit", 30, "right"),
    Column("What it holds under the limit", 105),
    Column("Listed", 30),
    Column("Kept from users", 40),
    Column("If it fails", 50),
)


def load_sheets(study: Study) -> Iterator[Part]:
    """Make the tables and worksheets of the load calculation, summary first."""
    rows = {row.key: row for row in before_and_after(study)}
    points = [facts for facts in tree_order(study) if facts.piece.id in rows]
    loaded = [facts for facts in points if facts.demand and facts.demand.connected_va]
    compared = [rows[facts.piece.id] for facts in loaded]
    yield Table(
        "Connected load and its change",
        _CONNECTED,
        tuple(_connected(study, row) for row in compared),
    )
    yield Table("Calculated load and its growth", _CALCULATED, tuple(map(_calculated, compared)))
    yield Table("Adequacy of ratings", _ADEQUACY, tuple(_adequacy(loaded)))
    yield Table("Chargers at 125 %", _CHARGERS, tuple(_chargers(study)))
    yield Table("Load management", _MANAGED, tuple(_managed(study)))
    yield from _standby(study)
    yield from _worksheets(study)


def _connected(study: Study, row: Row) -> tuple[str, ...]:
    """Say how the result comes out of what is there: existing, with what is added, less what goes."""
    units = study.settings.units
    added = ", ".join(f"{kind} {show(va, 'va', units)}" for kind, va in row.added.items())
    return (
        row.name,
        computed(row.now_va, "va"),
        computed(row.added_va, "va"),
        computed(row.moved_here_va, "va"),
        computed(-row.moved_away_va or 0.0, "va"),
        computed(-row.removed_va or 0.0, "va"),
        computed(row.result_va, "va"),
        added or "nothing",
    )


def _calculated(row: Row) -> tuple[str, ...]:
    assert row.result is not None
    now = row.now.heavier_a if row.now else 0.0
    return (
        row.name,
        row.result.method,
        computed(row.now.calculated_va if row.now else 0.0, "va"),
        computed(now, "a"),
        computed(row.result.calculated_va, "va"),
        computed(row.result.heavier_a, "a"),
        f"{100 * (row.result.heavier_a / now - 1):+.0f} %" if now else "new",
        computed(row.result.neutral_a, "a"),
    )


def _adequacy(points: list[EquipmentFacts]) -> Iterator[tuple[str, ...]]:
    for facts in points:
        for faced in capacity(facts):
            unit = faced.unit.lower()
            if faced.fits:
                verdict = f"adequate, {show(faced.spare, unit)} to spare"
            elif facts.piece.owner == "utility":
                verdict = f"exceeded by {show(-faced.spare, unit)}: ask the utility"
            else:
                verdict = f"NOT adequate by {show(-faced.spare, unit)}"
            yield (
                facts.piece.name,
                faced.what,
                show(faced.rating, unit),
                f"{faced.faces} load",
                f"{computed(faced.load, unit)} {faced.unit}",
                f"{100 * faced.load / faced.rating:.0f} %",
                verdict,
            )


def _chargers(study: Study) -> Iterator[tuple[str, ...]]:
    for facts in tree_order(study):
        piece = facts.piece
        if not isinstance(piece, r.Charger) or not facts.feed:
            continue
        run = study.run(facts.feed)
        setting = "no setting; nameplate counts"
        if piece.setting_a:
            locked = "locked" if piece.setting_locked else "not locked: nameplate counts"
            setting = f"set to {show(piece.setting_a, 'a')}, {locked}"
        device_a = run.device.value
        verdict = "device not read"
        if device_a is not None:
            fits = run.sizing_a <= device_a * (1 + 1e-9)
            verdict = "adequate" if fits else "NOT adequate: device too small"
        yield (
            piece.name,
            computed(run.calculated_a, "a"),
            computed(run.sizing_a, "a"),
            number(device_a, "a"),
            verdict,
            setting,
        )


def _managed(study: Study) -> Iterator[tuple[str, ...]]:
    said = {True: "yes", False: "no", None: "to be stated"}
    names = {**study.project.equipment, **study.project.groups}
    for group in study.project.groups.values():
        if isinstance(group, r.ManagedGroup):
            yield (
                group.name,
                show(group.limit_a, "a"),
                _held(group, names),
                said[group.listed],
                said[group.access_restricted],
                f"held to {show(group.fail_safe_a, 'a')}" if group.fail_safe_a else "to be stated",
            )


def _held(group: r.ManagedGroup, names: Mapping[str, r.AnyEquipment | r.AnyGroup]) -> str:
    members = listed([names[key].name for key in group.members if key in names])
    place = names.get(group.measured_at or "")
    if group.holds == "all load":
        where = place.name if place else "a place to be stated"
        return f"all load at {where}, where it measures, by turning down {members}"
    return f"{members}; measured at {place.name}" if place else members


def _standby(study: Study) -> Iterator[Part]:
    """List what each generator carries, and what is kept off it."""
    for facts in tree_order(study):
        switch = facts.piece
        if not isinstance(switch, r.TransferSwitch) or facts.transferred is None:
            continue
        sources = [
            study.project.equipment[run.run.source]
            for run in study.all_runs()
            if run.run.target == switch.id and run.run.lands_on == "standby"
        ]
        names = ", ".join(piece.name for piece in sources)
        rows = tuple(_carried(study, facts, f"{switch.name}, from {names or 'no supply'}"))
        yield Table(f"Loads that {names or 'the standby supply'} carries", _STANDBY, rows)
        shed = (
            "Its load manager keeps the marked loads off."
            if switch.load_manager
            else "It has no load manager: nothing is kept off."
        )
        told = (
            f"{switch.name} transfers {show(facts.transferred.heavier_a, 'a')} on the heavier leg, "
            f"{show(facts.transferred.calculated_va / 1000, 'kva')}, by the "
            f"{facts.transferred.method} method. {shed}"
        )
        ratings = [
            f"{piece.name} gives {show(piece.kw, 'kw')}."
            for piece in sources
            if isinstance(piece, r.Generator) and piece.kw
        ]
        yield Notes(f"{switch.name}: standby load", (" ".join((told, *ratings)),))


def _carried(study: Study, switch: EquipmentFacts, name: str) -> Iterator[tuple[str, ...]]:
    managed = isinstance(switch.piece, r.TransferSwitch) and switch.piece.load_manager

    def word(shed: bool) -> str:
        if not shed:
            return "carried"
        return "kept off by the load manager" if managed else "marked to be shed; not managed"

    waiting = [switch]
    while waiting:
        at = waiting.pop(0)
        piece = at.piece
        waiting += [study.equipment(fed.id) for _, fed in circuits_out(study, at)]
        if isinstance(piece, r.DwellingLoad):
            general_va = connected_va(picked(at.tally or {}, "dwelling general"))
            kind = "lighting, receptacles, kitchen and laundry circuits"
            yield name, f"{piece.name}: general load", kind, number(general_va, "va"), word(False)
            for each in piece.appliances:
                va = each.va or (each.full_load_a or 0) * each.volts
                yield name, each.name, each.kind, number(va, "va"), word(each.shed_on_standby)
        elif isinstance(piece, r.Use):
            va = connected_va(at.tally) if at.tally else 0.0
            started = ", starts across the line" if isinstance(piece, r.Motor) else ""
            kind = kind_of(piece) + started
            yield name, piece.name, kind, number(va, "va"), word(piece.shed_on_standby)


def _worksheets(study: Study) -> Iterator[Table]:
    units = study.settings.units
    for facts in tree_order(study):
        panel = isinstance(facts.piece, r.Panel) or facts.at_service
        own = isinstance(facts.piece, r.Point) and facts.piece.basis is not None
        if facts.demand and (panel or own):
            rows = tuple(line_row(line, units) for line in facts.demand.worksheet.lines)
            title = facts.demand.worksheet.title
            yield Table(f"{facts.piece.name}: {title[:1].lower()}{title[1:]}", WORKSHEET, rows)
