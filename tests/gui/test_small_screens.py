"""Where there is little room: dialogs fit the screen, names stay to be read, titles lie apart."""

from PySide6.QtCore import QPoint, QSize, QTimer
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QDialog, QTreeWidget

from ampacre_gui.canvas.survey import _write_title
from ampacre_gui.dialogs.running import run_dialog
from ampacre_gui.look import look
from ampacre_gui.panels.wrapping import share_width


def test_a_dialog_is_no_larger_than_the_screen(qapp):
    dialog = QDialog()
    dialog.resize(5000, 4000)
    seen = []

    def close():
        seen.append((dialog.size(), dialog.screen().availableSize()))
        dialog.reject()

    QTimer.singleShot(0, close)
    assert not run_dialog(dialog)
    ((size, room),) = seen
    assert size.boundedTo(room) == size


def test_names_keep_room_in_a_narrow_list(qtbot):
    view = QTreeWidget()
    view.setColumnCount(2)
    qtbot.addWidget(view)
    view.resize(130, 200)
    share_width(view, {0: 124})
    assert view.columnWidth(0) >= 60
    view.resize(1000, 200)
    share_width(view, {0: 124})
    assert view.columnWidth(0) == 124


def test_titles_are_not_written_over_each_other(qapp):
    image = QImage(200, 80, QImage.Format.Format_RGB32)
    image.fill(look().paper)
    painter = QPainter(image)
    taken = []
    _write_title(painter, "Well house", QPoint(10, 40), 150, look(), taken)
    first = image.copy()
    _write_title(painter, "Press barn", QPoint(20, 45), 150, look(), taken)
    assert image == first
    _write_title(painter, "Press barn", QPoint(20, 75), 150, look(), taken)
    assert image != first
    painter.end()


def test_a_worksheet_needs_no_scrolling_sideways(orchard, qapp):
    orchard.commands["worksheet"].trigger()
    pieces = orchard.document.project.equipment.values()
    orchard.selection.only(next(piece.id for piece in pieces if piece.name == "S1"))
    page = orchard.worksheet
    for width in range(1180, 1280, 7):
        orchard.resize(width, 720)
        qapp.processEvents()
        assert page.horizontalScrollBar().maximum() == 0, page.viewport().width()


def test_on_a_small_or_much_enlarged_screen_the_panels_share_one_side(orchard, qapp):
    orchard.resize(640, 360)
    orchard._docks.arrange(QSize(640, 360))
    orchard.selection.only(next(iter(orchard.document.project.equipment)))
    for name in ("drawer", "outline", "details", "history"):
        orchard._docks.show(name)
        qapp.processEvents()
        panel = orchard._docks[name].widget()
        assert not panel.visibleRegion().isEmpty(), name
        assert 230 < panel.width() < 300, name
    assert orchard.canvas.width() > 330
    assert orchard.canvas.height() > 100


def test_the_note_of_a_narrow_table_has_a_line_of_its_own(orchard, qapp):
    orchard.commands["circuits"].trigger()
    panel = orchard.circuits
    for width in (1024, 1600, 1024):
        orchard.resize(width, 600)
        qapp.processEvents()
        orchard.commands["balance"].trigger()
        qapp.processEvents()
        apart = panel.note.y() >= panel.even.geometry().bottom()
        assert apart is (width == 1024)
        assert panel.note.height() <= 2 * panel.note.fontMetrics().height() + 6
        assert panel.even.isVisible()


def test_names_of_findings_can_be_read_in_a_small_window(orchard, qapp):
    orchard.resize(1024, 600)
    qapp.processEvents()
    rows = orchard.findings.list
    room = rows.columnWidth(0) - rows.iconSize().width() - 12
    assert rows.fontMetrics().horizontalAdvance("Farmhouse") <= room


def test_on_a_small_canvas_no_map_hides_the_drawing(orchard, qapp, qtbot):
    orchard.canvas.zoom_to(100)
    qtbot.waitUntil(orchard.overview.isVisible)
    orchard.resize(1024, 600)
    qtbot.waitUntil(orchard.overview.isHidden)
