"""What a copy puts on the clipboard: our own form, a picture, and a table for a worksheet."""

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence

from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QImage, QPainter

from ampacre.model.copying import Fragment
from ampacre.model.standing import work_of
from ampacre.model.words import kind_of
from ampacre.picture.primitives import Element, Picture
from ampacre.picture.svg import svg_text
from ampacre.quantity import show
from ampacre.sheets.frame import moved
from ampacre.store.clipping import encode_copy
from ampacre.study.study import Study
from ampacre_gui.canvas.painter import SCALE, Sketch, level_of, paint
from ampacre_gui.look import LIGHT
from ampacre_gui.names import rating_words

__all__ = ["COPY", "SVG", "forms_of"]

COPY = "application/x-ampacre-copy"
SVG = "image/svg+xml"

_COLUMNS = ("Name", "Kind", "Rating", "Standing", "Structure", "Fed from", "Length")
_MARGIN_MM = 3.0
_PX_PER_MM = 6.0
_MOST_PIXELS = 16_000_000


def forms_of(study: Study, fragment: Fragment, title: str, drawn: Sequence[Element]) -> QMimeData:
    """Give a copy in all its forms, so that other programs can take what they understand.

    `drawn` is what the drawing shows of it [mm].
    """
    data = QMimeData()
    data.setData(COPY, encode_copy(fragment))
    picture = _cut_out(drawn)
    data.setData(SVG, svg_text(picture, title).encode())
    image = _image(picture)
    if image is not None:
        data.setImageData(image)
    data.setText(_table(study, fragment))
    return data


def _cut_out(drawn: Sequence[Element]) -> Picture:
    """A picture just as large as what is on it."""
    box = Sketch(drawn).bounds
    left, top = box.left() / SCALE - _MARGIN_MM, box.top() / SCALE - _MARGIN_MM
    return Picture(
        tuple(moved(element, -left, -top) for element in drawn),
        box.width() / SCALE + 2 * _MARGIN_MM,
        box.height() / SCALE + 2 * _MARGIN_MM,
    )


def _image(picture: Picture) -> QImage | None:
    """The picture in pixels; None where it is too large for its letters to be read."""
    area_mm2 = picture.width_mm * picture.height_mm
    px_per_mm = min(_PX_PER_MM, math.sqrt(_MOST_PIXELS / area_mm2))
    if level_of(px_per_mm / SCALE) != "near":
        return None
    wide, high = (math.ceil(mm * px_per_mm) for mm in (picture.width_mm, picture.height_mm))
    image = QImage(wide, high, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    painter.scale(px_per_mm / SCALE, px_per_mm / SCALE)
    paint(painter, Sketch(picture.elements), LIGHT, px_per_mm / SCALE)
    painter.end()
    return image


def _table(study: Study, fragment: Fragment) -> str:
    lines = [_COLUMNS, *_lines(study, fragment)]
    return "".join("\t".join(" ".join(cell.split()) for cell in line) + "\n" for line in lines)


def _lines(study: Study, fragment: Fragment) -> Iterator[tuple[str, ...]]:
    project = study.project
    units = project.settings.units
    feeds = {feed.run.target: feed.run for feed in fragment.feeds}
    feeds |= {run.target: run for run in fragment.content.runs.values()}
    for key in _downward(fragment):
        piece, feed = fragment.content.equipment[key], feeds.get(key)
        structure = project.structures.get(piece.structure or "")
        yield (
            piece.name,
            kind_of(piece),
            rating_words(piece, units),
            work_of(piece),
            structure.name if structure else "",
            project.equipment[feed.source].name if feed else "",
            show(feed.length_m, "m", units) if feed and feed.length_m is not None else "",
        )


def _downward(fragment: Fragment) -> Iterator[str]:
    """Ids of the copied pieces, each after what feeds it, in the order of a panel's spaces."""
    below: defaultdict[str, list[str]] = defaultdict(list)
    for run in sorted(fragment.content.runs.values(), key=lambda run: run.spaces or (999,)):
        below[run.source].append(run.target)
    seen: set[str] = set()
    stack = list(reversed(fragment.tops))
    while stack:
        at = stack.pop()
        if at not in seen:
            seen.add(at)
            yield at
            stack += reversed(below[at])
