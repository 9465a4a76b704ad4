"""What pieces and runs are to the work: there already, new or removed, and what stood here before."""

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from ampacre.model.former import SetWork, marked, replaced, with_former, without_former
from ampacre.model.project import Edit, Project
from ampacre.model.standing import work_of
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre.study.keeping import built
from ampacre_gui.document import Document
from ampacre_gui.names import record_of
from ampacre_gui.panels.editors import ChoiceEditor
from ampacre_gui.panels.form import Group, form_of
from ampacre_gui.panels.record_form import Element, RecordForm, heading
from ampacre_gui.phrases import said

__all__ = ["WorkSection"]

_WORKS = {
    "existing": "It is there already and stays, as it was chosen where it came with the work",
    "new": "It comes with the work",
    "reused": "It is made of what is there, or takes its place: said in the fields below",
    "removed": "It is there now and goes with the work",
}
_NOT_BEFORE = ("measured demand", "farm load", "work")


class WorkSection(QWidget):
    """A choice in plain words, the stages behind it, and for one element what it replaces."""

    entered = Signal()

    def __init__(
        self,
        document: Document,
        groups: Sequence[Group],
        keys: Sequence[str],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._keys = tuple(keys)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 4, 0, 0)
        box.setSpacing(6)
        box.addWidget(heading(self.tr("The work")))
        self.choice = self._work_choice()
        line = QHBoxLayout()
        label = QLabel(self.tr("It is"))
        label.setBuddy(self.choice)
        line.addWidget(label, 4)
        line.addWidget(self.choice, 6)
        line.setSpacing(10)
        box.addLayout(line)
        self.form = RecordForm(document, groups, keys)
        self.form.entered.connect(self.entered)
        box.addWidget(self.form)
        self.before: RecordForm | None = None
        self._words = QLabel()
        self._words.setWordWrap(True)
        self._words.setObjectName("quiet")
        box.addWidget(self._words)
        self.buttons = [
            self._button(
                self.tr("Replace What Is There Now"),
                self.tr("Keeps what is entered as what stood here before the work"),
                replaced,
            ),
            self._button(
                self.tr("Something Stood Here Before"),
                self.tr("Asks for what this takes the place of"),
                with_former,
            ),
            self._button(
                self.tr("Nothing Stood Here Before"),
                self.tr("Forgets what this takes the place of"),
                without_former,
            ),
        ]
        record = record_of(document.project, self._keys[0])
        if len(self._keys) == 1 and record is not None and record.was is not None:
            former = [g for g in form_of(type(record)) if g.title not in _NOT_BEFORE]
            self.before = RecordForm(document, former, keys, before=True)
            self.before.entered.connect(self.entered)
            box.addWidget(self.before)
        for button in self.buttons:
            box.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)

    @property
    def stops(self) -> list[QWidget]:
        """Where Tab stops, from the top down."""
        before = self.before.stops if self.before is not None else []
        return [self.choice, *self.form.stops, *before, *self.buttons]

    def _work_choice(self) -> ChoiceEditor:
        choice = ChoiceEditor([(said(work), work) for work in _WORKS], optional=False)
        for work, more in _WORKS.items():
            choice.explain(work, said(more))
        choice.only_show("reused")
        choice.setAccessibleName(self.tr("What it is to the work"))
        choice.entered.connect(self._mark)
        return choice

    def _button(
        self, words: str, more: str, builder: Callable[[Project, str], Edit]
    ) -> QPushButton:
        button = QPushButton(words)
        button.setToolTip(more)
        button.clicked.connect(
            lambda: self._document.do(builder(self._document.project, self._keys[0]))
        )
        return button

    def turn_to(self, keys: Sequence[str]) -> None:
        """Go on with as many other records of the same kinds."""
        self._keys = tuple(keys)
        self.form.turn_to(keys)
        if self.before is not None:
            self.before.turn_to(keys)

    def fill(
        self,
        records: Sequence[Element],
        facts: Mapping[str, EquipmentFacts | RunFacts],
        *,
        all_fields: bool,
    ) -> None:
        """Show what the document says."""
        units = self._document.project.settings.units
        works = {work_of(record) for record in records}
        if len(works) == 1:
            self.choice.show_value(next(iter(works)), "", units)
        else:
            self.choice.show_several(units)
        self.form.fill(facts, all_fields=all_fields)
        self.form.setVisible(any(part.holder.isVisibleTo(self.form) for part in self.form.parts))
        if self.before is not None:
            self.before.fill(facts, all_fields=all_fields)
        one = records[0] if len(records) == 1 else None
        stays = one is not None and one.until is None
        was = one is not None and one.was is not None
        there = one is not None and one.since is None
        for button, fits in zip(
            self.buttons, (stays and there, stays and not there and not was, was), strict=True
        ):
            button.setVisible(fits)
        self._words.setVisible(was)
        self._words.setText(
            self.tr("It takes the place of what stood here before, which is entered below.")
        )

    def _mark(self, work: SetWork) -> None:
        if work == "existing":
            edit = built(self._document.study, self._keys)
        else:
            edit = marked(self._document.project, self._keys, work)
        if not self._document.do(edit):
            self.entered.emit()
