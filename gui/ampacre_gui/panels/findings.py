"""The findings panel: what the rules have to say, gravest first, with what would put it right."""

from operator import attrgetter

from PySide6.QtCore import QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from ampacre.rules.review import SEVERITIES
from ampacre.rules.rule import RULES, Finding
from ampacre_gui.document import Document
from ampacre_gui.names import record_of
from ampacre_gui.panels.fields import capital
from ampacre_gui.panels.finding_page import FindingPage
from ampacre_gui.panels.findings_filter import FindingsFilter
from ampacre_gui.panels.findings_model import FindingsModel, Told
from ampacre_gui.panels.findings_teller import Teller
from ampacre_gui.panels.findings_text import as_text, counted
from ampacre_gui.panels.findings_view import FindingsView
from ampacre_gui.panels.halves import lay_out_halves
from ampacre_gui.panels.headed_model import NOWHERE, Heading
from ampacre_gui.phrases import filled
from ampacre_gui.selection import Selection

__all__ = ["Findings"]

_PAUSE_MS = 60


class Findings(QWidget):
    """The list on the left; the finding at hand, with its remedies, on the right.

    It follows the document only while it can be seen.
    """

    def __init__(
        self, document: Document, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        # remedies are tried out before they are offered: not while somebody is typing or dragging
        self._page_late = QTimer(self, singleShot=True, interval=_PAUSE_MS)
        self._page_late.timeout.connect(self._show_current)
        self._late = QTimer(self, singleShot=True, interval=0)
        self._late.timeout.connect(self.renew)
        self._selected_anew = False
        self._seen, self._stale = False, True
        self._teller = Teller()
        self.filter = FindingsFilter()
        self.model = FindingsModel(self)
        self.list = FindingsView(self.model)
        self._page = FindingPage(document)
        lay_out_halves(self, self.filter, self.list, self._page)
        self._connect()

    def _connect(self) -> None:
        self.list.go.connect(self._go)
        self.list.copy_wanted.connect(self._copy_current)
        self.list.selectionModel().currentChanged.connect(lambda *_: self._page_late.start())
        self.filter.changed.connect(self.renew)
        self.filter.copy_wanted.connect(self._copy_shown)
        self._page.go.connect(self._go)
        self._document.changed.connect(lambda _: self._follow())

    def _follow(self) -> None:
        # the finding at hand may be gone: its page waits for the list
        self._page_late.stop()
        self._stale = True
        if self._seen:
            self._late.start()

    def watch(self, seen: bool) -> None:
        """Take notice of whether anybody can see the panel; behind another tab it costs nothing."""
        self._seen = seen
        if seen and self._stale:
            self.renew()

    # the list ---------------------------------------------------------------------------------

    def renew(self) -> None:
        """Follow the document, keeping the finding at hand where it still exists."""
        self._late.stop()
        self._stale = False
        at_hand = self.current()
        self.model.take(self._headings())
        self.list.suit(len(self.model.lines()))
        self.list.open_all(self.filter.is_on)
        lines = self.list.unfolded()
        stays = next((line for line in lines if at_hand and line.key == at_hand.key), None)
        self._bring_to_hand(stays or next(iter(lines), None))
        if stays is None or self._selected_anew:
            self._selected_anew = False
            self.show_selected()
        self._page_late.start()

    def _headings(self) -> list[Heading[Told]]:
        groups: dict[str, list[Told]] = {mark: [] for mark in (*SEVERITIES, "accepted", "missing")}
        for line in self._teller.tell(self._document.review):
            groups[line.mark].append(line)
        return [
            self._heading(mark, told)
            for mark, told in groups.items()
            if told and self.filter.takes_mark(mark)
        ]

    def _heading(self, mark: str, told: list[Told]) -> Heading[Told]:
        shown = [line for line in told if self._is_wanted(line)] if self.filter.is_on else told
        if mark != "missing":
            shown.sort(key=attrgetter("name"))
        title = capital(counted(mark, len(told)))
        if len(shown) < len(told):
            title += filled(self.tr(" (%1 shown)"), len(shown))
        return Heading(mark, title, shown)

    def _is_wanted(self, line: Told) -> bool:
        topic = RULES[line.one.rule].topic if isinstance(line.one, Finding) else ""
        return self.filter.takes(topic, f"{line.name} {line.words}")

    def _bring_to_hand(self, line: Told | None) -> None:
        self.list.setCurrentIndex(next(self.model.found(lambda one: one is line), NOWHERE))

    def current(self) -> Told | None:
        """Give the line at hand."""
        return self.model.line_at(self.list.currentIndex())

    def show_selected(self) -> None:
        """Bring to hand the gravest finding of what is selected, or else of what feeds it.

        What is missing of it counts as one, the least. Where one of them is at hand already, it
        stays.
        """
        self._selected_anew = self._stale
        if self._stale:
            # an edit has come first: its findings are not in the list yet
            return
        selected = self._selection.current
        runs = self._document.project.runs.values()
        keys = (selected, *(run.id for run in runs if run.target == selected)) if selected else ()
        line = self.current()
        gravest: dict[str, Told] = {}
        for told in self.list.unfolded():
            gravest.setdefault(told.one.where, told)
        for key in keys:
            if line is not None and line.one.where == key:
                return
            if key in gravest:
                self._bring_to_hand(gravest[key])
                return

    def _go(self) -> None:
        line = self.current()
        if line is not None and record_of(self._document.project, line.one.where):
            self._selection.go_to(line.one.where)

    # the finding at hand ----------------------------------------------------------------------

    def _show_current(self) -> None:
        line = self.current()
        if line is not None and isinstance(line.one, Finding):
            self._page.show_finding(line.one)
        elif line is not None:
            # a line that is no finding tells what is missing
            words = self.tr("Not checked yet.\n%1: %2\nClick the line or press Enter to go there.")
            self._page.say(filled(words, line.name, line.words))
        elif self.model.lines():
            self._page.say(self.tr("Choose a finding to see what would put it right."))
        elif self.filter.is_on:
            self._page.say(self.tr("No finding fits what is looked for above."))
        elif self._document.project.equipment:
            self._page.say(self.tr("No findings. What the rules can check is in order."))
        else:
            self._page.say(self.tr("Findings appear here as the drawing grows."))

    # copying ----------------------------------------------------------------------------------

    def _copy_shown(self) -> None:
        self._copy({heading.key: heading.lines for heading in self.model.headings})

    def _copy_current(self) -> None:
        line = self.current()
        if line is not None and isinstance(line.one, Finding):
            self._copy({line.mark: [line]})

    def _copy(self, groups: dict[str, list[Told]]) -> None:
        found = [(mark, [line.one for line in lines]) for mark, lines in groups.items() if lines]
        text = as_text(self._document.project, self._document.review, found)
        if text:
            QGuiApplication.clipboard().setText(text)
