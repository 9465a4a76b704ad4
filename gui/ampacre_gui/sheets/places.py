"""Questions about where a set is written: which file or folder, and what may be replaced there."""

from pathlib import Path

from PySide6.QtCore import QCoreApplication, QSettings, QStandardPaths
from PySide6.QtWidgets import QFileDialog, QWidget

from ampacre_gui.dialogs.questions import DO, STAY, ask
from ampacre_gui.phrases import filled, said
from ampacre_gui.sheets.forms import Form

__all__ = ["ask_for_file", "ask_for_folder", "may_replace"]

_MOST_NAMED = 3


def _tr(text: str) -> str:
    return QCoreApplication.translate("Places", text)


def ask_for_folder(form: Form, project: Path | None, parent: QWidget) -> Path | None:
    """Ask for the folder of a form's files, beginning in the one of last time."""
    title = filled(_tr("Folder for the Files: %1"), said(form.name))
    name = QFileDialog.getExistingDirectory(parent, title, str(_usual_folder(project)))
    if not name:
        return None
    _remember(Path(name))
    return Path(name)


def ask_for_file(form: Form, name: str, project: Path | None, parent: QWidget) -> Path | None:
    """Ask for the one file of a form; what is typed without the form's ending gets it."""
    start = str(_usual_folder(project) / f"{name}{form.ending}")
    kind = f"{form.ending[1:].upper()} (*{form.ending})"
    chosen, _ = QFileDialog.getSaveFileName(parent, _tr("Export the Drawing Set"), start, kind)
    if not chosen:
        return None
    path = Path(chosen)
    if path.suffix.lower() != form.ending:
        path = Path(f"{chosen}{form.ending}")
    _remember(path.parent)
    return path


def may_replace(there: list[Path], parent: QWidget) -> bool:
    """Ask whether files that are there already may be written over."""
    names = ", ".join(path.name for path in there[:_MOST_NAMED])
    if len(there) > _MOST_NAMED:
        names = filled(_tr("%1 and %2 more"), names, len(there) - _MOST_NAMED)
    what = _tr("Replace files that are there already?")
    return ask(parent, what, names, (_tr("Replace"), DO), (_tr("Keep Them"), STAY)) == 0


def _usual_folder(project: Path | None) -> Path:
    """Give the folder of last time, at first the one where the project is."""
    documents = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    first = project.parent if project is not None else Path(documents)
    kept = Path(str(QSettings().value("sheets folder", str(first))))
    return kept if kept.is_dir() else first


def _remember(folder: Path) -> None:
    QSettings().setValue("sheets folder", str(folder))
