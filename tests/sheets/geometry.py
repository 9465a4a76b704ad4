"""What can be said of a picture by looking at its geometry alone."""

import numpy as np

from ampacre.picture.lettering import text_width_mm
from ampacre.picture.primitives import Arc, Polyline, Text

DESCENDER = 0.35
"""How far letters reach below their base line, in heights of capitals."""


def texts(picture):
    return [element for element in picture.elements if isinstance(element, Text)]


def chapters_of(sheet):
    """Titles of the chapters that share a sheet."""
    return sheet.title.split("; ")


def text_boxes(found):
    """Boxes of texts as rows of left, top, right, bottom [mm]."""
    rows = []
    for text in found:
        width = text_width_mm(text.text, text.height_mm, text.bold)
        left = text.x - {"start": 0, "middle": width / 2, "end": width}[text.anchor]
        top = text.y - text.height_mm
        rows.append((left, top, left + width, text.y + DESCENDER * text.height_mm))
    return np.array(rows).reshape(-1, 4)


def overlapping_texts(picture):
    """Pairs of texts that overlap."""
    found = texts(picture)
    boxes = text_boxes(found)
    pairs = []
    order = np.argsort(boxes[:, 0])
    for place, first in enumerate(order):
        later = order[place + 1 :]
        near = later[boxes[later, 0] < boxes[first, 2] - 0.01]
        clash = near[
            (boxes[near, 1] < boxes[first, 3] - 0.01) & (boxes[near, 3] > boxes[first, 1] + 0.01)
        ]
        pairs += [(found[first].text, found[other].text) for other in clash]
    return pairs


def extent(picture):
    """Left, top, right, bottom of all that is drawn [mm]."""
    boxes = [tuple(row) for row in text_boxes(texts(picture))]
    for element in picture.elements:
        if isinstance(element, Arc):
            turns = np.radians(element.start_deg + element.sweep_deg * np.linspace(0, 1, 73))
            xs = element.cx + element.radius * np.cos(turns)
            ys = element.cy + element.radius * np.sin(turns)
            boxes.append((xs.min(), ys.min(), xs.max(), ys.max()))
        elif not isinstance(element, Text):
            xs, ys = zip(*element.points, strict=True)
            boxes.append((min(xs), min(ys), max(xs), max(ys)))
    columns = np.array(boxes)
    return (*columns[:, :2].min(axis=0), *columns[:, 2:].max(axis=0))


def segments(picture, layers=("new", "existing", "bus")):
    """Straight pieces of lines in these layers: owner, x1, y1, x2, y2; strikes are left out."""
    found = []
    for element in picture.elements:
        if isinstance(element, Polyline) and element.layer in layers and not element.closed:
            for (x1, y1), (x2, y2) in zip(element.points, element.points[1:], strict=False):
                if abs(x1 - x2) < 1e-6 or abs(y1 - y2) < 1e-6:
                    found.append((element.owner, x1, y1, x2, y2))
    return found


def crossings(found):
    """Pairs of owners of which a level and an upright segment cross inside both."""
    level = [(o, min(a, c), max(a, c), b) for o, a, b, c, d in found if abs(b - d) < 1e-6]
    upright = [(o, a, min(b, d), max(b, d)) for o, a, b, c, d in found if abs(a - c) < 1e-6]
    columns = np.array([row[1:] for row in upright]).reshape(-1, 3)
    pairs = []
    slack = 0.05
    for owner, left, right, y in level:
        hit = np.flatnonzero(
            (columns[:, 0] > left + slack)
            & (columns[:, 0] < right - slack)
            & (columns[:, 1] < y - slack)
            & (columns[:, 2] > y + slack)
        )
        pairs += [(owner, upright[place][0]) for place in hit]
    return pairs


def struck_texts(picture):
    """Texts that a line of a run or a bus passes through."""
    found = texts(picture)
    boxes = text_boxes(found)
    struck = []
    for owner, x1, y1, x2, y2 in segments(picture):
        left, right = min(x1, x2), max(x1, x2)
        top, bottom = min(y1, y2), max(y1, y2)
        hit = np.flatnonzero(
            (boxes[:, 0] < right - 0.01)
            & (boxes[:, 2] > left + 0.01)
            & (boxes[:, 1] < bottom - 0.01)
            & (boxes[:, 3] > top + 0.01)
        )
        if left == right:
            hit = np.flatnonzero(
                (boxes[:, 0] < left - 0.01)
                & (boxes[:, 2] > left + 0.01)
                & (boxes[:, 1] < bottom - 0.01)
                & (boxes[:, 3] > top + 0.01)
            )
        struck += [(owner, found[place].text) for place in hit]
    return struck
