"""The one-line diagram as one picture: nothing overlaps, crosses or is left out."""

from typing import get_args

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sheets.estates import estate
from sheets.geometry import crossings, extent, overlapping_texts, segments, struck_texts, texts
from strategies import histories

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.rules.rule import Severity
from ampacre.sheets.badges import BADGES
from ampacre.sheets.one_line import lay_out, redraw, same_shape
from ampacre.study.study import Study

SIZES = [(seed, 8 + 14 * seed) for seed in range(10)] + [(seed, 300) for seed in range(10, 14)]


@pytest.fixture(scope="module", params=SIZES, ids=str)
def drawn(request):
    study = Study(estate(*request.param))
    return study, lay_out(study)


def test_texts_do_not_overlap(drawn):
    assert overlapping_texts(drawn[1].picture) == []


def test_no_line_crosses_another(drawn):
    assert crossings(segments(drawn[1].picture)) == []


def test_no_line_passes_through_a_text(drawn):
    assert struck_texts(drawn[1].picture) == []


def test_all_stands_inside_the_bounds(drawn):
    _, one_line = drawn
    left, top, right, bottom = extent(one_line.picture)
    bounds = one_line.bounds
    assert bounds.x <= left and bounds.y <= top
    assert right <= bounds.x + bounds.w and bottom <= bounds.y + bounds.h


def test_every_piece_and_run_is_drawn_once(drawn):
    study, one_line = drawn
    assert one_line.places.keys() == study.project.equipment.keys()
    assert one_line.paths.keys() == study.project.runs.keys()


def test_lettering_is_an_eighth_of_an_inch(drawn):
    assert min(text.height_mm for text in texts(drawn[1].picture)) >= 3.175


def _hangs_from(one_line, piece, point):
    if point == pytest.approx(one_line.ports[piece]):
        return True
    left, right, y = one_line.buses.get(piece, (0, 0, None))
    return y is not None and left <= point[0] <= right and point[1] == pytest.approx(y)


def _enters(one_line, piece, point):
    box = one_line.places[piece]
    return box.x - 0.1 <= point[0] <= box.x + box.w + 0.1 and abs(point[1] - box.y) < 10.0


def test_runs_lead_from_piece_to_piece(drawn):
    study, one_line = drawn
    checked = 0
    for key, strokes in one_line.paths.items():
        run = study.project.runs[key]
        ends = {run.source, run.target}
        if len(strokes) > 1 or not ends <= one_line.ports.keys():
            continue  # shown by marks at both ends, or a line of a list
        start, end = strokes[0][0], strokes[0][-1]
        above = [piece for piece in ends if _hangs_from(one_line, piece, start)]
        assert len(above) == 1, key
        below = (ends - set(above)).pop()
        bus_end = below in one_line.buses and _hangs_from(one_line, below, end)
        assert bus_end or _enters(one_line, below, end), key
        checked += 1
    assert checked


def test_two_studies_of_one_project_draw_the_same():
    project = estate(3, 60)
    same = lay_out(Study(project)).picture == lay_out(Study(project)).picture
    assert same


def _altered(project, **values):
    """The project with the loads of all its chargers changed, and nothing that shapes it."""
    equipment = {
        key: msgspec.structs.replace(piece, **values) if isinstance(piece, r.Charger) else piece
        for key, piece in project.equipment.items()
    }
    return Project(equipment=equipment, runs=project.runs, structures=project.structures)


def test_numbers_move_nothing():
    plain = estate(5, 120)
    loaded = _altered(plain, nameplate_a=80.0, setting_a=64.0, setting_locked=True)
    before, after = lay_out(Study(plain)), lay_out(Study(loaded))
    assert same_shape(plain, loaded)
    assert hash(before.picture.elements) != hash(after.picture.elements)
    for part in ("places", "paths", "ports", "buses", "outlines", "bounds"):
        same = getattr(before, part) == getattr(after, part)
        assert same, part


def test_redrawing_gives_what_laying_out_gives():
    plain = estate(5, 120)
    loaded = _altered(plain, nameplate_a=80.0, setting_a=64.0, setting_locked=True)
    study = Study(loaded)
    before, after = lay_out(Study(plain)), lay_out(study)
    assert redraw(before, study, before.parts) == after.owned
    assert before.parts.keys() == {*plain.equipment, *plain.runs}


def test_a_line_of_a_list_is_redrawn_for_piece_and_run_together():
    project = estate(5, 120)
    study = Study(project)
    before = lay_out(study)
    shared = [part.keys for parts in before.parts.values() for part in parts if len(part.keys) > 1]
    assert shared
    piece, run = shared[0]
    assert redraw(before, study, [run]).keys() == {piece, run}


def test_all_that_is_drawn_belongs_to_a_piece_a_run_or_a_structure():
    one_line = lay_out(Study(estate(5, 120)))
    parts = (*one_line.owned.values(), *one_line.grounds.values())
    assert {*one_line.picture.elements} == {each for part in parts for each in part}
    assert sum(map(len, parts)) == len(one_line.picture.elements)


def _geometry(one_line):
    return tuple(
        getattr(one_line, part)
        for part in ("places", "paths", "ports", "buses", "outlines", "grounds", "bounds")
    )


def _said(owned):
    return {key: part for key, part in owned.items() if part}


@settings(max_examples=100)
@given(histories(), st.sampled_from(BADGES))
def test_redrawing_after_any_edits_equals_laying_out_from_nothing(history, badge):
    first, steps = history
    one_line, shown = lay_out(Study(first), badge=badge), first
    for _, project in steps:
        study = Study(project)
        anew = lay_out(study, badge=badge)
        if same_shape(shown, project):
            assert _geometry(anew) == _geometry(one_line)
            redrawn = {**one_line.owned, **redraw(one_line, study, one_line.parts, badge=badge)}
            # of what a badge leaves nothing to say, redrawing says so and laying out keeps silent
            assert _said(redrawn) == _said(anew.owned)
        one_line, shown = anew, project


@pytest.mark.parametrize("badge", BADGES)
def test_a_badge_moves_nothing_and_keeps_to_its_room(badge, drawn):
    study, plain = drawn
    one_line = lay_out(study, badge=badge)
    assert _geometry(one_line) == _geometry(plain)
    assert overlapping_texts(one_line.picture) == []
    assert struck_texts(one_line.picture) == []


def test_a_folded_piece_hides_and_counts_what_hangs_from_it():
    project = Project(
        equipment={
            "p": r.Panel(id="p", name="Main"),
            "q": r.Panel(id="q", name="Barn"),
            "c": r.Charger(id="c", name="C-1"),
            "l": r.Load(id="l", name="Lights"),
        },
        runs={
            "pq": r.Run(id="pq", source="p", target="q"),
            "qc": r.Run(id="qc", source="q", target="c"),
            "ql": r.Run(id="ql", source="q", target="l"),
        },
    )
    one_line = lay_out(Study(project), folded=frozenset({"q"}))
    assert one_line.places.keys() == {"p", "q"}
    assert "2 not shown" in {text.text for text in texts(one_line.picture)}


def test_a_moved_piece_takes_its_branch_along_and_stays_connected():
    project = estate(2, 40)
    tidy = lay_out(Study(project))
    moved_key = next(
        key
        for key, piece in project.equipment.items()
        if isinstance(piece, r.Panel) and any(run.target == key for run in project.runs.values())
    )
    placement = {moved_key: r.Placement(id=moved_key, dx_mm=40.0, dy_mm=15.0)}
    moved = lay_out(
        Study(
            Project(
                equipment=project.equipment,
                runs=project.runs,
                structures=project.structures,
                placement=placement,
            )
        )
    )
    for key in [moved_key, *_below(tidy, project, moved_key)]:
        assert moved.places[key].x == pytest.approx(tidy.places[key].x + 40.0)
        assert moved.places[key].y == pytest.approx(tidy.places[key].y + 15.0)
    feed = next(run.id for run in project.runs.values() if run.target == moved_key)
    end = moved.paths[feed][0][-1]
    assert end == pytest.approx((tidy.paths[feed][0][-1][0] + 40, tidy.paths[feed][0][-1][1] + 15))
    still = project.equipment.keys() - {moved_key, *_below(tidy, project, moved_key)}
    assert all(moved.places[key] == tidy.places[key] for key in still)


def _below(one_line, project, key):
    """Pieces whose single drawn stroke leads down from a piece, and what hangs from those."""
    found = []
    for run in project.runs.values():
        if run.source == key and len(one_line.paths[run.id]) == 1 and run.target not in found:
            found += [run.target, *_below(one_line, project, run.target)]
    return found


def test_marks_of_findings_differ_in_shape():
    study = Study(estate(1, 20))
    grades = get_args(Severity)
    keys = sorted(study.project.equipment)[: len(grades)]
    one_line = lay_out(study, flags=dict(zip(keys, grades, strict=True)))
    kinds = []
    for key in keys:
        mine = [e for e in one_line.picture.elements if e.layer == "flag" and e.owner == key]
        corners = [len(element.points) for element in mine if hasattr(element, "points")]
        kinds.append((sum(not hasattr(element, "points") for element in mine), *corners))
    assert all(kinds) and len(set(kinds)) == len(grades)
    assert not any(e.layer == "flag" for e in lay_out(study).picture.elements)


def test_existing_is_thin_new_is_thick_and_removed_is_crossed():
    pieces = {
        "p": r.Panel(id="p", name="Main"),
        "old": r.Charger(id="old", name="C-1"),
        "new": r.Charger(id="new", name="C-2", since=r.WORK),
        "gone": r.Charger(id="gone", name="C-3", until=r.WORK),
    }
    runs = {
        f"r-{key}": r.Run(id=f"r-{key}", source="p", target=key, since=p.since, until=p.until)
        for key, p in pieces.items()
        if key != "p"
    }
    picture = lay_out(Study(Project(equipment=pieces, runs=runs))).picture

    def pens(owner):
        return {e.width_mm for e in picture.elements if e.owner == owner and hasattr(e, "width_mm")}

    def strokes(owner):
        return sum(e.owner == owner and hasattr(e, "points") for e in picture.elements)

    assert pens("old") == pens("r-old") == {0.3}
    assert pens("new") == pens("r-new") == {0.7}
    assert strokes("gone") == strokes("old") + 2
    # its line and its device
    assert strokes("r-gone") == strokes("r-old") + 4
    names = {text.text for text in texts(picture)}
    assert {"C-1 (E)", "C-2 (N)", "C-3 (remove)"} <= names
