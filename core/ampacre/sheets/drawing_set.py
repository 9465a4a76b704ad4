"""The set of sheets that is handed in: the one-line diagram, its legend, and the calculations."""

from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from ampacre.model.project import Project
from ampacre.picture.primitives import Element, Picture
from ampacre.rules.review import Review
from ampacre.sheets.frame import AREA_HEIGHT, AREA_WIDTH, Heading, framed, moved
from ampacre.sheets.legend import legend
from ampacre.sheets.paging import page
from ampacre.sheets.summary import summary
from ampacre.sheets.table import flow
from ampacre.study.study import Study

__all__ = ["Sheet", "drawing_set", "write_permit"]

ONE_LINE_TITLE = "One-line diagram"
CALCULATION_TITLE = "Load, fault and drop calculations"
_LEGEND_COLUMNS = (1, 2, 3)


class Sheet(NamedTuple):
    """One sheet of the set."""

    number: str
    title: str
    picture: Picture


class _Draft(NamedTuple):
    """What stands on a sheet before its frame, which counts the sheets, can be drawn."""

    title: str
    elements: list[Element]
    width: float = AREA_WIDTH
    height: float = AREA_HEIGHT


def drawing_set(study: Study, review: Review, date: str) -> tuple[Sheet, ...]:
    """Make all sheets of the set, dated as told."""
    drafts = _one_line_drafts(study)
    tables = flow(summary(study, review), AREA_WIDTH, AREA_HEIGHT)
    drafts += [_Draft(CALCULATION_TITLE, elements) for elements in tables]
    sheets: list[Sheet] = []
    for place, draft in enumerate(drafts):
        number = _number(place)
        heading = Heading(number, draft.title, date, f"sheet {place + 1} of {len(drafts)}")
        picture = framed(draft.elements, study.settings, heading, draft.width, draft.height)
        sheets.append(Sheet(number, draft.title, picture))
    return tuple(sheets)


def _number(place: int) -> str:
    """Number of the sheet at a place from 0 on: E for electrical, 6 for schedules and diagrams."""
    return f"E-{601 + place}"


def _one_line_drafts(study: Study) -> list[_Draft]:
    leaves, used = page(study, AREA_WIDTH, AREA_HEIGHT, _number)
    drafts = [_Draft(ONE_LINE_TITLE, leaf.elements, leaf.width, leaf.height) for leaf in leaves]
    for columns in _LEGEND_COLUMNS:
        part = legend(used, columns)
        for leaf in leaves:
            corner = leaf.take(part.width, part.height)
            if corner:
                leaf.elements += [moved(element, *corner) for element in part.elements]
                return drafts
    return [*drafts, _Draft("Legend", legend(used, _LEGEND_COLUMNS[-1]).elements)]


def write_permit(project: Project, path: Path, date: str | None = None) -> None:
    """Write the set of a project to a PDF file, dated today if nothing else is said.

    Raises OSError if the file can't be written.
    """
    # loaded here because only paper needs it, and it takes a tenth of a second
    from ampacre.picture.pdf import Info, Page, write_pdf  # noqa: PLC0415

    study = Study(project)
    settings = project.settings
    sheets = drawing_set(
        study, Review(study), date or datetime.now().astimezone().date().isoformat()
    )
    pages = [Page(sheet.picture, f"{sheet.number} {sheet.title}") for sheet in sheets]
    info = Info(
        title=f"{settings.name}: electrical drawings",
        author=settings.prepared_by,
        subject=f"One-line diagram and calculations by NEC {settings.edition}",
        keywords=("one-line diagram", "load calculation", f"NEC {settings.edition}"),
    )
    write_pdf(pages, path, info)
