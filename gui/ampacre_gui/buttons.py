"""A push button whose words may take several lines."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtWidgets import QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from ampacre_gui.guard import Guarded
from ampacre_gui.phrases import breakable

__all__ = ["WordyButton"]


class WordyButton(Guarded, QPushButton):
    """Takes the height that its words need at the width that it is given.

    `more` gives the tool tip; it is asked only when somebody waits for one.
    """

    def __init__(self, words: str, more: Callable[[], str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._more = more
        self.setAccessibleName(words)
        self._words = words
        self._label = QLabel(breakable(words))
        self._label.setWordWrap(True)
        self._label.setTextFormat(Qt.TextFormat.PlainText)
        self._label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._label.installEventFilter(self)
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 6, 12, 6)
        box.addWidget(self._label)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def words(self) -> str:
        """What the button says."""
        return self._words

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and not self.toolTip():
            self.setToolTip(self._more())
        return super().event(event)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._label.heightForWidth(width - 24) + 14

    def sizeHint(self) -> QSize:
        return QSize(180, self.heightForWidth(180))

    def minimumSizeHint(self) -> QSize:
        return QSize(80, self._label.minimumSizeHint().height() + 14)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            self.updateGeometry()
        return False
