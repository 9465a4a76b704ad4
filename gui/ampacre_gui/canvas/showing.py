"""The canvas as far as it shows: it follows the document and the selection and keeps the eye's place."""

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGraphicsView, QWidget

from ampacre.sheets.badges import Badge
from ampacre_gui.canvas.gliding import Gliding, snapshot
from ampacre_gui.canvas.scene import Scene
from ampacre_gui.canvas.zooming import Zooming
from ampacre_gui.document import Document, Published
from ampacre_gui.intents import can_feed
from ampacre_gui.selection import Selection
from ampacre_gui.walking import above

__all__ = ["Showing"]

_FIRST_PCT = 65
"""The zoom at which a drawing begins with its first piece."""


class Showing(Zooming):
    """A view of one document's drawing; the selection is shared with the other panels."""

    def __init__(
        self,
        document: Document,
        selection: Selection,
        badge: Badge = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.selection = selection
        self.drawing = Scene()
        self.drawing.badge = badge
        self.setScene(self.drawing)
        self.gliding = Gliding(self, self.drawing)
        self._placement = document.project.placement
        self.setRenderHint(QPainter.RenderHint.TextAntialiasing)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.MinimalViewportUpdate)
        self.setFrameShape(QGraphicsView.Shape.NoFrame)
        document.changed.connect(self.follow)
        selection.changed.connect(self.show_selection)
        selection.reveal.connect(self.reveal)

    def follow_look(self) -> None:
        """Take up the colours of the desktop."""
        self.viewport().update()

    def follow(self, news: Published) -> None:
        """Take up what an edit did."""
        self.selection.keep(
            self.document.project.equipment.keys() | self.document.project.runs.keys()
        )
        self.refresh()

    def refresh(self) -> None:
        """Show the document as it is now, with what was looked at where it was on the screen."""
        self.gliding.stop()
        was_empty, shown = self.drawing.empty, self.drawing.shows_any_in(self.visible_area())
        before, kept = snapshot(self, self.drawing), self._kept_in_sight()
        stood = self.drawing.place_of(kept)
        anew = self.drawing.show_study(self.document.study, self.document.review)
        self.show_selection()
        self.grow_scene()
        placement, self._placement = self._placement, self.document.project.placement
        if was_empty and not self.drawing.empty:
            self.fit()
            if len(self.document.project.equipment) == 1:
                # room for what comes next
                self.zoom_to(min(self.zoom_pct, _FIRST_PCT))
                self.centerOn(self.drawn().center())
            return
        if not self.drawing.empty:
            # what has grown since is fitted no longer, and stays when the window's panels move
            self.leave_fit()
        if anew and self._placement is placement:
            # what is put somewhere by hand is there already
            self._keep_in_sight(kept, stood)
            self.gliding.start(before)
        if shown and not self.drawing.shows_any_in(self.visible_area()):
            self._go_to_nearest()

    def _kept_in_sight(self) -> str:
        """Id of the element that keeps its place on the screen whatever moves: what is looked at."""
        seen = self.visible_area()
        current = self.drawing.item(self.selection.current or "")
        if current and seen.intersects(current.core):
            return current.key
        return self.drawing.nearest(seen.center(), seen, self.document.project.equipment)

    def _go_to_nearest(self) -> None:
        """What was in view is gone: show what is left beside it."""
        at, pieces = self.visible_area().center(), self.document.project.equipment
        item = self.drawing.item(self.drawing.nearest(at, self.drawn(), pieces))
        if item:
            self.centerOn(item.core.center())

    def _keep_in_sight(self, key: str, stood: QPointF | None) -> None:
        stands = self.drawing.place_of(key)
        if stands is not None and stood is not None:
            self.scroll_by(((stands - stood) * self.px_per_unit).toPoint())

    def show_badge(self, badge: Badge) -> None:
        """Choose which numbers are written beside pieces and runs."""
        if badge != self.drawing.badge:
            self.drawing.badge = badge
            self.refresh()

    def fit_selection(self) -> None:
        """Show what is selected, and nothing else if it fills the view."""
        area = QRectF()
        for item in map(self.drawing.item, self.selection.ids):
            area |= item.bounds if item else QRectF()
        if not area.isEmpty():
            self.fit_area(area)

    def fold(self, key: str) -> None:
        """Hide or show again what hangs from a piece; that is no change of the project."""
        self.drawing.folded ^= {key}
        self.refresh()

    def reveal(self, key: str) -> None:
        """Bring an element into view, with letters large enough to read."""
        self._unfold(key)
        if self.drawing.item(key) and self.zoom_pct < 38:
            self.zoom_to(60)
        self.bring_in(key)

    def bring_in(self, key: str) -> None:
        """Bring an element into view at the zoom there is."""
        item = self.drawing.item(key)
        if item is None:
            return
        area = item.core
        margin = 60 / self.px_per_unit
        seen = self.visible_area().adjusted(margin, margin, -margin, -margin)
        if not seen.contains(area):
            self.centerOn(area.center())

    def bring_to_middle(self, key: str) -> None:
        """Bring an element to the middle of the view."""
        self.reveal(key)
        item = self.drawing.item(key)
        if item is not None:
            self.centerOn(item.core.center())

    def _unfold(self, key: str) -> None:
        """Show again what was folded away and has an element in it."""
        folded = self.drawing.folded & above(self.document.study, key)
        if folded:
            self.drawing.folded -= folded
            self.refresh()

    def drawn(self) -> QRectF:
        return self.drawing.drawn

    def show_selection(self) -> None:
        """Mark what is selected, and offer what can be dragged from it."""
        self.drawing.select(self.selection.ids)
        self.drawing.offer_handle(self.with_handle(self.selection.current))
        self.drawing.offer_supply_end(self.selection.current or "")

    def with_handle(self, key: str | None) -> str:
        """Give the id of a piece from which a run can be drawn, "" for anything else."""
        piece = self.document.project.equipment.get(key or "")
        return piece.id if piece and can_feed(piece) else ""

    def point_of(self, key: str) -> QPointF:
        """Centre of an element in the viewport's pixels."""
        item = self.drawing.item(key)
        assert item is not None
        return QPointF(self.mapFromScene(item.core.center()))
