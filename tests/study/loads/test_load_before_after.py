"""Now and result are two networks, each solved by itself; the comparison and the load letter."""

import dataclasses

import msgspec
import pytest
from pytest import approx
from study.build import Site, served, square_feet, wires

from ampacre.model import edits
from ampacre.model import records as r
from ampacre.model.soundness import problems
from ampacre.model.standing import standing, work_of
from ampacre.rules.review import Review
from ampacre.study.before_after import before_and_after
from ampacre.study.capacity import capacity, capacity_worksheet, tightest
from ampacre.study.letter import load_letters
from ampacre.study.study import Study

BRANCH = {"role": "branch", "length_m": 10.0}
OLD_CABLE = wires("4/0", neutral="2/0", grounding="none", material="al")


def refed_farmhouse():
    """A farmhouse on a service drop of its own, fed from a new backboard on the same old cable."""
    site = Site()
    site.add(r.UtilitySource, "line")
    site.add(r.Transformer, "t1", "line", {"role": "utility", "owner": "utility",
             "protected_at": "none", "length_m": 0.0}, kva=50.0, impedance_pct=1.7,
             impedance_basis="nameplate", x_r=1.6, owner="utility")  # fmt: skip
    site.add(
        r.Panel, "house", basis="optional dwelling", bus_a=200.0,
        main=r.Device(rating_a=200.0, interrupting_ka=10.0), neutral_bonded=True,
    )  # fmt: skip
    was = r.Run(
        id="cable", source="t1", target="house", role="service", protected_at="load",
        conductors=OLD_CABLE, length_m=94.5, raceway="pvc",
    )  # fmt: skip
    site.add(
        r.Panel, "board", "t1", {"role": "service", "protected_at": "load", "length_m": 24.0,
        "since": r.WORK}, since=r.WORK, main=r.Device(rating_a=400.0),
    )  # fmt: skip
    site.runs["cable"] = msgspec.structs.replace(
        was, source="board", role="feeder", protected_at="supply", since=r.WORK, was=was,
        spaces=(1, 3), device=r.Device(rating_a=200.0, interrupting_ka=10.0),
    )  # fmt: skip
    site.add(
        r.DwellingLoad, "home", "house", {"length_m": 5.0}, floor_area_m2=square_feet(2_000),
        appliances=(
            r.Appliance(kind="cooking", va=12_000),
            r.Appliance(kind="heat pump", full_load_a=18.0, new=True),
        ),
    )  # fmt: skip
    run = {**BRANCH, "since": r.WORK}
    site.add(r.Charger, "ev", "house", run, nameplate_a=48.0, since=r.WORK, serves="home")
    project = site.project()
    places = {key: r.Structure(id=key, name=key) for key in ("at-house", "at-yard")}
    standing_in = {"house": "at-house", "home": "at-house", "ev": "at-house", "board": "at-yard"}
    pieces = {
        key: msgspec.structs.replace(piece, structure=standing_in.get(key))
        for key, piece in project.equipment.items()
    }
    placed = dataclasses.replace(project, structures=places, equipment=pieces)
    assert problems(placed) == []
    return placed


def test_the_farmhouse_now_and_in_the_result():
    project = refed_farmhouse()
    result = Study(project)
    now = result.at(None)
    # two loads: 10,000 + 0.4 x 12,500 now; with heat pump 4,320 and charger 11,520 in the result
    assert now.equipment("house").demand.calculated_va == approx(15_000)
    assert result.equipment("house").demand.calculated_va == approx(15_000 + 4_320 + 11_520)
    # two fault levels: the drop comes straight from the transformer, the feeder through the board
    here, there = (each.equipment("house").fault.source.line_line_ka for each in (now, result))
    assert here > there > 0
    assert now.equipment("house").parent == "t1"
    assert result.equipment("house").parent == "board"
    # a service drop needs no grounding conductor, a feeder to another structure does
    missing = [
        {
            finding.where
            for finding in Review(each).findings
            if finding.rule == "structure-has-grounding-wire"
        }
        for each in (now, result)
    ]
    assert missing == [set(), {"cable"}]
    assert now.equipment("house").at_service
    assert not result.equipment("house").at_service


def test_each_network_holds_what_stands_in_it():
    project = refed_farmhouse()
    before, after = standing(project, None), standing(project)
    assert set(before.equipment) == {"line", "t1", "house", "home"}
    assert before.runs["cable"].source == "t1"
    assert after.runs["cable"].source == "board"
    assert len(before.equipment["home"].appliances) == 1
    assert len(after.equipment["home"].appliances) == 2
    assert work_of(project.runs["cable"]) == "reused", "nothing about it is for the study to choose"
    assert work_of(project.equipment["board"]) == "new"


def test_the_old_cable_is_not_chosen_anew():
    study = Study(refed_farmhouse())
    size = study.run("cable").size
    assert (size.value, size.how) == ("4/0", "entered")
    assert study.run("cable").grounding.value == "none"


def test_before_and_after_side_by_side():
    rows = {row.key: row for row in before_and_after(Study(refed_farmhouse()))}
    house = rows["house"]
    assert house.now.calculated_va == approx(15_000)
    assert house.result.calculated_va == approx(30_840)
    assert house.added == {"charger": approx(11_520), "heat pump": approx(4_320)}
    assert house.added_va == approx(15_840)
    assert rows["board"].now is None
    assert rows["board"].result.calculated_va == approx(30_840)
    assert set(rows) == {"t1", "board", "house"}, "points, not loads"
    assert rows["board"].moved_here_va == approx(house.now_va)
    assert rows["t1"].moved_here_va == rows["t1"].moved_away_va == 0


def test_before_and_after_reconcile():
    """A heater moves from the house to the board, a saw goes, and a pump is replaced by a smaller one."""
    site = Site()
    site.add(r.UtilitySource, "line")
    site.add(r.Panel, "house", "line", {"role": "service"}, main=r.Device(rating_a=200.0))
    site.add(r.Panel, "board", "house", {}, main=r.Device(rating_a=100.0))
    old_run = r.Run(id="run-heater", source="house", target="heater", role="branch")
    site.add(r.Load, "heater", "house", BRANCH, va=4_000.0)
    site.add(r.Load, "saw", "house", {**BRANCH, "until": r.WORK}, va=900.0, until=r.WORK)
    site.add(r.Load, "light", "house", {**BRANCH, "since": r.WORK}, va=600.0, since=r.WORK)
    old = r.Load(id="pump", name="pump", va=3_000.0)
    site.add(r.Load, "pump", "house", BRANCH, va=2_000.0, since=r.WORK, was=old)
    (moved,) = (run for run in site.runs.values() if run.target == "heater")
    old_run = msgspec.structs.replace(moved, since=None)
    site.runs[moved.id] = msgspec.structs.replace(moved, source="board", since=r.WORK, was=old_run)
    project = site.project()
    assert problems(project) == []
    rows = {row.key: row for row in before_and_after(Study(project))}
    house, board = rows["house"], rows["board"]
    assert (board.now_va, board.moved_here_va, board.result_va) == approx((0, 4_000, 4_000))
    assert (house.now_va, house.result_va) == approx((7_900, 6_600))
    assert (house.added_va, house.removed_va) == approx((600, 900 + 1_000))
    assert house.moved_here_va == house.moved_away_va == 0, "the board hangs from the house"
    for row in rows.values():
        change_va = row.added_va + row.moved_here_va - row.moved_away_va - row.removed_va
        assert row.now_va + change_va == approx(row.result_va)


def test_a_history_must_be_of_the_same_thing():
    good = refed_farmhouse()

    def wrong(table, key, **fields):
        record = msgspec.structs.replace(good.table(table)[key], **fields)
        tables = {table: {**good.table(table), key: record}}

        return " ".join(problems(dataclasses.replace(good, **tables)))

    cable = good.runs["cable"]
    other = r.Panel(id="house", name="x")
    assert "another kind of thing" in wrong("equipment", "home", since=r.WORK, was=other)
    assert "not since when" in wrong("runs", "cable", since=None)
    twice = msgspec.structs.replace(cable.was, since=r.WORK)
    assert "stands from before any work" in wrong("runs", "cable", was=twice)
    nowhere = msgspec.structs.replace(cable.was, source="moon")
    assert "before: " in wrong("runs", "cable", was=nowhere)


def test_removing_what_it_was_fed_from_forgets_the_history():
    project = refed_farmhouse()
    gone = project.apply(edits.remove(project, ["t1"]))
    assert gone.runs["cable"].was is None
    assert problems(gone) == []


def test_a_study_keeps_its_stage_as_it_follows():
    project = refed_farmhouse()
    now = Study(project, None)
    other = project.apply(edits.alter(project, "equipment", "house", name="Farmhouse"))
    now.follow(other)
    assert now.stage is None
    assert now.equipment("house").parent == "t1"
    assert now.fork(other).equipment("house").parent == "t1"


# the load letter


def letter_site():
    site = Site()
    site.add(r.UtilitySource, "line")
    site.add(r.Transformer, "t1", "line", {"role": "utility", "owner": "utility",
             "protected_at": "none", "length_m": 0.0}, kva=50.0, owner="utility")  # fmt: skip
    service = {"role": "service", "protected_at": "none", "length_m": 0.0}
    site.add(r.Meter, "m", "t1", service, class_a=200.0)
    site.add(r.Panel, "p", "m", service, main=r.Device(rating_a=200.0), bus_a=225.0)
    site.add(r.Motor, "pump", "p", BRANCH, power_hp=5.0)
    site.add(r.Motor, "fan", "p", BRANCH, full_load_a=6.0)
    for at in range(3):
        site.add(r.Charger, f"c{at}", "p", BRANCH, nameplate_a=48.0, setting_a=16.0,
                 setting_locked=True)  # fmt: skip
    site.group(r.ManagedGroup, "g", "c0", "c1", limit_a=24.0, listed=True, access_restricted=True,
               fail_safe_a=6.0)  # fmt: skip
    return site


def test_the_load_letter_of_a_service():
    site = letter_site()
    (letter,) = load_letters(Study(site.project()))
    # motors 28 + 6 A and 25 % of 28; two chargers held to 24 A, the third at 7,200 VA at least
    demand_va = 240 * (34 + 7 + 24) + 7_200
    assert letter.demand_kva == approx(demand_va / 1000)
    assert letter.connected_kva == approx((240 * (34 + 2 * 16) + 7_200) / 1000)
    assert letter.largest_motor == ("pump", 28.0, 5.0)
    assert letter.chargers == 3
    assert letter.chargers_kw == approx(3 * 11.52), "what the hardware can draw"
    assert (letter.managed_a, letter.unmanaged) == (24.0, 1)
    assert (letter.service_a, letter.meter, letter.transformer) == (200.0, "m", "t1")
    assert letter.transformer_kva == 50
    assert letter.transformer_pct == approx(100 * demand_va / 50_000)


def test_the_letter_says_where_all_load_is_held():
    site = letter_site()
    # the pair's 24 A stays told; a third charger is turned down with them to keep the meter at 60 A
    site.group(r.ManagedGroup, "all", "g", "c2", limit_a=60.0, holds="all load", measured_at="m",
               listed=True, access_restricted=True, fail_safe_a=6.0)  # fmt: skip
    (letter,) = load_letters(Study(site.project()))
    assert (letter.managed_a, letter.unmanaged) == (24.0, 0)
    assert letter.held == (("all", "m", 60.0),)
    assert letter.demand_a == approx(60.0)


def test_an_unconfirmed_limit_is_not_told_to_the_utility():
    site = letter_site()
    site.groups["g"] = msgspec.structs.replace(site.groups["g"], listed=None)
    (letter,) = load_letters(Study(site.project()))
    assert letter.managed_a is None
    assert letter.unmanaged == 3


def test_a_dwellings_heat_pump_may_be_the_largest_motor():
    (letter,) = load_letters(Study(refed_farmhouse()))
    assert letter.largest_motor == ("heat pump of home", 18.0, None)
    assert letter.chargers_kw == approx(11.52)


def test_two_services_have_two_letters_and_one_transformer():
    site = letter_site()
    service = {"role": "service", "protected_at": "none", "length_m": 0.0}
    site.add(r.Panel, "well", "t1", service, main=r.Device(rating_a=100.0))
    site.add(r.Load, "light", "well", BRANCH, va=2_400)
    letters = load_letters(Study(site.project()))
    assert [letter.service for letter in letters] == ["p", "well"]
    assert letters[0].transformer_load_kva == letters[1].transformer_load_kva


# spare capacity


def test_each_rating_faces_its_own_current():
    # calculated 300 A of which 180 A is continuous: 345 A in sizing
    site = served()
    site.add(r.Load, "steady", "p", BRANCH, va=180 * 240.0)
    site.add(r.Load, "rest", "p", BRANCH, va=120 * 240.0, continuous=False)

    def faced(**fields):
        site.pieces["p"] = msgspec.structs.replace(site.pieces["p"], **fields)
        return capacity(Study(site.project()).equipment("p"))

    device, bus = faced(bus_a=300.0, main=r.Device(rating_a=350.0))
    assert (device.load, device.fits) == (approx(345), True)
    assert (bus.load, bus.fits, bus.spare) == (approx(300), True, approx(0))
    assert not faced(main=r.Device(rating_a=300.0))[0].fits
    assert faced(main=r.Device(rating_a=300.0, listed_100_pct=True))[0].fits
    sheet = capacity_worksheet(Study(site.project()).equipment("p"))
    values = [line.result for line in sheet.lines[:3]]
    assert values[0] - values[1] == approx(values[2])


def test_a_transformers_heavier_leg_faces_half_of_it():
    site = letter_site()
    site.add(r.Load, "leg", "p", {**BRANCH, "legs": "A"}, va=12_000)
    found = {each.what: each for each in capacity(Study(site.project()).equipment("t1"))}
    assert found["transformer"].rating == 50
    assert found["winding, heavier leg"].rating == approx(50_000 / 240)
    assert found["winding, heavier leg"].load > found["transformer"].load * 1000 / 240


@pytest.mark.parametrize("key", ["line", "pump"])
def test_what_has_no_rating_has_no_capacity(key):
    facts = Study(letter_site().project()).equipment(key)
    assert capacity(facts) == ()
    assert tightest(facts) is None


def test_a_run_that_was_drawn_towards_its_supply_leads_on_all_the_same():
    site = Site()
    site.add(r.UtilitySource, "line")
    site.add(r.Panel, "main", "line", bus_a=200.0)
    site.add(r.Panel, "barn", bus_a=100.0)
    site.runs["back"] = r.Run(id="back", source="barn", target="main", length_m=20.0)
    site.add(r.Load, "fan", "barn", BRANCH, va=1_800.0)
    study = Study(site.project())
    assert study.equipment("barn").parent == "main"
    rows = {row.key: row for row in before_and_after(study)}
    assert rows["main"].now_va == rows["barn"].now_va == 1_800.0
    letters = load_letters(study)
    assert all(letter.connected_kva == 1.8 for letter in letters)
