"""What makes a project unsound, each said in words that name the culprit."""

import math
from dataclasses import replace

import msgspec
import pytest

from ampacre.model import records as r
from ampacre.model.project import Change, Edit, Project, Refused
from ampacre.model.soundness import problems


def _project(*equipment, runs=(), **tables):
    return Project(
        equipment={piece.id: piece for piece in equipment},
        runs={run.id: run for run in runs},
        **{name: {record.id: record for record in records} for name, records in tables.items()},
    )


def _panel(key, **fields):
    return r.Panel(id=key, name=key.upper(), **fields)


def _run(key, source, target, **fields):
    return r.Run(id=key, source=source, target=target, **fields)


A, B, C = _panel("a"), _panel("b"), _panel("c")
CHARGER = r.Charger(id="ev", name="C1")
WELL = r.Motor(id="well", name="Well")


UNSOUND = {
    "run to nowhere": (_project(A, runs=[_run("r", "a", "x")]), "its target x does not exist"),
    "run from nowhere": (_project(A, runs=[_run("r", "x", "a")]), "its source x does not exist"),
    "run to itself": (_project(A, runs=[_run("r", "a", "a")]), 'leads from "A" back to itself'),
    "cycle": (
        _project(A, B, C, runs=[_run("r", "a", "b"), _run("s", "b", "c"), _run("t", "c", "a")]),
        '"A" feeds itself',
    ),
    "space taken twice": (
        _project(A, B, C, runs=[_run("r", "a", "b", spaces=(1, 3)), _run("s", "a", "c", spaces=(3,))]),
        'space 3 of "A" is taken twice, for "B" and "C"',
    ),
    "space beyond the panel": (
        _project(_panel("a", spaces=8), B, runs=[_run("r", "a", "b", spaces=(9,))]),
        'occupies space 9, but "A" has 8',
    ),
    "spaces of what has none": (
        _project(CHARGER, B, runs=[_run("r", "ev", "b", spaces=(1,))]), '"C1" is not a panel',
    ),
    "spaces and legs": (
        _project(A, B, runs=[_run("r", "a", "b", spaces=(1,), legs="A")]), "both spaces and legs",
    ),
    "space named twice": (
        _project(A, B, runs=[_run("r", "a", "b", spaces=(1, 1))]), "names a space twice",
    ),
    "structure missing": (_project(_panel("a", structure="barn")), "structure barn does not exist"),
    "serves no dwelling": (
        _project(A, r.Load(id="l", name="L", serves="a")), '"L" serves a, which is not a dwelling',
    ),
    "stage missing": (_project(_panel("a", since="later")), "since names stage later"),
    "reuse of nothing": (_project(_panel("a", reuses="b")), "reuses b, which does not exist"),
    "group member missing": (
        _project(groups=[r.ManagedGroup(id="g", name="G", members=("ev",), limit_a=40)]),
        "member ev does not exist",
    ),
    "managed group of a panel": (
        _project(A, groups=[r.ManagedGroup(id="g", name="G", members=("a",), limit_a=40)]),
        '"A" is not a charger',
    ),
    "measuring point missing": (
        _project(groups=[r.ManagedGroup(id="g", name="G", members=(), limit_a=40, measured_at="x")]),
        "measuring point x does not exist",
    ),
    "measuring at a charger": (
        _project(
            CHARGER,
            groups=[r.ManagedGroup(id="g", name="G", members=(), limit_a=40, measured_at="ev")],
        ),
        'can\'t measure at "C1", which nothing is fed from',
    ),
    "noncoincident charger": (
        _project(CHARGER, groups=[r.NoncoincidentGroup(id="g", name="G", members=("ev",))]),
        "neither a load nor a motor",
    ),
    "member of two groups": (
        _project(
            WELL,
            groups=[
                r.NoncoincidentGroup(id="g", name="G", members=("well",)),
                r.NoncoincidentGroup(id="h", name="H", members=("well",)),
            ],
        ),
        '"Well" is a member of two groups',
    ),
    "groups in a ring": (
        _project(
            groups=[
                r.ManagedGroup(id="g", name="G", members=("h",), limit_a=40),
                r.ManagedGroup(id="h", name="H", members=("g",), limit_a=40),
            ]
        ),
        "contains itself",
    ),
    "raceway missing": (
        _project(A, B, runs=[_run("r", "a", "b", segments=(r.Segment(raceway="x", length_m=5.0),))]),
        "raceway x does not exist",
    ),
    "grounding of nothing": (
        _project(grounding=[r.Grounding(id="g", at="x")]), "grounding at x: no such equipment",
    ),
    "placement of nothing": (
        _project(placement=[r.Placement(id="a", dx_mm=1.0)]), "placement of a: no such equipment",
    ),
    "one id for two things": (
        _project(A, B, runs=[_run("b", "a", "b")]), 'id "b" stands for two things',
    ),
    "a piece with the project's id": (_project(_panel("project")), "stands for two things"),
    "no settings": (replace(Project(), project={}), "table project must hold exactly one record"),
    "no stage for the work": (replace(Project(), stages={}), 'a stage with the id "work"'),
}  # fmt: skip


@pytest.mark.parametrize(("project", "words"), UNSOUND.values(), ids=UNSOUND)
def test_unsound_projects_say_why(project, words):
    found = problems(project)
    assert any(words in problem for problem in found), found


def test_loops_of_parallel_and_diamond_runs_are_no_cycles():
    double = _project(A, B, runs=[_run("r", "a", "b"), _run("s", "a", "b")])
    assert problems(double) == []
    ways = [_run("r", "a", "b"), _run("s", "a", "c"), _run("t", "b", "c")]
    assert problems(_project(A, B, C, runs=ways)) == []


def test_a_panel_may_be_fed_the_other_way_round_after_the_work():
    before = _run("r", "a", "b", until=r.WORK)
    after = _run("s", "b", "a", since=r.WORK)
    assert problems(_project(A, B, runs=[before, after])) == []


OUT_OF_BOUNDS = [
    ("runs", _run("r", "a", "b"), {"length_m": -1.0}),
    ("runs", _run("r", "a", "b"), {"length_m": math.nan}),
    ("runs", _run("r", "a", "b"), {"length_m": math.inf}),
    ("runs", _run("r", "a", "b"), {"legs": "AD"}),
    ("runs", _run("r", "a", "b"), {"conductors": r.Conductors(size="13")}),
    ("runs", _run("r", "a", "b"), {"conductors": r.Conductors(sets=0)}),
    ("equipment", A, {"bus_a": 0.0}),
    ("equipment", A, {"name": 5}),
    ("equipment", A, {"name": "x" * 121}),
    ("equipment", A, {"name": "\ud800"}),
    ("equipment", A, {"main": r.Device(rating_a=-20.0)}),
    ("stages", r.Stage(id="s", name="S"), {"order": -1}),
]


@pytest.mark.parametrize(("table", "record", "fields"), OUT_OF_BOUNDS)
def test_edits_hold_records_to_their_bounds(table, record, fields):
    project = _project(A, B)
    wrong = msgspec.structs.replace(record, **fields)
    before = project.table(table).get(wrong.id)
    with pytest.raises(Refused):
        project.apply(Edit("", (Change(table, wrong.id, before, wrong),)))
    right = Edit("", (Change(table, record.id, before, record),))
    assert project.apply(right).table(table)[record.id] == record


def test_records_are_filed_under_their_own_id_in_their_own_table():
    for change in (
        Change("equipment", "b", None, A),
        Change("structures", "a", None, A),
        Change("project", "other", None, r.Settings(id="other")),
    ):
        with pytest.raises(Refused):
            Project().apply(Edit("", (change,)))


def test_an_edit_changes_an_address_once():
    with pytest.raises(Refused, match="twice"):
        Project().apply(Edit("", (Change("equipment", "a", None, A),) * 2))


def test_a_piece_does_not_become_what_its_group_and_runs_cannot_have():
    group = r.ManagedGroup(id="g", name="G", members=("ev",), limit_a=40.0)
    project = _project(CHARGER, A, runs=[_run("r", "a", "ev", spaces=(1, 3))], groups=[group])
    for before, after in ((CHARGER, r.Load(id="ev", name="C1")), (A, r.Junction(id="a", name="J"))):
        with pytest.raises(Refused):
            project.apply(Edit("", (Change("equipment", before.id, before, after),)))
