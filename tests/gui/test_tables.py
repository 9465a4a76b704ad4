"""The tables of runs and circuits: sound models, typing, the clipboard, sorting, balance."""

import pytest
from PySide6.QtCore import QPersistentModelIndex, QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester, QTest

from ampacre.model import records as r
from ampacre.model.edits import alter, connect, put, refeed, remove
from ampacre.quantity import NotUnderstood
from ampacre_gui.document import Document
from ampacre_gui.look import look
from ampacre_gui.selection import Selection
from ampacre_gui.tables.block import read_block, write_block
from ampacre_gui.tables.cells import Draft
from ampacre_gui.tables.circuits import CircuitsSheet
from ampacre_gui.tables.editor import CellEditor
from ampacre_gui.tables.model import Entry, TableModel
from ampacre_gui.tables.runs import RUN_COLUMNS, RunsSheet

FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal
NAMES = [column.name for column in RUN_COLUMNS]


def run_to(project, target):
    return next(run.id for run in project.runs.values() if run.target == target)


@pytest.fixture
def model(document):
    model = TableModel(RunsSheet(document))
    model.tester = QAbstractItemModelTester(model, FATAL)
    document.changed.connect(lambda _: model.renew())
    return model


@pytest.fixture
def circuits(document):
    sheet = CircuitsSheet(document)
    sheet.panel = "panel"
    model = TableModel(sheet)
    model.begin_anew()
    model.tester = QAbstractItemModelTester(model, FATAL)
    document.changed.connect(lambda _: model.renew())
    return model


def at(model, key, name):
    names = [column.name for column in model.sheet.columns]
    return model.index(model.row_of(key), names.index(name))


def words(model, name):
    names = [column.name for column in model.sheet.columns]
    return [model.index(row, names.index(name)).data() for row in range(model.rowCount())]


# the model of runs ----------------------------------------------------------------------------


def test_there_is_a_row_for_every_standing_run(model, document):
    assert words(model, "target") == ["M1", "P", "C1", "Barn"]
    document.do(put("", "stages", r.Stage(id="later", name="Later", order=1)))
    key = run_to(document.project, "barn")
    document.do(alter(document.project, "runs", key, until="work"))
    assert words(model, "target") == ["M1", "P", "C1"]


def test_the_model_stays_sound_under_edits(model, document):
    project = document.project
    document.do(put("", "equipment", r.Motor(id="pump", name="Pump", full_load_a=8.0)))
    pump, barn = document.project.equipment["pump"], document.project.equipment["barn"]
    document.do(connect(document.project, barn, pump))
    assert words(model, "target") == ["M1", "P", "C1", "Barn", "Pump"]
    run = document.project.runs[run_to(document.project, "barn")]
    document.do(refeed(document.project, run, document.project.equipment["meter"]))
    assert sorted(words(model, "target")) == ["Barn", "C1", "M1", "P", "Pump"]
    document.do(remove(document.project, ["panel"]))
    assert sorted(words(model, "target")) == ["Barn", "M1", "Pump"]
    for _ in range(4):
        document.undo()
    assert document.project == project
    assert words(model, "target") == ["M1", "P", "C1", "Barn"]


def test_changed_values_move_no_row_and_are_told(model, document):
    key = run_to(document.project, "barn")
    length = QPersistentModelIndex(at(model, key, "length_m"))
    model.sort(NAMES.index("length_m"))
    row, told, resets = length.row(), [], []
    model.dataChanged.connect(
        lambda first, last, roles=None: told.append((first.row(), last.row()))
    )
    model.modelReset.connect(lambda: resets.append(1))
    document.do(alter(document.project, "runs", key, length_m=60.0))
    assert length.isValid()
    assert length.row() == row
    assert length.data() == "196.9"
    assert any(first <= row <= last for first, last in told)
    assert not resets


def test_rows_that_say_nothing_new_are_not_told(model, document):
    told = []
    model.dataChanged.connect(lambda *_: told.append(1))
    document.do(alter(document.project, "equipment", "spare", bus_a=225.0))
    assert not told


def test_chosen_values_are_set_off_and_entered_ones_are_not(model, document):
    key = run_to(document.project, "charger")
    document.do(alter(document.project, "runs", key, length_m=60.0))
    size = at(model, key, "conductors.size")
    assert size.data()
    assert size.data(Qt.ItemDataRole.FontRole).italic()
    assert size.data(Qt.ItemDataRole.ToolTipRole).startswith("Chosen by the study")
    assert "chosen by the study" in size.data(Qt.ItemDataRole.AccessibleTextRole)
    assert size.data(Qt.ItemDataRole.EditRole) == ""
    assert model.setData(size, "3/0")
    assert size.data() == "3/0 AWG"
    assert size.data(Qt.ItemDataRole.FontRole) is None
    assert model.setData(size, "")
    assert document.project.runs[key].conductors.size is None


def test_what_is_worked_out_cannot_be_typed_over(model, document):
    row = model.row_of(run_to(document.project, "barn"))
    heads = ["From", "To", "Load, A", "Ampacity, A", "Drop, %", "Fault at end, kA", "Flag"]
    for column in range(model.columnCount()):
        head = model.headerData(column, Qt.Orientation.Horizontal)
        can_be = bool(model.flags(model.index(row, column)) & Qt.ItemFlag.ItemIsEditable)
        assert can_be == (head not in heads), head


def test_device_of_a_run_without_one_takes_nothing(model, document):
    key = run_to(document.project, "panel")
    index = at(model, key, "device.rating_a")
    assert not model.flags(index) & Qt.ItemFlag.ItemIsEditable
    assert not model.setData(index, "200")
    assert "no device of its own" in model.reason(index)


@pytest.mark.parametrize(
    ("name", "typed", "reason"),
    [
        ("length_m", "far", "such as 310 ft"),
        ("length_m", "20 A", "this wants a length"),
        ("length_m", "-3 ft", "at least 0 ft"),
        ("device.rating_a", "9000", "at most 6,000 A"),
        ("conductors.size", "5/0", "known are 14 AWG"),
        ("conductors.material", "gold", "known are copper, aluminum"),
        ("conductors.sets", "2.5", "whole number"),
        ("trade_size", "2.2 in", "not a trade size"),
    ],
)
def test_a_wrong_entry_is_kept_with_its_reason(model, document, name, typed, reason):
    project, index = document.project, at(model, run_to(document.project, "barn"), name)
    assert not model.setData(index, typed)
    assert document.project is project
    assert index.data() == typed
    assert reason in model.reason(index)
    assert reason in index.data(Qt.ItemDataRole.ToolTipRole)
    document.do(alter(document.project, "equipment", "barn", bus_a=125.0))
    assert index.data() == typed
    model.let_go(index)
    assert model.reason(index) == ""


@pytest.mark.parametrize(
    ("name", "typed", "value"),
    [
        ("conductors.size", "4/0", "4/0"),
        ("conductors.size", "250 kcmil", "250"),
        ("conductors.material", "Copper", "cu"),
        ("conductors.neutral", "no neutral", "none"),
        ("conductors.grounding", "the metal raceway", "raceway"),
        ("conductors.insulation", "xhhw-2", "XHHW-2"),
        ("raceway", "PVC conduit", "pvc"),
        ("trade_size", '2-1/2"', "2-1/2"),
        ("conductors.sets", "2", 2),
    ],
)
def test_choices_are_typed_by_value_or_words(model, document, name, typed, value):
    key = run_to(document.project, "barn")
    assert model.setData(at(model, key, name), typed)
    record = document.project.runs[key]
    for part in name.split("."):
        record = getattr(record, part)
    assert record == value


def test_sorting_and_sifting_keep_persistent_cells(model, document):
    for target, length in (("barn", 90.0), ("charger", 30.0)):
        key = run_to(document.project, target)
        document.do(alter(document.project, "runs", key, length_m=length))
    barn = QPersistentModelIndex(at(model, run_to(document.project, "barn"), "target"))
    model.sort(NAMES.index("length_m"))
    assert words(model, "target")[:2] == ["C1", "Barn"]
    model.sort(NAMES.index("length_m"), Qt.SortOrder.DescendingOrder)
    assert words(model, "target")[:2] == ["Barn", "C1"]
    model.sift("p barn")
    assert words(model, "target") == ["Barn"]
    assert barn.data() == "Barn"
    model.sift("")
    model.sort(-1)
    assert words(model, "target") == ["M1", "P", "C1", "Barn"]
    assert barn.row() == 3


def test_names_with_numbers_are_sorted_by_them(qapp):
    document = Document()
    document.do(put("", "equipment", r.Panel(id="p", name="P")))
    loads = [r.Load(id=f"l{n}", name=f"L-{n}", va=100.0) for n in (10, 2, 1)]
    document.do(put("", "equipment", *loads))
    runs = [r.Run(id=f"r{load.id}", source="p", target=load.id) for load in loads]
    document.do(put("", "runs", *runs))
    model = TableModel(RunsSheet(document))
    model.sort(NAMES.index("target"))
    assert words(model, "target") == ["L-1", "L-2", "L-10"]
    document.close()


def test_metric_projects_show_and_read_metric_cells(model, document):
    key = run_to(document.project, "barn")
    document.do(alter(document.project, "project", "project", units="metric"))
    section = NAMES.index("length_m")
    assert model.headerData(section, Qt.Orientation.Horizontal) == "Length, m"
    assert model.setData(at(model, key, "length_m"), "25")
    assert document.project.runs[key].length_m == 25.0
    assert at(model, key, "length_m").data() == "25"


# blocks ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "rows",
    [
        [["310", "4/0 AWG"], ["", "12' 6\""]],
        [['"quoted"', "two\nlines"], ["a\tb", "c"]],
        [[""]],
    ],
)
def test_blocks_read_back_as_written(rows):
    assert read_block(write_block(rows)) == [[cell.strip() for cell in row] for row in rows]


def test_blocks_of_other_programs_are_read():
    assert read_block("1\t2\r\n3\t4\r\n") == [["1", "2"], ["3", "4"]]
    assert read_block("") == []
    assert read_block("\0") == []


def test_a_draft_is_one_edit_and_leaves_the_project_alone(document):
    sheet, project = RunsSheet(document), document.project
    draft, key = Draft(project), run_to(document.project, "barn")
    columns = {column.name: column for column in sheet.columns}
    sheet.write(draft, key, columns["length_m"], "100")
    sheet.write(draft, key, columns["conductors.size"], "2")
    with pytest.raises(NotUnderstood):
        sheet.write(draft, key, columns["source"], "M1")
    (change,) = draft.edit("").changes
    assert change.after.length_m == pytest.approx(30.48)
    assert change.after.conductors.size == "2"
    assert document.project is project


# circuits -------------------------------------------------------------------------------------


def test_circuits_and_spare_spaces_have_rows(circuits):
    assert words(circuits, "spaces")[:4] == ["1, 3", "2, 4", "5", "6"]
    assert words(circuits, "feeds")[:3] == ["C1", "Barn", "spare"]
    assert words(circuits, "feeds")[-1].startswith("Connected")
    assert circuits.rowCount() == 2 + 26 + 1


def test_one_number_moves_a_circuit_and_keeps_its_poles(circuits, document):
    key = run_to(document.project, "charger")
    cell = QPersistentModelIndex(at(circuits, key, "spaces"))
    assert circuits.setData(at(circuits, key, "spaces"), "9")
    assert document.project.runs[key].spaces == (9, 11)
    assert cell.data() == "9, 11"
    assert words(circuits, "feeds")[:3] == ["spare", "Barn", "spare"]
    document.undo()
    assert cell.data() == "1, 3"
    assert cell.row() == 0


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("2", "is taken twice"),
        ("29", "has spaces 1 to 30"),
        ("three", "not understood"),
        ("", "is wanted"),
    ],
)
def test_spaces_that_cannot_be_are_refused(circuits, document, typed, reason):
    key = run_to(document.project, "charger")
    assert not circuits.setData(at(circuits, key, "spaces"), typed)
    assert reason in circuits.reason(at(circuits, key, "spaces"))
    assert document.project.runs[key].spaces == (1, 3)


def spare(model, space, name):
    names = [column.name for column in model.sheet.columns]
    column = names.index("spaces")
    shown = [model.index(row, column).data() for row in range(model.rowCount())]
    row = shown.index(str(space))
    return model.index(row, names.index(name))


def test_a_name_typed_into_a_spare_row_adds_a_load(circuits, document):
    before = document.project
    assert circuits.setData(spare(circuits, 7, "feeds"), "Gate light")
    (run,) = (run for run in document.project.runs.values() if run.spaces == (7,))
    piece = document.project.equipment[run.target]
    assert (piece.name, type(piece), run.source) == ("Gate light", r.Load, "panel")
    assert document.history.peek_undo().label == "Add load Gate light to P"
    document.undo()
    assert document.project == before


def test_a_kind_typed_into_a_spare_row_takes_the_spaces_it_needs(circuits, document):
    assert circuits.setData(spare(circuits, 10, "kind"), "charger")
    (run,) = (run for run in document.project.runs.values() if run.spaces == (10, 12))
    assert isinstance(document.project.equipment[run.target], r.Charger)
    assert not circuits.setData(spare(circuits, 8, "kind"), "charger")
    assert "spaces 8 and 10" in circuits.reason(spare(circuits, 8, "kind"))
    assert not circuits.setData(spare(circuits, 8, "kind"), "toaster")
    assert "known are" in circuits.reason(spare(circuits, 8, "kind"))


def test_the_panel_follows_what_is_selected(orchard):
    sheet = CircuitsSheet(orchard.document)
    project = orchard.document.project
    named = {piece.name: key for key, piece in project.equipment.items()}
    assert sheet.panel_of(named["Farmhouse"]) == named["Farmhouse"]
    assert sheet.panel_of(named["C1"]) == named["Farmhouse"]
    assert sheet.panel_of(run_to(project, named["C1"])) == named["Farmhouse"]
    assert sheet.panel_of(named["ATS"]) == named["S1"]
    assert sheet.panel_of(named["Utility line"]) == ""
    assert sheet.panel_of(None) == ""


def test_the_circuit_to_what_is_selected_comes_into_view(orchard, qapp):
    project, panel = orchard.document.project, orchard.circuits
    named = {piece.name: key for key, piece in project.equipment.items()}
    orchard._docks.show("circuits")

    def row_shown(name):
        orchard.selection.only(named[name])
        qapp.processEvents()
        index = panel.grid.currentIndex()
        assert panel.grid.viewport().rect().intersects(panel.grid.visualRect(index))
        return panel.model.element(index.row())

    for name, panel_name in (("C1", "Farmhouse"), ("ATS", "S1")):
        circuit = project.runs[row_shown(name)]
        assert (circuit.source, circuit.target) == (named[panel_name], named[name])
        assert orchard.selection.ids == (named[name],)
    # what hangs from a piece of the panel is reached by the circuit to that piece
    below = next(
        run.target
        for run in project.runs.values()
        if run.source == named["ATS"] and panel._sheet.panel_of(run.target) == run.target
    )
    panel._sheet.panel = named["S1"]
    assert panel._sheet.circuit_to(below) == circuit.id
    assert panel._sheet.circuit_to(named["Utility line"]) == ""
    # a cell that is chosen stays when the project changes
    spare_row = next(at for at in range(panel.model.rowCount()) if not panel.model.element(at))
    panel.grid.setCurrentIndex(panel.model.index(spare_row, 1))
    orchard.document.do(alter(project, "project", "project", ambient_c=35.0))
    qapp.processEvents()
    assert panel.grid.currentIndex().row() == spare_row


@pytest.mark.parametrize("make", [RunsSheet, CircuitsSheet])
def test_all_cells_of_a_sample_can_be_read(orchard, make):
    model = TableModel(make(orchard.document))
    model.tester = QAbstractItemModelTester(model, FATAL)
    for row in range(model.rowCount()):
        for column in range(model.columnCount()):
            index = model.index(row, column)
            assert isinstance(index.data(), str)
            assert model.note(index)


# in the window --------------------------------------------------------------------------------


@pytest.fixture
def runs(window, qapp):
    window.activateWindow()
    window.commands["runs"].trigger()
    qapp.processEvents()
    return window.runs


def go(panel, key, name):
    index = at(panel.model, key, name)
    panel.grid.scrollTo(index)
    where = panel.grid.visualRect(index).center()
    QTest.mouseClick(panel.grid.viewport(), Qt.MouseButton.LeftButton, pos=where)
    assert panel.grid.currentIndex() == index
    return index


def editor_of(panel):
    """The editor that is open; those before it are deleted a moment later."""
    (editor,) = (each for each in panel.grid.findChildren(CellEditor) if each.isVisible())
    return editor


def type_in(panel, text, end=Qt.Key.Key_Return):
    grid = panel.grid
    QTest.keyClick(grid.viewport(), text[0])
    editor = editor_of(panel)
    QTest.keyClicks(editor, text[1:])
    QTest.keyClick(editor, end)


def test_a_length_is_typed_and_enter_goes_down(window, runs, qapp):
    key = run_to(window.document.project, "charger")
    index = go(runs, key, "length_m")
    type_in(runs, "310 ft")
    assert window.document.project.runs[key].length_m == pytest.approx(94.488)
    assert window.document.history.peek_undo().label == "Change length of run to C1"
    assert runs.grid.currentIndex().row() == index.row() + 1
    qapp.processEvents()
    assert index.data() == "310"
    type_in(runs, "20 m", Qt.Key.Key_Tab)
    assert window.document.project.runs[run_to(window.document.project, "barn")].length_m == 20.0
    assert runs.grid.currentIndex().column() == index.column() + 1
    window.commands["undo"].trigger()
    window.commands["undo"].trigger()
    assert window.document.project.runs[key].length_m is None


def test_a_wrong_entry_stays_in_the_cell_until_it_is_put_right(window, runs, qapp):
    key = run_to(window.document.project, "charger")
    index = go(runs, key, "length_m")
    type_in(runs, "far")
    assert window.document.project.runs[key].length_m is None
    assert runs.grid.currentIndex() == index
    assert index.data() == "far"
    assert "such as 310 ft" in runs.note.text()
    QTest.keyClick(runs.grid, Qt.Key.Key_F2)
    editor = editor_of(runs)
    assert editor.text() == "far"
    editor.selectAll()
    QTest.keyClicks(editor, "45")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    assert window.document.project.runs[key].length_m == pytest.approx(13.716)
    assert runs.model.reason(index) == ""


def test_escape_takes_a_wrong_entry_back(window, runs):
    index = go(runs, run_to(window.document.project, "charger"), "length_m")
    type_in(runs, "far")
    QTest.keyClick(runs.grid, Qt.Key.Key_Escape)
    assert index.data() == ""


def test_an_editor_left_untouched_changes_nothing(window, runs):
    project = window.document.project
    index = go(runs, run_to(project, "charger"), "conductors.size")
    assert index.data()
    QTest.keyClick(runs.grid, Qt.Key.Key_F2)
    QTest.keyClick(editor_of(runs), Qt.Key.Key_Return)
    assert window.document.project is project


def select(panel, key, name, rows, columns):
    first = go(panel, key, name)
    for _ in range(rows - 1):
        QTest.keyClick(panel.grid, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    for _ in range(columns - 1):
        QTest.keyClick(panel.grid, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    return first


def test_a_block_is_pasted_as_one_edit_and_undone_as_one(window, runs, qapp):
    before = window.document.project
    key = run_to(before, "panel")
    QGuiApplication.clipboard().setText("10\t\r\n100 ft\t60\r\n50 m\t100 A\r\n")
    go(runs, key, "length_m")
    QTest.keyClick(runs.grid, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    after = window.document.project
    charger, barn = (after.runs[run_to(after, each)] for each in ("charger", "barn"))
    assert after.runs[key].length_m == pytest.approx(3.048)
    assert (charger.length_m, charger.device) == (pytest.approx(30.48), r.Device(rating_a=60.0))
    assert (barn.length_m, barn.device) == (50.0, r.Device(rating_a=100.0))
    qapp.processEvents()
    assert len(window.document.history.edits) == 1
    QTest.keyClick(runs.grid, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.document.project == before


def test_a_block_with_a_wrong_cell_changes_nothing_and_says_which(window, runs):
    before = window.document.project
    QGuiApplication.clipboard().setText("10\n100 ft\nfar\n")
    go(runs, run_to(before, "panel"), "length_m")
    QTest.keyClick(runs.grid, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert window.document.project is before
    assert "Row 4, run to Barn, length:" in runs.note.text()
    assert "such as 310 ft" in runs.note.text()


@pytest.mark.parametrize(
    ("typed", "more"),
    [("10\nfar\nfar\n", "One more cell is wrong."), ("far\nfar\nfar\n", "2 more cells")],
)
def test_a_block_with_several_wrong_cells_counts_them(window, runs, typed, more):
    QGuiApplication.clipboard().setText(typed)
    go(runs, run_to(window.document.project, "panel"), "length_m")
    QTest.keyClick(runs.grid, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert more in runs.note.text()


@pytest.mark.parametrize("key", [Qt.Key.Key_X, Qt.Key.Key_F2])
@pytest.mark.parametrize(("name", "why"), [("target", "Feed From"), ("flag", "worked out")])
def test_typing_into_a_cell_that_takes_nothing_says_why(window, runs, key, name, why):
    before = window.document.project
    index = go(runs, run_to(before, "panel"), name)
    QTest.keyClick(runs.grid, key)
    assert why in runs.note.text()
    assert runs.grid.currentIndex() == index
    assert window.document.project is before


def test_a_block_that_does_not_fit_changes_nothing(window, runs):
    before = window.document.project
    QGuiApplication.clipboard().setText("10\n10\n10\n")
    go(runs, run_to(before, "barn"), "length_m")
    QTest.keyClick(runs.grid, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert window.document.project is before
    assert "would reach to row 6" in runs.note.text()


def test_copied_cells_have_all_digits(window, runs, qapp):
    document = window.document
    key = run_to(document.project, "charger")
    document.do(alter(document.project, "runs", key, length_m=30.0))
    qapp.processEvents()
    select(runs, key, "length_m", 2, 4)
    QTest.keyClick(runs.grid, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    lines = read_block(QGuiApplication.clipboard().text())
    assert [len(line) for line in lines] == [4, 4]
    assert float(lines[0][0]) * 0.3048 == pytest.approx(30.0, rel=1e-11)


def test_whole_rows_are_copied_with_their_heads_and_come_back_as_they_are(window, runs, qapp):
    """A table that went to a spreadsheet and back does not fix what the study chose."""
    document = window.document
    key = run_to(document.project, "charger")
    document.do(alter(document.project, "runs", key, length_m=30.0))
    qapp.processEvents()
    runs.grid.setFocus()
    QTest.keyClick(runs.grid, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(runs.grid, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    heads, *lines = read_block(QGuiApplication.clipboard().text())
    assert heads[:3] == ["From", "To", "Length, ft"]
    assert [line[:2] for line in lines][2:] == [["P", "C1"], ["P", "Barn"]]
    project = document.project
    QTest.keyClick(runs.grid, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert document.project is project
    lines[2][heads.index("Size")] = "2 AWG"
    QGuiApplication.clipboard().setText(write_block([heads, *lines]))
    QTest.keyClick(runs.grid, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert document.project.runs[key].conductors == r.Conductors(size="2")


def test_one_cell_fills_all_that_are_selected_and_fill_down_too(window, runs):
    document = window.document
    QGuiApplication.clipboard().setText("copper")
    key = run_to(document.project, "charger")
    select(runs, key, "conductors.material", 2, 1)
    QTest.keyClick(runs.grid, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    made = [document.project.runs[run_to(document.project, to)] for to in ("charger", "barn")]
    assert [run.conductors.material for run in made] == ["cu", "cu"]
    runs.renew()
    document.do(alter(document.project, "runs", key, length_m=30.0))
    runs.renew()
    select(runs, key, "length_m", 2, 1)
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    QTest.keyClick(runs.grid, Qt.Key.Key_D, both)
    assert document.project.runs[run_to(document.project, "barn")].length_m == pytest.approx(30.0)


def test_delete_clears_cells_and_removes_no_run(window, runs):
    document = window.document
    key = run_to(document.project, "charger")
    document.do(alter(document.project, "runs", key, length_m=30.0))
    runs.renew()
    select(runs, key, "length_m", 1, 1)
    assert window.selection.ids == (key,)
    QTest.keyClick(runs.grid, Qt.Key.Key_Delete)
    assert document.project.runs[key].length_m is None
    assert key in document.project.runs
    go(runs, key, "calculated_a")
    QTest.keyClick(runs.grid, Qt.Key.Key_Delete)
    assert "Nothing here can be cleared" in runs.note.text()


def test_rows_are_the_selection_of_the_window(window, runs, qapp):
    charger, barn = (run_to(window.document.project, each) for each in ("charger", "barn"))
    select(runs, charger, "length_m", 2, 1)
    assert set(window.selection.ids) == {charger, barn}
    window.selection.only(barn)
    qapp.processEvents()
    assert runs.grid.currentIndex().row() == runs.model.row_of(barn)
    assert [index.row() for index in runs.grid.selectedIndexes()] == [runs.model.row_of(barn)]
    QTest.keyClick(runs.grid, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    assert [index.column() for index in runs.grid.selectedIndexes()] == [2, 2]


def test_a_row_that_comes_leaves_the_selection_of_the_window_alone(window, runs, qapp):
    document = window.document
    go(runs, run_to(document.project, "barn"), "length_m")
    lamp = r.Load(id="lamp", name="A lamp", va=100.0, since="work")
    document.do(put("", "equipment", lamp))
    edit = connect(document.project, document.project.equipment["meter"], lamp)
    document.do(edit)
    window.selection.only("lamp")
    qapp.processEvents()
    assert runs.model.row_of(run_to(document.project, "lamp")) >= 0
    assert window.selection.ids == ("lamp",)
    window.commands["undo"].trigger()
    qapp.processEvents()
    assert run_to(document.project, "barn") not in window.selection.ids


def test_the_tint_of_selected_rows_leaves_the_colour_of_selection_alone(window, runs):
    go(runs, run_to(window.document.project, "barn"), "length_m")
    runs.grid.grab()
    assert look().select.alpha() == 255


def test_the_filter_shows_rows_with_these_words(window, runs):
    go(runs, run_to(window.document.project, "barn"), "length_m")
    QTest.keyClick(runs.grid, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    assert runs.filter.hasFocus()
    QTest.keyClicks(runs.filter, "barn")
    assert words(runs.model, "target") == ["Barn"]
    runs.filter.clear()
    assert runs.model.rowCount() == 4


def test_the_run_that_feeds_a_selected_piece_is_at_hand(window, runs, qapp):
    window.selection.only("barn")
    qapp.processEvents()
    row = runs.grid.currentIndex().row()
    assert runs.model.element(row) == run_to(window.document.project, "barn")
    assert window.selection.ids == ("barn",)


def test_from_the_circuits_is_found_in_the_drawing(window, qapp):
    window.activateWindow()
    window.commands["circuits"].trigger()
    qapp.processEvents()
    QTest.keyClick(window.circuits.grid, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    assert window.find_bar.line.hasFocus()


def test_choices_are_offered_while_typing(window, runs, qtbot):
    key = run_to(window.document.project, "barn")
    go(runs, key, "conductors.insulation")
    QTest.keyClick(runs.grid, Qt.Key.Key_F2)
    editor = editor_of(runs)
    QTest.keyClick(editor, Qt.Key.Key_Down)
    popup = editor.completer().popup()
    assert popup.isVisible()
    QTest.keyClick(popup, Qt.Key.Key_Down)
    chosen = popup.currentIndex().data()
    QTest.keyClick(popup, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.document.project.runs[key].conductors.insulation == chosen)


def test_a_head_sorts_and_gives_the_order_back(window, runs):
    heads = runs.grid.horizontalHeader()
    x = heads.sectionViewportPosition(1) + 10
    orders = []
    for _ in range(3):
        QTest.mouseClick(heads.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(x, 8))
        orders.append(words(runs.model, "target"))
    assert orders == [
        ["Barn", "C1", "M1", "P"], ["P", "M1", "C1", "Barn"], ["M1", "P", "C1", "Barn"],
    ]  # fmt: skip


def test_legs_are_balanced_by_a_command_and_undone(window, qapp):
    document = window.document
    for name, space in (("Lights", 5), ("Outlets", 6)):
        load = r.Load(id=name, name=name, va=1200.0, since="work")
        run = r.Run(
            id=f"to {name}".replace(" ", "-"), source="panel", target=name, role="branch",
            spaces=(space,), since="work",
        )  # fmt: skip
        document.do(put("", "equipment", load).then(put("", "runs", run)))
    before = document.project
    window.selection.only("panel")
    qapp.processEvents()
    window.commands["balance"].trigger()
    after = {run.target: run.spaces for run in document.project.runs.values()}
    assert {after["Lights"], after["Outlets"]} - {(5,), (6,)}
    assert after["charger"] == (1, 3)
    assert "differed by" in window.circuits.note.text()
    window.commands["balance"].trigger()
    assert "as even as" in window.circuits.note.text()
    window.selection.only("barn")
    qapp.processEvents()
    assert "as even as" not in window.circuits.note.text()
    document.undo()
    assert document.project == before


def test_names_and_kinds_are_pasted_into_spare_rows_as_one_edit(window, qapp):
    before = window.document.project
    window.selection.only("panel")
    window.commands["circuits"].trigger()
    qapp.processEvents()
    grid, model = window.circuits.grid, window.circuits.model
    index = spare(model, 9, "feeds")
    grid.scrollTo(index)
    where = grid.visualRect(index).center()
    QTest.mouseClick(grid.viewport(), Qt.MouseButton.LeftButton, pos=where)
    QGuiApplication.clipboard().setText("Yard pump\tmotor\nGate light\tload\n")
    QTest.keyClick(grid, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    after = window.document.project
    made = {after.equipment[run.target].name: run for run in after.runs.values()}
    assert made["Yard pump"].spaces == (9, 11)
    assert made["Gate light"].spaces == (10,)
    assert isinstance(after.equipment[made["Yard pump"].target], r.Motor)
    assert len(window.document.history.edits) == 1
    window.commands["undo"].trigger()
    assert window.document.project == before


def test_two_circuits_change_places_by_pasting(circuits, document):
    charger, barn = (run_to(document.project, each) for each in ("charger", "barn"))
    entries = [
        Entry(circuits.row_of(key), 0, text) for key, text in ((charger, "2, 4"), (barn, "1, 3"))
    ]
    assert circuits.type_all(entries, "Paste into cells") == ""
    assert document.project.runs[charger].spaces == (2, 4)
    assert document.project.runs[barn].spaces == (1, 3)
    taken = [Entry(circuits.row_of(charger), 0, "1")]
    assert "taken twice" in circuits.type_all(taken, "Paste into cells")


def test_the_chooser_shows_another_panel(window, qapp):
    window.commands["circuits"].trigger()
    qapp.processEvents()
    circuits = window.circuits
    assert [circuits.panel.itemText(at) for at in range(circuits.panel.count())] == [
        "Barn", "P", "Spare",
    ]  # fmt: skip
    circuits.panel.setFocus()
    QTest.keyClick(circuits.panel, Qt.Key.Key_End)
    circuits.panel.activated.emit(circuits.panel.currentIndex())
    assert circuits._sheet.panel == "spare"
    window.selection.only("charger")
    qapp.processEvents()
    assert circuits.panel.currentText() == "P"
    circuit = run_to(window.document.project, "charger")
    assert circuits.grid.currentIndex().row() == circuits.model.row_of(circuit)


def test_tables_have_names_for_screen_readers(window, runs):
    assert runs.grid.accessibleName() == "Runs"
    assert window.circuits.grid.accessibleName() == "Circuits of a panel"
    go(runs, run_to(window.document.project, "barn"), "length_m")
    QTest.keyClick(runs.grid, Qt.Key.Key_F2)
    assert editor_of(runs).accessibleName() == "Length, ft"


def test_a_selection_without_rows_leaves_the_table_alone(qapp, document):
    selection = Selection()
    selection.only("spare")
    model = TableModel(RunsSheet(document))
    assert model.row_of("spare") == -1
