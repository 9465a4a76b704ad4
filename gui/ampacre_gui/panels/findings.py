"""The findings panel: what the rules have to say, gravest first, with what would put it right."""

from functools import partial

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QFont, QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSplitter,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from ampacre.model.edits import new_id, put
from ampacre.model.project import Change, Edit, Refused, StaleEdit
from ampacre.model.records import Accepted
from ampacre.rules.rule import RULES, Finding
from ampacre_gui.buttons import WordyButton
from ampacre_gui.dialogs.accept import ask_reason
from ampacre_gui.document import Document
from ampacre_gui.flags import SEVERITIES, flag_icon
from ampacre_gui.guard import Guarded
from ampacre_gui.names import element_name
from ampacre_gui.panels.fields import capital
from ampacre_gui.panels.wrapping import wrap_column
from ampacre_gui.selection import Selection

__all__ = ["Findings", "counted"]

_KEY = Qt.ItemDataRole.UserRole
_WHERE, _MESSAGE = range(2)
_PAUSE_MS = 60
_TOP = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter

_PLURALS = {
    "violation": ("violation", "violations"),
    "warning": ("warning", "warnings"),
    "ask": ("question to the authority", "questions to the authority"),
    "advice": ("piece of advice", "pieces of advice"),
    "accepted": ("accepted", "accepted"),
    "missing": ("not checked, something is missing", "not checked, something is missing"),
}


def counted(mark: str, count: int) -> str:
    """Give a number with the word for a severity: "2 warnings"."""
    one, many = _PLURALS[mark]
    return f"{count} {one if count == 1 else many}"


class _List(Guarded, QTreeWidget):
    """Findings under a heading for each severity."""

    go = Signal()

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
        wrap_column(self, _MESSAGE, {_WHERE: 132})
        self.itemDoubleClicked.connect(lambda *_: self.go.emit())
        self.itemClicked.connect(self._fold)

    def _fold(self, item: QTreeWidgetItem) -> None:
        if item.parent() is None:
            item.setExpanded(not item.isExpanded())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.go.emit()
            return
        super().keyPressEvent(event)


class Findings(QSplitter):
    """The list on the left; the finding at hand, with its remedies, on the right."""

    def __init__(
        self, document: Document, selection: Selection, parent: QWidget | None = None
    ) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._document = document
        self._selection = selection
        self._by_key: dict[object, Finding] = {}
        # remedies are tried out before they are offered: not while somebody is typing or dragging
        self._page_late = QTimer(self, singleShot=True, interval=_PAUSE_MS)
        self._page_late.timeout.connect(self._show_current)
        self._late = QTimer(self, singleShot=True, interval=0)
        self._late.timeout.connect(self.renew)
        self._list = _List()
        self._list.go.connect(self._go)
        self._list.currentItemChanged.connect(lambda *_: self._page_late.start())
        self._page = QScrollArea()
        self._page.setWidgetResizable(True)
        self._page.setFrameShape(QFrame.Shape.NoFrame)
        self._page.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.addWidget(self._list)
        self.addWidget(self._page)
        self.setStretchFactor(0, 3)
        self.setStretchFactor(1, 2)
        self.setSizes([600, 400])
        self.setChildrenCollapsible(False)
        document.changed.connect(lambda _: self._follow())
        self.renew()

    def _follow(self) -> None:
        # the finding at hand may be gone: its page waits for the list
        self._page_late.stop()
        self._late.start()

    # the list ---------------------------------------------------------------------------------

    def renew(self) -> None:
        """Follow the document, keeping the finding at hand where it still exists."""
        review = self._document.review
        at = self._current_key()
        self._by_key = {finding.key: finding for finding in review.findings}
        groups: dict[str, list[Finding]] = {severity: [] for severity in SEVERITIES}
        groups["accepted"] = []
        for finding in review.findings:
            accepted = review.accepted(finding) is not None
            groups["accepted" if accepted else finding.severity].append(finding)
        self._list.blockSignals(True)
        self._list.clear()
        for mark, findings in groups.items():
            if findings:
                self._add_group(mark, findings)
        self._add_missing()
        self._list.blockSignals(False)
        item = self._item_of(at) or self._first()
        self._list.setCurrentItem(item)  # type: ignore[arg-type]
        self._page_late.start()

    def _add_group(self, mark: str, findings: list[Finding]) -> None:
        top = self._heading(mark, len(findings))
        review, project = self._document.review, self._document.project
        named = [(element_name(project, finding.where), finding) for finding in findings]
        for name, finding in sorted(named, key=lambda pair: pair[0]):
            message = review.message(finding)
            item = QTreeWidgetItem(top, [capital(name), message])
            item.setIcon(_WHERE, flag_icon(mark))
            item.setData(0, _KEY, finding.key)
            item.setTextAlignment(_WHERE, _TOP)
            item.setTextAlignment(_MESSAGE, _TOP)
        top.setExpanded(mark != "accepted")

    def _add_missing(self) -> None:
        missing = self._document.review.missing
        if not missing:
            return
        top = self._heading("missing", len(missing))
        for lack in missing:
            name = capital(element_name(self._document.project, lack.where))
            item = QTreeWidgetItem(top, [name, lack.text])
            item.setIcon(_WHERE, flag_icon("missing"))
            item.setData(0, _KEY, lack.where)

    def _heading(self, mark: str, count: int) -> QTreeWidgetItem:
        top = QTreeWidgetItem(self._list, [capital(counted(mark, count))])
        font = QFont(self.font())
        font.setBold(True)
        top.setFont(0, font)
        top.setFirstColumnSpanned(True)
        top.setFlags(Qt.ItemFlag.ItemIsEnabled)
        top.setExpanded(mark != "missing")
        return top

    def _items(self) -> list[QTreeWidgetItem]:
        tops = (self._list.topLevelItem(row) for row in range(self._list.topLevelItemCount()))
        inner = (top.child(row) for top in tops if top for row in range(top.childCount()))
        return [item for item in inner if item]

    def _item_of(self, key: object) -> QTreeWidgetItem | None:
        if key is None:
            return None
        return next((item for item in self._items() if item.data(0, _KEY) == key), None)

    def _first(self) -> QTreeWidgetItem | None:
        return next(iter(self._items()), None)

    def _current_key(self) -> object:
        item = self._list.currentItem()
        return item.data(0, _KEY) if item else None

    def show_of(self, key: str) -> bool:
        """Bring the gravest finding of an element to hand; tells whether it has one."""
        for item in self._items():
            finding = self._by_key.get(item.data(0, _KEY))
            if finding is not None and finding.where == key:
                self._list.setCurrentItem(item)
                return True
        return False

    def _go(self) -> None:
        key = self._current_key()
        finding = self._by_key.get(key)
        where = finding.where if finding else key
        if isinstance(where, str) and where != "project":
            self._selection.go_to(where)

    # the finding at hand ----------------------------------------------------------------------

    def _show_current(self) -> None:
        finding = self._by_key.get(self._current_key())
        if finding is not None:
            self._page.setWidget(self._told(finding))
            return
        if self._items():
            words = self.tr("Choose a finding to see what would put it right.")
        elif self._document.project.equipment:
            words = self.tr("No findings. What the rules can check is in order.")
        else:
            words = self.tr("Findings appear here as the drawing grows.")
        label = QLabel(words)
        label.setWordWrap(True)
        label.setAlignment(Qt.AlignmentFlag.AlignTop)
        label.setContentsMargins(12, 10, 12, 10)
        self._page.setWidget(label)

    def _told(self, finding: Finding) -> QWidget:
        review = self._document.review
        page = QWidget()
        box = QVBoxLayout(page)
        box.setContentsMargins(12, 8, 12, 8)
        box.setSpacing(6)
        rule = RULES[finding.rule]
        title = _wrapped(rule.title)
        font = QFont(self.font())
        font.setBold(True)
        title.setFont(font)
        box.addWidget(title)
        source = _wrapped(review.cite(finding))
        source.setObjectName("quiet")
        box.addWidget(source)
        accepted = review.accepted(finding)
        if accepted is not None:
            box.addWidget(_wrapped(self.tr("Accepted: ") + accepted.reason))
        else:
            for edit in self._remedies(finding):
                box.addWidget(self._remedy_button(edit))
        box.addLayout(self._lower_buttons(finding, accepted))
        if rule.explanation:
            explanation = _wrapped(rule.explanation)
            explanation.setObjectName("quiet")
            box.addWidget(explanation)
        box.addStretch(1)
        return page

    def _remedies(self, finding: Finding) -> tuple[Edit, ...]:
        return tuple(self._document.review.remedies(finding))

    def _remedy_button(self, edit: Edit) -> QPushButton:
        button = WordyButton(edit.label, partial(self._after, edit))
        button.setObjectName("remedy")
        button.clicked.connect(partial(self._apply, edit))
        return button

    def _after(self, edit: Edit) -> str:
        """Say what stands after a remedy, before it is applied."""
        try:
            _, review = self._document.preview(edit)
        except (Refused, StaleEdit) as error:
            return str(error)
        after = {finding.key for finding in review.findings}
        before = set(self._by_key)
        return (
            self.tr("Clears %1, raises %2 new")
            .replace("%1", str(len(before - after)))
            .replace("%2", str(len(after - before)))
        )

    def _lower_buttons(self, finding: Finding, accepted: Accepted | None) -> QHBoxLayout:
        line = QHBoxLayout()
        if finding.where != "project":
            go = QPushButton(self.tr("Show on drawing"))
            go.clicked.connect(self._go)
            line.addWidget(go)
        if accepted is None:
            accept = QPushButton(self.tr("Accept\u2026"))
            accept.setToolTip(self.tr("Keep it as it is and say why"))
            accept.clicked.connect(partial(self._accept, finding))
        else:
            accept = QPushButton(self.tr("Take acceptance back"))
            accept.clicked.connect(partial(self._reject, accepted))
        line.addWidget(accept)
        line.addStretch(1)
        return line

    def _apply(self, edit: Edit) -> None:
        self._document.do(edit)

    def _accept(self, finding: Finding) -> None:
        told = ask_reason(self._document.review.message(finding), self)
        if told is None:
            return
        accepted = Accepted(
            id=new_id(), rule=finding.rule, where=finding.where, about=finding.about,
            reason=told.reason, who=told.who, when=told.when,
        )  # fmt: skip
        name = element_name(self._document.project, finding.where)
        self._document.do(put(f"Accept a finding at {name}", "accepted", accepted))

    def _reject(self, accepted: Accepted) -> None:
        label = self.tr("Take an acceptance back")
        self._document.do(Edit(label, (Change("accepted", accepted.id, accepted, None),)))


def _wrapped(text: str) -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
