"""The window as a whole: commands, keys, names for screen readers, files, closing."""

import itertools
from pathlib import Path

import pytest
from answering import answer
from PySide6.QtCore import QPoint, QSettings, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QComboBox,
    QDialog,
    QFileDialog,
    QHeaderView,
    QLineEdit,
    QPlainTextEdit,
    QTabWidget,
    QWidget,
)

from ampacre.model import records as r
from ampacre.model.edits import alter, put
from ampacre.model.words import KINDS
from ampacre.rules.review import Review
from ampacre.sheets.badges import BADGES
from ampacre.sheets.frame import CAUTIONS
from ampacre.store.file import load, save
from ampacre.study.study import Study
from ampacre_gui import filing
from ampacre_gui.dialogs.about import CautionsDialog
from ampacre_gui.dialogs.accept import Acceptance, AcceptDialog
from ampacre_gui.dialogs.feed_from import FeedFromDialog
from ampacre_gui.dialogs.keys import KeysDialog
from ampacre_gui.dialogs.properties import PropertiesDialog
from ampacre_gui.document import Document
from ampacre_gui.guard import faults
from ampacre_gui.recent import forget_all, recent_files, remember


def die(document):
    """Let go of journal and locks as the end of a process does, without closing the document."""
    document._journal._journal.close()
    for lock in (document._lock, document._journal._lock):
        if lock:
            lock.unlock()


def rename(document, name):
    document.do(alter(document.project, "equipment", "panel", name=name))


# commands and keys ----------------------------------------------------------------------------

WITHOUT_KEY = {"tidy", "keep choices", "details", "about", "sample", "save copy", "overview map"}
WITHOUT_KEY |= {f"panel {name}" for name in ("outline", "history", "findings", "checklist")}
WITHOUT_KEY |= {f"replace with {kind}" for kind in KINDS}
WITHOUT_KEY |= {f"beside {badge or 'everything'}" for badge in BADGES}


def test_commands_have_keys_and_no_two_share_one(window):
    keys = {}
    for name, action in window.commands._actions.items():
        assert action.shortcuts() or name in WITHOUT_KEY, name
        for key in action.shortcuts():
            text = key.toString()
            assert text not in keys, f"{name} and {keys.get(text)} share {text}"
            keys[text] = name


def test_standard_keys_are_what_people_expect(window):
    keys = {
        name: [k.toString() for k in a.shortcuts()] for name, a in window.commands._actions.items()
    }
    for name, key in {
        "new": "Ctrl+N", "open": "Ctrl+O", "save": "Ctrl+S", "save as": "Ctrl+Shift+S",
        "close": "Ctrl+W", "quit": "Ctrl+Q", "undo": "Ctrl+Z", "redo": "Ctrl+Shift+Z",
        "delete": "Del", "select all": "Ctrl+A", "zoom in": "Ctrl++", "zoom out": "Ctrl+-",
        "full size": "Ctrl+0", "find": "Ctrl+F", "rename": "F2", "print": "Ctrl+P",
    }.items():  # fmt: skip
        assert key in keys[name], name


def test_menus_and_fields_have_access_keys(window):
    for menu_action in window.menuBar().actions():
        assert "&" in menu_action.text()
        letters = [
            action.text()[action.text().index("&") + 1].lower()
            for action in menu_action.menu().actions()
            if "&" in action.text().replace("&&", "")
        ]
        assert len(letters) == len(set(letters)), f"{menu_action.text()}: {sorted(letters)}"


def test_undo_says_what_it_would_undo(window):
    undo = window.commands["undo"]
    assert not undo.isEnabled()
    rename(window.document, "Main")
    assert undo.text() == "&Undo Change name of P"
    undo.trigger()
    assert window.document.project.equipment["panel"].name == "P"
    assert window.commands["redo"].text() == "&Redo Change name of P"


def test_delete_removes_what_is_selected_in_one_step(window):
    before = window.document.project
    window.selection.set(("barn", "charger"))
    window.commands["delete"].trigger()
    assert not {"barn", "charger"} & window.document.project.equipment.keys()
    assert window.selection.ids == ()
    window.commands["undo"].trigger()
    assert window.document.project == before


def test_the_delete_key_reaches_the_drawing(window, qtbot):
    window.activateWindow()
    window.canvas.setFocus()
    window.selection.only("barn")
    qtbot.keyClick(window.canvas, Qt.Key.Key_Delete)
    assert "barn" not in window.document.project.equipment


def test_enter_in_the_drawer_adds_below_the_selection(window):
    window.selection.only("barn")
    kinds = window.drawer._kinds
    search = window.drawer._search
    search.setFocus()
    QTest.keyClicks(search, "ev")
    assert kinds.currentItem().text() == "charger"
    QTest.keyClick(search, Qt.Key.Key_Return)
    (key,) = window.selection.ids
    (run,) = (run for run in window.document.project.runs.values() if run.target == key)
    assert run.source == "barn"


def test_the_drawer_says_when_nothing_fits(window):
    window.drawer._search.setText("zzz")
    assert window.drawer._nothing.isVisible()
    window.drawer._search.clear()
    assert not window.drawer._nothing.isVisible()


def test_adding_below_a_load_adds_beside_it(window):
    window.selection.only("charger")
    window.commands.add_below("motor")
    added = window.selection.current
    feed = next(run for run in window.document.project.runs.values() if run.target == added)
    assert feed.source == "panel"


def test_adding_a_source_below_a_load_says_why_it_cannot_be(window):
    window.selection.only("charger")
    window.commands.add_below("generator")
    assert window._infobar.text == "C1 cannot be fed from a generator"
    assert window._infobar.isVisible()
    rename(window.document, "Main")
    assert not window._infobar.isVisible()


def test_feed_from_without_a_mouse(window):
    dialog = FeedFromDialog(window.document, "spare", window)
    names = [dialog.pieces.item(row).text() for row in range(dialog.pieces.count())]
    assert names == ["Barn", "M1", "P", "Utility"]
    assert not dialog._feed.isEnabled()
    dialog.pieces.setCurrentRow(0)
    assert dialog._words.text() == "Feed Spare from Barn"
    window.commands.carry_out(dialog.intent())
    assert any(run.target == "spare" for run in window.document.project.runs.values())


def test_what_is_typed_in_feed_from_chooses_the_first_that_fits(window):
    dialog = FeedFromDialog(window.document, "panel", window)
    dialog.show()
    QTest.keyClicks(dialog._search, "bar")
    assert dialog.pieces.currentItem().text() == "Barn"
    assert not dialog._feed.isEnabled()
    assert "Choose" not in dialog._words.text()
    dialog._search.clear()
    QTest.keyClick(dialog._search, Qt.Key.Key_Down)
    assert dialog.pieces.currentItem().text() == "M1"
    dialog.close()


def test_panels_can_be_reached_in_turn(window, qtbot):
    window.activateWindow()
    window.canvas.setFocus()
    seen = set()
    for _ in range(6):
        window._docks.step(1)
        focus = window.focusWidget()
        seen |= {name for name in window._docks if window._docks[name].isAncestorOf(focus)}
    assert {"drawer", "outline", "details"} <= seen


def test_put_back_to_the_tidy_place(window):
    window.document.do(put("Move", "placement", r.Placement(id="barn", dx_mm=20.0)))
    window.selection.only("barn")
    window.commands["tidy"].trigger()
    assert not window.document.project.placement


# screen readers -------------------------------------------------------------------------------


def test_every_control_has_a_name(orchard):
    window = orchard
    for piece in ("S1", "C3"):
        key = next(k for k, p in window.document.project.equipment.items() if p.name == piece)
        window.selection.only(key)
        controls = (QLineEdit, QComboBox, QPlainTextEdit, QAbstractButton, QAbstractItemView)
        for control in window.findChildren(QWidget):
            if not isinstance(control, controls) or not control.isVisible():
                continue
            if isinstance(control, QHeaderView):
                continue
            if isinstance(control.parentWidget(), QComboBox) or "qt_" in control.objectName():
                continue
            words = control.accessibleName() or getattr(control, "text", str)() or control.toolTip()
            assert words, f"{control} in {control.parentWidget()}"


# title, welcome, status -----------------------------------------------------------------------


def test_the_title_shows_name_and_whether_it_is_saved(window, tmp_path):
    assert not window.isWindowModified()
    rename(window.document, "Main")
    assert window.isWindowModified()
    window.document.save_as(tmp_path / "farm.ampacre")
    assert window.windowTitle() == "farm[*] \u2014 Ampacre"
    assert not window.isWindowModified()


def test_an_empty_drawing_says_how_to_begin(empty_window):
    assert empty_window.welcome.isVisible()
    empty_window.commands.add_below("utility source")
    assert not empty_window.welcome.isVisible()
    empty_window.commands["undo"].trigger()
    assert empty_window.welcome.isVisible()


def test_status_counts_the_findings(orchard):
    review = orchard.document.review
    for severity in ("violation", "warning", "advice"):
        count = sum(1 for f in review.findings if f.severity == severity)
        assert orchard._status._counts[severity].text() == str(count)


def test_zoom_can_be_typed(window):
    editor = window._status._zoom.lineEdit()
    editor.setText("80")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    assert window.canvas.zoom_pct == pytest.approx(80, abs=0.5)
    editor.setText("lots")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    assert window.canvas.zoom_pct == pytest.approx(80, abs=0.5)


def test_a_fault_is_shown_and_the_document_stays(window, no_faults, request):
    request.keywords["deliberate_fault"] = True
    faults.tell(ZeroDivisionError("division by zero"))
    assert "The document is safe" in window._infobar.text
    rename(window.document, "Main")
    assert window._infobar.isVisible()


def test_the_drawing_follows_the_colour_scheme(window):
    window._follow_look()
    QTest.qWait(10)
    assert window.canvas.backgroundBrush().color().isValid()


# findings -------------------------------------------------------------------------------------


def findings_items(window):
    model = window.findings.model
    return {model.line_at(at).key: at for at in model.found(lambda _: True)}


def test_every_finding_is_listed_with_its_message(orchard):
    review = orchard.document.review
    items = findings_items(orchard)
    for finding in review.findings:
        assert items[finding.key].siblingAtColumn(1).data() == review.message(finding)


def test_every_remedy_of_the_orchard_clears_its_finding_and_undo_brings_it_back(orchard, qtbot):
    document = orchard.document
    before = document.project
    tried = 0
    for finding in document.review.findings:
        for edit in document.review.remedies(finding):
            _, review = document.preview(edit)
            assert finding.key not in {f.key for f in review.findings}, edit.label
            tried += 1
    assert tried > 10
    assert document.project is before


def test_the_button_of_a_remedy_applies_it(orchard, qtbot):
    document = orchard.document
    finding = next(f for f in document.review.findings if document.review.remedies(f))
    orchard.findings.renew()
    orchard.findings.list.setCurrentIndex(findings_items(orchard)[finding.key])
    page = orchard.findings._page
    qtbot.waitUntil(lambda: page.findChild(QAbstractButton, "remedy") is not None)
    button = page.findChild(QAbstractButton, "remedy")
    assert button.words in {edit.label for edit in document.review.remedies(finding)}
    QTest.mouseClick(button, Qt.MouseButton.LeftButton, pos=QPoint(10, 10))
    assert finding.key not in {f.key for f in document.review.findings}
    qtbot.waitUntil(lambda: finding.key not in findings_items(orchard))
    document.undo()
    assert finding.key in {f.key for f in document.review.findings}


def test_accepting_a_finding_needs_a_reason_and_can_be_taken_back(orchard, qtbot, monkeypatch):
    document = orchard.document
    finding = document.review.findings[0]
    told = Acceptance("Replaced next year", "owner", "2025-01-31")
    monkeypatch.setattr("ampacre_gui.panels.finding_page.ask_reason", lambda message, parent: told)
    orchard.findings._page.accept(finding)
    accepted = document.review.accepted(finding)
    assert (accepted.reason, accepted.who, accepted.when) == told
    qtbot.waitUntil(
        lambda: findings_items(orchard)[finding.key].parent().data().startswith("1 accepted")
    )
    orchard.findings._page.reject(accepted)
    assert document.review.accepted(finding) is None


def test_the_accept_dialog_wants_a_reason(qtbot):
    dialog = AcceptDialog("The wire is too small.")
    qtbot.addWidget(dialog)
    assert not dialog._accept.isEnabled()
    QTest.keyClicks(dialog.reason, "It is replaced next year")
    assert dialog._accept.isEnabled()
    assert dialog.told().reason == "It is replaced next year"


def test_worksheet_shows_the_lines_of_the_selected_point(orchard):
    document = orchard.document
    panel = next(p for p in document.project.equipment.values() if p.name == "S1")
    orchard.commands["worksheet"].trigger()
    orchard.selection.only(panel.id)
    text = orchard.worksheet.toPlainText()
    for line in document.study.equipment(panel.id).demand.worksheet.lines:
        assert " ".join(line.label.split()) in " ".join(text.split())


# files ----------------------------------------------------------------------------------------


def test_a_file_is_opened_once(program, project, tmp_path):
    path = tmp_path / "farm.ampacre"
    save(project, path)
    program.show_file(path)
    program.show_file(path)
    assert len(program.windows) == 1
    assert recent_files() == [path]


def test_opening_takes_the_place_of_an_untouched_window(program, project, tmp_path, qtbot):
    program.show_new()
    path = tmp_path / "farm.ampacre"
    save(project, path)
    program.show_file(path, program.windows[0].files.blank())
    qtbot.waitUntil(lambda: len(program.windows) == 1)
    assert program.windows[0].document.path == path


def test_a_file_that_is_none_says_so_and_opens_nothing(program, tmp_path, monkeypatch):
    asked = answer(monkeypatch, "Close")
    path = tmp_path / "farm.ampacre"
    path.write_text("hello")
    program.show_file(path)
    assert asked == ["The file could not be opened."]
    assert not program.windows


def test_unsaved_changes_of_a_crash_are_offered(program, project, tmp_path, monkeypatch):
    path = tmp_path / "farm.ampacre"
    save(project, path)
    lost = Document.load(path)
    rename(lost, "Main")
    die(lost)
    asked = answer(monkeypatch, "Recover Changes")
    program.show_file(path)
    assert "not saved" in asked[0]
    assert program.windows[0].document.project == lost.project
    assert program.windows[0].isWindowModified()


def test_recovered_changes_can_be_kept_for_later(program, project, tmp_path, monkeypatch):
    path = tmp_path / "farm.ampacre"
    save(project, path)
    lost = Document.load(path)
    rename(lost, "Main")
    die(lost)
    answer(monkeypatch, "Keep for Later")
    program.show_file(path)
    assert program.windows[0].document.project == project
    assert any("journal" in entry.name for entry in tmp_path.iterdir())


def test_untitled_work_comes_back_after_a_crash(program, qapp, monkeypatch, tmp_path):
    lost = Document()
    lost.do(put("Add", "equipment", r.Panel(id="p", name="P")))
    die(lost)
    program.recover_untitled()
    assert program.windows[0].document.project == lost.project


def test_the_sample_opens_as_an_unsaved_copy(program):
    program.show_sample()
    document = program.windows[0].document
    assert document.path is None
    assert document.project.equipment
    assert Review(Study(document.project)).findings


def test_closing_with_changes_asks_and_cancel_stays(window, monkeypatch):
    rename(window.document, "Main")
    monkeypatch.setattr("ampacre_gui.window.ask_to_keep", filing.ask_to_keep)
    asked = answer(monkeypatch, "Cancel")
    assert not window.close()
    assert asked == ["Save the changes to Untitled property?"]


def test_closing_and_saving(window, monkeypatch, tmp_path):
    rename(window.document, "Main")
    path = tmp_path / "farm"
    monkeypatch.setattr("ampacre_gui.window.ask_to_keep", filing.ask_to_keep)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *args: (str(path), ""))
    answer(monkeypatch, "Save")
    project = window.document.project
    assert window.close()
    assert load(path.with_suffix(".ampacre")) == project


def test_what_is_half_typed_counts_when_the_window_closes(window, monkeypatch):
    window.selection.only("panel")
    window.activateWindow()
    editor = next(f for f in window.details.fields if f.spec.name == "bus_a").editor
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, "225")
    kept = []
    monkeypatch.setattr(
        "ampacre_gui.window.ask_to_keep",
        lambda document, parent: kept.append(document.project) or True,
    )
    window.close()
    assert kept[0].equipment["panel"].bus_a == 225.0


def test_exporting_begins_with_the_sheets(window):
    window.commands["export"].trigger()
    assert window.files.sheets.isVisible()
    assert window.files.sheets.focusWidget() is window.files.sheets.side.forms
    window.commands["sheets"].trigger()
    assert window.files.sheets.focusWidget() is window.files.sheets.sheets.list
    window.close()
    assert not window.files.sheets.isVisible()


def test_recent_files_are_newest_first_and_at_most_six(tmp_path, qapp):
    for number in range(8):
        remember(tmp_path / f"{number}.ampacre")
    remember(tmp_path / "5.ampacre")
    names = [path.name for path in recent_files()]
    assert names == ["5.ampacre", "7.ampacre", "6.ampacre", "4.ampacre", "3.ampacre", "2.ampacre"]
    forget_all()
    assert recent_files() == []


def test_recent_files_that_are_gone_are_greyed(window, tmp_path):
    here = tmp_path / "here.ampacre"
    here.write_text("")
    remember(Path("/nowhere/gone.ampacre"))
    remember(here)
    window._recent.aboutToShow.emit()
    enabled = {
        action.text(): action.isEnabled() for action in window._recent.actions() if action.text()
    }
    assert enabled["here.ampacre"]
    assert not enabled["gone.ampacre"]


# dialogs --------------------------------------------------------------------------------------


def test_the_cautions_are_stated(qtbot):
    dialog = CautionsDialog("Before You Start", "I Understand")
    qtbot.addWidget(dialog)
    words = " ".join(
        label.text() for label in dialog.findChildren(QWidget) if hasattr(label, "text")
    )
    for caution in CAUTIONS:
        assert caution in words


def test_cautions_are_stated_at_the_first_start_only(program, monkeypatch):
    from ampacre_gui import app

    shown = []
    monkeypatch.setattr(
        CautionsDialog, "exec", lambda dialog: shown.append(dialog.windowTitle()) or 1
    )
    program.show_new()
    app._state_cautions_once(program)
    app._state_cautions_once(program)
    assert shown == ["Before You Start"]
    assert QSettings().value("cautions stated", False, type=bool)


def test_properties_are_entered_one_step_each(window, qtbot):
    dialog = PropertiesDialog(window.document, window)
    qtbot.addWidget(dialog)
    name = next(f for f in dialog._fields if f.spec.name == "name")
    dialog.show()
    name.editor.setFocus()
    name.editor.selectAll()
    QTest.keyClicks(name.editor, "Harrow")
    QTest.keyClick(name.editor, Qt.Key.Key_Return)
    assert dialog.isVisible()
    assert window.document.project.settings.name == "Harrow"
    units = next(f for f in dialog._fields if f.spec.name == "units")
    units.editor.entered.emit("metric")
    assert window.document.project.settings.units == "metric"
    assert [edit.label for edit in window.document.history.edits] == [
        "Change name of the project",
        "Change units of the project",
    ]


def test_properties_say_of_empty_fields_that_nothing_is_entered(window, qtbot):
    dialog = PropertiesDialog(window.document, window)
    qtbot.addWidget(dialog)
    tabs = dialog.findChild(QTabWidget)
    assert [tabs.tabText(at) for at in range(tabs.count())] == [
        "The Property", "Code, Units and Limits", "Permit and Utility",
    ]  # fmt: skip
    above = next(f for f in dialog._fields if f.spec.name == "review_above_a")
    assert above.editor.placeholderText() == "not entered (A)"
    assert tabs.widget(2).isAncestorOf(above)


def test_all_keys_are_listed(window, qtbot):
    dialog = KeysDialog(window.commands.all(), window)
    qtbot.addWidget(dialog)
    assert isinstance(dialog, QDialog)
    from PySide6.QtWidgets import QTreeWidget

    tree = dialog.findChild(QTreeWidget)
    listed = {tree.topLevelItem(row).text(0) for row in range(tree.topLevelItemCount())}
    for action in window.commands.all():
        if action.shortcuts():
            assert action.iconText().replace("&", "") in listed


def test_no_key_is_reserved_for_unicode_entry(window):
    """GNOME takes Ctrl+Shift with U and the digits and letters of a number (A to F) for that."""
    reserved = {f"Ctrl+Shift+{letter}" for letter in "ABCDEFU0123456789"}
    keys = itertools.chain.from_iterable(
        action.shortcuts() for action in window.findChildren(QAction)
    )
    assert not reserved & {key.toString(QKeySequence.SequenceFormat.PortableText) for key in keys}


def test_what_a_save_puts_right_is_said_no_longer(empty_window, tmp_path, monkeypatch):
    in_the_way = tmp_path / "file"
    in_the_way.write_text("")
    monkeypatch.setattr("ampacre_gui.journaling.place_for_untitled", lambda: in_the_way / "unsaved")
    window, bar = empty_window, empty_window._infobar
    window.commands.add_below("panel")
    assert bar.isVisible()
    assert "not kept" in bar.text
    window.document.save_as(tmp_path / "kept.ampacre")
    assert not bar.isVisible()
    window.document.trouble.emit("Something else")
    window.document.save()
    assert bar.isVisible()
