"""The panels around the drawing, each in a dock that can be moved, closed and shown again."""

from collections.abc import Iterator
from typing import Protocol, runtime_checkable

from PySide6.QtCore import QChildEvent, QEvent, QObject, QSize, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QDockWidget, QMainWindow, QTabBar, QTabWidget, QWidget

from ampacre_gui.dialogs.panel_help import DRAWING
from ampacre_gui.guard import Guarded

__all__ = ["Docks"]

_AREAS = Qt.DockWidgetArea
_WIDE = 1100
"""In windows narrower than this the panels beside the drawing begin narrower too."""
_NARROW = 800
"""In windows narrower than this all of them begin on one side of it, behind each other."""


@runtime_checkable
class _Watching(Protocol):
    """A panel that does its work only while it can be seen."""

    def watch(self, seen: bool) -> None: ...


class Docks(Guarded, QObject):
    """Docks by the names of their panels."""

    def __init__(self, window: QMainWindow, drawing: QWidget) -> None:
        super().__init__(window)
        self._window = window
        self._drawing = drawing
        self._docks: dict[str, QDockWidget] = {}
        window.setDockNestingEnabled(True)
        window.setDocumentMode(True)
        window.setTabPosition(_AREAS.AllDockWidgetAreas, QTabWidget.TabPosition.North)
        for corner, area in (
            (Qt.Corner.BottomLeftCorner, _AREAS.LeftDockWidgetArea),
            (Qt.Corner.BottomRightCorner, _AREAS.RightDockWidgetArea),
        ):
            window.setCorner(corner, area)
        window.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        # Qt makes the bars with the tabs of docks by itself, and anew when docks are moved
        if isinstance(event, QChildEvent) and event.type() == QEvent.Type.ChildPolished:
            bar = event.child()
            if isinstance(bar, QTabBar):
                bar.setAccessibleName(self.tr("Panels"))
                # whole names to scroll through say more than many that are cut
                bar.setElideMode(Qt.TextElideMode.ElideNone)
        return False

    def add(self, name: str, title: str, panel: QWidget, area: Qt.DockWidgetArea) -> QDockWidget:
        """Put a panel into a dock of its own, and tell it whenever it comes into sight or goes."""
        dock = QDockWidget(title, self._window)
        dock.setObjectName(name)
        dock.setWidget(panel)
        self._window.addDockWidget(area, dock)
        self._docks[name] = dock
        if isinstance(panel, _Watching):
            # a panel behind another tab is visible to Qt, but not to anybody who looks
            dock.visibilityChanged.connect(panel.watch)
        return dock

    def share(self, *names: str) -> None:
        """Have docks lie behind each other, the first one in front."""
        first = self._docks[names[0]]
        for name in names:
            # the tab says already what it is
            self._docks[name].setTitleBarWidget(QWidget(self._docks[name]))
            if name != names[0]:
                self._window.tabifyDockWidget(first, self._docks[name])
        first.raise_()

    def __getitem__(self, name: str) -> QDockWidget:
        return self._docks[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._docks)

    def show(self, name: str) -> None:
        """Bring a panel to the front."""
        self._docks[name].show()
        self._docks[name].raise_()

    def go_to(self, name: str) -> None:
        """Bring a panel to the front and give it the keyboard."""
        self.show(name)
        self._docks[name].widget().setFocus()

    def toggles(self) -> list[QAction]:
        """Give the actions that show and hide each panel."""
        return [dock.toggleViewAction() for dock in self._docks.values()]

    def arrange(self, room: QSize) -> None:
        """Give each side of the drawing what suits a window of this size."""
        resize, docks = self._window.resizeDocks, self._docks
        if room.width() < _NARROW:
            self._window.addDockWidget(_AREAS.LeftDockWidgetArea, docks["details"])
            self.share("drawer", "outline", "details", "history")
            resize([docks["drawer"]], [room.width() * 2 // 5], Qt.Orientation.Horizontal)
        else:
            beside = [272, 324] if room.width() >= _WIDE else [216, 312]
            resize([docks["drawer"], docks["details"]], beside, Qt.Orientation.Horizontal)
            resize([docks["drawer"], docks["outline"]], [370, 260], Qt.Orientation.Vertical)
        below = min(224, room.height() * 2 // 5)
        resize([docks["findings"]], [below], Qt.Orientation.Vertical)

    def panel_in_use(self) -> tuple[str, str]:
        """Give name and title of the panel that has the keyboard, else of the drawing."""
        focus = QApplication.focusWidget()
        for name, dock in self._docks.items():
            if focus is not None and dock.isAncestorOf(focus):
                return name, dock.windowTitle()
        return DRAWING, self.tr("Drawing")

    def step(self, direction: int) -> None:
        """Give the keyboard to the next pane that is seen, the drawing among them, or the last."""
        panes = [self._drawing, *(dock.widget() for dock in self._docks.values())]
        seen = [pane for pane in panes if pane and pane.isVisible()]
        focus = QApplication.focusWidget()
        here = (pane for pane in seen if focus and (pane is focus or pane.isAncestorOf(focus)))
        at = seen.index(next(here, seen[0]))
        pane = seen[(at + direction) % len(seen)]
        dock = pane.parentWidget()
        if isinstance(dock, QDockWidget):
            # it may lie behind another tab
            dock.raise_()
        (pane.focusProxy() or pane).setFocus(Qt.FocusReason.TabFocusReason)
