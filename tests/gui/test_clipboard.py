"""Cut, copy, paste and duplicate by their keys, in the drawing and in the outline."""

import pytest
from PySide6.QtCore import QMimeData, QPoint, Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QMenu

from ampacre.model.project import Project
from ampacre.model.soundness import problems
from ampacre_gui.copied_forms import COPY, SVG

CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture(autouse=True)
def _own_clipboard(qapp):
    qapp.clipboard().clear()
    yield
    qapp.clipboard().clear()


def clipboard():
    return QGuiApplication.clipboard()


def focus(window, widget, qtbot):
    window.activateWindow()
    widget.setFocus()
    qtbot.waitUntil(widget.hasFocus)
    return widget


@pytest.fixture
def canvas(window, qtbot):
    return focus(window, window.canvas, qtbot)


def press(widget, letter):
    QTest.keyClick(widget, getattr(Qt.Key, f"Key_{letter}"), CTRL)


def added(window, before):
    now = window.document.project.equipment
    return {now[key].name: now[key] for key in now.keys() - before.equipment.keys()}


def source_of(window, key):
    project = window.document.project
    return next((run.source for run in project.runs.values() if run.target == key), None)


def test_copy_and_paste_of_a_panel_puts_it_beside_with_all_below(window, canvas):
    before = window.document.project
    window.selection.only("panel")
    press(canvas, "C")
    press(canvas, "V")
    fresh = added(window, before)
    assert fresh.keys() == {"P 2", "C2", "Barn 2"}
    assert window.selection.ids == (fresh["P 2"].id,)
    assert source_of(window, fresh["P 2"].id) == "meter"
    assert source_of(window, fresh["C2"].id) == fresh["P 2"].id
    assert problems(window.document.project) == []
    press(canvas, "Z")
    assert window.document.project == before


def test_pasting_again_goes_to_the_same_piece_again(window, canvas):
    before = window.document.project
    window.selection.only("charger")
    press(canvas, "C")
    for _ in range(3):
        press(canvas, "V")
    fresh = added(window, before)
    assert fresh.keys() == {"C2", "C3", "C4"}
    assert {source_of(window, piece.id) for piece in fresh.values()} == {"panel"}
    assert len(window.document.history.edits) == 3


def test_paste_goes_below_what_is_selected(window, canvas):
    window.selection.only("charger")
    press(canvas, "C")
    window.selection.only("barn")
    press(canvas, "V")
    assert source_of(window, window.selection.current) == "barn"


def test_paste_goes_below_what_the_pointer_was_moved_to(window, canvas):
    window.selection.only("charger")
    press(canvas, "C")
    QTest.mouseMove(canvas.viewport(), canvas.point_of("spare").toPoint())
    press(canvas, "V")
    assert source_of(window, window.selection.current) == "spare"


def test_a_pointer_that_rests_does_not_count_against_a_selection_made_since(window, canvas):
    window.selection.only("charger")
    press(canvas, "C")
    QTest.mouseMove(canvas.viewport(), canvas.point_of("spare").toPoint())
    window.selection.only("barn")
    press(canvas, "V")
    assert source_of(window, window.selection.current) == "barn"


def test_the_menu_pastes_below_the_selection_wherever_the_pointer_is(window, canvas):
    window.selection.only("charger")
    window.commands["copy"].trigger()
    window.selection.only("barn")
    QTest.mouseMove(canvas.viewport(), canvas.point_of("spare").toPoint())
    window.commands["paste"].trigger()
    assert source_of(window, window.selection.current) == "barn"


def test_with_nothing_selected_a_copy_stands_by_itself_and_covers_nothing(window, canvas):
    window.selection.only("panel")
    press(canvas, "C")
    window.selection.clear()
    press(canvas, "V")
    top = window.selection.current
    assert source_of(window, top) is None
    drawn = canvas.drawing
    own = drawn.item(top).core
    others = (drawn.item(key).core for key in window.document.project.equipment if key != top)
    assert not any(own.intersects(other) for other in others)


def test_a_piece_that_feeds_nothing_says_why_it_takes_no_copy(window, canvas):
    before = window.document.project
    window.selection.only("barn")
    press(canvas, "C")
    window.selection.only("charger")
    press(canvas, "V")
    assert window.document.project is before
    assert window._infobar.text == "C1 is where power is used: nothing can be fed from it"


def test_cut_is_one_step_and_what_was_cut_can_be_pasted(window, canvas):
    before = window.document.project
    window.selection.only("panel")
    press(canvas, "X")
    project = window.document.project
    assert not {"panel", "charger", "barn"} & project.equipment.keys()
    assert [edit.label for edit in window.document.history.edits] == ["Cut P"]
    window.selection.only("meter")
    press(canvas, "V")
    assert added(window, project).keys() == {"P", "C1", "Barn"}
    press(canvas, "Z")
    press(canvas, "Z")
    assert window.document.project == before


def test_duplicate_leaves_the_clipboard_alone(window, canvas):
    clipboard().setText("something else")
    before = window.document.project
    window.selection.set(("charger", "barn"))
    press(canvas, "D")
    fresh = added(window, before)
    assert fresh.keys() == {"C2", "Barn 2"}
    assert set(window.selection.ids) == {piece.id for piece in fresh.values()}
    assert [edit.label for edit in window.document.history.edits] == ["Duplicate C2, Barn 2"]
    assert clipboard().text() == "something else"


def test_the_outline_copies_and_pastes_too(window, qtbot):
    outline = focus(window, window.outline, qtbot)
    window.selection.only("charger")
    press(outline, "C")
    window.selection.only("barn")
    press(outline, "V")
    assert source_of(window, window.selection.current) == "barn"
    press(outline, "D")
    assert len(window.document.history.edits) == 2


def test_text_fields_keep_their_own(window, qtbot):
    before = window.document.project
    window.selection.only("panel")
    editor = next(f for f in window.details.fields if f.spec.name == "name").editor
    assert isinstance(editor, QLineEdit)
    focus(window, editor, qtbot)
    editor.selectAll()
    press(editor, "C")
    assert clipboard().text() == "P"
    assert not clipboard().mimeData().hasFormat(COPY)
    editor.end(False)
    for letter in "VD":
        press(editor, letter)
    assert editor.text() == "PP"
    press(editor, "X")
    assert window.document.project is before


def test_a_name_typed_in_the_outline_keeps_its_own(window, qtbot):
    before = window.document.project
    outline = focus(window, window.outline, qtbot)
    window.selection.only("panel")
    window.commands["rename"].trigger()
    editor = outline.findChild(QLineEdit)
    qtbot.waitUntil(editor.hasFocus)
    editor.selectAll()
    for letter in "CVD":
        press(editor, letter)
    assert clipboard().text() == "P"
    assert window.document.project is before


def test_a_copy_has_three_forms(window, canvas):
    window.selection.only("panel")
    press(canvas, "C")
    data = clipboard().mimeData()
    assert {COPY, SVG, "text/plain"} <= set(data.formats())
    assert data.hasImage()
    table = [line.split("\t") for line in data.text().splitlines()]
    assert table[0] == ["Name", "Kind", "Rating", "Standing", "Structure", "Fed from", "Length"]
    assert ["C1", "charger", "48 A", "new", "", "P", ""] in table
    assert [line[0] for line in table[1:]] == ["P", "C1", "Barn"]
    svg = bytes(data.data(SVG).data()).decode()
    assert ">C1 (N)</text>" in svg
    assert ">M1 (N)</text>" not in svg


def test_what_was_copied_goes_to_another_window(show, project, qtbot):
    first = show(project)
    first.selection.only("panel")
    press(focus(first, first.canvas, qtbot), "C")
    second = show(Project())
    press(focus(second, second.canvas, qtbot), "V")
    names = {piece.name for piece in second.document.project.equipment.values()}
    assert names == {"P", "C1", "Barn"}
    assert not second.welcome.isVisible()


@pytest.mark.parametrize("content", [b"", b"\xff\x00", b"{}", b'{"format": "ampacre copy"}'])
def test_anything_on_the_clipboard_gives_a_message(window, canvas, content):
    before = window.document.project
    data = QMimeData()
    data.setData(COPY, content)
    clipboard().setMimeData(data)
    press(canvas, "V")
    assert window.document.project is before
    assert window._infobar.text.startswith("What is on the clipboard ")


def test_text_on_the_clipboard_is_no_equipment(window, canvas):
    clipboard().setText("P-1\tpanel")
    press(canvas, "V")
    assert window._infobar.text == "There is no equipment on the clipboard"


def test_commands_need_a_piece_and_say_what_they_take(window):
    commands = window.commands
    run = next(iter(window.document.project.runs))
    for ids, on in (((), False), ((run,), False), ((run, "barn"), True)):
        window.selection.set(ids)
        for name in ("cut", "copy", "duplicate"):
            assert commands[name].isEnabled() is on
            assert "with everything below them" in commands[name].toolTip()
    keys = {name: commands[name].shortcut().toString() for name in ("copy", "duplicate")}
    assert keys == {"copy": "Ctrl+C", "duplicate": "Ctrl+D"}
    assert QKeySequence("Ctrl+D") not in commands["delete"].shortcuts()


def test_menus_offer_them(window):
    window.selection.only("panel")
    menu = window.commands.context_menu()
    wanted = [window.commands[name] for name in ("cut", "copy", "paste", "duplicate")]
    assert all(action in menu.actions() for action in wanted)
    menu.close()
    edit = next(menu for menu in window.menuBar().findChildren(QMenu) if menu.title() == "&Edit")
    assert all(action in edit.actions() for action in wanted)
    window.selection.clear()
    ground = window.commands.context_menu()
    assert window.commands["paste"] in ground.actions()
    ground.close()


def test_the_pointer_outside_the_drawing_does_not_count(window, canvas):
    window.selection.only("charger")
    press(canvas, "C")
    QTest.mouseMove(canvas.viewport(), canvas.point_of("spare").toPoint())
    QTest.mouseMove(window.menuBar(), QPoint(3, 3))
    press(canvas, "V")
    assert source_of(window, window.selection.current) == "panel"
