"""The set that is handed in: cover, one-line, calculations, schedules, findings, utility's sheet.

Sheets are numbered as the US National CAD Standard has it: E for electrical, then 0 for general
sheets, 5 for details, 6 for schedules and diagrams, 7 for what goes to the utility.
"""

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from functools import partial
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.picture.lettering import known
from ampacre.picture.primitives import Element, Picture, Text
from ampacre.rules.review import Review
from ampacre.sheets.basis import basis_sheets, finding_sheets
from ampacre.sheets.changed_rows import DELTA, with_marks
from ampacre.sheets.chapters import Bound, Chapter, Columns, bind, titled
from ampacre.sheets.cover import cover, seal_room
from ampacre.sheets.equipment_list import equipment_list
from ampacre.sheets.fault_sheets import fault_sheets
from ampacre.sheets.figures import figures
from ampacre.sheets.frame import Heading, framed
from ampacre.sheets.grounding_sheets import grounding_sheets
from ampacre.sheets.inspections import inspections
from ampacre.sheets.legend import legend
from ampacre.sheets.load_sheets import load_sheets
from ampacre.sheets.paging import Deltas, page
from ampacre.sheets.panel_schedule import panel_schedules
from ampacre.sheets.paper import Paper, paper_named
from ampacre.sheets.placards import placards
from ampacre.sheets.revisions import changed_elements, changes_in_words, revision_words, set_number
from ampacre.sheets.run_schedule import run_schedule, run_worksheets
from ampacre.sheets.sheet_index import IndexLine
from ampacre.sheets.site_checks import site_checks, working_space
from ampacre.sheets.table import Part
from ampacre.sheets.utility_sheet import utility_sheet
from ampacre.study.study import Study

__all__ = ["Progress", "Sheet", "drawing_set", "sections", "today"]

COVER, LEGEND, ONE_LINE, FINDINGS = "Cover", "Legend", "One-line diagram", "Findings"
GENERAL, DETAILS, SCHEDULES, UTILITY = 0, 5, 6, 7

Progress = Callable[[int, int], None]
"""Told how many parts of the set are done, and of how many; what it raises stops the work."""

_COVER_COLUMN = 200.0
_GUTTER = 10.0
_LEAST_COLUMN = 150


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

    titles: tuple[str, ...]
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
            *placards(study, date), *working_space(study), *inspections(study), *site_checks(study)
        ]),
        Section("Load calculation", SCHEDULES, lambda: load_sheets(study)),
        Section("Figures", SCHEDULES, lambda: figures(study, width)),
        Section("Panel schedules", SCHEDULES, lambda: panel_schedules(study)),
        Section("Run schedule", SCHEDULES, lambda: [*run_schedule(study, review), *run_worksheets(study)]),
        Section("Fault current and voltage", SCHEDULES, lambda: fault_sheets(study)),
        Section("Equipment list", SCHEDULES, lambda: equipment_list(study, review)),
        Section(FINDINGS, SCHEDULES, lambda: finding_sheets(study, review)),
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
    chapters = sections(study, review, date, paper.column_width)
    changes: tuple[str, ...] = ()
    deltas = Deltas()
    if issued:
        changes = changes_in_words(issued, study.project)
        deltas = Deltas(str(set_number(study.project)), changed_elements(issued, study.project))
        before = Study(issued)
        known = sections(before, Review(before), date, paper.column_width)
        chapters = tuple(map(partial(_with_marks, number=deltas.number), chapters, known))
    leaves, used = page(
        study, paper.area_width, paper.area_height,
        partial(_number, SCHEDULES), deltas,
    )  # fmt: skip
    one_line = [
        _Draft((ONE_LINE,), _number(SCHEDULES, place), leaf.elements, (leaf.width, leaf.height))
        for place, leaf in enumerate(leaves)
    ]
    drafts: dict[int, list[_Draft]] = {DETAILS: [], SCHEDULES: one_line, UTILITY: []}
    done = 0
    for series in (DETAILS, SCHEDULES, UTILITY):
        in_it = [section for section in chapters if section.series == series]
        told = _told(in_it, done, len(chapters), progress)
        drafts[series] += [
            _Draft(bound.titles, _number(series, place), bound.elements)
            for place, bound in enumerate(bind(told, _columns(paper), paper), len(drafts[series]))
        ]
        done += len(in_it)
    body = [draft for series in drafts.values() for draft in series]
    changed = tuple((deltas.number, change) for change in changes)
    violations = _open_violations(review, body)
    front = _front(study, date, changed, used, paper, body, violations)
    return _framed([*front, *body], study, date, paper, violations)


def _with_marks(section: Section, before: Section, number: str) -> Section:
    return section._replace(parts=lambda: with_marks(section.parts(), before.parts(), number))


def _told(
    chapters: list[Section], done: int, whole: int, progress: Progress | None
) -> Iterator[tuple[str, Iterable[Part]]]:
    """Give title and parts of each chapter, and tell how far the work is."""
    for place, section in enumerate(chapters, done):
        if progress:
            progress(place, whole)
        yield section.title, section.parts()


def _number(series: int, place: int) -> str:
    """Number a sheet by its series and its place in it, counted from 0: "E-699", then "E-6100"."""
    return f"E-{series}{place + 1:02d}"


def _columns(paper: Paper) -> Columns:
    return Columns(paper.columns, paper.column_width, paper.column_pitch, paper.area_height)


def _front(
    study: Study,
    date: str,
    changes: tuple[tuple[str, str], ...],
    used: frozenset[str],
    paper: Paper,
    body: list[_Draft],
    violations: str,
) -> list[_Draft]:
    """Make cover and legend, with a sheet index that counts their own sheets."""
    count = max(1, round(paper.area_width / _COVER_COLUMN))
    width = (paper.area_width - _GUTTER * (count - 1)) / count
    columns = Columns(count, width, width + _GUTTER, paper.area_height)
    written = [e.text for draft in body for e in draft.elements if isinstance(e, Text)]
    if any(known(text) != text for text in written):
        used |= {"lost"}
    if any(text.startswith(DELTA) for text in written):
        used |= {"delta"}
    front: list[_Draft] = []
    while True:
        index = _index([*front, *body])
        parts = cover(study, date, index, changes, width, violations)
        parts += [seal_room(study.settings, width)] if paper.strip else []
        bound = _even(
            [
                (COVER, parts),
                (LEGEND, tuple(legend(used, width, changes[0][0] if changes else ""))),
            ],
            columns,
            paper,
        )
        again = [
            _Draft(each.titles, _number(GENERAL, place), each.elements)
            for place, each in enumerate(bound)
        ]
        if [draft.titles for draft in again] == [draft.titles for draft in front]:
            return again
        front = again


def _even(chapters: list[Chapter], columns: Columns, paper: Paper) -> list[Bound]:
    """Bind chapters; what one sheet holds is spread evenly over its columns."""
    bound = bind(chapters, columns, paper)
    if len(bound) > 1:
        return bound
    for height in range(_LEAST_COLUMN, int(columns.height), 10):
        even = bind(chapters, columns._replace(height=float(height)), paper)
        if len(even) == 1:
            return even
    return bound


def _index(drafts: list[_Draft]) -> list[IndexLine]:
    """Say where each chapter stands, in one line: "E-601 to E-604"."""
    places: dict[str, list[str]] = {}
    for draft in drafts:
        for title in draft.titles:
            places.setdefault(title, []).append(draft.number)
    return [
        (numbers[0] if len(numbers) == 1 else f"{numbers[0]} to {numbers[-1]}", title)
        for title, numbers in places.items()
    ]


def _open_violations(review: Review, drafts: list[_Draft]) -> str:
    """Say how many violations stand open, and on which sheet; nothing where none does."""
    count = sum(finding.severity == "violation" for finding in review.standing)
    if not count:
        return ""
    number = next(draft.number for draft in drafts if FINDINGS in draft.titles)
    return f"{count} {'violation' if count == 1 else 'violations'}, see {number}"


def _framed(
    drafts: list[_Draft], study: Study, date: str, paper: Paper, violations: str
) -> tuple[Sheet, ...]:
    settings: r.Settings = study.settings
    revision = revision_words(study.project)
    sheets = []
    for place, draft in enumerate(drafts, 1):
        title = titled(draft.titles)
        count = f"sheet {place} of {len(drafts)}"
        heading = Heading(draft.number, title, date, count, revision, violations)
        picture = framed(draft.elements, settings, heading, paper, draft.size)
        sheets.append(Sheet(draft.number, title, picture))
    return tuple(sheets)
