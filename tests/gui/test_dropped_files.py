"""Project files dropped onto a window are opened; anything else is not taken."""

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtWidgets import QApplication

COPY = Qt.DropAction.CopyAction
NO_KEYS = Qt.KeyboardModifier.NoModifier


def carried(*urls):
    data = QMimeData()
    data.setUrls([QUrl(url) for url in urls])
    return data


def drag(widget, data):
    """Drag to a widget and drop there if the drag is taken; tells whether it was."""
    left, at = Qt.MouseButton.LeftButton, QPoint(20, 20)
    enter = QDragEnterEvent(at, COPY, data, left, NO_KEYS)
    QApplication.sendEvent(widget, enter)
    if enter.isAccepted():
        QApplication.sendEvent(widget, QDragMoveEvent(at, COPY, data, left, NO_KEYS))
        QApplication.sendEvent(widget, QDropEvent(QPointF(at), COPY, data, left, NO_KEYS))
    return enter.isAccepted()


@pytest.mark.parametrize("place", ["canvas", "outline", "window"])
def test_a_project_file_dropped_anywhere_is_opened(window, tmp_path, qtbot, place):
    path = tmp_path / "yard.ampacre"
    widget = {
        "canvas": window.canvas.viewport(), "outline": window.outline.viewport(), "window": window,
    }[place]  # fmt: skip
    assert drag(widget, carried(QUrl.fromLocalFile(str(path))))
    qtbot.waitUntil(lambda: window.files._opener.asked == [path])


def test_several_files_are_opened_and_others_among_them_left(window, tmp_path, qtbot):
    paths = [tmp_path / name for name in ("a.ampacre", "photo.png", "B.AMPACRE")]
    drag(window.canvas.viewport(), carried(*(QUrl.fromLocalFile(str(path)) for path in paths)))
    qtbot.waitUntil(lambda: window.files._opener.asked == [paths[0], paths[2]])


@pytest.mark.parametrize("url", ["file:///tmp/photo.png", "https://example.org/a.ampacre"])
def test_anything_else_is_not_taken(window, url):
    assert not drag(window.canvas.viewport(), carried(url))
    assert window.files._opener.asked == []
