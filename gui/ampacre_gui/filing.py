"""Opening, saving and closing files, with the questions that go with it."""

from pathlib import Path

from PySide6.QtCore import (
    QCoreApplication,
    QFileInfo,
    QLocale,
    QSettings,
    QStandardPaths,
    QUrl,
)
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog, QWidget

from ampacre.store.file import NotSaved, Unreadable
from ampacre.store.file import save as write_project
from ampacre.store.journal import NotRecovered, beside, put_aside, recover
from ampacre_gui.busy import busy
from ampacre_gui.dialogs.questions import DO, DROP, ELSE, STAY, ask, show_problem
from ampacre_gui.document import Document
from ampacre_gui.guard import faults
from ampacre_gui.locks import InUse, hold
from ampacre_gui.outside import why_read_only
from ampacre_gui.phrases import filled
from ampacre_gui.recent import remember

__all__ = [
    "ENDING",
    "ask_to_keep",
    "choose_file",
    "open_document",
    "open_outside",
    "save",
    "save_as",
    "save_copy",
]

ENDING = ".ampacre"


def _tr(text: str) -> str:
    return QCoreApplication.translate("Filing", text)


def _filters() -> str:
    return _tr("Ampacre projects") + f" (*{ENDING});;" + _tr("All files") + " (*)"


def _folder() -> str:
    documents = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    return str(QSettings().value("folder", documents))


def _remember(path: Path) -> None:
    remember(path)
    QSettings().setValue("folder", str(path.parent))


def choose_file(parent: QWidget | None) -> Path | None:
    """Ask which file to open."""
    name, _ = QFileDialog.getOpenFileName(parent, _tr("Open a Project"), _folder(), _filters())
    return Path(name) if name else None


def open_document(path: Path, parent: QWidget | None) -> Document | None:
    """Open a file, offering what a crash left in its journal; None where it can't be opened."""
    path = path.absolute()
    try:
        with busy():
            document = Document.load(path)
    except (Unreadable, InUse) as error:
        show_problem(parent, _tr("The file could not be opened."), str(error))
        return None
    except Exception as error:  # noqa: BLE001 - a fault in the study must not end the program
        faults.tell(error)
        why = _tr("It was read, but its numbers could not be worked out: a fault of the program.")
        show_problem(parent, _tr("The file could not be opened."), why)
        return None
    _offer_recovery(document, path, parent)
    _remember(path)
    return document


def _offer_recovery(document: Document, path: Path, parent: QWidget | None) -> None:
    journal = beside(path)
    try:
        recovered = recover(journal, path.read_bytes())
    except NotRecovered as error:
        kept = put_aside(journal)
        why = filled(_tr("The unsaved changes were kept aside as %1."), kept.name)
        show_problem(parent, str(error), why)
        return
    except OSError:
        return
    if recovered is None:
        return
    if recovered == document.project:
        # all of it was undone
        journal.unlink(missing_ok=True)
        return
    written = QLocale().toString(
        QFileInfo(str(journal)).lastModified(), QLocale.FormatType.ShortFormat
    )
    chosen = ask(
        parent,
        filled(_tr("There are changes to %1 that were not saved."), path.stem),
        filled(_tr("They were made up to %1."), written),
        (_tr("&Recover Changes"), DO),
        (_tr("&Discard Them"), DROP),
        (_tr("&Keep for Later"), STAY),
    )
    if chosen == 0:
        document.recover(journal, recovered)
    elif chosen == 1:
        journal.unlink(missing_ok=True)
    else:
        put_aside(journal)


def save(document: Document, parent: QWidget) -> bool:
    """Save, asking for a name where the file can't be written; tells whether it was saved."""
    if document.path is None or why_read_only(document.path):
        return save_as(document, parent)
    if not document.path.exists():
        return _save_anew(document, document.path, parent)
    if not document.changed_outside:
        return _saved(document, document.path, parent)
    chosen = ask(
        parent,
        filled(_tr("%1 was changed by another program since it was opened."), document.path.name),
        _tr("Saving over it replaces what the other program wrote."),
        (_tr("Save &Over It"), DROP),
        (_tr("Save &As\u2026"), DO),
        (_tr("&Cancel"), STAY),
    )
    if chosen == 0:
        return _saved(document, document.path, parent)
    return chosen == 1 and save_as(document, parent)


def _save_anew(document: Document, path: Path, parent: QWidget) -> bool:
    """Ask what to do where the file was deleted or moved since it was opened."""
    chosen = ask(
        parent,
        filled(_tr("%1 is no longer where it was opened."), path.name),
        _tr("It was deleted, moved or renamed. Saving writes it there again."),
        (_tr("&Save It There Again"), DO),
        (_tr("Save &As\u2026"), ELSE),
        (_tr("&Cancel"), STAY),
    )
    if chosen == 0:
        return _saved(document, path, parent)
    return chosen == 1 and save_as(document, parent)


def save_as(document: Document, parent: QWidget) -> bool:
    """Save under another name; tells whether it was saved."""
    path = document.path or Path(_folder()) / f"{document.title}{ENDING}"
    title, why = _tr("Save the Project"), why_read_only(path)
    if why:
        title, path = filled(_tr("%1: save under another name"), why), _copy_of(path)
    chosen = _choose_place(parent, title, path)
    return chosen is not None and _saved(document, chosen, parent)


def save_copy(document: Document, parent: QWidget) -> Path | None:
    """Write the project to another file and go on with this one; gives the file's path."""
    start = document.path or Path(_folder()) / f"{document.title}{ENDING}"
    path = _choose_place(parent, _tr("Save a Copy of the Project"), _copy_of(start))
    if path is None:
        return None
    try:
        lock = hold(path)
        try:
            write_project(document.project, path)
        finally:
            lock.unlock()
    except (NotSaved, InUse) as error:
        show_problem(parent, _tr("The copy was not saved."), str(error))
        return None
    return path


def _copy_of(path: Path) -> Path:
    """Suggest a name for a copy, in a folder that can be written to."""
    documents = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    name = f"{path.stem} {_tr('copy')}{ENDING}"
    beside_it = path.with_name(name)
    return Path(documents) / name if why_read_only(beside_it) else beside_it


def _choose_place(parent: QWidget, title: str, start: Path) -> Path | None:
    name, _ = QFileDialog.getSaveFileName(parent, title, str(start), _filters())
    if not name:
        return None
    path = Path(name)
    return path if path.suffix else path.with_suffix(ENDING)


def _saved(document: Document, path: Path, parent: QWidget) -> bool:
    why = why_read_only(path)
    if not why:
        try:
            document.save_as(path)
        except (NotSaved, InUse) as error:
            why = str(error)
    if why:
        show_problem(parent, _tr("The project was not saved."), why)
        return False
    _remember(path)
    return True


def ask_to_keep(document: Document, parent: QWidget) -> bool:
    """Before closing: save, or give up changes; tells whether closing may go on."""
    if not document.modified:
        return True
    chosen = ask(
        parent,
        filled(_tr("Save the changes to %1?"), document.title),
        _tr("Without saving they are lost."),
        (_tr("&Save"), DO),
        (_tr("&Don't Save"), DROP),
        (_tr("&Cancel"), STAY),
    )
    return save(document, parent) if chosen == 0 else chosen == 1


def open_outside(path: Path) -> None:
    """Hand a file or a folder to the program that the desktop opens it with."""
    QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))
