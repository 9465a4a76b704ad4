"""The words beside runs and pieces."""

from pathlib import Path

import msgspec
import pytest
from sheets.geometry import texts

from ampacre.model import records as r
from ampacre.model.edits import put
from ampacre.model.project import Project
from ampacre.picture.lettering import text_width_mm
from ampacre.rules.questions import answered
from ampacre.rules.review import Review
from ampacre.sheets.drawing_set import drawing_set
from ampacre.sheets.equipment_list import equipment_list
from ampacre.sheets.piece_labels import load_words, motor_words, name_lines
from ampacre.sheets.run_labels import (
    device_words,
    grounding_words,
    rating_words,
    run_words,
    size_words,
    spaces_words,
)
from ampacre.store.file import load
from ampacre.study.facts import Chosen, RunFacts
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"


def facts(legs="AB", drop_pct=None, **run):
    run = r.Run(id="x", source="a", target="b", **run)
    wires = run.conductors
    return run, RunFacts(
        run=run,
        work="new",
        supplied=True,
        legs=legs,
        device=Chosen(run.device.rating_a if run.device else None),
        interrupting_ka=Chosen(run.device.interrupting_ka if run.device else None),
        size=Chosen(wires.size),
        material=Chosen(wires.material),
        neutral=Chosen(wires.neutral),
        sets=Chosen(wires.sets or 1),
        grounding=Chosen(wires.grounding),
        grounding_material=Chosen(wires.grounding_material),
        raceway=Chosen(run.raceway),
        drop_pct=drop_pct,
    )


def wires(**fields):
    return {"conductors": r.Conductors(**fields)}


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"size": "4/0", "material": "al", "neutral": "4/0"}, "3-4/0 AL"),
        ({"size": "4/0", "material": "al", "neutral": "2/0"}, "2-4/0 AL, 2/0 N"),
        ({"size": "6", "material": "cu", "neutral": "none"}, "2-6 CU"),
        ({"size": "250", "material": "al", "neutral": "250", "sets": 2}, "(2) 3-250 AL"),
    ],
)
def test_conductors_are_counted_with_a_neutral_of_their_size(fields, words):
    assert size_words(*facts(**wires(**fields))) == words


def test_grounding_conductor_in_words():
    def of(**fields):
        return grounding_words(*facts(**wires(size="4", **fields)))

    assert of(grounding="6", grounding_material="cu") == "+ 6 CU EGC"
    assert of(grounding="none") == "no EGC"
    assert of(grounding="raceway") == "EGC is raceway"


def test_length_follows_the_units_and_the_drop_stands_beside_it():
    run, known = facts(length_m=94.488, drop_pct=3.78, raceway="pvc")
    assert run_words(run, known, "us")[-1].text == "310 ft, 3.8 % drop"
    assert run_words(run, known, "metric")[-1].text == "94.5 m, 3.8 % drop"


def test_a_device_tells_poles_and_interrupting_rating():
    run, known = facts(device=r.Device(rating_a=150, interrupting_ka=22))
    assert device_words(run, known).text == "150 A 2P, 22 kA"


def test_what_is_assumed_carries_a_star_and_what_is_unknown_says_so():
    run, _ = facts(**wires(size="2", material="al"))
    assumed = RunFacts(
        run=run, work="existing", supplied=True, legs="AB", size=Chosen("2", "assumed")
    )
    assert size_words(run, assumed).startswith("2-2") and "*" in size_words(run, assumed)
    unknown = RunFacts(run=run, work="existing", supplied=True)
    assert size_words(run, unknown) == "wire not read"


def test_what_is_not_known_of_new_work_is_to_be_entered_or_chosen():
    standing, new = (r.Run(id="x", source="a", target="b", since=since) for since in (None, "work"))
    assert [words.text for words in run_words(standing, None, "us")] == [
        "wire not read", "EGC not read", "length not read",
    ]  # fmt: skip
    assert [words.text for words in run_words(new, None, "us")] == [
        "wire not chosen", "EGC not chosen", "length to enter",
    ]  # fmt: skip
    assert load_words(r.Load(id="l", name="L"), None, "us").text == "not read"
    assert motor_words(r.Motor(id="m", name="M", since=r.WORK), 240.0) == "to enter"
    assert motor_words(r.Motor(id="m", name="M"), 240.0) == "not read"
    assert load_words(r.Load(id="l", name="L", since="work"), None, "us").text == "to enter"


def test_a_name_takes_two_lines_at_most_and_keeps_its_mark():
    lines = name_lines("Main distribution panel of the upper press barn and workshop", "new", 45)
    assert len(lines) == 2 and lines[-1].endswith("… (N)")
    assert all(text_width_mm(line, 3.2, bold=True) <= 45 for line in lines)
    assert name_lines("P-1", "removed", 45) == ("P-1 (remove)",)


def test_spaces_are_listed_or_spanned():
    def of(*spaces):
        return spaces_words(r.Run(id="x", source="a", target="b", spaces=spaces))

    assert [of(), of(7), of(1, 3), of(1, 3, 5)] == ["", "7", "1,3", "1-5"]


def test_what_is_entered_of_a_run_is_written_though_nothing_supplies_it():
    project = Project()
    panel, charger = r.Panel(id="p", name="P"), r.Charger(id="c", name="C1", nameplate_a=40.0)
    run = r.Run(
        id="run", source="p", target="c", length_m=12.0, raceway="pvc", since="work",
        device=r.Device(rating_a=50.0, interrupting_ka=10.0),
        conductors=r.Conductors(size="6", material="cu", grounding="10", neutral="none"),
    )  # fmt: skip
    for table, record in (("equipment", panel), ("equipment", charger), ("runs", run)):
        project = project.apply(put("", table, record))
    (of_run,) = Study(project, "work").all_runs()
    assert not of_run.supplied
    assert device_words(run, of_run).text == "50 A, 10 kA"
    assert rating_words(run, of_run).text == "50 A"
    assert [words.text for words in run_words(run, of_run, "us")] == [
        "6 CU",
        "+ 10 EGC, in PVC",
        "39.4 ft",
    ]


def test_a_sheet_gives_all_ratings_of_a_motor_and_the_circuits_of_devices():
    project = load(SAMPLES / "harrow_orchard_upgraded.ampacre")
    key = next(key for key, piece in project.equipment.items() if piece.name == "Press motor")
    motor = msgspec.structs.replace(project.equipment[key], power_hp=3.0)
    study = Study(
        Project(**dict(project.tables()) | {"equipment": {**project.equipment, key: motor}})
    )
    drawn = drawing_set(study, Review(study), "2026-03-01")
    words = {
        text.text for sheet in drawn if "One-line" in sheet.title for text in texts(sheet.picture)
    }
    assert {"3 hp, 240 V, 17 A", "240 V, 14 A"} <= words
    assert {"F-2: 150 A 2P, 22 kA, ckt 2,4", "30 A 1P, 10 kA, ckt 2"} <= words
    assert "circuit in these spaces" in {text.text for s in drawn for text in texts(s.picture)}


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("yes", "in sight, as seen on site"),
        ("no", "NOT in sight, as seen on site"),
        (None, "to be confirmed: in sight or lockable"),
    ],
)
def test_the_list_of_motors_says_what_is_known_of_the_disconnect(value, said):
    project = load(SAMPLES / "harrow_orchard_upgraded.ampacre")
    key = next(key for key, piece in project.equipment.items() if piece.name == "Press motor")
    if value:
        project = project.apply(answered(project, "motor-disconnect-in-sight", key, value))
    study = Study(project)
    (motors,) = (p for p in equipment_list(study, Review(study)) if p.title == "Motors")
    (row,) = (row for row in motors.rows if row[0] == "Press motor")
    assert motors.columns[-1].head == "Disconnect"
    assert (row[2], row[-1]) == ("240 V", said)
