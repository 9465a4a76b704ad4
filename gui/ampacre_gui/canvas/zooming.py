"""Zooming and scrolling a drawing: at the pointer, by steps, to fit."""

from PySide6.QtCore import QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QGraphicsView, QWidget

from ampacre.picture.lettering import CAPITALS
from ampacre.sheets.pen import CAPITALS_MM
from ampacre_gui.canvas.painter import SCALE
from ampacre_gui.guard import Guarded

__all__ = ["Zooming"]

_STEP = 2**0.25
_NOTCH = 120
"""Eighths of a degree that a wheel turns from one notch to the next."""
_FULL_SIZE = 96 / 25.4 / SCALE
"""Pixels per scene unit at 100 %: a millimetre of paper is a millimetre on a 96 dpi screen."""
_GREATEST = 62 / (CAPITALS_MM / CAPITALS * SCALE)
"""Past this the letters of a label grow over 64 pixels, where glyphs are no longer cached."""
_LEAST = 0.001


class Zooming(Guarded, QGraphicsView):
    """A view that keeps the place under the pointer still, and the whole drawing in reach."""

    zoom_changed = Signal(float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.AnchorViewCenter)
        self._fitted = True
        self._wheel = 0

    @property
    def fitted(self) -> bool:
        """Whether the whole drawing is shown because that was asked for."""
        return self._fitted

    def leave_fit(self) -> None:
        """Keep scale and place from now on when the view changes its size."""
        self._fitted = False

    def drawn(self) -> QRectF:
        """What the drawing covers, in scene units."""
        return QRectF()

    def grow_scene(self) -> None:
        """Leave room around the drawing, so that any part of it can be brought to the middle."""
        drawn = self.drawn()
        if drawn.isEmpty():
            # nothing to scroll to
            self.setSceneRect(QRectF(0, 0, 1, 1))
            return
        scale = self.px_per_unit
        across, down = self.viewport().width() / scale * 0.8, self.viewport().height() / scale * 0.8
        self.setSceneRect(drawn.adjusted(-across, -down, across, down))

    def visible_area(self) -> QRectF:
        """What of the drawing is in view, in scene units."""
        return self.mapToScene(self.viewport().rect()).boundingRect()

    @property
    def px_per_unit(self) -> float:
        """Logical pixels per scene unit."""
        return self.transform().m11()

    @property
    def zoom_pct(self) -> float:
        """The zoom as people read it: 100 is the size on paper."""
        return self.px_per_unit / _FULL_SIZE * 100

    def zoom_to(self, pct: float, about: QPoint | None = None) -> None:
        """Zoom, keeping the place under a point of the viewport (or its centre) where it is."""
        self._fitted = False
        self._scale_to(pct / 100 * _FULL_SIZE, about)

    def _scale_to(self, px_per_unit: float, about: QPoint | None = None) -> None:
        still = about if about is not None else self.viewport().rect().center()
        before = self.mapToScene(still)
        scale = min(max(px_per_unit, self._fitting_scale() / 4), _GREATEST)
        self.resetTransform()
        self.scale(scale, scale)
        self.grow_scene()
        moved = self.mapFromScene(before) - still
        self.scroll_by(moved)
        self.zoom_changed.emit(self.zoom_pct)

    def scroll_by(self, off: QPoint) -> None:
        """Move the view over the drawing, in pixels; right and down count up."""
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        across.setValue(across.value() + off.x())
        down.setValue(down.value() + off.y())

    def _fitting_scale(self) -> float:
        """Pixels per scene unit at which the whole drawing just fits."""
        drawn = self.drawn()
        if drawn.isEmpty():
            return _FULL_SIZE
        room = self.viewport().size() - QSize(48, 48)
        across, down = room.width() / drawn.width(), room.height() / drawn.height()
        return max(min(across, down), _LEAST)

    def zoom_in(self) -> None:
        self.zoom_to(self.zoom_pct * _STEP**2)

    def zoom_out(self) -> None:
        self.zoom_to(self.zoom_pct / _STEP**2)

    def full_size(self) -> None:
        self.zoom_to(100)

    def fit(self) -> None:
        """Show the whole drawing, not larger than on paper."""
        drawn = self.drawn()
        if drawn.isEmpty():
            self._scale_to(_FULL_SIZE * 0.7)
            return
        self._scale_to(min(self._fitting_scale(), _FULL_SIZE))
        self.centerOn(drawn.center())
        self._fitted = True

    def fit_area(self, area: QRectF) -> None:
        """Show a part of the drawing as large as fits, not larger than on paper."""
        room = self.viewport().size() - QSize(48, 48)
        across, down = max(area.width(), 1.0), max(area.height(), 1.0)
        scale = min(room.width() / across, room.height() / down, _FULL_SIZE)
        self._fitted = False
        self._scale_to(scale)
        self.centerOn(area.center())

    def wheelEvent(self, event: QWheelEvent) -> None:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._wheel += event.angleDelta().y()
            steps = int(self._wheel / _NOTCH)
            self._wheel -= steps * _NOTCH
            if steps:
                self.zoom_to(self.zoom_pct * _STEP**steps, event.position().toPoint())
            event.accept()
            return
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self._scroll_sideways(event.angleDelta().y())
            event.accept()
            return
        super().wheelEvent(event)

    def _scroll_sideways(self, eighths: int) -> None:
        """Scroll by a turn of the wheel, given in eighths of a degree."""
        bar = self.horizontalScrollBar()
        notches = eighths / _NOTCH
        bar.setValue(
            bar.value() - round(notches * QApplication.wheelScrollLines() * bar.singleStep())
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._fitted:
            self.fit()
        else:
            self.grow_scene()
