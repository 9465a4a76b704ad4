"""Writes the drawing set to files: PDF, SVG, DXF, and the schedules as CSV and XLSX."""

import csv
import io
from collections.abc import Callable, Collection, Iterator
from itertools import starmap
from pathlib import Path
from textwrap import shorten
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.rules.review import Review
from ampacre.sheets.cells import head_of, number_in, only_unit
from ampacre.sheets.drawing_set import Progress, Sheet, drawing_set, sections, today
from ampacre.sheets.frame import CAUTIONS
from ampacre.sheets.paper import Paper, paper_named
from ampacre.sheets.revisions import revision_words
from ampacre.sheets.table import Column, Table
from ampacre.store.file import write
from ampacre.study.study import Study

# Each form imports what it needs and no more: its library takes long to load.
# ruff: noqa: PLC0415

__all__ = ["FORMS", "file_name", "schedules", "write_set"]

_LONGEST = 60
"""Letters of a table's title in the name of its file."""


def write_set(
    project: Project,
    path: Path,
    date: str | None = None,
    paper: Paper | None = None,
    issued: Project | None = None,
    progress: Progress | None = None,
    only: Collection[str] | None = None,
    wrote: Progress | None = None,
) -> tuple[Path, ...]:
    """Write the set in the form that the path's ending names; a path without one is a folder.

    A folder gets the set in every form. SVG files and CSV files are one for each sheet and each
    table, numbered, beside each other. `only` are the numbers of the sheets wanted, where not all
    are; schedules come whole. `progress` is told of parts drawn, `wrote` of sheets put into a file.
    Gives the files written. Raises NotSaved or OSError if one can't be, ValueError for an ending
    that is none of `FORMS`.
    """
    date = date or today()
    ending = path.suffix.lower()
    if ending and ending not in FORMS:
        raise ValueError(f"{path.name}: the ending must be one of {', '.join(FORMS)}")
    job = _Job(project.settings, date, revision_words(project), wrote)
    study = Study(project)
    review = Review(study)
    paper = paper or paper_named(project.settings.paper)
    if ending in (".csv", ".xlsx"):
        return FORMS[ending](schedules(study, review, date, paper), path, job)
    drawn = drawing_set(study, review, date, paper, issued, progress)
    sheets = tuple(sheet for sheet in drawn if only is None or sheet.number in only)
    if ending:
        return FORMS[ending](sheets, path, job)
    path.mkdir(parents=True, exist_ok=True)
    name = path / file_name(project.settings.name)
    tables = schedules(study, review, date, paper)
    written: list[Path] = []
    for each, write_form in FORMS.items():
        content = tables if each in (".csv", ".xlsx") else sheets
        written += write_form(content, name.with_name(name.name + each), job)
    return tuple(written)


class _Job(NamedTuple):
    """What the forms want to know besides the sheets or tables that they write."""

    settings: r.Settings
    date: str
    revision: str
    wrote: Progress | None


def schedules(
    study: Study, review: Review, date: str, paper: Paper
) -> tuple[tuple[str, Table], ...]:
    """Give all tables of the set, each with the title of its chapter."""
    return tuple(
        (section.title, part)
        for section in sections(study, review, date, paper.column_width)
        for part in section.parts()
        if isinstance(part, Table) and part.rows
    )


def _pdf(sheets: tuple[Sheet, ...], path: Path, job: _Job) -> tuple[Path, ...]:
    from ampacre.picture.pdf import Info, Page, write_pdf

    settings = job.settings
    pages = [Page(sheet.picture, f"{sheet.number} {sheet.title}", sheet.number) for sheet in sheets]
    info = Info(
        title=f"{settings.name}: electrical drawings",
        author=settings.prepared_by,
        subject=f"One-line diagram and calculations by NEC {settings.edition}",
        keywords=("one-line diagram", "load calculation", f"NEC {settings.edition}"),
        date=job.date,
    )
    write_pdf(pages, path, info, job.wrote)
    return (path,)


def _dxf(sheets: tuple[Sheet, ...], path: Path, job: _Job) -> tuple[Path, ...]:
    from ampacre.picture.dxf import write_dxf

    pages = [(f"{sheet.number} {sheet.title}", sheet.picture) for sheet in sheets]
    write_dxf(pages, path, job.wrote)
    return (path,)


def _svg(sheets: tuple[Sheet, ...], path: Path, job: _Job) -> tuple[Path, ...]:
    from ampacre.picture.svg import svg_text

    written = []
    for sheet in sheets:
        each = path.with_name(f"{path.stem} {sheet.number}.svg")
        write(svg_text(sheet.picture, f"{sheet.number} {sheet.title}").encode(), each)
        written.append(each)
        if job.wrote:
            job.wrote(len(written), len(sheets))
    return tuple(written)


def _csv(tables: tuple[tuple[str, Table], ...], path: Path, job: _Job) -> tuple[Path, ...]:
    written = []
    for number, table in enumerate((_about(tables, job), *(table for _, table in tables))):
        columns = zip(table.columns, zip(*table.rows, strict=True), strict=True)
        text = io.StringIO(newline="")
        csv.writer(text).writerows(zip(*starmap(_plain, columns), strict=True))
        title = table.title if len(table.title) <= _LONGEST else table.title.partition(":")[0]
        name = file_name(shorten(title, _LONGEST, placeholder=""))
        each = path.with_name(f"{path.stem} {number:02d} {name}.csv")
        write(text.getvalue().encode("utf-8-sig"), each)
        written.append(each)
    return tuple(written)


def _plain(column: Column, cells: tuple[str, ...]) -> Iterator[str]:
    """Give head and cells of a column: numbers as programs read them, the unit in the head."""
    unit = only_unit(cells)
    yield head_of(column, unit)
    for cell in cells:
        if number := number_in(cell, column):
            yield number.digits if unit else f"{number.digits} {number.unit}".rstrip()
        else:
            yield _harmless(cell)


def _harmless(cell: str) -> str:
    """Keep a spreadsheet from taking a text for a formula."""
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t") else cell


def _about(tables: tuple[tuple[str, Table], ...], job: _Job) -> Table:
    """Make the table that goes ahead of the schedules: whose they are, of what day, cautions."""
    settings = job.settings
    said = (
        ("Project", settings.name),
        ("Address", settings.address),
        ("Date", job.date),
        ("Revision", job.revision),
        ("Code", f"NEC {settings.edition}"),
        ("Prepared by", settings.prepared_by),
        *(("Caution", caution) for caution in CAUTIONS),
        *((f"Table {number}", table.title) for number, (_, table) in enumerate(tables, 1)),
    )
    rows = tuple((label, words or "to be entered") for label, words in said)
    return Table("About these schedules", (Column("What", 40), Column("As entered", 260)), rows)


def _xlsx(tables: tuple[tuple[str, Table], ...], path: Path, job: _Job) -> tuple[Path, ...]:
    from ampacre.sheets.workbook import workbook_bytes

    title = f"{job.settings.name}, {job.date}, revision {job.revision}"
    write(workbook_bytes(_about(tables, job), tables, title), path)
    return (path,)


def file_name(words: str) -> str:
    """Make a name that every system takes for a file."""
    kept = "".join(c if c.isalnum() or c in " -_.," else " " for c in words)
    return " ".join(kept.split()).strip(". ") or "set"


FORMS: dict[str, Callable[..., tuple[Path, ...]]] = {
    ".pdf": _pdf,
    ".dxf": _dxf,
    ".svg": _svg,
    ".csv": _csv,
    ".xlsx": _xlsx,
}
"""How a set is written, by the ending of the file."""
