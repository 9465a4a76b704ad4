"""Whole sets of samples and generated properties, on every paper: readable, and nothing lost."""

import os
import re
import subprocess
import sys
from pathlib import Path

import msgspec
import pypdf
import pytest
from hypothesis import HealthCheck, given, settings
from sheets.estates import estate
from sheets.geometry import chapters_of, extent, overlapping_texts, texts
from strategies import projects

from ampacre.model import records as r
from ampacre.model.edits import connect, put
from ampacre.model.project import Project
from ampacre.rules.review import Review
from ampacre.sheets.drawing_set import drawing_set
from ampacre.sheets.export import write_set
from ampacre.sheets.frame import CAUTIONS
from ampacre.sheets.paper import PAPERS
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLES = Path(__file__).parents[2] / "samples"
SIZES = [3, 20, 60, 300]


def _sheets(project, paper, issued=None):
    study = Study(project)
    return drawing_set(study, Review(study), "2026-03-01", PAPERS[paper], issued)


def _is_readable(sheet):
    assert overlapping_texts(sheet.picture) == [], sheet.number
    assert min(text.height_mm for text in texts(sheet.picture)) >= 3.175
    _stays_inside(sheet)


def _stays_inside(sheet):
    picture = sheet.picture
    left, top, right, bottom = extent(picture)
    assert left >= 20 and top >= 10, sheet.number
    assert right <= picture.width_mm - 10 and bottom <= picture.height_mm - 10, sheet.number


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["first_charger", "harrow_orchard", "harrow_orchard_upgraded"])
def test_samples_are_readable_on_every_paper(name, paper):
    sheets = _sheets(load(SAMPLES / f"{name}.ampacre"), paper)
    for sheet in sheets:
        _is_readable(sheet)
        lines = " ".join(text.text for text in texts(sheet.picture))
        assert all(caution in lines for caution in CAUTIONS)


def test_a_gross_overload_leaves_the_other_bars_their_room():
    project = Project()
    for edit in (
        put("", "equipment", r.UtilitySource(id="u", name="U1")),
        put("", "equipment", r.Panel(id="p", name="P1", bus_a=100)),
        put("", "equipment", r.Load(id="l", name="L1", va=20_000_000)),
    ):
        project = project.apply(edit)
    for source, target in (("u", "p"), ("p", "l")):
        ends = project.equipment[source], project.equipment[target]
        project = project.apply(connect(project, *ends))
    figures = next(s for s in _sheets(project, "letter") if "Figures" in chapters_of(s))
    _is_readable(figures)
    assert any("2778 %" in text.text for text in texts(figures.picture))


def test_a_large_set_has_its_index_on_the_first_sheet_and_no_number_twice():
    project = estate(4, 300)
    titled = msgspec.structs.replace(project.settings, scope="All of it. " * 20)
    sheets = _sheets(Project(**dict(project.tables()) | {"project": {"project": titled}}), "ANSI B")
    numbers = [sheet.number for sheet in sheets]
    assert len(set(numbers)) == len(numbers) > 100
    cover = " ".join(text.text for text in texts(sheets[0].picture))
    for title in {title for sheet in sheets for title in chapters_of(sheet)}:
        assert title in cover
    pieces = project.equipment.values()
    loads = sum(type(piece) is r.Load and piece.since == r.WORK for piece in pieces)
    assert re.search(rf"\b{loads} loads\b", cover)


def test_the_strip_of_a_small_sheet_says_its_data_in_full():
    project = load(SAMPLES / "harrow_orchard_upgraded.ampacre")
    settings = msgspec.structs.replace(
        project.settings,
        permit_number="EL-2026-004417",
        parcel="0417-22-118-003 and 0417-22-118-004",
        licence="ME 20417, class A, until 2027-05",
    )
    project = Project(**dict(project.tables()) | {"project": {"project": settings}})
    for sheet in _sheets(project, "letter"):
        framing = " ".join(t.text for t in texts(sheet.picture) if t.layer == "frame")
        assert "…" not in framing
        for words in (
            settings.name,
            f"Parcel: {settings.parcel}",
            f"License: {settings.licence}",
            f"Utility: {settings.utility}",
            "Revision: first set",
            "Sheet: letter, 11 x 8.5 in",
        ):
            assert words in framing


_DIGEST = """
import hashlib
from sheets.estates import estate
from ampacre.rules.review import Review
from ampacre.sheets.drawing_set import drawing_set
from ampacre.study.study import Study
study = Study(estate(60, 60))
sheets = drawing_set(study, Review(study), "2026-03-01")
print(hashlib.sha256(repr(sheets).encode()).hexdigest())
"""


def test_every_process_draws_the_same_set():
    digests = set()
    for seed in ("1", "3"):
        where = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(SAMPLES.parent / "tests")}
        done = subprocess.run(
            [sys.executable, "-c", _DIGEST], env=where, capture_output=True, text=True, check=True
        )
        digests.add(done.stdout)
    assert len(digests) == 1


@pytest.mark.parametrize("count", SIZES)
def test_generated_properties_are_readable(count):
    for sheet in _sheets(estate(count, count), "ANSI B"):
        _is_readable(sheet)


def _with_settings(project, **fields):
    settings = msgspec.structs.replace(project.settings, **fields)
    return Project(**dict(project.tables()) | {"project": {"project": settings}})


def test_long_words_wrap_or_are_shortened_and_stay_whole_in_the_schedule():
    project = estate(5, 40)
    name = "The upper pump house beside the old orchard gate on the north side of the lane"
    key = next(key for key, piece in project.equipment.items() if isinstance(piece, r.Panel))
    long = msgspec.structs.replace(project.equipment[key], name=name)
    tables = dict(project.tables()) | {"equipment": {**project.equipment, key: long}}
    sheets = _sheets(
        _with_settings(Project(**tables), scope="work " * 700, owner="O" * 120), "ANSI B"
    )
    for sheet in sheets:
        _is_readable(sheet)
    schedule = " ".join(
        text.text for s in sheets if "Equipment list" in chapters_of(s) for text in texts(s.picture)
    )
    assert name in " ".join(schedule.split())


def test_any_characters_come_out(tmp_path):
    odd = "Zoë's 1/2 Ω ½ ° µ ñ <&> שלום"
    project = _with_settings(estate(1, 5), owner=odd, address=odd)
    write_set(project, tmp_path / "set.pdf", "2026-03-01")
    words = pypdf.PdfReader(tmp_path / "set.pdf").pages[0].extract_text()
    for part in ("Zoë's", "Ω", "½", "°", "µ", "ñ", "<&>"):
        assert part in words


def test_every_chapter_has_its_sheets():
    sheets = _sheets(load(SAMPLES / "harrow_orchard.ampacre"), "ANSI B")
    titles = list(dict.fromkeys(title for sheet in sheets for title in chapters_of(sheet)))
    assert titles == [
        "Cover", "Legend", "Grounding", "Labels, placards and inspections", "One-line diagram",
        "Load calculation", "Figures", "Panel schedules", "Run schedule",
        "Fault current and voltage", "Equipment list", "Findings", "Basis and sources",
        "Load letter and service data",
    ]  # fmt: skip


def test_joints_by_bus_but_those_of_services_are_left_out_of_the_schedule():
    sheets = _sheets(load(SAMPLES / "harrow_orchard.ampacre"), "ANSI B")
    schedule = [
        t.text for s in sheets if "Run schedule" in chapters_of(s) for t in texts(s.picture)
    ]
    assert any("M1 to S1" in line for line in schedule)
    assert not any("ATS to Farmhouse" in line for line in schedule)


def test_work_can_be_stopped():
    class Stopped(Exception):
        pass

    seen = []

    def progress(done, whole):
        seen.append((done, whole))
        if done == 2:
            raise Stopped

    study = Study(estate(1, 10))
    with pytest.raises(Stopped):
        drawing_set(study, Review(study), "2026-03-01", progress=progress)
    assert [done for done, _ in seen] == [0, 1, 2]
    assert all(done < whole for done, whole in seen)


@given(projects())
@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
def test_any_sound_project_gives_a_set(project):
    for sheet in _sheets(project, "ANSI B"):
        # what somebody moved by hand may stand on something else, but not outside
        if sheet.title == "One-line diagram" and project.placement:
            _stays_inside(sheet)
        else:
            _is_readable(sheet)


def test_no_number_stands_on_two_sheets_of_a_large_set():
    numbers = [sheet.number for sheet in _sheets(estate(3, 300), "letter")]
    assert len(numbers) == len(set(numbers)) > 200
    assert "E-699" in numbers
    assert "E-6100" in numbers
    assert "E-701" in numbers
