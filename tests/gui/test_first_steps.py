"""The first minutes of a newcomer: from the empty sheet to a house with its panel."""

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QMessageBox, QPushButton

from ampacre.model import records as r
from ampacre.model.edits import alter, connect, insert_on, put
from ampacre.model.project import Project
from ampacre.study.study import Study
from ampacre_gui.filing import ask_to_keep
from ampacre_gui.intents import to_add
from ampacre_gui.window_keys import WindowKeys


def type_in_drawer(window, *kinds):
    window.activateWindow()
    for kind in kinds:
        QTest.keyClick(window, Qt.Key.Key_Insert)
        QTest.keyClicks(QApplication.focusWidget(), kind)
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
        assert window.canvas.hasFocus()
        assert not window.drawer._search.text()
        assert window.drawer._kinds.currentItem() is None


def named(project, name):
    return next(piece for piece in project.equipment.values() if piece.name == name)


def fed_by(project, piece):
    run = next(run for run in project.runs.values() if run.target == piece.id)
    return project.equipment[run.source].name


def test_a_service_is_typed_one_kind_after_the_other(empty_window):
    type_in_drawer(empty_window, "utility", "transformer", "meter", "panel", "house", "charger")
    project = empty_window.document.project
    chain = [named(project, name) for name in ("T-1", "M-1", "P-1", "House")]
    assert [fed_by(project, piece) for piece in chain] == ["Utility", "T-1", "M-1", "P-1"]
    # a house feeds nothing: what is added next hangs from its panel
    assert fed_by(project, named(project, "C-1")) == "P-1"


def test_what_was_added_by_name_is_renamed_with_the_next_key(empty_window):
    type_in_drawer(empty_window, "utility", "panel")
    QTest.keyClick(empty_window.canvas, Qt.Key.Key_F2)
    name = QApplication.focusWidget()
    QTest.keyClicks(name, "Main panel")
    QTest.keyClick(name, Qt.Key.Key_Return)
    type_in_drawer(empty_window, "charger")
    project = empty_window.document.project
    assert fed_by(project, named(project, "C-1")) == "Main panel"


def test_where_nothing_can_be_added_the_search_keeps_the_keyboard(empty_window, qtbot):
    type_in_drawer(empty_window, "utility", "transformer")
    run = next(iter(empty_window.document.project.runs))
    empty_window.selection.only(run)
    QTest.keyClick(empty_window, Qt.Key.Key_Insert)
    search = QApplication.focusWidget()
    QTest.keyClicks(search, "charger")
    with qtbot.waitSignal(empty_window.document.trouble):
        QTest.keyClick(search, Qt.Key.Key_Return)
    assert search is QApplication.focusWidget()


@pytest.mark.parametrize("place", ["drawer", "details"])
def test_drawer_and_details_have_one_word_for_what_stands_already(window, place):
    window.selection.only("barn")
    boxes = getattr(window, place).findChildren(QComboBox)
    words = {box.itemText(at) for box in boxes for at in range(box.count())}
    assert "existing" in words


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("range", {"load", "dwelling load"}),
        ("dryer", {"load", "dwelling load"}),
        ("heat pump", {"motor"}),
        ("well", {"motor"}),
        ("water heater", {"load", "dwelling load"}),
    ],
)
def test_what_people_call_it_finds_the_kind_and_says_what_that_is_for(empty_window, typed, found):
    drawer = empty_window.drawer
    drawer._search.setFocus()
    QTest.keyClicks(drawer._search, typed)
    items = [drawer._kinds.item(row) for row in range(drawer._kinds.count())]
    assert {item.text() for item in items if not item.isHidden()} == found
    assert drawer._told.isVisible()
    assert drawer._told.text() == drawer._kinds.currentItem().toolTip()
    drawer._search.clear()
    assert not drawer._told.isVisible()


def test_the_name_of_a_kind_goes_before_other_words_for_another(empty_window):
    type_in_drawer(empty_window, "load")
    (piece,) = empty_window.document.project.equipment.values()
    assert isinstance(piece, r.Load)


def test_what_a_service_starts_with_is_as_it_usually_is(empty_window):
    type_in_drawer(empty_window, "utility", "transformer", "meter", "panel", "panel")
    project = empty_window.document.project
    assert named(project, "Utility").since is None
    assert named(project, "T-1").owner == "utility"
    drop = next(run for run in project.runs.values() if run.target == named(project, "M-1").id)
    assert drop.owner == "utility"
    assert named(project, "P-1").main == r.Device()
    assert named(project, "P-2").main is None
    violations = [f for f in empty_window.document.review.findings if f.severity == "violation"]
    assert not violations


@pytest.mark.parametrize(
    ("selected", "words"),
    [
        (None, "Add &Here"),
        ("panel", "Add &Below"),
        ("charger", "Add &Beside"),
        ("run", "&Insert in This Run"),
    ],
)
def test_menus_say_where_a_piece_would_be_added(window, selected, words):
    project = window.document.project
    run = next(run for run in project.runs.values() if run.target == "barn")
    if selected:
        window.selection.only(run.id if selected == "run" else selected)
    menu = window.commands.context_menu()
    adding = next(action.menu() for action in menu.actions() if action.text() == words)
    next(action for action in adding.actions() if action.text() == "&disconnect").trigger()
    feeds = {run.target: run.source for run in window.document.project.runs.values()}
    added = window.selection.current
    assert feeds.get(added) == (None if selected is None else "panel")
    assert feeds["barn"] == (added if selected == "run" else "panel")


def test_what_hangs_below_is_folded_only_where_something_hangs(window):
    fold = window.commands["fold"]
    assert not fold.isEnabled()
    window.selection.only("charger")
    assert not fold.isEnabled()
    assert window.commands.why_not(fold) == "select a piece that feeds others first"
    window.selection.only("panel")
    assert fold.isEnabled()


def test_menus_add_what_is_there_already_where_the_drawer_says_so(empty_window):
    standing = empty_window.drawer._standing
    standing.setFocus()
    QTest.keyClick(standing, Qt.Key.Key_Down)
    menu = empty_window.commands.context_menu()
    adding = next(a.menu() for a in menu.actions() if a.text() == "Add &Here")
    next(a for a in adding.actions() if a.text() == "&panel").trigger()
    (panel,) = empty_window.document.project.equipment.values()
    assert panel.since is None


def test_the_drawer_adds_what_is_there_already_until_new_work_is_chosen(empty_window):
    standing = empty_window.drawer._standing
    QTest.keyClick(standing, Qt.Key.Key_Down)
    type_in_drawer(empty_window, "panel")
    QTest.keyClick(standing, Qt.Key.Key_Up)
    type_in_drawer(empty_window, "charger")
    project = empty_window.document.project
    assert named(project, "P-1").since is None
    assert named(project, "C-1").since == "work"


def test_a_transformer_put_into_the_utility_line_makes_its_first_part_the_utility_s():
    line = r.UtilitySource(id="u", name="Utility")
    meter = r.Meter(id="m", name="M")
    project = Project().apply(put("", "equipment", line, meter))
    project = project.apply(connect(project, line, meter))
    (run,) = project.runs.values()
    intent = to_add(Study(project), "transformer", run.id)
    result = project.apply(intent.edit)
    assert result.runs[run.id].role == "utility"
    assert result.runs[run.id].owner == "utility"
    assert result.equipment[intent.selects].owner == "utility"


def test_what_is_put_into_any_other_run_leaves_its_role():
    panel, charger = r.Panel(id="p", name="P"), r.Charger(id="c", name="C")
    project = Project().apply(put("", "equipment", panel, charger))
    project = project.apply(connect(project, panel, charger))
    (run,) = project.runs.values()
    result = project.apply(insert_on(project, run, r.Disconnect(id="d", name="D")))
    assert result.runs[run.id].role == "branch"


def test_the_name_of_a_new_piece_is_typed_over(window):
    window.activateWindow()
    window.selection.only("barn")
    window._show_details()
    QTest.keyClicks(QApplication.focusWidget(), "Shed")
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
    assert window.document.project.equipment["barn"].name == "Shed"


def test_a_blank_sheet_says_step_by_step_how_to_go_on(empty_window, qtbot):
    buttons = empty_window.welcome.findChildren(QPushButton)
    qtbot.mouseClick(
        next(b for b in buttons if b.text() == "Blank Sheet"), Qt.MouseButton.LeftButton
    )
    steps = empty_window.welcome.words.text().splitlines()
    assert [step[0] for step in steps] == ["1", "2", "3", "4"]
    room = empty_window.canvas.viewport().rect()
    assert room.contains(empty_window.welcome.geometry())


def test_a_drawing_that_grew_stays_when_a_message_takes_room(window, qtbot):
    window.canvas.fit()
    window.document.do(alter(window.document.project, "equipment", "panel", name="Main"))
    window.selection.only("panel")
    window.commands.add_below("charger")
    zoom = window.canvas.zoom_pct
    window.document.trouble.emit("Something to say")
    qtbot.waitUntil(window._infobar.isVisible)
    QApplication.processEvents()
    assert window.canvas.zoom_pct == zoom


# keys that belong to a field ------------------------------------------------------------------


def choice_in_details(window):
    window.activateWindow()
    window.selection.only("charger")
    return next(
        field.editor
        for field in window.details.fields
        if isinstance(field.editor, QComboBox) and field.spec.name == "connection"
    )


def test_delete_in_a_choice_empties_it_and_leaves_the_drawing(window):
    window.document.do(
        alter(window.document.project, "equipment", "charger", connection="hardwired")
    )
    editor = choice_in_details(window)
    editor.setFocus()
    QTest.keyClick(editor, Qt.Key.Key_Delete)
    assert window.document.project.equipment["charger"].connection is None


@pytest.mark.parametrize("panel", ["findings", "drawer", "history", "details"])
def test_delete_outside_drawing_and_outline_deletes_no_piece(window, panel):
    window.activateWindow()
    window.selection.only("charger")
    widget = window._docks[panel].widget()
    (widget.focusProxy() or widget).setFocus()
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Delete)
    assert "charger" in window.document.project.equipment


@pytest.mark.parametrize("view", ["canvas", "outline"])
def test_delete_in_drawing_and_outline_deletes_the_piece(window, view):
    window.activateWindow()
    window.selection.only("charger")
    getattr(window, view).setFocus()
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Delete)
    assert "charger" not in window.document.project.equipment


def test_home_shows_the_whole_drawing_only_from_the_drawing(window):
    editor = choice_in_details(window)
    window.canvas.zoom_to(180)
    editor.setFocus()
    QTest.keyClick(editor, Qt.Key.Key_Home)
    QTest.keyClick(window.drawer._search, Qt.Key.Key_Home)
    assert window.canvas.zoom_pct == pytest.approx(180)
    window.canvas.setFocus()
    QTest.keyClick(window.canvas, Qt.Key.Key_Home)
    assert window.canvas.fitted


def test_the_keys_of_a_list_are_not_taken_as_shortcuts(window):
    editor = choice_in_details(window)
    editor.setFocus()
    for key in (Qt.Key.Key_Delete, Qt.Key.Key_Home):
        asked = QKeyEvent(QEvent.Type.ShortcutOverride, key, Qt.KeyboardModifier.NoModifier)
        asked.ignore()
        QApplication.sendEvent(editor, asked)
        assert asked.isAccepted()


@pytest.mark.parametrize(
    ("letter", "of_the_window"), [("D", True), ("E", True), ("K", True), ("V", False)]
)
def test_keys_that_edit_a_line_on_some_desktops_are_the_window_s(window, letter, of_the_window):
    key = getattr(Qt.Key, f"Key_{letter}")
    asked = QKeyEvent(QEvent.Type.ShortcutOverride, key, Qt.KeyboardModifier.ControlModifier)
    asked.accept()
    taken = WindowKeys().eventFilter(window.drawer._search, asked)
    assert taken is of_the_window
    assert asked.isAccepted() is not of_the_window


# what is not checked --------------------------------------------------------------------------


def test_what_could_not_be_checked_is_counted_and_listed(empty_window, qtbot):
    type_in_drawer(empty_window, "utility", "transformer", "panel", "charger")
    missing = empty_window.document.review.missing
    assert missing
    counts = empty_window._status._counts
    assert counts["missing"].text() == str(len(missing))
    assert not counts["fine"].isVisible()
    tree, model = empty_window.findings.list, empty_window.findings.model
    qtbot.waitUntil(lambda: model.rowCount() > 0)
    heading = model.index(model.rowCount() - 1, 0)
    assert tree.isExpanded(heading)
    before = heading.data(Qt.ItemDataRole.DecorationRole).cacheKey()
    spot = tree.visualRect(heading).center() - QPoint(0, 2)
    QTest.mouseClick(tree.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert not tree.isExpanded(heading)
    assert heading.data(Qt.ItemDataRole.DecorationRole).cacheKey() != before


# keyboard -------------------------------------------------------------------------------------


def access_keys(menu):
    texts = [action.text().replace("&&", "") for action in menu.actions() if action.text()]
    assert all("&" in text for text in texts), texts
    return [text.partition("&")[2][0].casefold() for text in texts]


def all_menus(window):
    run = next(iter(window.document.project.runs))
    for selected in ((), ("charger",), (run,), ("panel", "barn")):
        window.selection.set(selected)
        yield window.commands.context_menu()
    for action in window.menuBar().actions():
        yield action.menu()


def test_every_entry_of_every_menu_has_a_key_of_its_own(window):
    menus = list(all_menus(window))
    menus += [action.menu() for menu in menus for action in menu.actions() if action.menu()]
    assert len(menus) > 10
    window.selection.only("panel")
    for menu in menus:
        if menu is not window._recent:
            menu.aboutToShow.emit()
        keys = access_keys(menu)
        assert len(keys) == len(set(keys)), [action.text() for action in menu.actions()]


def test_next_panel_reaches_what_lies_behind_another_tab(window, qtbot):
    window.activateWindow()
    window.canvas.setFocus()
    seen = set()
    for _ in window._docks:
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_F6)
        focus = QApplication.focusWidget()
        for name in window._docks:
            dock = window._docks[name]
            if dock.isAncestorOf(focus):
                seen.add(name)
                # a dock behind another tab lies outside the window
                assert window.rect().intersects(dock.geometry()), name
    assert {"history", "checklist", "worksheet", "runs", "circuits"} <= seen


def test_the_keyboard_comes_to_a_field_of_the_details(window, qtbot):
    window.activateWindow()
    window.selection.only("charger")
    window._docks["history"].widget().setFocus()
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_F6)
    assert QApplication.focusWidget() is window.details.fields[0].editor
    # and leaves it again backwards, over the links to what feeds it
    for _ in range(4):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Backtab)
    assert not window.details.isAncestorOf(QApplication.focusWidget())


def test_the_run_that_feeds_a_piece_is_reached_by_keyboard(window, qtbot):
    window.activateWindow()
    window.selection.only("charger")
    window._show_details()
    for key in (Qt.Key.Key_Backtab, Qt.Key.Key_Backtab, Qt.Key.Key_Return):
        qtbot.keyClick(QApplication.focusWidget(), key)
    run = next(r.id for r in window.document.project.runs.values() if r.target == "charger")
    assert window.selection.current == run


def test_the_map_does_not_lie_over_the_current_piece(orchard, qtbot):
    orchard.resize(1600, 1000)
    orchard.canvas.zoom_to(80)
    key = next(iter(orchard.document.project.equipment))
    orchard.selection.only(key)
    orchard.canvas.bring_to_middle(key)
    qtbot.waitUntil(orchard.overview.isVisible)
    corner = orchard.overview.geometry().center()
    spot = orchard.canvas.point_of(key).toPoint()
    bars = orchard.canvas.horizontalScrollBar(), orchard.canvas.verticalScrollBar()
    bars[0].setValue(bars[0].value() - (corner - spot).x())
    bars[1].setValue(bars[1].value() - (corner - spot).y())
    area = orchard.canvas.drawing.item(key).core
    qtbot.waitUntil(
        lambda: (
            not orchard.canvas.mapFromScene(area)
            .boundingRect()
            .intersects(orchard.overview.geometry())
        )
    )


def test_the_sheets_say_what_was_not_checked(empty_window, qtbot):
    type_in_drawer(empty_window, "utility", "transformer", "meter", "panel", "charger")
    count = len(empty_window.document.review.missing)
    assert count
    empty_window.commands["sheets"].trigger()
    foot = empty_window.files.sheets.foot
    qtbot.waitUntil(lambda: f"{count} not checked" in foot.words, timeout=30_000)
    qtbot.waitUntil(lambda: empty_window.files.sheets._up_to_date, timeout=60_000)
    empty_window.files.sheets.close()


def test_the_sheets_fit_a_screen_that_is_smaller_than_last_time(empty_window, qtbot):
    empty_window.commands["sheets"].trigger()
    sheets = empty_window.files.sheets
    qtbot.waitUntil(lambda: sheets._up_to_date, timeout=60_000)
    room = sheets.screen().availableGeometry()
    assert room.contains(sheets.geometry())
    sheets.resize(room.size() * 2)
    sheets.close()
    empty_window.commands["sheets"].trigger()
    assert room.contains(sheets.geometry())
    sheets.close()


def test_the_question_at_closing_is_answered_with_a_letter(window, monkeypatch):
    seen = []

    def execute(box):
        seen.extend(button.text().partition("&")[2][:1] for button in box.buttons())
        return 0

    monkeypatch.setattr(QMessageBox, "exec", execute)
    window.document.do(alter(window.document.project, "equipment", "panel", name="Main"))
    assert not ask_to_keep(window.document, window)
    assert sorted(seen) == ["C", "D", "S"]
