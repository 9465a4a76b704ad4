"""The canvas: shows the drawing, zooms and pans it, and turns pointer and keys into gestures."""

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
)
from PySide6.QtWidgets import QWidget

from ampacre.sheets.badges import Badge
from ampacre_gui.canvas.gestures.band import Band
from ampacre_gui.canvas.gestures.feed import Feed
from ampacre_gui.canvas.gestures.gesture import Gesture
from ampacre_gui.canvas.gestures.pan import Pan
from ampacre_gui.canvas.gestures.place import Place
from ampacre_gui.canvas.gestures.refeed import Refeed
from ampacre_gui.canvas.gestures.shift import Shift
from ampacre_gui.canvas.ghost import Bubble, Ghost
from ampacre_gui.canvas.painter import level_of
from ampacre_gui.canvas.showing import Showing
from ampacre_gui.consequences import Consequences
from ampacre_gui.document import Document, Published
from ampacre_gui.dragging import kind_in
from ampacre_gui.intents import Intent
from ampacre_gui.selection import Selection
from ampacre_gui.walking import Way, step

__all__ = ["View"]

_CLICK_PX = 4
_REACH_PX = 8
_EDGE_PX = 24


class View(Showing):
    """A view of one document's drawing that takes pointer and keys."""

    hint = Signal(str)
    """What is under way, for the status bar; empty when it is over."""
    menu_wanted = Signal(QPoint)
    details_wanted = Signal()
    number_wanted = Signal(str)
    """The working of a number is asked for, named by its field."""

    def __init__(
        self,
        document: Document,
        selection: Selection,
        badge: Badge = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(document, selection, badge, parent)
        self.setObjectName("canvas")
        self.setAccessibleName(self.tr("Drawing"))
        self.setAcceptDrops(True)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.ghost = Ghost(self.viewport())
        self._bubble = Bubble(self.viewport())
        self._consequences = Consequences(document)
        self._gesture: Gesture | None = None
        self._pressed: QMouseEvent | None = None
        self._space = False
        self._pointer: QPoint | None = None
        self.zoom_changed.connect(self._hover_again)
        self.refresh()

    def follow(self, news: Published) -> None:
        # what is under way was begun on a drawing that is no more
        self.cancel_gesture()
        super().follow(news)

    # pointer ----------------------------------------------------------------------------------

    def element_at(self, at: QPoint) -> str:
        """Id of what is at a point of the viewport or a few pixels beside it."""
        spot = self.mapToScene(at)
        return self.drawing.element_at(spot) or self.drawing.element_at(
            spot, _REACH_PX / self.px_per_unit
        )

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = event.position().toPoint()
        middle = event.button() == Qt.MouseButton.MiddleButton
        if middle or (self._space and event.button() == Qt.MouseButton.LeftButton):
            self._begin(Pan(self, at))
        elif event.button() == Qt.MouseButton.LeftButton:
            self._pressed = event.clone()
        elif event.button() == Qt.MouseButton.RightButton:
            key = self.element_at(at)
            if key not in self.selection:
                self.selection.set((key,) if key else ())
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        at = event.position().toPoint()
        if self._gesture is None and self._pressed is not None:
            start = self._pressed.position().toPoint()
            if (at - start).manhattanLength() < _CLICK_PX:
                return
            self._begin(self._drag_from(self._pressed))
        if self._gesture is not None:
            self._scroll_at_edge(at)
            self._gesture.move(at)
            return
        self._pointer = at
        self._hover(at)

    def _drag_from(self, press: QMouseEvent) -> Gesture:
        start = press.position().toPoint()
        spot = self.mapToScene(start)
        handle = self.drawing.handle.key_at(spot, self.px_per_unit)
        if handle:
            feed = Feed(self, start)
            feed.source = handle
            return feed
        run = self.drawing.supply_end.key_at(spot, self.px_per_unit)
        if run:
            refeed = Refeed(self, start)
            refeed.run = run
            return refeed
        key = self.element_at(start)
        if key in self.document.project.equipment:
            if key not in self.selection:
                self.selection.only(key)
            return Shift(self, start)
        band = Band(self, start)
        band.adding = bool(press.modifiers() & _ADDING)
        return band

    def _begin(self, gesture: Gesture) -> None:
        self._gesture = gesture
        self.viewport().setCursor(gesture.pointer)

    def _hover(self, at: QPoint) -> None:
        spot = self.mapToScene(at)
        over_handle = self.drawing.handle.key_at(spot, self.px_per_unit)
        self.drawing.handle.light(on=bool(over_handle))
        over_end = "" if over_handle else self.drawing.supply_end.key_at(spot, self.px_per_unit)
        self.drawing.supply_end.light(on=bool(over_end))
        key = over_handle or over_end or self.element_at(at)
        self.drawing.hover(key)
        run = key if key in self.document.project.runs else ""
        current = self.selection.current or ""
        near_end, near_handle = self._grips_near(spot)
        self.drawing.offer_supply_end(run or near_end or current)
        self.drawing.offer_handle(self.with_handle(key) or near_handle or self.with_handle(current))
        if over_handle:
            self.hint.emit(self.tr("Drag to the piece that this one shall feed"))
        elif over_end:
            self.hint.emit(self.tr("Drag to the piece that shall feed this run instead"))
        elif self.drawing.folded_at(spot):
            self.hint.emit(self.tr("Click to show what hangs below"))
        elif self._number_at(key, spot):
            self.hint.emit(self.tr("Click to see how this number is worked out"))
        else:
            self.hint.emit("")

    def _grips_near(self, spot: QPointF) -> tuple[str, str]:
        """Whose grips stay while the pointer is on its way to them."""
        grips = (self.drawing.supply_end, self.drawing.handle)
        end, handle = (
            grip.key if grip.area(self.px_per_unit).contains(spot) else "" for grip in grips
        )
        return end, handle

    def _hover_again(self) -> None:
        """Follow what has come to lie under a pointer that rests."""
        if self._pointer is not None and self._gesture is None:
            self._hover(self._pointer)

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        super().scrollContentsBy(dx, dy)
        self._hover_again()

    def _number_at(self, key: str, spot: QPointF) -> str:
        """Field of a number that is written at a point, "" where none can be read."""
        field = self.drawing.field_at(key, spot)
        return field if field != "name" and level_of(self.px_per_unit) == "near" else ""

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        at = event.position().toPoint()
        gesture, pressed = self._gesture, self._pressed
        self._pressed = None
        if gesture is not None:
            self._end()
            gesture.finish(at)
        elif pressed is not None and event.button() == Qt.MouseButton.LeftButton:
            self._click(at, event.modifiers())

    def _click(self, at: QPoint, modifiers: Qt.KeyboardModifier) -> None:
        key = self.element_at(at)
        folded = self.drawing.folded_at(self.mapToScene(at))
        if folded:
            self.selection.only(folded)
            self.fold(folded)
        elif modifiers & Qt.KeyboardModifier.ControlModifier:
            if key:
                self.selection.toggle(key)
        elif modifiers & Qt.KeyboardModifier.ShiftModifier:
            if key:
                self.selection.add((key,))
        else:
            self.selection.set((key,) if key else ())
            field = self._number_at(key, self.mapToScene(at))
            if field:
                self.number_wanted.emit(field)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if self.element_at(event.position().toPoint()):
            self.details_wanted.emit()

    def leaveEvent(self, event: QEvent) -> None:
        self.forget_pointer()
        super().leaveEvent(event)

    def forget_pointer(self) -> None:
        """The pointer is over something else now."""
        self._pointer = None
        self.drawing.hover("")
        self.hint.emit("")

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        at, current = event.globalPos(), self.selection.current or ""
        if event.reason() == QContextMenuEvent.Reason.Keyboard and self.drawing.item(current):
            selected = self.point_of(current).toPoint()
            if self.viewport().rect().contains(selected):
                at = self.viewport().mapToGlobal(selected)
        self.menu_wanted.emit(at)

    def _scroll_at_edge(self, at: QPoint) -> None:
        if isinstance(self._gesture, Pan):
            return
        area = self.viewport().rect().adjusted(_EDGE_PX, _EDGE_PX, -_EDGE_PX, -_EDGE_PX)
        across = min(at.x() - area.left(), 0) + max(at.x() - area.right(), 0)
        down = min(at.y() - area.top(), 0) + max(at.y() - area.bottom(), 0)
        if across or down:
            self.scroll_by(QPoint(across, down))

    # gestures ---------------------------------------------------------------------------------

    def _end(self) -> None:
        self._gesture = None
        self.viewport().unsetCursor()
        self.show_selection()

    def cancel_gesture(self) -> None:
        """Give up what is under way; everything is as it was before it began."""
        gesture, self._pressed = self._gesture, None
        if gesture is not None:
            self._end()
            gesture.cancel()

    def tell(self, intent: Intent, at: QPoint) -> None:
        """Say beside the pointer what letting go would do."""
        words = self._consequences.words(intent)
        self._bubble.say(words, at)
        self.hint.emit(intent.words)

    def clear_ghost(self) -> None:
        self.ghost.hide()
        self._bubble.hide()
        self.hint.emit("")

    def carry_out(self, intent: Intent) -> None:
        """Do what a gesture means and select what came of it."""
        if intent.edit is None:
            self.document.trouble.emit(intent.words)
        elif self.document.do(intent.edit):
            # a hand that draws keeps its zoom
            self.selection.only(intent.selects)
            self.bring_in(intent.selects)

    # from the drawer --------------------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        dragged = kind_in(event.mimeData())
        if dragged is None:
            event.ignore()
            return
        place = Place(self, event.position().toPoint())
        place.kind, place.existing = dragged
        self.drawing.hover("")
        self.drawing.offer_handle("")
        self._begin(place)
        event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        if isinstance(self._gesture, Place):
            self._scroll_at_edge(event.position().toPoint())
            self._gesture.move(event.position().toPoint())
            event.acceptProposedAction()

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self.cancel_gesture()

    def dropEvent(self, event: QDropEvent) -> None:
        gesture = self._gesture
        if isinstance(gesture, Place):
            self._end()
            gesture.finish(event.position().toPoint())
            event.acceptProposedAction()
            self.details_wanted.emit()

    # keys -------------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride and self._gesture is not None:
            assert isinstance(event, QKeyEvent)
            if event.key() == Qt.Key.Key_Escape:
                # what is under way is given up, and the selection stays
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if key == Qt.Key.Key_Escape:
            self.cancel_gesture()
        elif key == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = True
            self.viewport().setCursor(Qt.CursorShape.OpenHandCursor)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.selection.ids:
            self.details_wanted.emit()
        elif key == Qt.Key.Key_Home:
            self.fit()
        elif key in _WAYS and not event.modifiers() & Qt.KeyboardModifier.AltModifier:
            reached = step(self.document.study, self.selection.current, _WAYS[key])
            if reached:
                self.selection.go_to(reached)
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            if self._gesture is None:
                self.viewport().unsetCursor()
        super().keyReleaseEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self._space = False
        super().focusOutEvent(event)


_ADDING = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
_WAYS: dict[int, Way] = {
    Qt.Key.Key_Up: "up",
    Qt.Key.Key_Down: "down",
    Qt.Key.Key_Left: "before",
    Qt.Key.Key_Right: "after",
}
