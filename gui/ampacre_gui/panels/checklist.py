"""The panel of what only the eye can tell: questions by place or topic, and their answers."""

from PySide6.QtCore import QModelIndex, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QWidget,
)

from ampacre.model.project import TABLES, Edit, Project
from ampacre.rules.questions import Asked, Reply, answer_dropped, answered, asked, with_answers
from ampacre_gui.document import Document
from ampacre_gui.names import record_of
from ampacre_gui.panels.checklist_model import ANSWER, LINE, ChecklistModel
from ampacre_gui.panels.checklist_page import ChecklistPage
from ampacre_gui.panels.checklist_view import ChecklistView
from ampacre_gui.panels.halves import lay_out_halves
from ampacre_gui.selection import Selection
from ampacre_gui.signing import today

__all__ = ["Checklist"]

_PAUSE_MS = 150


class Checklist(QWidget):
    """Goes over the questions only while it can be seen, and a moment after the last change."""

    title_changed = Signal(str)
    """The panel's name, with the number of open questions where it is known."""

    def __init__(
        self, document: Document, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._stale = True
        self._seen = False
        self._open = 0
        self._lines: tuple[Asked, ...] = ()
        self._seen_in: Project | None = None
        self._late = QTimer(self, singleShot=True)
        self._late.timeout.connect(self.renew)
        self.model = ChecklistModel(self)
        self.list = ChecklistView(self.model)
        self.page = ChecklistPage()
        lay_out_halves(self, self._bar(), self.list, self.page)
        self.list.replied.connect(self.reply)
        self.list.taken_back.connect(self.take_back)
        self.list.note_wanted.connect(self.page.focus_note)
        self.list.moved.connect(self._go)
        self.list.clicked.connect(lambda _: self._go())
        self.list.selectionModel().currentChanged.connect(lambda *_: self._show_current())
        self.page.replied.connect(self.reply)
        self.page.noted.connect(self._note)
        self.page.taken_back.connect(self.take_back)
        self.page.left.connect(self.list.setFocus)
        document.changed.connect(lambda _: self._follow())
        selection.changed.connect(self._follow_selection)

    def _bar(self) -> QWidget:
        self.wanted, self.grouping = QComboBox(), QComboBox()
        for box, name, choices in (
            (
                self.wanted,
                self.tr("Which questions are shown"),
                {"open": self.tr("Open"), "answered": self.tr("Answered"), "all": self.tr("All")},
            ),
            (
                self.grouping,
                self.tr("How questions are grouped"),
                {"place": self.tr("By place"), "topic": self.tr("By topic")},
            ),
        ):
            box.setAccessibleName(name)
            box.setToolTip(name)
            for value, words in choices.items():
                box.addItem(words, value)
            box.currentIndexChanged.connect(lambda _: self.renew())
        keys = QLabel(self.tr("Y yes, N no, U unknown, Enter note"))
        keys.setObjectName("quiet")
        keys.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        keys.setToolTip(self.tr("Keys that answer while the list has the focus"))
        # these words give way first where there is little room
        keys.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        above = QWidget()
        bar = QHBoxLayout(above)
        bar.setContentsMargins(6, 4, 6, 4)
        bar.setSpacing(6)
        bar.addWidget(self.wanted)
        bar.addWidget(self.grouping)
        bar.addWidget(keys, 1)
        return above

    # keeping up -------------------------------------------------------------------------------

    def _follow(self) -> None:
        if self._seen:
            self._late.start(_PAUSE_MS)
            return
        if not self._stale:
            self._stale = True
            self.title_changed.emit(self.title())

    def watch(self, seen: bool) -> None:
        """Take notice of whether anybody can see the panel; a tab behind others is not seen."""
        self._seen = seen
        if seen and self._stale:
            self._late.start(0)

    def title(self) -> str:
        """Name the panel; while nobody looks at it, nobody counts."""
        name = self.tr("To See on Site")
        return name if self._stale else f"{name} ({self._open})"

    def renew(self) -> None:
        """Go over the questions again."""
        self._late.stop()
        at_hand = self.current()
        self._lines = self._gone_over()
        self._open = sum(line.answer is None for line in self._lines)
        self._stale = False
        self.list.setColumnHidden(ANSWER, self.wanted.currentData() == "open")
        self.model.show_lines(
            self._document.project,
            self._lines,
            self.wanted.currentData(),
            self.grouping.currentData(),
        )
        at = self.model.index_of(at_hand.question, at_hand.where) if at_hand else QModelIndex()
        if at.isValid() or self.current() is None:
            self.list.setCurrentIndex(at if at.isValid() else self.model.first())
        self._show_current()
        self.title_changed.emit(self.title())

    def _gone_over(self) -> tuple[Asked, ...]:
        """Ask everything again, or where nothing but answers changed, only join these anew."""
        before, project = self._seen_in, self._document.project
        self._seen_in = project
        others = (name for name in TABLES if name not in ("answers", "accepted", "placement"))
        if before and all(before.table(name) is project.table(name) for name in others):
            return with_answers(self._lines, project)
        return tuple(asked(self._document.study))

    def current(self) -> Asked | None:
        """Give the line at hand."""
        line = self.list.currentIndex().data(LINE)
        return line if isinstance(line, Asked) else None

    def _show_current(self) -> None:
        if self.list.model().rowCount():
            nothing = self.tr("Choose a question to answer it.")
        elif self.wanted.currentData() == "answered":
            nothing = self.tr("Nothing has been answered yet.")
        elif self._document.project.equipment:
            nothing = self.tr("Everything that has to be seen on site has been answered.")
        else:
            nothing = self.tr("What has to be seen on site appears here as the drawing grows.")
        line = self.current()
        edition = self._document.project.settings.edition
        self.page.show_line(line, self.model.place_of(line) if line else "", edition, nothing)

    def _follow_selection(self) -> None:
        key = self._selection.current
        line = self.current()
        if not self._seen or key is None or (line and line.where == key):
            return
        at = self.model.first_about(key)
        if at.isValid():
            self.list.setCurrentIndex(at)

    def _go(self) -> None:
        line = self.current()
        if line is None:
            return
        if record_of(self._document.project, line.where):
            self._selection.go_to(line.where)
        else:
            self._selection.clear()

    # answering --------------------------------------------------------------------------------

    def reply(self, value: Reply) -> None:
        """Answer the question at hand, and go on to the next one where it leaves the list."""
        line = self.current()
        if line and line.stands:
            self._answer(line, value, self.page.written_note())

    def take_back(self) -> None:
        """Have the question at hand open again."""
        line = self.current()
        if line and line.answer:
            self._do(answer_dropped(self._document.project, line.answer))

    def _note(self, note: str) -> None:
        """Keep a note with the answer; on its own it says that somebody looked and can't tell."""
        line = self.current()
        if line and line.stands:
            self._answer(line, line.answer.value if line.answer else "unknown", note)

    def _answer(self, line: Asked, value: Reply, note: str) -> None:
        project, who = self._document.project, self.page.signer()
        self._do(answered(project, line.question, line.where, value, note, who, today()))

    def _do(self, edit: Edit) -> None:
        line, before = self.current(), self.model.keys()
        if line is None or not edit.changes or not self._document.do(edit):
            return
        self.renew()
        at_hand = (line.question, line.where)
        left = set(self.model.keys())
        if at_hand in left:
            return
        # the next line below, or at the end the last one above
        row = before.index(at_hand)
        onward = [*before[row + 1 :], *reversed(before[:row])]
        following = next((key for key in onward if key in left), None)
        if following:
            self.list.setCurrentIndex(self.model.index_of(*following))
        self._show_current()
        self._go()
