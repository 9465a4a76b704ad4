"""The panel of what only the eye can tell: its model, its keys, and what an answer does."""

import pytest
from PySide6.QtCore import QDate, QModelIndex, Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest

from ampacre.model import records as r
from ampacre.model.edits import alter, put, remove
from ampacre.rules.questions import answered, asked
from ampacre.rules.rule import RULES
from ampacre_gui.panels.checklist_model import LINE, ChecklistModel
from ampacre_gui.panels.checklist_page import ChecklistPage


@pytest.fixture
def model(qapp):
    model = ChecklistModel()
    model.tester = QAbstractItemModelTester(
        model, QAbstractItemModelTester.FailureReportingMode.Warning
    )
    return model


def indexes(model):
    tops = (model.index(row, 0) for row in range(model.rowCount()))
    return [model.index(row, 0, top) for top in tops for row in range(model.rowCount(top))]


def lines_of(model):
    return [at.data(LINE) for at in indexes(model)]


def take(model, document, wanted="open", grouping="place"):
    model.show_lines(document.project, tuple(asked(document.study)), wanted, grouping)
    return lines_of(model)


def headings(model):
    return [model.index(row, 0).data() for row in range(model.rowCount())]


def answer(document, line, value="yes", note=""):
    edit = answered(document.project, line.question, line.where, value, note)
    assert document.do(edit)


@pytest.mark.parametrize("grouping", ["place", "topic"])
def test_every_open_question_has_one_line(model, document, grouping):
    lines = take(model, document, grouping=grouping)
    told = sorted((line.question, line.where) for line in lines)
    assert told == sorted((q.question, q.where) for q in document.review.questions)
    assert told


def test_places_are_structures_and_else_the_pieces_themselves(model, document):
    document.do(put("", "structures", r.Structure(id="shed", name="Shed")))
    document.do(alter(document.project, "equipment", "barn", structure="shed"))
    take(model, document)
    titles = [title.split("  ")[0] for title in headings(model)]
    assert "Shed" in titles
    assert "P" in titles
    assert "Barn" not in titles


def test_topics_are_those_of_the_rules(model, document):
    lines = take(model, document, grouping="topic")
    titles = {title.split("  ")[0].lower() for title in headings(model)}
    assert titles == {RULES[line.question].topic for line in lines}


@pytest.mark.parametrize("grouping", ["place", "topic"])
@pytest.mark.parametrize("wanted", ["open", "answered", "all"])
def test_the_model_stays_sound_under_answers_and_edits(model, document, wanted, grouping):
    first, *_, last = take(model, document, "all", grouping)
    before = take(model, document, wanted, grouping)
    answer(document, first)
    answer(document, last, "no", "gone")
    take(model, document, wanted, grouping)
    document.do(put("", "equipment", r.Panel(id="fresh", name="Fresh")))
    take(model, document, wanted, grouping)
    document.do(remove(document.project, ["barn"]))
    take(model, document, wanted, grouping)
    for _ in range(4):
        document.undo()
        take(model, document, wanted, grouping)
    assert take(model, document, wanted, grouping) == before
    take(model, document, wanted, "topic" if grouping == "place" else "place")


def test_a_line_that_goes_leaves_the_others_where_they_are(model, document):
    lines = take(model, document)
    resets = []
    model.modelReset.connect(lambda: resets.append(1))
    kept = model.index_of(lines[-1].question, lines[-1].where)
    persistent = [at for at in (kept,) if at.isValid()]
    answer(document, lines[0])
    assert take(model, document) == lines[1:]
    assert not resets
    assert persistent[0].data(LINE) == lines[-1]


def test_an_answer_to_what_is_no_longer_asked_is_still_shown(model, document):
    stray = r.Answer(id="a", question="panel-directory", where="charger", value="yes")
    document.do(put("", "answers", stray))
    (line,) = take(model, document, "answered")
    assert not line.stands
    assert (
        "no longer asked" in model.index_of("panel-directory", "charger").siblingAtColumn(1).data()
    )


# the panel -------------------------------------------------------------------------------------


@pytest.fixture
def panel(window, qtbot):
    window._docks["checklist"].raise_()
    qtbot.waitUntil(lambda: window.checklist.model.rowCount() > 0)
    window.checklist.list.setFocus()
    return window.checklist


def shown(panel):
    return lines_of(panel.model)


def choose(panel, value, box="wanted"):
    combo = getattr(panel, box)
    combo.setCurrentIndex(combo.findData(value))


def test_questions_are_not_gone_over_while_nobody_looks(window, qtbot):
    window.document.do(put("", "equipment", r.Panel(id="fresh", name="Fresh")))
    qtbot.wait(250)
    assert window.document.review._questions is None
    assert window.checklist.model.rowCount() == 0
    assert window._docks["checklist"].windowTitle() == "To See on Site"


def test_the_tab_counts_what_is_open(window, panel):
    count = len(window.document.review.questions)
    assert window._docks["checklist"].windowTitle() == f"To See on Site ({count})"
    QTest.keyClick(panel.list, Qt.Key.Key_Y)
    assert window._docks["checklist"].windowTitle() == f"To See on Site ({count - 1})"


@pytest.mark.parametrize(
    ("key", "value"),
    [(Qt.Key.Key_Y, "yes"), (Qt.Key.Key_N, "no"), (Qt.Key.Key_U, "unknown")],
)
def test_a_key_answers_and_goes_on_to_the_next(window, panel, key, value):
    first, second, *_ = shown(panel)
    QTest.keyClick(panel.list, key)
    (record,) = window.document.project.answers.values()
    assert (record.question, record.where, record.value) == (first.question, first.where, value)
    assert panel.current() == second
    assert len(window.document.history.edits) == 1


def test_no_is_a_finding_at_once_and_undo_takes_both_back(window, panel, qtbot):
    first = shown(panel)[0]
    QTest.keyClick(panel.list, Qt.Key.Key_N)
    assert any(f.rule == first.question for f in window.document.review.findings)
    window.document.undo()
    assert not any(f.rule == first.question for f in window.document.review.findings)
    qtbot.waitUntil(lambda: first in shown(panel))


def test_the_last_open_question_can_be_answered(window, panel):
    for _ in range(len(shown(panel))):
        QTest.keyClick(panel.list, Qt.Key.Key_Y)
    assert shown(panel) == []
    assert "has been answered" in panel.page.question.text()
    assert not panel.page.note.isVisible()
    QTest.keyClick(panel.list, Qt.Key.Key_Y)
    assert len(window.document.history.edits) == len(window.document.project.answers)


def test_enter_opens_the_note_and_enter_keeps_it(window, panel):
    QTest.keyClick(panel.list, Qt.Key.Key_N)
    choose(panel, "answered")
    panel.list.setFocus()
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    assert panel.page.note.hasFocus()
    QTest.keyClicks(panel.page.note, "label fell off")
    QTest.keyClick(panel.page.note, Qt.Key.Key_Return)
    (record,) = window.document.project.answers.values()
    assert (record.value, record.note) == ("no", "label fell off")
    assert panel.list.hasFocus()
    assert any("label fell off" in str(at.siblingAtColumn(1).data()) for at in indexes(panel.model))


def test_an_answer_is_signed_with_name_and_day(window, panel):
    page = panel.page
    page.who.setFocus()
    page.who.selectAll()
    QTest.keyClicks(page.who, "R. Hale")
    QTest.keyClick(page.who, Qt.Key.Key_Return)
    assert panel.list.hasFocus()
    assert not window.document.history.edits
    QTest.keyClick(panel.list, Qt.Key.Key_Y)
    (record,) = window.document.project.answers.values()
    day = QDate.currentDate().toString(Qt.DateFormat.ISODate)
    assert (record.who, record.when) == ("R. Hale", day)
    assert page.who.text() == "R. Hale"
    assert not page.signed.isVisible()
    choose(panel, "answered")
    assert page.signed.text() == f"Answered: R. Hale, {day}"
    assert page.signed.isVisible()


def test_the_name_is_remembered_by_the_next_window(panel):
    panel.page.who.setText(" R. Hale ")
    panel.page.who.editingFinished.emit()
    assert ChecklistPage().who.text() == "R. Hale"


def test_a_note_alone_is_kept_as_unknown(window, panel):
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    QTest.keyClicks(panel.page.note, "locked, come again")
    QTest.keyClick(panel.page.note, Qt.Key.Key_Return)
    (record,) = window.document.project.answers.values()
    assert (record.value, record.note) == ("unknown", "locked, come again")


def test_an_answer_given_after_its_note_takes_the_note_along(window, panel):
    first, second = shown(panel)[:2]
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    QTest.keyClicks(panel.page.note, "seen today")
    QTest.mouseClick(panel.page.buttons["yes"], Qt.MouseButton.LeftButton)
    (record,) = window.document.project.answers.values()
    assert (record.question, record.where) == (first.question, first.where)
    assert (record.value, record.note) == ("yes", "seen today")
    assert len(window.document.history.edits) == 1
    assert panel.current() == second
    assert panel.page.note.text() == ""


def test_a_note_is_kept_when_no_answer_follows_after_all(window, panel):
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    QTest.keyClicks(panel.page.note, "locked")
    panel.page.buttons["no"].setFocus()
    assert not window.document.project.answers
    panel.list.setFocus()
    (record,) = window.document.project.answers.values()
    assert (record.value, record.note) == ("unknown", "locked")


def test_escape_leaves_the_note_as_it_was(window, panel):
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    QTest.keyClicks(panel.page.note, "nothing")
    QTest.keyClick(panel.page.note, Qt.Key.Key_Escape)
    assert panel.page.note.text() == ""
    assert panel.list.hasFocus()
    assert not window.document.history.edits


def test_a_changed_answer_keeps_its_note_and_its_record(window, panel):
    first = shown(panel)[0]
    answer(window.document, first, "unknown", "dark in there")
    panel.renew()
    choose(panel, "answered")
    QTest.mouseClick(panel.page.buttons["yes"], Qt.MouseButton.LeftButton)
    (record,) = window.document.project.answers.values()
    assert (record.value, record.note) == ("yes", "dark in there")
    assert panel.page.buttons["yes"].isChecked()
    assert not panel.page.buttons["unknown"].isChecked()


@pytest.mark.parametrize("key", [Qt.Key.Key_Delete, Qt.Key.Key_Backspace])
def test_delete_takes_an_answer_back_and_never_the_piece(window, panel, key, qtbot):
    window.activateWindow()
    first = next(line for line in shown(panel) if line.where == "panel")
    answer(window.document, first)
    panel.renew()
    choose(panel, "answered")
    panel.list.setFocus()
    window.selection.only(first.where)
    pieces = window.document.project.equipment
    qtbot.keyClick(panel.list, key)
    assert not window.document.project.answers
    qtbot.keyClick(panel.list, key)
    assert window.document.project.equipment == pieces


def test_moving_through_the_list_selects_what_is_asked_about(window, panel):
    for _ in range(6):
        QTest.keyClick(panel.list, Qt.Key.Key_Down)
        line = panel.current()
        if line:
            there = line.where != "project"
            assert window.selection.ids == ((line.where,) if there else ())


def test_a_click_selects_what_is_asked_about(window, panel):
    at = indexes(panel.model)[2]
    panel.list.scrollTo(at)
    spot = panel.list.visualRect(at).center()
    QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert panel.current() == at.data(LINE)
    assert window.selection.ids == (at.data(LINE).where,)


def test_selecting_elsewhere_brings_its_first_question_to_hand(window, panel):
    wanted = next(line for line in shown(panel) if line.where != panel.current().where)
    window.selection.only(wanted.where)
    assert panel.current() == wanted


def test_a_heading_folds_and_says_how_many(window, panel):
    heading = panel.model.index(0, 0)
    count = panel.model.rowCount(heading)
    assert heading.data().endswith(f"({count})")
    spot = panel.list.visualRect(heading).center()
    QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert not panel.list.isExpanded(heading)
    assert panel.list.isExpanded(panel.model.index(1, 0))


def test_grouping_by_topic_keeps_the_question_at_hand(window, panel):
    QTest.keyClick(panel.list, Qt.Key.Key_Down)
    at_hand = panel.current()
    choose(panel, "topic", "grouping")
    assert panel.current() == at_hand


def test_every_line_says_itself_in_words(panel):
    for at in indexes(panel.model):
        words = at.data(Qt.ItemDataRole.AccessibleTextRole)
        assert words.endswith("not answered")
    assert panel.model.parent(QModelIndex()) == QModelIndex()


def test_answers_on_an_empty_project_change_nothing(empty_window, qtbot):
    panel = empty_window.checklist
    empty_window._docks["checklist"].raise_()
    qtbot.waitUntil(lambda: "as the drawing grows" in panel.page.question.text())
    for key in (Qt.Key.Key_Y, Qt.Key.Key_Return, Qt.Key.Key_Delete):
        QTest.keyClick(panel.list, key)
    assert not empty_window.document.history.edits
