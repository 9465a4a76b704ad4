"""Details of what is selected: its computed numbers, and a form of everything it says of itself."""

from itertools import pairwise
from typing import Any

from PySide6.QtCore import QEvent, QSize, Qt, QTimer
from PySide6.QtGui import QFocusEvent, QFont
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.model.standing import work_of
from ampacre.model.words import kind_of
from ampacre.quantity import show
from ampacre.study.facts import EquipmentFacts, RunFacts
from ampacre_gui.document import Document
from ampacre_gui.guard import Guarded
from ampacre_gui.icons import kind_icon
from ampacre_gui.look import look
from ampacre_gui.names import counted_elements, element_name, record_of
from ampacre_gui.panels.editors import LineEditor
from ampacre_gui.panels.fields import Field, capital
from ampacre_gui.panels.form import common_form, form_of
from ampacre_gui.panels.number_list import NumberList
from ampacre_gui.panels.numbers import numbers_of
from ampacre_gui.panels.record_form import Element, Part, RecordForm, heading
from ampacre_gui.panels.work_section import WorkSection
from ampacre_gui.phrases import breakable, filled, said
from ampacre_gui.selection import Selection

__all__ = ["Details"]

_NAMED = 8
"""So many of the selected are named; the others are counted."""


class Details(Guarded, QScrollArea):
    """Shows what is selected; built anew for another kind, else only brought up to date."""

    def __init__(
        self, document: Document, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self.forms: list[RecordForm] = []
        self.work: WorkSection | None = None
        self._built_for: object = None
        self._elements: tuple[str, ...] = ()
        self._all = False
        self._late = QTimer(self, singleShot=True, interval=0)
        self._late.timeout.connect(self._show)
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setAccessibleName(self.tr("Details of the selection"))
        # the keyboard goes to the fields, where it can be seen
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        document.changed.connect(lambda _: self._show())
        selection.changed.connect(self._show)
        self._show()

    @property
    def fields(self) -> list[Field]:
        """The fields that are shown, from the top down."""
        return [field for form in self.forms for field in form.fields]

    @property
    def parts(self) -> list[Part]:
        """The groups that the fields stand in."""
        return [part for form in self.forms for part in form.parts]

    def _records(self) -> list[Element]:
        found = (record_of(self._document.project, key) for key in self._selection.ids)
        return [record for record in found if record is not None]

    def _show(self) -> None:
        at, shown = self.verticalScrollBar().value(), self._elements
        # what is being typed is entered now, while the page stands for what it was typed for
        if self._shape() != self._built_for:
            self._let_go()
        elif self._ids() != shown:
            self._leave_field()
        records, shape = self._records(), self._shape()
        turned, self._elements = self._ids() != self._elements, self._ids()
        if shape != self._built_for:
            self._built_for = shape
            page = self._built(records) if records else self._nothing()
            if records:
                # what is not seen yet is filled at less cost
                self._fill(records)
            self.setWidget(page)
            if self._elements == shown:
                # the page has its height only when it is laid out
                QTimer.singleShot(0, self, lambda: self.verticalScrollBar().setValue(at))
        elif records:
            if turned:
                self._turn()
            self._fill(records)
        if records:
            self._put_in_tab_order()

    def _ids(self) -> tuple[str, ...]:
        return tuple(record.id for record in self._records())

    def _leave_field(self) -> None:
        focus = QApplication.focusWidget()
        if focus is not None and self.viewport().isAncestorOf(focus):
            self.setFocus()

    def _turn(self) -> None:
        """Have the page stand for other records of the same kinds."""
        form, *_ = self.forms
        assert self.work is not None
        form.turn_to(self._elements)
        self.work.turn_to(self._elements)
        self.verticalScrollBar().setValue(0)

    def _put_in_tab_order(self) -> None:
        """Let Tab go from the top down; Qt goes by when each widget was made."""
        assert self.work is not None
        form, *_ = self.forms
        for one, following in pairwise([self._way, *form.stops, *self.work.stops, self._more]):
            QWidget.setTabOrder(one, following)

    def _shape(self) -> object:
        """Tell what the page has to be built for; as long as that is the same, it stays."""
        records = self._records()
        return (
            tuple(type(record) for record in records),
            len(records) == 1 and records[0].was is not None,
            self._references_shape() if records else (),
        )

    def _let_go(self) -> None:
        # a field of this page may be what asked for another one, and is still at work
        page = self.takeWidget()
        if page is not None:
            page.hide()
            page.deleteLater()

    def _nothing(self) -> QWidget:
        self.forms, self.work = [], None
        return _words(self.tr("Select a piece or a run to see and change what it is."))

    def _references_shape(self) -> tuple[Any, ...]:
        project = self._document.project
        return (
            tuple(sorted((s.name, s.id) for s in project.structures.values())),
            tuple(sorted(stage.name for stage in project.stages.values())),
            tuple(sorted(way.name for way in project.raceways.values())),
        )

    # building ---------------------------------------------------------------------------------

    def _built(self, records: list[Element]) -> QWidget:
        page = QWidget()
        box = QVBoxLayout(page)
        box.setContentsMargins(12, 10, 12, 16)
        box.setSpacing(8)
        self._head, self._what, self._way = QLabel(), QLabel(), QLabel()
        box.addLayout(self._headline(records))
        box.addWidget(self._way)
        if len(records) == 1:
            self._add_numbers(box)
        keys = [record.id for record in records]
        kinds = dict.fromkeys(type(record) for record in records)
        groups = form_of(*kinds) if len(records) == 1 else common_form(kinds)
        form = RecordForm(self._document, [g for g in groups if g.title != "work"], keys)
        self.work = WorkSection(self._document, [g for g in groups if g.title == "work"], keys)
        self.forms = [form, self.work.form]
        if self.work.before is not None:
            self.forms.append(self.work.before)
        for part in (form, self.work):
            part.entered.connect(self._show)
            box.addWidget(part)
        self._more = QPushButton()
        self._more.clicked.connect(self._show_more)
        box.addWidget(self._more, 0, Qt.AlignmentFlag.AlignLeft)
        box.addStretch(1)
        return page

    def _add_numbers(self, box: QVBoxLayout) -> None:
        self.numbers = NumberList()
        self._notes = QLabel()
        self._notes.setWordWrap(True)
        self._notes.setTextFormat(Qt.TextFormat.PlainText)
        box.addWidget(heading(self.tr("Worked out")))
        box.addWidget(self.numbers)
        box.addWidget(self._notes)

    def _headline(self, records: list[Element]) -> QHBoxLayout:
        line = QHBoxLayout()
        line.setSpacing(10)
        kinds = {kind_of(piece) for piece in records if not isinstance(piece, r.Run)}
        if len(kinds) == 1 and not any(isinstance(record, r.Run) for record in records):
            symbol = QLabel()
            symbol.setPixmap(kind_icon(next(iter(kinds)), 36).pixmap(QSize(36, 36)))
            line.addWidget(symbol, 0, Qt.AlignmentFlag.AlignTop)
        words = QVBoxLayout()
        words.setSpacing(1)
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 1.25)
        font.setBold(True)
        self._head.setFont(font)
        self._head.setTextFormat(Qt.TextFormat.PlainText)
        for label in (self._head, self._what, self._way):
            label.setWordWrap(True)
        words.addWidget(self._head)
        words.addWidget(self._what)
        line.addLayout(words, 1)
        self._way.setTextFormat(Qt.TextFormat.RichText)
        self._way.setTextInteractionFlags(
            Qt.TextInteractionFlag.LinksAccessibleByMouse
            | Qt.TextInteractionFlag.LinksAccessibleByKeyboard
        )
        self._way.linkActivated.connect(self._selection.go_to)
        return line

    # showing ----------------------------------------------------------------------------------

    def _fill(self, records: list[Element]) -> None:
        facts = {}
        for record in records:
            known = self._facts(record)
            if known is not None:
                facts[record.id] = known
        if len(records) == 1:
            self._fill_head(records[0], facts.get(records[0].id))
        else:
            self._fill_heads(records)
        form, *_ = self.forms
        assert self.work is not None
        form.fill(facts, all_fields=self._all)
        self.work.fill(records, facts, all_fields=self._all)
        self._more.setText(
            self.tr("Show Fewer Fields") if self._all else self.tr("Show All Fields")
        )

    def _fill_head(self, record: Element, facts: EquipmentFacts | RunFacts | None) -> None:
        self._head.setText(breakable(capital(element_name(self._document.project, record.id))))
        kind = self.tr("run") if isinstance(record, r.Run) else said(kind_of(record))
        self._what.setText(f"{kind} \u00b7 {work_of(record)}")
        self._way.setText(self._way_words(record, facts))
        self._way.setVisible(bool(self._way.text()))
        self._fill_numbers(facts)

    def _fill_heads(self, records: list[Element]) -> None:
        project = self._document.project
        self._head.setText(counted_elements(records))
        self._what.setText(self.tr("What is entered here goes for all of them."))
        links = [_link(project, record.id) for record in records[:_NAMED]]
        more = len(records) - len(links)
        if more:
            links.append(filled(self.tr("%1 more"), more))
        self._way.setText(", ".join(links))

    def _show_more(self) -> None:
        self._all = not self._all
        self._show()

    def _facts(self, record: Element) -> EquipmentFacts | RunFacts | None:
        found = self._document.study.found
        return (found.runs if isinstance(record, r.Run) else found.equipment).get(record.id)

    def _way_words(
        self, record: r.AnyEquipment | r.Run, facts: EquipmentFacts | RunFacts | None
    ) -> str:
        project = self._document.project
        if isinstance(record, r.Run):
            ends = _link(project, record.source), _link(project, record.target)
            return filled(self.tr("From %1 to %2"), *ends)
        if isinstance(facts, EquipmentFacts) and facts.parent and facts.feed:
            run = _anchor(facts.feed, self._run_words(project.runs[facts.feed]))
            return filled(self.tr("Fed from %1 over %2"), _link(project, facts.parent), run)
        if isinstance(facts, EquipmentFacts) and not facts.supplied:
            return self.tr("Not supplied from anywhere")
        return ""

    def _run_words(self, run: r.Run) -> str:
        if run.length_m is None:
            return self.tr("a run of unknown length")
        length = show(run.length_m, "m", self._document.project.settings.units)
        return filled(self.tr("a run of %1"), length)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if event.reason() == Qt.FocusReason.TabFocusReason:
            self.focus_first()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            # links take the colours of the desktop when they are written, and Qt is just going
            # over all widgets
            self._late.start()

    def _fill_numbers(self, facts: EquipmentFacts | RunFacts | None) -> None:
        numbers = numbers_of(self._document.study, facts) if facts else []
        self.numbers.show_numbers(numbers)
        notes = []
        if facts and facts.missing:
            notes.append(self.tr("Missing: ") + "; ".join(facts.missing))
        if facts and facts.assumptions:
            notes.append(self.tr("Assumed: ") + "; ".join(facts.assumptions))
        if not numbers and not notes:
            notes.append(self.tr("Nothing yet."))
        self._notes.setText("\n".join(notes))
        self._notes.setVisible(bool(notes))

    def focus_first(self) -> None:
        """Put the cursor into the first field."""
        first = next(iter(self.fields), None)
        if first is not None:
            self.setFocus()
            first.editor.setFocus()
            if isinstance(first.editor, LineEditor):
                # a name given by the program is typed over
                first.editor.selectAll()


def _words(text: str) -> QWidget:
    label = QLabel(text)
    label.setWordWrap(True)
    label.setAlignment(Qt.AlignmentFlag.AlignTop)
    label.setContentsMargins(14, 14, 14, 14)
    return label


def _link(project: Project, key: str) -> str:
    name = breakable(element_name(project, key))
    return _anchor(key, name.replace("&", "&amp;").replace("<", "&lt;"))


def _anchor(key: str, words: str) -> str:
    return f'<a href="{key}" style="color:{look().link.name()}">{words}</a>'
