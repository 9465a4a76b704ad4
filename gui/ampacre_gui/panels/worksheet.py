"""The worksheet panel: how the numbers of the selected piece or run are worked out, line by line."""

from html import escape

from PySide6.QtWidgets import QTextBrowser, QWidget

from ampacre.model import records as r
from ampacre.quantity import UnitSystem, show
from ampacre.study.capacity import capacity_worksheet
from ampacre.study.facts import Line, Worksheet
from ampacre.study.results import (
    fault_worksheet,
    run_worksheet,
    starting_worksheet,
    voltage_worksheet,
)
from ampacre_gui.document import Document
from ampacre_gui.look import look
from ampacre_gui.names import element_name, record_of
from ampacre_gui.phrases import filled
from ampacre_gui.selection import Selection

__all__ = ["WorksheetPanel"]

_PARTS = {
    "calculated": "load",
    "sizing": "load",
    "load": "load",
    "setting": "load",
    "spare": "spare",
    "fault": "fault",
    "voltage": "voltage",
    "drop": "results",
    "ground fault": "results",
}
"""The part of the working that each number on the drawing comes from; of others it is the first."""


class WorksheetPanel(QTextBrowser):
    """A table with label, quantity, factor, result and the section that asks for it.

    It follows document and selection while it can be seen.
    """

    def __init__(
        self, document: Document, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._seen = False
        self._shown: str | None = None
        self.setFrameShape(QTextBrowser.Shape.NoFrame)
        self.setAccessibleName(self.tr("Worksheet"))
        document.changed.connect(lambda _: self._follow())
        selection.changed.connect(self._follow)

    def follow_look(self) -> None:
        self._follow()

    def watch(self, seen: bool) -> None:
        """Take notice of whether anybody can see the panel; behind another tab it costs nothing."""
        self._seen = seen
        self._follow()

    def show_number(self, field: str) -> None:
        """Bring the working of one number of what is selected to the top."""
        self.scrollToAnchor(_PARTS.get(field, ""))

    def _follow(self) -> None:
        if self._seen:
            self._show()

    def _show(self) -> None:
        same = self._shown == self._selection.current
        at = self.verticalScrollBar().value() if same else 0
        self._shown = self._selection.current
        self.setHtml(self._html())
        self.verticalScrollBar().setValue(at)

    def _html(self) -> str:
        key = self._selection.current
        record = record_of(self._document.project, key) if key else None
        if record is None:
            words = self.tr("Select a piece or a run to see how its numbers are worked out.")
            return f"<p style='margin:6px'>{words}</p>"
        units = self._document.project.settings.units
        sheets = [(part, sheet) for part, sheet in self._sheets(record) if sheet.lines]
        if not sheets:
            words = self.tr("There is no working for %1 yet.")
            return f"<p style='margin:6px'>{filled(words, escape(self._name(record)))}</p>"
        name = self._name(record)
        return "".join(f"<a name='{part}'></a>{_table(each, name, units)}" for part, each in sheets)

    def _name(self, record: r.AnyEquipment | r.Run) -> str:
        return element_name(self._document.project, record.id)

    def _sheets(self, record: r.AnyEquipment | r.Run) -> list[tuple[str, Worksheet]]:
        study = self._document.study
        try:
            if isinstance(record, r.Run):
                run = study.run(record.id)
                worked = [("load", run.demand.worksheet)] if run.demand else []
                return [("wires", run.worksheet), *worked, ("results", run_worksheet(run))]
            piece = study.equipment(record.id)
        except KeyError:
            return []
        demands = (piece.demand, piece.transferred)
        worked = [("load", demand.worksheet) for demand in demands if demand]
        voltage = voltage_worksheet(record.name, piece.system, study.voltage(record.id))
        return [
            ("spare", capacity_worksheet(piece)),
            *worked,
            ("fault", fault_worksheet(piece)),
            ("voltage", voltage),
            ("start", starting_worksheet(piece)),
        ]


def _table(sheet: Worksheet, name: str, units: UnitSystem) -> str:
    quiet = look().quiet.name()
    rows = "".join(_row(line, units, quiet) for line in sheet.lines)
    title = sheet.title or name
    head = "".join(
        f"<td align='{side}' style='color:{quiet}; padding:1px 10px 3px 6px'>{word}</td>"
        for word, side in (("", "left"), ("quantity", "right"), ("factor", "right"),
                           ("result", "right"), ("source", "left"))
    )  # fmt: skip
    # columns of the whole width are rounded to a pixel more than there is at some widths
    return (
        f"<p style='margin:8px 6px 2px 6px; font-weight:600'>{escape(title)}</p>"
        f"<table cellspacing='0' width='99%'><tr>{head}</tr>{rows}</table>"
    )


def _row(line: Line, units: UnitSystem, quiet: str) -> str:
    total = line.quantity is None and line.factor is None and line.result is not None
    weight = "font-weight:600;" if total else ""
    label = escape(line.label)
    if line.note:
        label += f"<br><span style='color:{quiet}; font-weight:400'>{escape(line.note)}</span>"
    factor = "" if line.factor is None else f"{line.factor:.4g}"
    cells = (
        (label, "left"),
        (_amount(line.quantity, line.unit, units), "right"),
        (f"\u00d7 {factor}" if factor else "", "right"),
        (_amount(line.result, line.unit, units), "right"),
        (f"<span style='color:{quiet}'>{escape(line.cite)}</span>", "left"),
    )
    style = f"{weight} padding:2px 10px 2px 6px"
    return (
        "<tr>"
        + "".join(f"<td align='{side}' style='{style}'>{text}</td>" for text, side in cells)
        + "</tr>"
    )


def _amount(value: float | None, unit: str, units: UnitSystem) -> str:
    if value is None:
        return ""
    suffix = unit.casefold()
    try:
        text = show(value, suffix, units)
    except KeyError:
        text = f"{value:,.4g} {unit}"
    return escape(text).replace(" ", "&nbsp;")
