"""Finding pieces and runs by a part of their name, kind, structure, rating or size."""

from importlib import resources

import pytest

from ampacre.model import records as r
from ampacre.model.edits import alter, connect, put
from ampacre.model.project import Project
from ampacre.sheets.find import Described, described, found
from ampacre.store.file import decode
from ampacre.study.study import Study


def estate():
    project = Project()
    project = project.apply(put("", "structures", r.Structure(id="barn", name="Hay Barn")))
    utility = r.UtilitySource(id="u", name="Utility", system="120/240", since="work")
    main = r.Panel(id="m", name="MDP", bus_a=200.0, main=r.Device(rating_a=200.0), since="work")
    barn = r.Panel(id="b", name="BP-1", structure="barn", bus_a=100.0, since="work")
    gone = r.Panel(id="g", name="Old panel", bus_a=60.0, until="work")
    for piece in (utility, main, barn, gone):
        project = project.apply(put("", "equipment", piece))
    project = project.apply(connect(project, utility, main))
    edit = connect(project, main, barn)
    run = edit.changes[0].key
    project = project.apply(edit)
    wires = r.Conductors(size="4/0", material="al")
    device = r.Device(rating_a=150.0)
    values = {"name": "F-7", "device": device, "conductors": wires, "length_m": 60.0}
    return project.apply(alter(project, "runs", run, **values)), run


PROJECT, FEEDER = estate()
ELEMENTS = described(Study(PROJECT))


@pytest.mark.parametrize(
    ("wanted", "keys"),
    [
        ("mdp", {"m"}), ("MDP", {"m"}), ("bp", {"b"}), ("hay", {"b"}), ("panel", {"m", "b", "g"}),
        ("panel hay", {"b"}), ("hay panel", {"b"}), ("f-7", {FEEDER}), ("4/0 150", {FEEDER}),
        ("150 a", {FEEDER}), ("200 A", {"m"}), ("bus 20", {"m"}), ("20 a", set()),
        ("bus 10", {"b"}), ("zzz", set()), ("", set()), ("   ", set()), ("old", {"g"}),
        ("(", set()), ("panel (", set()),
    ],
)  # fmt: skip
def test_what_is_typed_finds(wanted, keys):
    hits = found(ELEMENTS, wanted)
    assert len(hits) == len(set(hits))
    assert set(hits) == keys


def test_every_piece_and_run_is_described_once_supply_first():
    keys = [each.key for each in ELEMENTS]
    assert sorted(keys) == sorted(PROJECT.equipment.keys() | PROJECT.runs.keys())
    assert keys.index("u") < keys.index("m") < keys.index(FEEDER) < keys.index("b")


def test_names_come_before_other_words():
    elements = [
        Described("kind", "s-1", "s-1\npanel"),
        Described("part", "old panel", "old panel\npanel"),
        Described("begins", "panel two", "panel two\npanel"),
        Described("whole", "panel", "panel\njunction"),
    ]
    assert found(elements, "Panel") == ("whole", "begins", "part", "kind")


def test_computed_numbers_are_not_found():
    """A load or a fault changes with every edit; what is found must be what a piece is."""
    data = (resources.files("ampacre_samples") / "harrow_orchard.ampacre").read_bytes()
    elements = described(Study(decode(data, "orchard")))
    assert not any("load " in line for each in elements for line in each.words.splitlines()[3:])
    assert all(f"{each.key}" in found(elements, each.name) for each in elements if each.name)
