"""The forms that a set can be written in, and what each is good for."""

from pathlib import Path
from typing import NamedTuple

__all__ = ["FORMS", "PDF", "Form"]


class Form(NamedTuple):
    """`ending` is that of the files, "" where there are all of them. `many` files go in a folder.

    `tables` marks a form that holds the schedules only, whichever sheets are chosen.
    """

    ending: str
    name: str
    good_for: str
    many: bool = False
    tables: bool = False

    def path_in(self, folder: Path, name: str) -> Path:
        """What the writer of the set is asked to write, so that it lands in a folder."""
        return folder / f"{name}{self.ending}" if self.ending else folder / "set"


PDF = Form(
    ".pdf",
    "PDF: one file to hand in",
    "All sheets in one file, as a permit office or a utility takes it. Its words can be searched.",
)
FORMS = (
    PDF,
    Form(
        ".dxf",
        "DXF: for a drafting program",
        "All sheets in one drawing, each with a layout of its own; lines and text on layers.",
    ),
    Form(
        ".svg",
        "SVG: a picture of each sheet",
        "One file for each sheet, sharp at any size, for reports and web pages.",
        many=True,
    ),
    Form(
        ".xlsx",
        "XLSX: schedules as a workbook",
        "Every schedule and list, for orders and sums in a spreadsheet. The drawings are not in it.",
        tables=True,
    ),
    Form(
        ".csv",
        "CSV: schedules as plain tables",
        "One file for each schedule, for any program that reads tables. The drawings are not in it.",
        many=True,
        tables=True,
    ),
    Form("", "All of these", "The set in every form, in one folder.", many=True),
)
