"""Prints sheets one after the other, letting the window live between them."""

from pathlib import Path

from PySide6.QtCore import QMarginsF, QObject, QRectF, QSizeF, QTimer, Signal
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

from ampacre.picture.primitives import Picture
from ampacre.sheets.making import Made
from ampacre_gui.canvas.painter import SCALE, Sketch, paint
from ampacre_gui.look import PAPER

__all__ = ["Printing", "printer_for"]


def printer_for(picture: Picture) -> QPrinter:
    """Give the usual printer, set to the size of a sheet, without margins of its own."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setFullPage(True)
    printer.setPageLayout(_layout(picture))
    return printer


def _layout(picture: Picture) -> QPageLayout:
    size = QSizeF(picture.width_mm, picture.height_mm)
    upright = QPageSize(size.transposed(), QPageSize.Unit.Millimeter)
    # a page size lies by its orientation: what is wider than high is an upright page turned
    if picture.width_mm < picture.height_mm:
        page, way = QPageSize(size, QPageSize.Unit.Millimeter), QPageLayout.Orientation.Portrait
    else:
        page, way = upright, QPageLayout.Orientation.Landscape
    return QPageLayout(page, way, QMarginsF())


class Printing(QObject):
    """Sends sheets to a printer. Paper of another size gets them made smaller, whole."""

    begun = Signal()
    told = Signal(object)
    """Made: how many sheets the printer has, and of how many."""
    done = Signal()
    failed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._next = QTimer(self, singleShot=True, interval=0)
        self._next.timeout.connect(self._print_one)
        self._printer: QPrinter | None = None
        self._painter = QPainter()
        self._sheets: list[Picture] = []
        self._at = 0
        self._own_sizes = True

    @property
    def busy(self) -> bool:
        return self._printer is not None

    def start(self, printer: QPrinter, sheets: list[Picture]) -> None:
        wanted, got = _layout(sheets[0]).fullRect().size(), printer.pageLayout().fullRect().size()
        self._own_sizes = _same(wanted, got)
        if not self._painter.begin(printer):
            self.failed.emit(self.tr("the printer does not answer"))
            return
        self._printer, self._sheets, self._at = printer, sheets, 0
        self._next.start()
        self.begun.emit()

    def stop(self) -> None:
        """Call off what has not been printed."""
        printer, self._printer = self._printer, None
        self._next.stop()
        if printer is not None:
            printer.abort()
            self._painter.end()
            if printer.outputFileName():
                Path(printer.outputFileName()).unlink(missing_ok=True)

    def _print_one(self) -> None:
        printer = self._printer
        assert printer is not None
        picture = self._sheets[self._at]
        if self._at:
            if self._own_sizes:
                printer.setPageLayout(_layout(picture))
            printer.newPage()
        _draw(self._painter, printer, picture)
        self._at += 1
        self.told.emit(Made(self._at, len(self._sheets)))
        if self._printer is not printer:
            return
        if self._at < len(self._sheets):
            self._next.start()
            return
        self._printer = None
        if self._painter.end():
            self.done.emit()
        else:
            self.failed.emit(self.tr("the printer did not take the sheets"))


def _same(one: QSizeF, other: QSizeF) -> bool:
    return abs(one.width() - other.width()) < 1 and abs(one.height() - other.height()) < 1


def _draw(painter: QPainter, printer: QPrinter, picture: Picture) -> None:
    page = QRectF(printer.pageLayout().fullRectPixels(printer.resolution()))
    dot_mm = 25.4 / printer.resolution()
    wide, high = picture.width_mm / dot_mm, picture.height_mm / dot_mm
    share = min(page.width() / wide, page.height() / high, 1.0)
    scale = share / dot_mm / SCALE
    painter.save()
    painter.translate((page.width() - wide * share) / 2, (page.height() - high * share) / 2)
    painter.scale(scale, scale)
    paint(painter, Sketch(picture.elements), PAPER, scale, whole=True)
    painter.restore()
