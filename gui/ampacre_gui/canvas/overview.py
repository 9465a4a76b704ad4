"""A small map of the whole drawing in a corner of the canvas, with a frame about what is in view."""

from PySide6.QtCore import (
    QEvent,
    QObject,
    QPoint,
    QPointF,
    QRect,
    QRectF,
    QSettings,
    QSize,
    Qt,
    QTimer,
)
from PySide6.QtGui import (
    QColor,
    QEnterEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
)
from PySide6.QtWidgets import QWidget

from ampacre_gui.canvas.view import View
from ampacre_gui.guard import Guarded
from ampacre_gui.look import look

__all__ = ["Overview"]

_MOST = QSize(210, 130)
_ROOM = QSize(540, 290)
"""On a canvas no larger than this it would hide too much of the drawing."""
_LEAST_PX = 26
_PAD_PX, _GAP_PX = 6, 10
_KEY = "overview"
_STEPS = {
    Qt.Key.Key_Left: QPointF(-0.25, 0),
    Qt.Key.Key_Right: QPointF(0.25, 0),
    Qt.Key.Key_Up: QPointF(0, -0.25),
    Qt.Key.Key_Down: QPointF(0, 0.25),
}


class Overview(Guarded, QWidget):
    """Dragging in it moves the view. It hides itself where all of the drawing is in view."""

    def __init__(self, view: View) -> None:
        super().__init__(view.viewport())
        self._view = view
        self._picture: QPixmap | None = None
        self._stale = False
        self._wanted = QSettings().value(_KEY, True, type=bool)
        self.setAccessibleName(self.tr("Overview"))
        self.setToolTip(self.tr("Drag to move over the drawing"))
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.ArrowCursor)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._renew)
        view.viewport().installEventFilter(self)
        view.drawing.redrawn.connect(self._forget)
        view.gliding.settled.connect(self._look_again)
        view.zoom_changed.connect(self._look_again)
        view.selection.changed.connect(self._look_again)
        for bar in (view.horizontalScrollBar(), view.verticalScrollBar()):
            bar.valueChanged.connect(self._look_again)
        self._renew()

    def _look_again(self) -> None:
        self._soon.start()

    @property
    def wanted(self) -> bool:
        """Whether it is shown where it is of use."""
        return bool(self._wanted)

    def want(self, wanted: bool) -> None:
        """Switch it on or off; that is remembered."""
        self._wanted = wanted
        QSettings().setValue(_KEY, wanted)
        self._renew()

    def follow_look(self) -> None:
        """Take up the colours of the desktop."""
        self._forget()

    def _forget(self) -> None:
        self._stale = True
        self._soon.start()

    def _renew(self) -> None:
        """Show the map in its corner, or hide it where it would tell nothing."""
        drawn = self._view.drawing.drawn
        seen = self._view.visible_area()
        room = self._view.viewport().rect()
        roomy = room.width() > _ROOM.width() and room.height() > _ROOM.height()
        self.setVisible(self.wanted and roomy and not drawn.isEmpty() and not seen.contains(drawn))
        if self.isHidden():
            return
        size = drawn.size().scaled(_MOST, Qt.AspectRatioMode.KeepAspectRatio).toSize()
        size = size.expandedTo(QSize(_LEAST_PX, _LEAST_PX)) + QSize(2 * _PAD_PX, 2 * _PAD_PX)
        if size != self.size():
            self._picture = None
            self.resize(size)
        self._take_corner(room)
        self.update()

    def _take_corner(self, room: QRect) -> None:
        """Take the corner that hides least of the current piece, the lower right one if it may."""
        free = room.adjusted(_GAP_PX, _GAP_PX, -_GAP_PX, -_GAP_PX)
        right, low = free.right() - self.width() + 1, free.bottom() - self.height() + 1
        item = self._view.drawing.item(self._view.selection.current or "")
        kept = self._view.mapFromScene(item.core).boundingRect() if item else QRect()

        def hidden(corner: QPoint) -> int:
            over = QRect(corner, self.size()) & kept
            return over.width() * over.height()

        self.move(
            min((QPoint(x, y) for y in (low, free.top()) for x in (right, free.left())), key=hidden)
        )

    # where things are on it ---------------------------------------------------------------------

    @property
    def _scale(self) -> float:
        drawn = self._view.drawing.drawn
        room = self.size() - QSize(2 * _PAD_PX, 2 * _PAD_PX)
        return min(room.width() / drawn.width(), room.height() / drawn.height())

    def _to_map(self, area: QRectF) -> QRectF:
        off = area.topLeft() - self._view.drawing.drawn.center()
        middle = QRectF(self.rect()).center()
        return QRectF(middle + off * self._scale, area.size() * self._scale)

    def _to_scene(self, at: QPointF) -> QPointF:
        middle = QRectF(self.rect()).center()
        return self._view.drawing.drawn.center() + (at - middle) / self._scale

    def frame(self) -> QRectF:
        """Where the part of the drawing that is in view lies on the map."""
        inside = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
        return self._to_map(self._view.visible_area()) & inside

    # painting -----------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        # what glides is drawn when it has come to rest; until then the map is as it was
        if self._picture is None or (self._stale and not self._view.gliding.under_way):
            self._stale = self._view.gliding.under_way
            self._picture = self._drawn()
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._picture)
        colour = QColor(look().select)
        colour.setAlpha(40)
        painter.setBrush(colour)
        colour.setAlpha(220)
        painter.setPen(QPen(colour, 3 if self.hasFocus() else 1.5))
        painter.drawRect(self.frame())

    def _drawn(self) -> QPixmap:
        colours, ratio = look(), self.devicePixelRatioF()
        picture = QPixmap((QRectF(self.rect()).size() * ratio).toSize())
        picture.setDevicePixelRatio(ratio)
        picture.fill(colours.backdrop)
        painter = QPainter(picture)
        painter.setPen(colours.layers["enclosure"])
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        # paler than the drawing itself, which lies below it
        painter.setOpacity(0.85)
        painter.translate(QRectF(self.rect()).center())
        painter.scale(self._scale, self._scale)
        painter.translate(-self._view.drawing.drawn.center())
        self._view.drawing.paint_map(painter, self._scale)
        painter.end()
        return picture

    # pointer and keys ---------------------------------------------------------------------------

    def enterEvent(self, event: QEnterEvent) -> None:
        self._view.forget_pointer()
        super().enterEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.mouseMoveEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._view.centerOn(self._to_scene(event.position()))
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
            return
        seen = self._view.visible_area()
        self._view.centerOn(
            seen.center() + QPointF(step.x() * seen.width(), step.y() * seen.height())
        )

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            self._soon.start()
        return False
