"""A one-line diagram cut to sheets: nothing lost, nothing outside, and every cut told at both ends."""

import re
from collections import Counter
from pathlib import Path

import pytest
from sheets.estates import estate
from sheets.geometry import crossings, extent, overlapping_texts, segments, struck_texts, texts

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.picture.primitives import Picture
from ampacre.sheets.paging import page
from ampacre.sheets.paper import PAPERS
from ampacre.store.file import load
from ampacre.study.study import Study

AREA_WIDTH, AREA_HEIGHT = PAPERS["ANSI B"].area_width, PAPERS["ANSI B"].area_height


def _paged(project):
    leaves, _ = page(Study(project), AREA_WIDTH, AREA_HEIGHT, lambda place: f"E-{601 + place}")
    return leaves, [Picture(tuple(leaf.elements), leaf.width, leaf.height) for leaf in leaves]


def _wide(chargers, loads):
    """A panel with many chargers and loads of its own."""
    pieces = {"u": r.UtilitySource(id="u", name="U"), "p": r.Panel(id="p", name="Main", spaces=42)}
    runs = {"up": r.Run(id="up", source="u", target="p")}
    for kind, count in ((r.Charger, chargers), (r.Load, loads)):
        for number in range(count):
            key = f"{kind.__name__}{number}"
            pieces[key] = kind(id=key, name=f"{kind.__name__} {number}")
            runs[f"to-{key}"] = r.Run(id=f"to-{key}", source="p", target=key)
    return Project(equipment=pieces, runs=runs)


def _deep(count):
    """A chain of panels, each in a structure of its own."""
    pieces = {"u": r.UtilitySource(id="u", name="U")}
    structures = {f"s{n}": r.Structure(id=f"s{n}", name=f"House {n}") for n in range(count)}
    runs, above = {}, "u"
    for number in range(count):
        key = f"p{number}"
        pieces[key] = r.Panel(id=key, name=f"P-{number}", structure=f"s{number}")
        runs[f"to-{key}"] = r.Run(id=f"to-{key}", source=above, target=key)
        above = key
    return Project(equipment=pieces, runs=runs, structures=structures)


CASES = {
    **{f"seed {seed}": estate(seed, 10 + 25 * (seed % 7)) for seed in range(20, 34)},
    "300 pieces": estate(7, 300),
    "many chargers": _wide(60, 0),
    "many loads": _wide(0, 126),
    "both": _wide(20, 90),
    "deep": _deep(30),
}


@pytest.fixture(scope="module", params=CASES, ids=str)
def paged(request):
    project = CASES[request.param]
    return project, *_paged(project)


def test_nothing_overlaps_crosses_or_leaves_the_sheet(paged):
    _, leaves, pictures = paged
    for leaf, picture in zip(leaves, pictures, strict=True):
        assert (leaf.width, leaf.height) == (AREA_WIDTH, AREA_HEIGHT)
        assert overlapping_texts(picture) == []
        assert crossings(segments(picture)) == []
        assert struck_texts(picture) == []
        left, top, right, bottom = extent(picture)
        assert left >= -0.5 and top >= -0.5
        assert right <= AREA_WIDTH + 0.5 and bottom <= AREA_HEIGHT + 0.5


def test_every_piece_is_drawn_with_its_name_once(paged):
    project, _, pictures = paged
    named = Counter(
        (text.owner, text.text)
        for picture in pictures
        for text in texts(picture)
        if text.field == "name"
        and text.owner in project.equipment
        and ", continued" not in text.text
    )
    first_lines = Counter(owner for owner, _ in named)
    assert first_lines.keys() == project.equipment.keys()
    owners = {element.owner for picture in pictures for element in picture.elements}
    assert project.runs.keys() <= owners


LETTERS = {(r.Meter, "WH"), (r.Generator, "G"), (r.Motor, "M")}
"""Letters that belong to a symbol and are no mark of an interrupted line."""


def test_each_mark_stands_at_both_ends_with_the_other_sheet(paged):
    project, _, pictures = paged
    ends = {}
    for place, picture in enumerate(pictures):
        for text in texts(picture):
            own = (type(project.equipment.get(text.owner)), text.text) in LETTERS
            if re.fullmatch(r"[A-Z]{1,2}", text.text) and text.layer == "symbol" and not own:
                ends.setdefault((text.text, text.owner), []).append(place)
    assert all(len(places) == 2 for places in ends.values())
    sheets = {f"E-{601 + place}" for places in ends.values() for place in places}
    told = {
        number
        for picture in pictures
        for text in texts(picture)
        for number in re.findall(r"E-6\d\d", text.text)
    }
    assert told <= sheets
    apart = {place for places in ends.values() if len(set(places)) > 1 for place in places}
    assert told == {f"E-{601 + place}" for place in apart}


def test_a_cut_run_names_the_other_piece_and_sheet():
    _, pictures = _paged(_deep(12))
    assert len(pictures) > 1
    lines = [{text.text for text in texts(picture)} for picture in pictures]
    going = [
        (place, line.removeprefix("to "))
        for place, found in enumerate(lines)
        for line in found
        if line.startswith("to P-")
    ]
    apart = 0
    for place, name in going:
        target = next(n for n, found in enumerate(lines) if f"{name} (E)" in found)
        if target == place:
            continue  # what was cut off found room beside
        apart += 1
        above = f"P-{int(name.removeprefix('P-')) - 1}"
        assert f"on E-{601 + target}" in lines[place]
        assert f"from {above}, E-{601 + place}" in lines[target]
    assert apart


def test_a_bus_that_is_too_wide_goes_on_elsewhere():
    _, pictures = _paged(_wide(12, 0))
    lines = [text.text for picture in pictures for text in texts(picture)]
    assert "Main goes on" in lines
    assert "Main, continued (E)" in lines
    assert sum(line.startswith("Charger ") for line in lines) == 12


SAMPLES = Path(__file__).parents[2] / "samples"


def _sample_on(name, paper):
    width, height = PAPERS[paper].area_width, PAPERS[paper].area_height
    project = load(SAMPLES / f"{name}.ampacre")
    leaves, _ = page(Study(project), width, height, lambda place: f"E-{601 + place}")
    return [Picture(tuple(leaf.elements), leaf.width, leaf.height) for leaf in leaves]


@pytest.mark.parametrize("paper", ["ANSI B", "ANSI D", "Arch D", "A3"])
def test_a_first_charger_stands_whole_on_one_sheet(paper):
    (picture,) = _sample_on("first_charger", paper)
    lines = [text.text for text in texts(picture)]
    assert "Shed (N)" in lines
    assert not any(line.startswith(("to ", "from ")) for line in lines)


def test_an_orchard_stands_on_one_large_sheet():
    assert len(_sample_on("harrow_orchard", "ANSI D")) == 1
    assert len(_sample_on("harrow_orchard", "ANSI B")) <= 4


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["first_charger", "harrow_orchard"])
def test_no_word_of_a_sample_is_cut(name, paper):
    for picture in _sample_on(name, paper):
        assert overlapping_texts(picture) == []
        assert crossings(segments(picture)) == []
        assert struck_texts(picture) == []
        assert not any("\u2026" in text.text for text in texts(picture))


def test_what_hangs_from_a_bus_keeps_its_order_where_some_of_it_is_cut_off():
    _, pictures = _paged(_wide(4, 20))
    for picture in pictures:
        named = [t for t in texts(picture) if re.match(r"(to )?Charger \d", t.text)]
        numbers = [int(re.search(r"\d+", t.text).group()) for t in sorted(named, key=lambda t: t.x)]
        assert numbers == sorted(numbers)


def test_a_small_project_takes_one_sheet():
    leaves, pictures = _paged(_wide(2, 5))
    assert len(leaves) == 1
    assert not any("E-6" in text.text for text in texts(pictures[0]))
