"""The foot of the window: what is open in the project, how far the work is, and its end."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QWidget

from ampacre.rules.review import Review
from ampacre.sheets.making import Chapters, Made
from ampacre_gui.flags import flag_icon
from ampacre_gui.panels.findings_text import counted
from ampacre_gui.phrases import filled

__all__ = ["Foot"]

_MARK_PX = 18


class Foot(QWidget):
    cancel_wanted = Signal()
    close_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._mark, self._words = QLabel(), QLabel()
        self._words.setWordWrap(True)
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._severity = "fine"
        self.progress = QProgressBar()
        self.progress.setAccessibleName(self.tr("Progress"))
        self.progress.setFixedWidth(220)
        self.cancel = QPushButton(self.tr("&Cancel"))
        self.cancel.clicked.connect(self.cancel_wanted)
        close = QPushButton(self.tr("C&lose"))
        close.clicked.connect(self.close_wanted)
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addWidget(self._mark)
        box.addWidget(self._words, 1)
        box.addWidget(self.progress)
        box.addWidget(self.cancel)
        box.addWidget(close)
        self.end()

    @property
    def words(self) -> str:
        """What is said of the project's findings."""
        return self._words.text()

    def say_open(self, review: Review, printed_on: Sequence[str], all_checked: bool) -> None:
        """Say how much is open, and which sheets print it, where they are there."""
        standing = [finding.severity for finding in review.standing]
        counts = {mark: standing.count(mark) for mark in ("violation", "warning")}
        graver = [mark for mark, count in counts.items() if count]
        self._severity = graver[0] if graver else "fine"
        words = self.tr("No violation and no warning is open.")
        if not graver and review.missing:
            self._severity = "missing"
            unchecked = counted("missing", len(review.missing))
            words = filled(self.tr("No violation and no warning is open; %1."), unchecked)
        if graver:
            said = [counted(mark, counts[mark]) for mark in graver]
            words = filled(self.tr("Open: %1."), self.tr(" and ").join(said))
            if printed_on:
                words += " " + self._said_of(printed_on, all_checked)
        self._words.setText(words)
        self.draw_icons()

    def _said_of(self, printed_on: Sequence[str], all_checked: bool) -> str:
        first, last = printed_on[0], printed_on[-1]
        span = first if first == last else filled(self.tr("%1 to %2"), first, last)
        if all_checked:
            return filled(self.tr("The set prints them on %1."), span)
        return filled(self.tr("Not all of %1, which print them, are checked."), span)

    def draw_icons(self) -> None:
        self._mark.setPixmap(flag_icon(self._severity, _MARK_PX).pixmap(_MARK_PX, _MARK_PX))

    def begin(self) -> None:
        """Work begins, of which nothing is known yet."""
        self.progress.setRange(0, 0)
        self.progress.setFormat("")
        self._show_work(True)

    def tell(self, news: Chapters | Made) -> None:
        words = (
            self.tr("%1 of %2 chapters")
            if isinstance(news, Chapters)
            else self.tr("%1 of %2 sheets")
        )
        self.progress.setRange(0, news.of)
        self.progress.setValue(news.done)
        self.progress.setFormat(filled(words, news.done, news.of))

    def end(self) -> None:
        self._show_work(False)

    def _show_work(self, busy: bool) -> None:
        self.progress.setVisible(busy)
        self.cancel.setVisible(busy)
