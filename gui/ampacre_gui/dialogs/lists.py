"""What stands beside the drawing: charger groups, structures, raceways, grounding, stages."""

from typing import Any, NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from ampacre.model import records as r
from ampacre.model.edits import new_id, put
from ampacre.model.project import Change, Edit, Project, Refused, StaleEdit, TableName
from ampacre_gui.dialogs.live import close_button, press_nothing_on_enter, tabs_of
from ampacre_gui.document import Document
from ampacre_gui.names import element_name
from ampacre_gui.panels.entries import sentence
from ampacre_gui.panels.fields import Field, FieldGrid
from ampacre_gui.panels.form import form_of, value_at, with_value
from ampacre_gui.panels.hints import Hint
from ampacre_gui.panels.references import choices_for
from ampacre_gui.phrases import said

__all__ = ["ListsDialog"]

_KEY = Qt.ItemDataRole.UserRole


class _Sort(NamedTuple):
    """One tab: its title, one sentence about it, the table, and what a new entry is called."""

    title: str
    about: str
    table: TableName
    kind: Any
    new_name: str


_SORTS = (
    _Sort(
        "Managed Chargers",
        "Chargers that an energy management system turns down, to keep what they draw or all load of "
        "a service or panel under one limit.",
        "groups",
        r.ManagedGroup,
        "Charger group",
    ),
    _Sort(
        "One at a Time",
        "Loads of which only one runs at a time, such as heating and cooling.",
        "groups",
        r.NoncoincidentGroup,
        "Loads",
    ),
    _Sort(
        "Structures",
        "Buildings and outdoor spots that equipment stands in.",
        "structures",
        r.Structure,
        "Building",
    ),
    _Sort(
        "Raceways",
        "Raceways, cables and trenches that several runs share for a part of their way.",
        "raceways",
        r.Raceway,
        "Raceway",
    ),
    _Sort(
        "Grounding",
        "Electrodes, electrode conductor and bonding jumper of a service, source or structure.",
        "grounding",
        r.Grounding,
        "",
    ),
    _Sort("Stages", "Steps of the work, in their order.", "stages", r.Stage, "Stage"),
)


class _Page(QWidget):
    """Entries of one sort on the left, the fields of the chosen one on the right."""

    def __init__(self, document: Document, sort: _Sort) -> None:
        super().__init__()
        self._document = document
        self._sort = sort
        self._key = ""
        self._fields: list[Field] = []
        self.entries = QListWidget()
        self.entries.setAccessibleName(said(sort.title))
        self.entries.setFixedWidth(210)
        self.entries.currentItemChanged.connect(lambda *_: self._show_current())
        self.add_button = QPushButton(self.tr("Add"))
        self.add_button.clicked.connect(self.add)
        self.remove_button = QPushButton(self.tr("Remove"))
        self.remove_button.clicked.connect(self.remove)
        self._reason = QLabel()
        self._reason.setWordWrap(True)
        self._form = QScrollArea()
        self._form.setAccessibleName(self.tr("Fields of the chosen entry"))
        self._form.setWidgetResizable(True)
        self._form.setFrameShape(QScrollArea.Shape.NoFrame)
        about = QLabel(said(sort.about))
        about.setObjectName("quiet")
        about.setWordWrap(True)
        buttons = QHBoxLayout()
        buttons.addWidget(self.add_button)
        buttons.addWidget(self.remove_button)
        left = QVBoxLayout()
        left.addWidget(self.entries, 1)
        left.addLayout(buttons)
        middle = QHBoxLayout()
        middle.setSpacing(14)
        middle.addLayout(left)
        middle.addWidget(self._form, 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 12, 12, 8)
        box.setSpacing(8)
        box.addWidget(about)
        box.addLayout(middle, 1)
        box.addWidget(self._reason)
        self.renew()

    def _records(self) -> dict[str, Any]:
        table = self._document.project.table(self._sort.table)
        return {key: record for key, record in table.items() if type(record) is self._sort.kind}

    def renew(self) -> None:
        """Follow the document."""
        records = sorted(self._records().values(), key=lambda record: (_order(record), record.id))
        at = self._key
        self.entries.blockSignals(True)
        self.entries.clear()
        for record in records:
            item = QListWidgetItem(_called(self._document.project, record), self.entries)
            item.setData(_KEY, record.id)
            if record.id == at:
                self.entries.setCurrentItem(item)
        if self.entries.currentItem() is None and records:
            self.entries.setCurrentRow(0)
        self.entries.blockSignals(False)
        self._show_current()

    def _show_current(self) -> None:
        item = self.entries.currentItem()
        key = item.data(_KEY) if item else ""
        self.remove_button.setEnabled(bool(key))
        if key != self._key or (key and not self._fields):
            self._key = key
            self._form.setWidget(self._built())
        if key:
            record = self._records()[key]
            units = self._document.project.settings.units
            for field in self._fields:
                field.show_value(value_at(record, field.spec.path), Hint("not entered"), units)

    def _built(self) -> QWidget:
        self._fields = []
        grid = FieldGrid()
        if self._key:
            for place, spec in enumerate(form_of(self._sort.kind)[0].fields):
                choices = []
                if spec.editor in ("reference", "members"):
                    choices = choices_for(self._document.project, self._key, spec)
                field = Field(spec, choices)
                field.entered.connect(lambda value, field=field: self._enter(field, value))
                grid.add(field, place)
                self._fields.append(field)
        holder = QWidget()
        box = QVBoxLayout(holder)
        box.setContentsMargins(0, 0, 6, 0)
        box.addWidget(grid)
        box.addStretch(1)
        return holder

    def _enter(self, field: Field, value: Any) -> None:
        before = self._records()[self._key]
        after = with_value(before, field.spec.path, value)
        label = f"Change {field.spec.word} of {_called(self._document.project, before)}"
        changes = (Change(self._sort.table, before.id, before, after),) if after != before else ()
        try:
            self._document.make(Edit(label, changes))
        except (Refused, StaleEdit) as error:
            field.refuse(sentence(str(error)))
            self._show_current()

    def add(self) -> None:
        """Add an entry that says the least that it has to."""
        key = new_id()
        values: dict[str, Any] = {"id": key}
        if self._sort.kind is r.Grounding:
            places = choices_for(self._document.project, key, form_of(r.Grounding)[0].fields[0])
            if not places:
                self._say(self.tr("Draw the piece that is grounded first."))
                return
            values["at"] = places[0][1]
        else:
            values["name"] = _next(self._sort.new_name, self._records().values())
        if self._sort.kind in (r.ManagedGroup, r.NoncoincidentGroup):
            values["members"] = ()
        if self._sort.kind is r.ManagedGroup:
            values["limit_a"] = 80.0
        if self._sort.kind is r.Stage:
            values["order"] = (
                max((stage.order for stage in self._records().values()), default=0) + 1
            )
        record = self._sort.kind(**values)
        label = f"Add {_called(self._document.project, record)}"
        self._key = key
        self._try(put(label, self._sort.table, record))

    def remove(self) -> None:
        """Remove the chosen entry; says why where something still points to it."""
        record = self._records()[self._key]
        label = f"Remove {_called(self._document.project, record)}"
        self._try(Edit(label, (Change(self._sort.table, record.id, record, None),)))

    def _try(self, edit: Edit) -> None:
        try:
            self._document.make(edit)
        except (Refused, StaleEdit) as error:
            self._say(sentence(str(error)))
        else:
            self._say("")

    def _say(self, text: str) -> None:
        self._reason.setText(text)


class ListsDialog(QDialog):
    """A tab for each sort of entry; every change is a step that can be undone."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Groups, Structures, Raceways"))
        self.pages = {sort.title: _Page(document, sort) for sort in _SORTS}
        tabs = tabs_of(self)
        for title, page in self.pages.items():
            tabs.addTab(page, said(title))
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 8, 12, 12)
        box.addWidget(tabs)
        box.addWidget(close_button(self))
        press_nothing_on_enter(self)
        self.resize(680, 500)
        # a method and no lambda: the connection ends with the dialog
        document.changed.connect(self._renew)

    def _renew(self) -> None:
        for page in self.pages.values():
            page.renew()


def _called(project: Project, record: Any) -> str:
    if isinstance(record, r.Grounding):
        structure = project.structures.get(record.at)
        return f"grounding at {structure.name if structure else element_name(project, record.at)}"
    return record.name or "an entry without a name"


def _order(record: Any) -> Any:
    return (getattr(record, "order", 0), getattr(record, "name", ""))


def _next(name: str, records: Any) -> str:
    used = {record.name for record in records}
    number = 1
    while f"{name} {number}" in used:
        number += 1
    return f"{name} {number}"
