"""The outline: a sound model that says and does all that the canvas does."""

import pytest
from PySide6.QtCore import QMimeData, QModelIndex, Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QLineEdit

from ampacre.model import records as r
from ampacre.model.edits import alter, put, refeed, remove
from ampacre_gui.document import Document
from ampacre_gui.dragging import KIND, PIECE
from ampacre_gui.panels.outline_model import KEY, OutlineModel


def lines(model, parent=None, depth=0):
    parent = parent or QModelIndex()
    for row in range(model.rowCount(parent)):
        index = model.index(row, 0, parent)
        yield depth, index.data()
        yield from lines(model, index, depth + 1)


def planted(document):
    model = OutlineModel(document)
    model.renew(frozenset(), shape=True)
    return model


@pytest.fixture
def model(document):
    model = planted(document)
    model.tester = QAbstractItemModelTester(
        model, QAbstractItemModelTester.FailureReportingMode.Fatal
    )
    document.changed.connect(
        lambda news: model.renew(
            news.altered, shape=news.topology or bool(news.added or news.removed)
        )
    )
    return model


def test_the_tree_follows_the_supply(model):
    assert list(lines(model)) == [
        (0, "Utility"), (1, "M1"), (2, "P"), (3, "C1"), (3, "Barn"), (0, "Spare"),
    ]  # fmt: skip


def test_the_model_stays_sound_under_edits(model, document):
    project = document.project
    document.do(put("", "equipment", r.Motor(id="pump", name="Pump")))
    run = next(run for run in project.runs.values() if run.target == "barn")
    document.do(refeed(document.project, run, document.project.equipment["meter"]))
    document.do(remove(document.project, ["panel"]))
    document.do(alter(document.project, "equipment", "meter", name="Meter"))
    assert (1, "Meter") in list(lines(model))
    for _ in range(4):
        document.undo()
    assert document.project == project
    assert (3, "Barn") in list(lines(model))


def test_every_piece_has_one_line(orchard):
    model = orchard.outline._model
    project = orchard.document.project
    assert len(list(lines(model))) == len(project.equipment)
    for key in project.equipment:
        assert model.index_of(key).data(KEY) == key


def test_a_line_says_itself_in_words(orchard):
    model, project = orchard.outline._model, orchard.document.project
    panel = next(p for p in project.equipment.values() if p.name == "S1")
    words = model.index_of(panel.id).data(Qt.ItemDataRole.AccessibleTextRole)
    assert words.startswith("Panel S1, 400 A, new, fed from M1, load 393 A")
    assert "violation" in words


def test_loops_and_rivals_do_not_lose_a_piece(qapp):
    """Two sources on one panel, and a loop between two panels below it."""
    document = Document()
    pieces = (
        r.UtilitySource(id="u1", name="U1", system="120/240"),
        r.UtilitySource(id="u2", name="U2", system="120/240"),
        r.Panel(id="a", name="A"),
        r.Panel(id="b", name="B"),
        r.Panel(id="c", name="C"),
    )
    runs = (
        r.Run(id="1", source="u1", target="a"),
        r.Run(id="2", source="u2", target="a"),
        r.Run(id="3", source="a", target="b"),
        r.Run(id="4", source="a", target="c"),
        r.Run(id="5", source="b", target="c"),
    )
    assert document.do(put("", "equipment", *pieces))
    assert document.do(put("", "runs", *runs))
    assert sorted(name for _, name in lines(planted(document))) == ["A", "B", "C", "U1", "U2"]
    document.close()


def test_selection_is_shared_both_ways(window, qapp):
    window.selection.only("barn")
    assert window.outline.currentIndex().data(KEY) == "barn"
    window.outline.setCurrentIndex(window.outline._model.index_of("meter"))
    assert window.selection.ids == ("meter",)
    assert window.canvas.drawing.item("meter").selected
    assert not window.canvas.drawing.item("barn").selected


def selected_keys(outline):
    return {index.data(KEY) for index in outline.selectionModel().selectedRows()}


def test_any_selection_is_shown_as_whole_lines_in_few_ranges(orchard):
    outline, pieces = orchard.outline, list(orchard.document.project.equipment)
    runs = {run.target: key for key, run in orchard.document.project.runs.items()}
    for chosen in (pieces, pieces[::2], pieces[::3], list(reversed(pieces[:7])), []):
        orchard.selection.set(chosen)
        assert selected_keys(outline) == set(chosen)
        # whoever selects a run means the line of what it leads to
        orchard.selection.set([runs.get(key, key) for key in chosen])
        assert selected_keys(outline) == set(chosen)
    orchard.selection.set(pieces)
    parents = {index.parent() for index in outline.selectionModel().selectedRows()}
    assert len(outline.selectionModel().selection()) == len(parents)


def test_selecting_all_lines_selects_every_piece_once(orchard):
    orchard.outline.setFocus()
    orchard.outline.selectAll()
    chosen = orchard.selection.ids
    assert len(chosen) == len(set(chosen))
    assert set(chosen) == set(orchard.document.project.equipment)


def test_arrow_keys_in_the_outline_select(window):
    window.selection.only("meter")
    window.outline.setFocus()
    QTest.keyClick(window.outline, Qt.Key.Key_Down)
    assert window.selection.ids == ("panel",)


def test_a_name_is_typed_over_in_place(window, qtbot):
    window.selection.only("barn")
    window.outline.setFocus()
    window.outline.edit_name()
    editor = window.outline.findChild(QLineEdit)
    editor.selectAll()
    QTest.keyClicks(editor, "Press barn")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.document.project.equipment["barn"].name == "Press barn")
    assert window.document.history.peek_undo().label.startswith("Change name")


@pytest.mark.parametrize(("typed", "said"), [(" ", "Enter a name"), ("x" * 121, "at most 120")])
def test_a_name_that_no_file_or_finding_could_hold_is_refused(window, qtbot, typed, said):
    name = window.document.project.equipment["barn"].name
    window.selection.only("barn")
    window.outline.setFocus()
    window.outline.edit_name()
    editor = window.outline.findChild(QLineEdit)
    editor.selectAll()
    QTest.keyClicks(editor, typed)
    with qtbot.waitSignal(window.document.trouble) as told:
        QTest.keyClick(editor, Qt.Key.Key_Return)
    assert said in told.args[0]
    assert window.document.project.equipment["barn"].name == name


def test_dropping_a_kind_on_a_line_adds_below_it(model, document):
    data = QMimeData()
    data.setData(KIND, b"charger|new")
    intent = model.intent_of(data, model.index_of("barn"))
    assert document.do(intent.edit)
    assert model.index_of(intent.selects).parent().data() == "Barn"


def test_dropping_a_line_on_another_feeds_it_from_there(model, document):
    data = model.mimeData([model.index_of("barn")])
    assert data.hasFormat(PIECE)
    intent = model.intent_of(data, model.index_of("meter"))
    assert intent.words == "Feed Barn from M1 instead of P"
    assert document.do(intent.edit)
    assert model.index_of("barn").parent().data() == "M1"


def test_folded_lines_stay_folded_when_the_tree_changes(window, qtbot):
    outline = window.outline
    outline.collapse(outline._model.index_of("panel"))
    window.document.do(put("", "equipment", r.Motor(id="pump", name="Pump")))
    qtbot.waitUntil(lambda: outline._model.index_of("pump").isValid())
    assert not outline.isExpanded(outline._model.index_of("panel"))
    assert outline.isExpanded(outline._model.index_of("meter"))


def test_only_lines_that_say_something_new_are_told(model, document):
    told = []
    model.dataChanged.connect(lambda first, last, roles=None: told.append(first.data(KEY)))
    document.do(alter(document.project, "equipment", "spare", bus_a=225.0))
    assert told == ["spare"]
    told.clear()
    document.do(alter(document.project, "project", "project", units="metric"))
    assert len(told) == len(document.project.equipment)


def test_a_narrow_outline_keeps_its_names(orchard, qtbot):
    outline, dock = orchard.outline, orchard._docks["outline"]
    orchard.resizeDocks([dock], [320], Qt.Orientation.Horizontal)
    qtbot.waitUntil(lambda: outline.viewport().width() > 280)
    assert not outline.isColumnHidden(1)
    orchard.resizeDocks([dock], [200], Qt.Orientation.Horizontal)
    qtbot.waitUntil(lambda: outline.width() < 240)
    assert outline.isColumnHidden(1)
    assert outline.columnWidth(0) > 150
