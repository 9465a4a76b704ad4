"""The findings panel: what the rules have to say, gravest first, with what would put it right."""

from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QFont, QGuiApplication, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QTreeWidget,
    QTreeWidgetItem,
    QWidget,
)

from ampacre.rules.review import SEVERITIES, Missing
from ampacre.rules.rule import RULES, Finding
from ampacre_gui.document import Document
from ampacre_gui.flags import flag_icon
from ampacre_gui.guard import Guarded
from ampacre_gui.icons import command_icon
from ampacre_gui.names import element_name, record_of
from ampacre_gui.panels.fields import capital
from ampacre_gui.panels.finding_page import FindingPage
from ampacre_gui.panels.findings_filter import FindingsFilter
from ampacre_gui.panels.findings_text import accepted_words, as_text, counted
from ampacre_gui.panels.halves import lay_out_halves
from ampacre_gui.panels.wrapping import share_width, wrap_column
from ampacre_gui.phrases import filled
from ampacre_gui.selection import Selection

__all__ = ["Findings"]

_KEY = Qt.ItemDataRole.UserRole
_WHERE, _MESSAGE = range(2)
_WIDTHS = {_WHERE: 132}
_PAUSE_MS = 60
_TOP = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


class _List(Guarded, QTreeWidget):
    """Findings under a heading for each severity."""

    go = Signal()
    copy_wanted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setColumnCount(2)
        self.setHeaderHidden(True)
        self.setIndentation(0)
        self.setIconSize(QSize(16, 16))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName(self.tr("Findings"))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        wrap_column(self, _MESSAGE, _WIDTHS)
        self.itemClicked.connect(self._take_click)

    def _take_click(self, item: QTreeWidgetItem) -> None:
        if item.parent() is None:
            item.setExpanded(not item.isExpanded())
        else:
            self.go.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        share_width(self, _WIDTHS)

    def event(self, event: QEvent) -> bool:
        # what is copied here is the finding, and not what is selected on the drawing
        pressed = event if isinstance(event, QKeyEvent) else None
        override = event.type() == QEvent.Type.ShortcutOverride
        if override and pressed and pressed.matches(QKeySequence.StandardKey.Copy):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.go.emit()
        elif event.matches(QKeySequence.StandardKey.Copy):
            self.copy_wanted.emit()
        else:
            super().keyPressEvent(event)


class Findings(QWidget):
    """The list on the left; the finding at hand, with its remedies, on the right."""

    def __init__(
        self, document: Document, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._by_key: dict[object, Finding] = {}
        self._shown: dict[str, list[Finding | Missing]] = {}
        self._folded = {"accepted"}
        # remedies are tried out before they are offered: not while somebody is typing or dragging
        self._page_late = QTimer(self, singleShot=True, interval=_PAUSE_MS)
        self._page_late.timeout.connect(self._show_current)
        self._late = QTimer(self, singleShot=True, interval=0)
        self._late.timeout.connect(self.renew)
        self._selected_anew = False
        self.filter = FindingsFilter()
        self._list = _List()
        self._page = FindingPage(document)
        lay_out_halves(self, self.filter, self._list, self._page)
        self._connect()
        self.renew()

    def _connect(self) -> None:
        self._list.go.connect(self._go)
        self._list.copy_wanted.connect(self._copy_current)
        self._list.currentItemChanged.connect(lambda *_: self._page_late.start())
        self._list.itemExpanded.connect(lambda item: self._fold(item, away=False))
        self._list.itemCollapsed.connect(lambda item: self._fold(item, away=True))
        self.filter.changed.connect(self.renew)
        self.filter.copy_wanted.connect(self._copy_shown)
        self._page.go.connect(self._go)
        self._document.changed.connect(lambda _: self._follow())

    def _follow(self) -> None:
        # the finding at hand may be gone: its page waits for the list
        self._page_late.stop()
        self._late.start()

    # the list ---------------------------------------------------------------------------------

    def renew(self) -> None:
        """Follow the document, keeping the finding at hand where it still exists."""
        self._late.stop()
        review = self._document.review
        at = self._current_key()
        self._by_key = {finding.key: finding for finding in review.findings}
        groups: dict[str, list[Finding | Missing]] = {
            mark: [] for mark in (*SEVERITIES, "accepted", "missing")
        }
        for finding in review.findings:
            accepted = review.accepted(finding) is not None
            groups["accepted" if accepted else finding.severity].append(finding)
        groups["missing"] += review.missing
        self._shown = {}
        self._list.blockSignals(True)
        self._list.clear()
        for mark, members in groups.items():
            if members and self.filter.takes_mark(mark):
                self._add_group(mark, members)
        self._list.blockSignals(False)
        lines = self._items(unfolded=True)
        stays = next((line for line in lines if line.data(0, _KEY) == at), None)
        self._list.setCurrentItem(stays or next(iter(lines), None))  # type: ignore[arg-type]
        if stays is None or self._selected_anew:
            self._selected_anew = False
            self.show_selected()
        self._page_late.start()

    def _add_group(self, mark: str, members: list[Finding | Missing]) -> None:
        project = self._document.project
        told = [(element_name(project, one.where), one, *self._said(one)) for one in members]
        wanted = [each for each in told if self.filter.takes(each[2], f"{each[0]} {each[3]}")]
        if mark != "missing":
            wanted.sort(key=lambda each: each[0])
        self._shown[mark] = [one for _, one, _, _ in wanted]
        top = self._heading(mark, len(members), len(wanted))
        icon = flag_icon(mark)
        for name, one, _, words in wanted:
            item = QTreeWidgetItem(top, [capital(name), words])
            item.setIcon(_WHERE, icon)
            item.setData(0, _KEY, one.key if isinstance(one, Finding) else one.where)
            item.setTextAlignment(_WHERE, _TOP)
            item.setTextAlignment(_MESSAGE, _TOP)

    def _said(self, one: Finding | Missing) -> tuple[str, str]:
        """Give the topic of a finding and its words; what is missing has no topic."""
        if isinstance(one, Missing):
            return "", one.text
        review = self._document.review
        accepted = accepted_words(review, one)
        return RULES[one.rule].topic, "\n".join(filter(None, (review.message(one), accepted)))

    def _heading(self, mark: str, count: int, shown: int) -> QTreeWidgetItem:
        words = capital(counted(mark, count))
        if shown < count:
            words += filled(self.tr(" (%1 shown)"), shown)
        top = QTreeWidgetItem(self._list, [words])
        font = QFont(self.font())
        font.setBold(True)
        top.setFont(0, font)
        top.setData(0, _KEY, mark)
        top.setFirstColumnSpanned(True)
        top.setFlags(Qt.ItemFlag.ItemIsEnabled)
        top.setExpanded(self.filter.is_on or mark not in self._folded)
        self._show_fold(top)
        return top

    def _fold(self, top: QTreeWidgetItem, *, away: bool) -> None:
        (self._folded.add if away else self._folded.discard)(top.data(0, _KEY))
        self._show_fold(top)

    def _show_fold(self, top: QTreeWidgetItem) -> None:
        """Show before a heading whether its lines are folded away."""
        top.setIcon(_WHERE, command_icon("unfolded" if top.isExpanded() else "folded", 16))

    def _items(self, *, unfolded: bool = False) -> list[QTreeWidgetItem]:
        """Give all lines; `unfolded` those that making them current would not unfold first."""
        tops = [self._list.topLevelItem(row) for row in range(self._list.topLevelItemCount())]
        wanted = [top for top in tops if top and (top.isExpanded() or not unfolded)]
        inner = (top.child(row) for top in wanted for row in range(top.childCount()))
        return [item for item in inner if item]

    def _current_key(self) -> object:
        item = self._list.currentItem()
        return item.data(0, _KEY) if item else None

    def show_selected(self) -> None:
        """Bring to hand the gravest finding of what is selected, or else of what feeds it.

        What is missing of it counts as one, the least. Where one of them is at hand already, it stays.
        """
        self._selected_anew = self._late.isActive()
        if self._selected_anew:
            # an edit has come first: its findings are not in the list yet
            return
        current = self._selection.current
        runs = self._document.project.runs.values()
        keys = (current, *(run.id for run in runs if run.target == current)) if current else ()
        at_hand = self._where(self._current_key())
        gravest: dict[object, QTreeWidgetItem] = {}
        for item in self._items(unfolded=True):
            gravest.setdefault(self._where(item.data(0, _KEY)), item)
        for key in keys:
            if at_hand == key:
                return
            if key in gravest:
                self._list.setCurrentItem(gravest[key])
                return

    def _where(self, key: object) -> object:
        """Id of the element that a line is about; a line of what is missing is named by it."""
        finding = self._by_key.get(key)
        return finding.where if finding else key

    def _go(self) -> None:
        where = self._where(self._current_key())
        if isinstance(where, str) and record_of(self._document.project, where):
            self._selection.go_to(where)

    # the finding at hand ----------------------------------------------------------------------

    def _show_current(self) -> None:
        line = self._list.currentItem()
        finding = self._by_key.get(self._current_key())
        if finding is not None:
            self._page.show_finding(finding)
        elif line is not None and line.parent() is not None:
            # a line that is no finding tells what is missing
            words = self.tr(
                "Not checked yet. %1 lacks: %2. Click the line or press Enter to go there."
            )
            self._page.say(filled(words, line.text(_WHERE), line.text(_MESSAGE)))
        elif self._items():
            self._page.say(self.tr("Choose a finding to see what would put it right."))
        elif self.filter.is_on:
            self._page.say(self.tr("No finding fits what is looked for above."))
        elif self._document.project.equipment:
            self._page.say(self.tr("No findings. What the rules can check is in order."))
        else:
            self._page.say(self.tr("Findings appear here as the drawing grows."))

    # copying ----------------------------------------------------------------------------------

    def _copy_shown(self) -> None:
        self._copy({mark: members for mark, members in self._shown.items() if members})

    def _copy_current(self) -> None:
        key = self._current_key()
        finding = self._by_key.get(key)
        for mark, members in self._shown.items():
            if finding is not None and finding in members:
                self._copy({mark: [finding]})

    def _copy(self, groups: dict[str, list[Finding | Missing]]) -> None:
        text = as_text(self._document.project, self._document.review, groups.items())
        if text:
            QGuiApplication.clipboard().setText(text)
