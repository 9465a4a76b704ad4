"""The window in which the drawing set is looked at, exported, printed and handed in."""

from collections.abc import Mapping
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import QEvent, QSettings, QSize, QStandardPaths, Qt, QTimer, QUrl
from PySide6.QtGui import QCloseEvent, QDesktopServices, QKeySequence, QShortcut
from PySide6.QtPrintSupport import QPrintDialog
from PySide6.QtWidgets import QFileDialog, QMessageBox, QSplitter, QVBoxLayout, QWidget

from ampacre.model import records as r
from ampacre.model.edits import alter
from ampacre.model.project import Project
from ampacre.sheets.export import file_name
from ampacre.sheets.making import Chapters, Drawn, Job, Made
from ampacre.store.file import NotSaved, encode
from ampacre.store.issued import kept_sheets, last_issued, next_number
from ampacre_gui.document import Document
from ampacre_gui.filing import save
from ampacre_gui.guard import Guarded
from ampacre_gui.infobar import InfoBar
from ampacre_gui.panels.findings_text import counted
from ampacre_gui.sheets.foot import Foot
from ampacre_gui.sheets.forms import FORMS, Form
from ampacre_gui.sheets.issuing import IssueDialog, Issuing
from ampacre_gui.sheets.maker import Maker
from ampacre_gui.sheets.pages import Pages
from ampacre_gui.sheets.printing import Printing, printer_for
from ampacre_gui.sheets.settings_bar import SettingsBar
from ampacre_gui.sheets.sheet_list import SheetList, picture_of
from ampacre_gui.sheets.side import Side
from ampacre_gui.sheets.writing import Writing

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
        self._known: tuple[Path | None, Mapping[str, r.Issue]] | None = None
        self._issuing: Issuing | None = None
        self.bar, self.sheets, self.pages = SettingsBar(), SheetList(), Pages()
        self.side, self.foot, self.infobar = Side(), Foot(), InfoBar()
        self._drawing, self._writing, self._printing = Maker(self), Writing(self), Printing(self)
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
        self._writing.told.connect(self.foot.tell)
        self._writing.done.connect(self._written)
        self._writing.failed.connect(self._not_written)
        self._printing.told.connect(self.foot.tell)
        self._printing.done.connect(
            lambda: self._say(self.tr("The sheets were sent to the printer."), done=True)
        )
        self._printing.failed.connect(self._not_printed)

    # drawing and showing ----------------------------------------------------------------------

    def present(self) -> None:
        """Show the window, with the sheets of the project as it is now."""
        if self.isVisible():
            self.raise_()
        else:
            geometry = QSettings().value("sheets geometry")
            if geometry is None or not self.restoreGeometry(geometry):
                self.resize(1180, 760)
            room = self.screen().availableGeometry()
            if not room.contains(self.geometry()):
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
        return self._writing.busy or self._printing.busy

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
        self._complete, self._stopped = False, ""
        self.sheets.begin()
        self._drawing.start(self._job(self._snapshot))
        self.foot.begin()
        self._look()

    def _job(self, project: Project) -> Job:
        issued = self.bar.issued
        return Job(
            project=encode(project),
            date=self.bar.date_text,
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

    def _not_drawn(self, why: str) -> None:
        self._end_drawing(self.tr("The sheets could not be drawn: %1.").replace("%1", why))

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
        title = self.tr("Sheets of %1").replace("%1", self._document.title)
        self.setWindowTitle(f"{title} \u2014 Ampacre")
        last = max(project.issues.values(), key=lambda issue: issue.number, default=None)
        self.bar.offer(last, last_issued(path, project) if path else None)
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
        drawn, wanted = self.sheets.list.count(), len(self.sheets.numbers)
        self.pages.proof.set_stale(moved_on or not drawn or bool(self._stopped))
        warning = self._stopped
        if moved_on:
            warning = self.tr("The project has changed since these sheets were drawn.")
        self.pages.warn("" if self._drawing.busy and not moved_on else warning)
        at = self.sheets.list.currentRow() + 1
        place = self.tr("%1 of %2").replace("%1", str(at)).replace("%2", str(drawn))
        self.pages.say_place(place if at else "")
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
        self._say_open()

    def _say_open(self) -> None:
        review = self._document.review
        standing = [f.severity for f in review.findings if review.accepted(f) is None]
        violations, warnings = standing.count("violation"), standing.count("warning")
        counts = [
            counted(mark, count)
            for mark, count in (("violation", violations), ("warning", warnings))
            if count
        ]
        severity = "violation" if violations else "warning" if warnings else "fine"
        unchecked = len(review.missing)
        if not counts and unchecked:
            words = self.tr("No violation and no warning is open; %1.")
            self.foot.say("missing", words.replace("%1", counted("missing", unchecked)))
            return
        if not counts:
            self.foot.say(severity, self.tr("No violation and no warning is open."))
            return
        words = self.tr("Open: %1.").replace("%1", self.tr(" and ").join(counts))
        named = [sheet.number for sheet in self.sheets.all() if sheet.title == _FINDINGS]
        if named:
            wanted = set(named) <= set(self.sheets.numbers)
            told = (
                self.tr("The set prints them on %1.")
                if wanted
                else self.tr("Not all of %1, which print them, are checked.")
            )
            span = named[0] if len(named) == 1 else f"{named[0]} to {named[-1]}"
            words += " " + told.replace("%1", span)
        self.foot.say(severity, words)

    # putting out ------------------------------------------------------------------------------

    def export(self) -> None:
        """Ask where to, and write the sheets in the form chosen."""
        form = self.side.form
        name = file_name(self._document.title)
        asked_for = self._folder_for(form) if form.many else self._file_for(form, name)
        if asked_for is None:
            return
        folder, asked = (asked_for, None) if form.many else (asked_for.parent, asked_for)
        QSettings().setValue("sheets folder", str(folder))
        numbers = self.sheets.numbers
        job = self._job(self._document.project)
        if len(numbers) < self.sheets.list.count() and not form.tables:
            job = replace(job, only=numbers)

        def may_replace(there: list[Path]) -> bool:
            return there == [asked] or self._may_replace(there)

        self.infobar.hide()
        self.foot.begin()
        self._writing.start(job, form, folder, asked.stem if asked else name, may_replace)
        self._look()

    def _folder_for(self, form: Form) -> Path | None:
        title = self.tr("Folder for the files: %1").replace("%1", self.tr(form.name))
        name = QFileDialog.getExistingDirectory(self, title, str(_usual_folder()))
        return Path(name) if name else None

    def _file_for(self, form: Form, name: str) -> Path | None:
        start = str(_usual_folder() / f"{name}{form.ending}")
        kind = f"{form.ending[1:].upper()} (*{form.ending})"
        chosen, _ = QFileDialog.getSaveFileName(
            self, self.tr("Export the drawing set"), start, kind
        )
        if not chosen:
            return None
        path = Path(chosen)
        return path if path.suffix.lower() == form.ending else Path(f"{chosen}{form.ending}")

    def _may_replace(self, there: list[Path]) -> bool:
        names = ", ".join(path.name for path in there[:3])
        if len(there) > 3:
            names = self.tr("%1 and %2 more").replace("%1", names)
            names = names.replace("%2", str(len(there) - 3))
        box = QMessageBox(
            QMessageBox.Icon.Question, "Ampacre", self.tr("Replace files that are there already?"),
            QMessageBox.StandardButton.NoButton, self,
        )  # fmt: skip
        box.setInformativeText(names)
        take = box.addButton(self.tr("Replace"), QMessageBox.ButtonRole.AcceptRole)
        box.addButton(self.tr("Keep Them"), QMessageBox.ButtonRole.RejectRole)
        box.exec()
        return box.clickedButton() is take

    def _written(self, paths: list[Path]) -> None:
        issuing, self._issuing = self._issuing, None
        self.foot.end()
        if issuing is not None:
            self._keep(issuing, paths[0])
            return
        self._look()
        first = paths[0]
        if len(paths) == 1:
            words = self.tr("Written: %1").replace("%1", str(first))
        else:
            words = self.tr("%1 files written to %2").replace("%1", str(len(paths)))
            words = words.replace("%2", str(first.parent))
        actions = {self.tr("Show Folder"): lambda: _open_outside(first.parent)}
        if len(paths) == 1:
            actions = {self.tr("Open"): lambda: _open_outside(first), **actions}
        self.infobar.say(words, actions, done=True)

    def _not_written(self, why: str) -> None:
        self._issuing = None
        self.foot.end()
        self._look()
        if why:
            self.infobar.say(self.tr("Nothing was written: %1.").replace("%1", why))

    def print(self) -> None:
        """Ask for a printer, and print the sheets that are checked."""
        pictures = [picture_of(sheet) for sheet in self.sheets.wanted]
        printer = printer_for(pictures[0])
        printer.setDocName(self._document.title)
        if not QPrintDialog(printer, self).exec():
            return
        self.infobar.hide()
        self.foot.begin()
        self._printing.start(printer, pictures)
        self._look()

    def _not_printed(self, why: str) -> None:
        self._say(self.tr("The sheets were not printed: %1.").replace("%1", why))

    def _say(self, words: str, *, done: bool = False) -> None:
        self.foot.end()
        self._look()
        self.infobar.say(words, done=done)

    # handing in -------------------------------------------------------------------------------

    def issue(self) -> None:
        """Number the set, and keep its sheets and its project beside the file."""
        document = self._document
        if (document.path is None or document.modified) and not save(document, self):
            return
        assert document.path is not None
        number = next_number(document.path, document.project)
        dialog = IssueDialog(document.path, number, self.bar.date.date(), self.foot.words, self)
        if not dialog.exec():
            return
        self._issuing = Issuing.of(document, dialog.date_text, dialog.note.text().strip())
        self.infobar.hide()
        self.foot.begin()
        self._writing.start(
            replace(self._job(self._issuing.after), date=dialog.date_text),
            FORMS[0], document.path.parent, kept_sheets(document.path, number).stem,
            self._may_replace,
        )  # fmt: skip
        self._look()

    def _keep(self, issuing: Issuing, sheets: Path) -> None:
        why = ""
        if not issuing.still_of(self._document):
            why = self.tr("the project was changed meanwhile; issue it as it is now")
        else:
            try:
                issuing.keep(self._document)
            except NotSaved as error:
                why = str(error)
        if why:
            sheets.unlink(missing_ok=True)
            self._look()
            self.infobar.say(self.tr("The set was not issued: %1.").replace("%1", why))
            return
        self.renew()
        words = self.tr("Set %1 is issued: its sheets are kept as %2.")
        words = words.replace("%1", str(issuing.number)).replace("%2", sheets.name)
        self.infobar.say(words, {
            self.tr("Open"): lambda: _open_outside(sheets),
            self.tr("Show Folder"): self._show_folder,
        }, done=True)  # fmt: skip

    def _open_set(self, number: int) -> None:
        path = self._document.path
        if path is None:
            return
        sheets = kept_sheets(path, number)
        if sheets.exists():
            _open_outside(sheets)
        else:
            self.infobar.say(
                self.tr("%1 is not beside the project's file.").replace("%1", sheets.name)
            )

    def _show_folder(self) -> None:
        if self._document.path is not None:
            _open_outside(self._document.path.parent)

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
        self._issuing = None
        for work in (self._drawing, self._writing, self._printing):
            work.stop()
        self.foot.end()
        self._look()

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


def _usual_folder() -> Path:
    documents = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    kept = Path(str(QSettings().value("sheets folder", documents)))
    return kept if kept.is_dir() else Path(documents)


def _open_outside(path: Path) -> None:
    QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))
