"""The window in which the drawing set is looked at, exported, printed and handed in."""

from collections.abc import Callable, Mapping
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import QEvent, QRect, QSettings, QSize, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QKeySequence, QShortcut
from PySide6.QtPrintSupport import QPrintDialog
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Project
from ampacre.sheets.chapters import titles_in
from ampacre.sheets.export import file_name
from ampacre.sheets.making import Chapters, Drawn, Job, Made
from ampacre.store.file import encode
from ampacre.store.issued import earlier_set, kept_sheets, last_issued
from ampacre_gui.document import Document
from ampacre_gui.filing import open_outside
from ampacre_gui.guard import Guarded
from ampacre_gui.infobar import InfoBar
from ampacre_gui.phrases import filled
from ampacre_gui.sheets.exporting import Exporting
from ampacre_gui.sheets.foot import Foot
from ampacre_gui.sheets.issuing import Issuing
from ampacre_gui.sheets.maker import Maker
from ampacre_gui.sheets.pages import Pages
from ampacre_gui.sheets.printing import Printing, printer_for
from ampacre_gui.sheets.settings_bar import SettingsBar
from ampacre_gui.sheets.sheet_list import SheetList, picture_of
from ampacre_gui.sheets.side import Side

__all__ = ["SheetsWindow"]

_KEYS = QKeySequence.StandardKey
_PAUSE_MS = 300
_FINDINGS = "Findings"
_FRAME = QSize(4, 32)
"""What a desktop's own frame and title take of a screen."""


class SheetsWindow(Guarded, QWidget):
    """The sheets are those of a snapshot; once the project has moved on they are greyed.

    What is exported, printed and handed in is what is shown: only sheets that are up to date.
    """

    def __init__(self, document: Document, parent: QWidget) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self._document = document
        self._snapshot: Project | None = None
        self._complete = False
        self._stopped = ""
        self._number = ""
        self._prints_next = False
        self._had_focus: QWidget | None = None
        self._known: tuple[Path | None, Mapping[str, r.Issue]] | None = None
        self.bar, self.sheets, self.pages = SettingsBar(), SheetList(), Pages()
        self.side, self.foot, self.infobar = Side(), Foot(), InfoBar()
        self._drawing = Maker(self)
        self._exporting, self._printing = Exporting(self), Printing(self)
        self._issuing = Issuing(document, self)
        self._pause = QTimer(self, singleShot=True, interval=_PAUSE_MS)
        self._lay_out()
        self._add_keys()
        self._connect()

    def _lay_out(self) -> None:
        split = QSplitter()
        split.setChildrenCollapsible(False)
        split.setHandleWidth(13)
        for part in (self.sheets, self.pages, self.side):
            split.addWidget(part)
        split.setStretchFactor(1, 1)
        split.setSizes([232, 640, 262])
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 10, 12, 10)
        box.setSpacing(8)
        box.addWidget(self.bar)
        box.addWidget(self.infobar)
        box.addWidget(split, 1)
        box.addWidget(self.foot)

    def _add_keys(self) -> None:
        proof = self.pages.proof
        for key, act in (
            ("PgDown", lambda: self.sheets.go(1)),
            ("PgUp", lambda: self.sheets.go(-1)),
            (_KEYS.ZoomIn, proof.zoom_in),
            ("Ctrl+=", proof.zoom_in),
            (_KEYS.ZoomOut, proof.zoom_out),
            ("Ctrl+0", proof.full_size),
            ("Ctrl+9", proof.fit),
            ("F5", self.renew),
            ("Ctrl+E", self.side.export.click),
            (_KEYS.Print, self.side.print.click),
            (_KEYS.Close, self.close),
            ("Esc", self._escape),
        ):
            QShortcut(QKeySequence(key), self).activated.connect(act)

    def _connect(self) -> None:
        self._document.changed.connect(lambda _: self._follow())
        self._document.file_changed.connect(self._follow)
        self.bar.paper_chosen.connect(self._take_paper)
        self.bar.altered.connect(self._take_settings)
        self._pause.timeout.connect(self.renew)
        self.sheets.shown.connect(self._show_sheet)
        self.sheets.choice_changed.connect(self._look)
        self.pages.step_wanted.connect(self.sheets.go)
        self.pages.update_wanted.connect(self.renew)
        self.side.export_wanted.connect(self.export)
        self.side.print_wanted.connect(self.print)
        self.side.issue_wanted.connect(self.issue)
        self.side.set_wanted.connect(self._open_set)
        self.side.folder_wanted.connect(self._show_folder)
        self.side.forms.currentIndexChanged.connect(lambda _: self._look())
        self.foot.cancel_wanted.connect(self.cancel)
        self.foot.close_wanted.connect(self.close)
        self._drawing.told.connect(self._take_news)
        self._drawing.done.connect(lambda _: self._end_drawing(""))
        self._drawing.failed.connect(self._not_drawn)
        for work in (self._exporting, self._printing, self._issuing):
            work.begun.connect(self._begin_work)
            work.told.connect(self.foot.tell)
        for work in (self._exporting, self._issuing):
            work.written.connect(self._say_done)
            work.failed.connect(self._say_failed)
        self._printing.done.connect(
            lambda: self._say_done(self.tr("The sheets were sent to the printer."))
        )
        self._printing.failed.connect(
            lambda why: self._say_failed(filled(self.tr("The sheets were not printed: %1."), why))
        )
        self._issuing.issued.connect(self.renew)

    # drawing and showing ----------------------------------------------------------------------

    def present(self) -> None:
        """Show the window, with the sheets of the project as it is now."""
        if self.isVisible():
            self.raise_()
        else:
            geometry = QSettings().value("sheets geometry")
            if geometry is None or not self.restoreGeometry(geometry):
                self.resize(1180, 760)
            self.infobar.hide()
            room = self.screen().availableGeometry()
            if not room.contains(QRect(self.pos(), self.size() + _FRAME)):
                # a smaller screen than last time, or than most
                self.resize(self.size().boundedTo(room.size() - _FRAME))
                self.move(room.topLeft())
            self.show()
        self.activateWindow()
        if not self._busy and not self._up_to_date:
            self.renew()

    @property
    def _busy(self) -> bool:
        return self._drawing.busy or self._putting_out

    @property
    def _putting_out(self) -> bool:
        return self._exporting.busy or self._printing.busy or self._issuing.busy

    @property
    def _up_to_date(self) -> bool:
        """Whether the sheets are all there and show the project as it is now."""
        return self._complete and self._snapshot == self._document.project

    def renew(self) -> None:
        """Draw the sheets of the project as it is now."""
        if self._putting_out:
            return
        self._pause.stop()
        self.bar.show_paper(self._document.project.settings.paper)
        self._show_issued()
        self._snapshot = self._document.project
        self._complete, self._stopped, self._prints_next = False, "", False
        self.sheets.begin()
        self._drawing.start(self._job(self._snapshot))
        self.foot.begin()
        self._look()

    def _job(self, project: Project) -> Job:
        issued = self.bar.issued
        return Job(
            project=encode(project),
            date=self.bar.date.iso,
            issued=encode(issued) if issued else None,
        )

    def _take_news(self, news: Chapters | Made | Drawn) -> None:
        if not isinstance(news, Drawn):
            self.foot.tell(news)
            return
        self.sheets.add(news)
        count = self.sheets.list.count()
        self.foot.tell(Made(count, news.of))
        if news.number == self._number or (count == 1 and not self._number):
            self.sheets.go_to(news.number)

    def _end_drawing(self, why_not: str) -> None:
        self._complete, self._stopped = not why_not, why_not
        self.foot.end()
        if self.sheets.current is None:
            self.sheets.go_to(self._number)
        self._look()
        if self._prints_next and self._complete:
            # the dialog runs until it is closed: not inside of what the worker has to say
            QTimer.singleShot(0, self.side.print.click)
        self._prints_next = False

    def _not_drawn(self, why: str) -> None:
        self._end_drawing(filled(self.tr("The sheets could not be drawn: %1."), why))

    def _show_sheet(self) -> None:
        sheet = self.sheets.current
        if sheet is not None:
            self._number = sheet.number
            self.pages.proof.show_picture(picture_of(sheet))
        self._look()

    def _follow(self) -> None:
        if not self.isVisible():
            return
        project = self._document.project
        self.bar.show_paper(project.settings.paper)
        if self._known != (self._document.path, project.issues):
            self._show_issued()
        self._look()

    def _show_issued(self) -> None:
        """Say what was handed in of this file."""
        project, path = self._document.project, self._document.path
        self._known = (path, project.issues)
        title = filled(self.tr("Sheets of %1"), self._document.title)
        self.setWindowTitle(f"{title} \u2014 Ampacre")
        issued = last_issued(path, project) if path else None
        self.bar.offer(earlier_set(project), issued)
        self.side.show_sets(project.issues.values())

    def _take_paper(self, name: str) -> None:
        edit = alter(self._document.project, "project", "project", paper=name)
        if edit.changes and self._document.do(
            replace(edit, label=self.tr("Change sheet size of the project"))
        ):
            self.renew()
        self.bar.show_paper(self._document.project.settings.paper)

    def _take_settings(self) -> None:
        self._complete = False
        self._pause.start()
        self._look()

    def _look(self) -> None:
        """Say how far what is shown can be trusted, and what can be done with it."""
        moved_on = self._snapshot is not None and self._snapshot != self._document.project
        drawn, wanted = self.sheets.list.count(), self.sheets.numbers
        self.pages.proof.set_stale(moved_on or not drawn or bool(self._stopped))
        warning = self._stopped
        if moved_on:
            warning = self.tr("The project has changed since these sheets were drawn.")
        self.pages.warn("" if self._drawing.busy and not moved_on else warning)
        at = self.sheets.list.currentRow() + 1
        self.pages.say_place(filled(self.tr("%1 of %2"), at, drawn) if at else "")
        why_not = ""
        if self._busy:
            why_not = self.tr("Wait until the work under way is done")
        elif not self._up_to_date:
            why_not = self.tr("Update the sheets first")
        self.side.issue.setEnabled(not why_not)
        self.side.issue.setToolTip(why_not)
        none_wanted = "" if wanted else self.tr("Check the sheets that you want")
        for button, blocked in (
            (self.side.export, why_not or ("" if self.side.form.tables else none_wanted)),
            (self.side.print, why_not or none_wanted),
        ):
            button.setEnabled(not blocked)
            button.setToolTip(blocked)
        self.bar.setEnabled(not self._putting_out)
        printing = [s.number for s in self.sheets.all() if _FINDINGS in titles_in(s.title)]
        self.foot.say_open(self._document.review, printing, set(printing) <= set(wanted))

    # putting out ------------------------------------------------------------------------------

    def export(self) -> None:
        """Ask where to, and write the sheets in the form chosen."""
        form, numbers = self.side.form, self.sheets.numbers
        job = self._job(self._document.project)
        if len(numbers) < self.sheets.list.count() and not form.tables:
            job = replace(job, only=numbers)
        self._exporting.start(job, form, file_name(self._document.title), self._document.path)

    def print_when_drawn(self) -> None:
        """Ask for a printer as soon as the sheets are there; calling them off calls off this too."""
        self._prints_next = self._drawing.busy
        if not self._prints_next:
            self.side.print.click()

    def print(self) -> None:
        """Ask for a printer, and print the sheets that are checked."""
        pictures = [picture_of(sheet) for sheet in self.sheets.wanted]
        printer = printer_for(pictures[0])
        printer.setDocName(self._document.title)
        if QPrintDialog(printer, self).exec():
            self._printing.start(printer, pictures)

    def issue(self) -> None:
        """Number the set, and keep its sheets and its project beside the file."""
        job = self._job(self._document.project)
        self._issuing.start(job, self.bar.date.date(), self.foot.words)

    def _begin_work(self) -> None:
        self._had_focus = self.focusWidget()
        self.infobar.hide()
        self.foot.begin()
        self._look()

    def _say_done(self, words: str, actions: dict[str, Callable[[], None]] | None = None) -> None:
        self._end_work()
        self.infobar.say(words, actions, done=True)

    def _say_failed(self, why: str) -> None:
        self._end_work()
        if why:
            self.infobar.say(why)

    def _end_work(self) -> None:
        self.foot.end()
        self._look()
        if self._had_focus and self.foot.isAncestorOf(self.focusWidget()):
            # the button pressed was barred meanwhile, and the keys went to that which closes
            self._had_focus.setFocus()
        self._had_focus = None

    def _open_set(self, number: int) -> None:
        path = self._document.path
        if path is None:
            return
        sheets = kept_sheets(path, number)
        if sheets.exists():
            open_outside(sheets)
        else:
            self.infobar.say(filled(self.tr("%1 is not beside the project's file."), sheets.name))

    def _show_folder(self) -> None:
        if self._document.path is not None:
            open_outside(self._document.path.parent)

    # ending -----------------------------------------------------------------------------------

    def cancel(self) -> None:
        """Call off the work under way; what was begun leaves nothing behind."""
        if self._putting_out:
            self._stop()
            self.infobar.say(self.tr("Called off; nothing was written."))
        elif self._drawing.busy:
            self._stop()
            self._end_drawing(self.tr("Drawing the sheets was called off."))

    def _stop(self) -> None:
        self._pause.stop()
        for work in (self._drawing, self._exporting, self._printing, self._issuing):
            work.stop()
        self._end_work()

    def _escape(self) -> None:
        if self._busy:
            self.cancel()
        else:
            self.close()

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.PaletteChange:
            QTimer.singleShot(0, self._draw_icons)
        super().changeEvent(event)

    def _draw_icons(self) -> None:
        self.pages.draw_icons()
        self.foot.draw_icons()

    def closeEvent(self, event: QCloseEvent) -> None:
        self._stop()
        QSettings().setValue("sheets geometry", self.saveGeometry())
        event.accept()
