"""Code, drop and faults say what they leave out or assume, and what goes is marked as going."""

from pathlib import Path

import pytest
from published.permit_answers import added, both, piece, run, setting
from sheets.printed import printed, words

from ampacre.model import records as r
from ampacre.rules.reading import is_circuit
from ampacre.sheets.fault_sheets import fault_sheets
from ampacre.sheets.panel_schedule import panel_schedules
from ampacre.sheets.sheet_index import sheet_index
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLE = load(Path(__file__).parents[2] / "samples" / "harrow_orchard_upgraded.ampacre")
UNREAD = run("run-s1-barn", length_m=None)
STATE = "Upland State Electrical Code 2024, with its 230.67"


@pytest.mark.parametrize(
    ("change", "block", "cover"),
    [
        (setting(), "Code: NEC 2023", "Amendments none entered; to be asked of the authority"),
        (setting(local_code=STATE), "Code: NEC 2023, amended locally", STATE),
        (setting(ambient_c=40.0), "Code: NEC 2023, amended locally", "Amendment Ambient"),
    ],
)
def test_title_block_and_cover_say_the_same_of_the_code(change, block, cover):
    chapters = printed(Study(change(SAMPLE)))
    assert f"{block} Sheet:" in chapters["Findings"]
    assert cover.casefold() in chapters["Cover"].casefold()
    assert ("none entered" in chapters["Cover"]) == (block == "Code: NEC 2023")


def _drop(project):
    rows = dict(row[1:] for row in sheet_index(Study(project), [("", "Run schedule")], 200).rows)
    return rows["Run schedule"]


def test_the_cover_counts_the_runs_whose_drop_is_not_known():
    study = Study(SAMPLE)
    unread = [
        facts
        for facts in study.all_runs()
        if facts.run.length_m is None and is_circuit(study, facts)
    ]
    assert _drop(SAMPLE).endswith(f"limit 5 %; {len(unread)} runs without length or wire")
    assert _drop(UNREAD(SAMPLE)).endswith(f"{len(unread) + 1} runs without length or wire")


def test_a_fault_behind_a_wire_that_is_not_read_is_marked_everywhere():
    study = Study(UNREAD(SAMPLE))
    fault = study.equipment("barn").fault
    shown = f"{fault.greatest.greatest_ka:.2f}*"
    said = words(fault_sheets(study))
    assert f"Press barn {shown}" in said
    assert f"Press barn to Unit heater {shown}" in said
    assert "Cold store 3.44 3.44" in said
    assert f"fault {shown} of 10 kA" in printed(study)["One-line diagram"]
    assert " kA*; short-circuit rating" in words(panel_schedules(study))


def test_no_fault_is_marked_where_all_wires_are_read():
    assert "kA*" not in words(panel_schedules(Study(SAMPLE)))


@pytest.mark.parametrize("unread", ["run-s1-barn", "run-t1-m1", "run-yp-p1", None])
def test_all_that_lies_behind_unread_wires_is_marked_and_nothing_else(unread):
    study = Study(run(unread, length_m=None)(SAMPLE) if unread else SAMPLE)
    for facts in study.all_equipment():
        at, lacking = facts, False
        while at.parent:
            feed = study.run(at.feed)
            lacks = feed.run.length_m is None or feed.size.value is None
            lacking |= lacks and feed.run.length_m != 0
            at = study.equipment(at.parent)
        if facts.fault:
            assert facts.fault.at_most == lacking, facts.piece.name


def test_the_device_of_what_goes_has_poles_and_goes_too():
    said = printed(Study(SAMPLE))["One-line diagram"]
    assert "100 A 2P, 10 kA (remove)" in said
    assert "60 A 2P, 10 kA (remove)" in said


def test_a_bound_above_the_rating_is_not_said_to_exceed_it():
    said = words(fault_sheets(Study(UNREAD(SAMPLE))))
    assert any(line.endswith("10 wires not known") for line in said.split("\n"))
    assert "EXCEEDED" not in said


def test_a_circuit_whose_breaker_was_not_read_is_not_said_to_have_none():
    house = load(Path(__file__).parents[2] / "samples" / "first_charger.ampacre")
    panel = next(p for p in house.equipment.values() if isinstance(p, r.Panel))
    circuit = r.Run(id="unread", source=panel.id, target="well", role="branch", spaces=(27, 29))
    well = r.Motor(id="well", name="Well pump", power_hp=1.5)
    project = both(added("equipment", well), added("runs", circuit))(house)
    rows = [
        row for part in panel_schedules(Study(project)) for row in getattr(part, "rows", ())
        if "Well pump" in row[1]
    ]  # fmt: skip
    assert [row[3] for row in rows] == ["not read"]


@pytest.mark.parametrize(
    ("since", "said"), [(None, "Bond not read."), (r.WORK, "Bond to be stated.")]
)
def test_the_bond_of_a_new_panel_is_stated_and_not_read(since, said):
    project = piece("barn", neutral_bonded=None, since=since)(SAMPLE)
    assert said in words(panel_schedules(Study(project)))
