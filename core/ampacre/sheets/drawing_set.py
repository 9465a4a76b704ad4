"""The set that is handed in: cover, one-line, calculations, schedules, findings, utility's sheet.

Sheets are numbered as the US National CAD Standard has it: E for electrical, then 0 for general
sheets, 5 for details, 6 for schedules and diagrams, 7 for what goes to the utility.
"""

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.picture.primitives import Element, Picture
from ampacre.rules.review import Review
from ampacre.sheets.basis import basis_sheets, finding_sheets
from ampacre.sheets.cover import IndexLine, cover, seal_room
from ampacre.sheets.equipment_list import equipment_list
from ampacre.sheets.fault_sheets import fault_sheets, grounding_sheets
from ampacre.sheets.figures import figures
from ampacre.sheets.frame import Heading, framed, moved
from ampacre.sheets.inspections import inspections
from ampacre.sheets.legend import legend
from ampacre.sheets.load_sheets import load_sheets
from ampacre.sheets.paging import Deltas, page
from ampacre.sheets.panel_schedule import panel_schedules
from ampacre.sheets.paper import Paper, paper_named
from ampacre.sheets.placards import placards
from ampacre.sheets.revisions import changed_elements, changes_in_words
from ampacre.sheets.run_schedule import run_schedule, run_worksheets
from ampacre.sheets.table import Figure, Part, flow
from ampacre.sheets.utility_sheet import utility_sheet
from ampacre.study.study import Study

__all__ = ["Progress", "Sheet", "drawing_set", "sections", "today"]

COVER, ONE_LINE = "Cover", "One-line diagram"
GENERAL, DETAILS, SCHEDULES, UTILITY = 0, 5, 6, 7

Progress = Callable[[int, int], None]
"""Told how many parts of the set are done, and of how many; what it raises stops the work."""

_COVER_COLUMN = 150.0
_GUTTER = 10.0


class Sheet(NamedTuple):
    """One sheet of the set."""

    number: str
    title: str
    picture: Picture


class Section(NamedTuple):
    """A chapter of the set: its title, the series that its sheets are numbered in, its parts."""

    title: str
    series: int
    parts: Callable[[], Iterable[Part]]


class _Draft(NamedTuple):
    """What stands on a sheet before its frame, which counts the sheets, can be drawn."""

    title: str
    number: str
    elements: list[Element]
    size: tuple[float, float] | None = None


def today() -> str:
    """Give the day as it is written on sheets."""
    return datetime.now().astimezone().date().isoformat()


def sections(study: Study, review: Review, date: str, width: float) -> tuple[Section, ...]:
    """Give the chapters after cover and one-line, in order, for tables of this width [mm]."""
    return (
        Section("Grounding", DETAILS, lambda: grounding_sheets(study)),
        Section("Labels, placards and inspections", DETAILS, lambda: [
            *placards(study, date), *inspections(study)
        ]),
        Section("Load calculation", SCHEDULES, lambda: load_sheets(study)),
        Section("Figures", SCHEDULES, lambda: figures(study, width)),
        Section("Panel schedules", SCHEDULES, lambda: panel_schedules(study)),
        Section("Run schedule", SCHEDULES, lambda: [*run_schedule(study), *run_worksheets(study)]),
        Section("Fault current and voltage", SCHEDULES, lambda: fault_sheets(study)),
        Section("Equipment list", SCHEDULES, lambda: equipment_list(study)),
        Section("Findings", SCHEDULES, lambda: finding_sheets(study, review)),
        Section("Basis and sources", SCHEDULES, lambda: basis_sheets(study)),
        Section("Load letter and service data", UTILITY, lambda: utility_sheet(study)),
    )  # fmt: skip


def drawing_set(
    study: Study,
    review: Review,
    date: str,
    paper: Paper | None = None,
    issued: Project | None = None,
    progress: Progress | None = None,
) -> tuple[Sheet, ...]:
    """Make all sheets of the set, dated as told, on the project's paper unless another is given.

    `issued` is the project of the last set handed in: what changed since then is marked.
    """
    paper = paper or paper_named(study.settings.paper)
    numbers = _Numbers()
    changes = changes_in_words(issued, study.project) if issued else ()
    deltas = (
        Deltas(str(_last_issue(study.project) + 1), changed_elements(issued, study.project))
        if issued
        else Deltas()
    )
    leaves, used = page(
        study, paper.area_width, paper.area_height,
        lambda place: f"E-{100 * SCHEDULES + 1 + place}", deltas,
    )  # fmt: skip
    one_line = [
        _Draft(ONE_LINE, numbers.next(SCHEDULES), leaf.elements, (leaf.width, leaf.height))
        for leaf in leaves
    ]
    chapters = sections(study, review, date, paper.column_width)
    drafts: dict[int, list[_Draft]] = {GENERAL: [], DETAILS: [], SCHEDULES: one_line, UTILITY: []}
    for place, section in enumerate(chapters):
        if progress:
            progress(place, len(chapters))
        drafts[section.series] += _set(section, paper, numbers)
    body = [*drafts[DETAILS], *drafts[SCHEDULES], *drafts[UTILITY]]
    front = _front(study, date, changes, used, paper, body)
    return _framed([*front, *body], study, date, paper)


class _Numbers:
    """Counts the sheets of each series."""

    def __init__(self) -> None:
        self.counts: dict[int, int] = {}

    def next(self, series: int) -> str:
        self.counts[series] = self.counts.get(series, 0) + 1
        return f"E-{100 * series + self.counts[series]:03d}"


def _last_issue(project: Project) -> int:
    return max((issue.number for issue in project.issues.values()), default=0)


def _set(section: Section, paper: Paper, numbers: _Numbers) -> list[_Draft]:
    """Flow a chapter over sheets, tables beside each other where the paper has room."""
    flowed = flow(section.parts(), paper.column_width, paper.area_height)
    return [
        _Draft(section.title, numbers.next(section.series), elements)
        for elements in _beside(flowed, paper.columns, paper.column_pitch)
        if elements
    ]


def _beside(columns: list[list[Element]], count: int, pitch: float) -> list[list[Element]]:
    """Put this many columns on each sheet."""
    return [
        [
            moved(element, place * pitch, 0.0) if place else element
            for place, column in enumerate(columns[first : first + count])
            for element in column
        ]
        for first in range(0, len(columns), count)
    ]


def _front(
    study: Study,
    date: str,
    changes: tuple[str, ...],
    used: frozenset[str],
    paper: Paper,
    body: list[_Draft],
) -> list[_Draft]:
    """Make the cover, with a sheet index that counts the cover's own sheets."""
    count = max(1, round(paper.area_width / _COVER_COLUMN))
    width = (paper.area_width - _GUTTER * (count - 1)) / count
    explained = legend(used, 1)
    beside = explained.height <= paper.area_height and explained.width <= width
    key = Figure("", tuple(explained.elements), explained.width, explained.height)
    rest: list[_Draft] = []
    pages = 1
    while True:
        rest = [] if beside else _legend_sheet(used, paper, pages + 1)
        covers = [(f"E-{place:03d}", COVER) for place in range(1, pages + 1)]
        index = _index([*covers, *((d.number, d.title) for d in [*rest, *body])])
        parts = cover(study, date, index, changes, width)
        parts += [seal_room(study.settings, width)] if paper.strip else []
        columns = flow([*parts, key] if beside else parts, width, paper.area_height)
        sheets = _beside(columns, count, width + _GUTTER)
        if len(sheets) == pages:
            break
        pages = len(sheets)
    front = [_Draft(COVER, f"E-{place:03d}", sheet) for place, sheet in enumerate(sheets, 1)]
    return [*front, *rest]


def _legend_sheet(used: frozenset[str], paper: Paper, place: int) -> list[_Draft]:
    columns = max(1, int(paper.area_width // 106.0))
    drawn = legend(used, columns)
    size = (max(paper.area_width, drawn.width), max(paper.area_height, drawn.height))
    return [_Draft("Legend", f"E-{place:03d}", drawn.elements, size)]


def _index(sheets: list[IndexLine]) -> list[IndexLine]:
    """Say sheets of one title in one line: "E-601 to E-604"."""
    lines: list[tuple[list[str], str]] = []
    for number, title in sheets:
        if lines and lines[-1][1] == title:
            lines[-1][0].append(number)
        else:
            lines.append(([number], title))
    return [
        (numbers[0] if len(numbers) == 1 else f"{numbers[0]} to {numbers[-1]}", title)
        for numbers, title in lines
    ]


def _framed(drafts: list[_Draft], study: Study, date: str, paper: Paper) -> tuple[Sheet, ...]:
    settings: r.Settings = study.settings
    issues = sorted(study.project.issues.values(), key=lambda issue: issue.number)
    revision = f"{issues[-1].number}, {issues[-1].date}" if issues else ""
    sheets = []
    for place, draft in enumerate(drafts, 1):
        heading = Heading(
            draft.number, draft.title, date, f"sheet {place} of {len(drafts)}", revision
        )
        picture = framed(draft.elements, settings, heading, paper, draft.size)
        sheets.append(Sheet(draft.number, draft.title, picture))
    return tuple(sheets)
