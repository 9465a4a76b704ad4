"""The energised trees of a network, and the words and networks that stages give."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st
from strategies import projects

from ampacre.model import edits
from ampacre.model import records as r
from ampacre.model.network import Network, energised
from ampacre.model.project import Project
from ampacre.model.standing import standing, work_of
from ampacre.model.words import field_word, unit_of


@given(projects(), st.sampled_from([None, r.WORK]))
def test_islands_are_trees_that_cover_what_a_source_reaches(project, stage):
    project = standing(project, stage)
    islands = energised(Network.of(project), {})
    order = [key for island in islands for key in island.order]
    assert len(order) == len(set(order))
    for island in islands:
        assert island.order[0] == island.root
        assert island.feed.keys() == set(island.order) - {island.root}
        for at, key in enumerate(island.order[1:], start=1):
            run, parent = island.feed[key]
            assert parent in island.order[:at]
            assert {project.runs[run].source, project.runs[run].target} == {key, parent}
    dead = project.equipment.keys() - set(order)
    assert not any(isinstance(project.equipment[key], r.UtilitySource) for key in dead)
    for run in project.runs.values():
        switch = isinstance(project.equipment[run.target], r.TransferSwitch)
        if not switch or run.lands_on == "normal":
            assert (run.source in dead) == (run.target in dead)


@given(projects(), st.sampled_from([r.UtilitySource, r.Generator, r.Battery]), st.booleans())
def test_trees_that_one_kind_forms_are_those_among_all(project, kind, standby):
    switches = [key for key, p in project.equipment.items() if isinstance(p, r.TransferSwitch)]
    positions = dict.fromkeys(switches, "standby") if standby else {}
    network = Network.of(project)
    islands = energised(network, positions)
    among = tuple(island for island in islands if type(project.equipment[island.root]) is kind)
    assert energised(network, positions, kind) == among


def _site(*runs, **pieces):
    return Project(
        equipment={key: kind(id=key, name=key, **fields) for key, (kind, fields) in pieces.items()},
        runs={run.id: run for run in runs},
    )


def _run(key, source, target, **fields):
    return r.Run(id=key, source=source, target=target, **fields)


STANDBY = _site(
    _run("line", "grid", "ats"),
    _run("backup", "gen", "ats", lands_on="standby"),
    _run("feed", "ats", "panel"),
    _run("solar", "panel", "pv"),
    grid=(r.UtilitySource, {"system": "120/240"}),
    gen=(r.Generator, {}),
    ats=(r.TransferSwitch, {}),
    panel=(r.Panel, {}),
    pv=(r.Inverter, {}),
)


def test_transfer_switch_takes_one_supply_at_a_time():
    network = Network.of(STANDBY)
    utility, generator = energised(network, {})
    assert utility.order == ("grid", "ats", "panel", "pv")
    assert utility.followers == ("pv",)
    assert generator.order == ("gen",)
    outage = r.State(id="s", name="Outage", positions={"ats": "standby"})
    utility, generator = energised(network, outage.positions)
    assert utility.order == ("grid",)
    assert generator.order == ("gen", "ats", "panel", "pv")


def test_open_runs_and_sources_are_dead():
    opened = r.State(id="s", name="Isolated", positions={"feed": "open", "gen": "open"})
    (utility,) = energised(Network.of(STANDBY), opened.positions)
    assert utility.order == ("grid", "ats")


def test_a_forming_battery_feeds_its_run_backwards_and_rivals_nobody():
    site = _site(
        _run("tie", "panel", "battery"),
        panel=(r.Panel, {}),
        battery=(r.Battery, {"forming": True}),
    )
    (island,) = energised(Network.of(site), {})
    assert (island.root, island.order) == ("battery", ("battery", "panel"))
    grid = r.UtilitySource(id="grid", name="grid")
    tied = replace(
        site,
        equipment={**site.equipment, "grid": grid},
        runs={**site.runs, "line": _run("line", "grid", "panel")},
    )
    (island,) = energised(Network.of(tied), {})
    assert island.root == "grid"
    assert island.rivals == ()


def test_second_source_and_second_path_are_told():
    site = _site(
        _run("one", "grid", "panel"),
        _run("two", "grid", "panel"),
        _run("set", "gen", "panel"),
        grid=(r.UtilitySource, {}),
        gen=(r.Generator, {}),
        panel=(r.Panel, {}),
    )
    (island,) = energised(Network.of(site), {})
    assert island.rivals == ("gen",)
    assert island.loops == ("two",)


def test_existing_and_result_are_two_networks():
    site = _site(
        _run("old", "grid", "panel", until=r.WORK),
        _run("new", "shed", "panel", since=r.WORK, reuses="old"),
        _run("lateral", "grid", "shed", since=r.WORK),
        grid=(r.UtilitySource, {}),
        shed=(r.Panel, {"since": r.WORK}),
        panel=(r.Panel, {}),
    )
    assert standing(site, None).runs.keys() == {"old"}
    assert standing(site).runs.keys() == {"new", "lateral"}
    assert [work_of(site.runs[key]) for key in ("old", "new", "lateral")] == [
        "removed", "reused", "new",
    ]  # fmt: skip
    assert work_of(site.equipment["panel"]) == "existing"


def test_what_is_removed_takes_along_what_speaks_of_it():
    chargers = r.ManagedGroup(id="g", name="G", members=("ev", "ev2"), limit_a=40.0)
    site = replace(
        _site(
            _run("r", "panel", "ev"),
            panel=(r.Panel, {}), ev=(r.Charger, {}), ev2=(r.Charger, {"reuses": "ev"}),
        ),
        groups={"g": chargers},
        placement={"ev": r.Placement(id="ev", dx_mm=5.0)},
        accepted={"x": r.Accepted(id="x", rule="any", where="r", reason="seen")},
        answers={"y": r.Answer(id="y", question="label", where="ev", value="yes")},
        grounding={"e": r.Grounding(id="e", at="ev")},
        states={"s": r.State(id="s", name="S", positions={"r": "open", "panel": "open"})},
    )  # fmt: skip
    left = site.apply(edits.remove(site, ["ev"]))
    assert left.equipment.keys() == {"panel", "ev2"}
    assert left.equipment["ev2"].reuses is None
    assert (left.runs, left.placement, left.accepted) == ({}, {}, {})
    assert (left.answers, left.grounding) == ({}, {})
    assert left.groups["g"].members == ("ev2",)
    assert left.states["s"].positions == {"panel": "open"}


def test_a_piece_put_into_a_run_is_joined_on_without_a_length_of_its_own():
    site = _site(
        _run("r", "a", "b", length_m=90.0), a=(r.Panel, {}), b=(r.Panel, {}),
    )  # fmt: skip
    switch = r.Disconnect(id="ds", name="DS-1")
    site = site.apply(edits.insert_on(site, site.runs["r"], switch))
    lengths = {(run.source, run.target): run.length_m for run in site.runs.values()}
    assert lengths == {("a", "ds"): 90.0, ("ds", "b"): 0.0}


def test_fields_have_words_and_units():
    units = {
        "length_m": "m", "floor_area_m2": "m2", "dx_mm": "mm", "bus_a": "a", "fault_min_ka": "ka",
        "volts": "v", "primary_v": "v", "va": "va", "kva": "kva", "kw": "kw", "energy_kwh": "kwh",
        "power_hp": "hp", "terminal_c": "c", "ambient_c": "c", "impedance_pct": "pct", "x_r": "",
        "name": "", "listed_100_pct": "", "spaces": "", "legs": "",
    }  # fmt: skip
    assert {name: unit_of(name) for name in units} == units
    assert field_word("bus_a") == "bus rating"
    assert field_word("small_appliance_circuits") == "small appliance circuits"
