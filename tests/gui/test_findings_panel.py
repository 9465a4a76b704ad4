"""The findings panel by hand: going there, looking for words, accepting, copying."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton

from ampacre.model import records as r
from ampacre.model.edits import alter, connect, put
from ampacre.rules.rule import RULES


@pytest.fixture
def panel(orchard):
    orchard.findings.list.setFocus()
    return orchard.findings


def items(panel):
    """The lines by the keys of their findings; where something is missing, by that."""
    return {panel.model.line_at(at).key: at for at in panel.model.found(lambda _: True)}


def headings(panel):
    model = panel.model
    return {heading.key: model.index(row, 0) for row, heading in enumerate(model.headings)}


def text(at, column=0):
    return at.siblingAtColumn(column).data()


def is_open(panel, key):
    return panel.list.isExpanded(headings(panel)[key])


def click(panel, at):
    panel.list.scrollTo(at)
    QTest.mouseClick(
        panel.list.viewport(), Qt.MouseButton.LeftButton, pos=panel.list.visualRect(at).center()
    )


def page_words(panel):
    page = panel._page.widget()
    return [page.text()] if isinstance(page, QLabel) else []


def accept(window, finding, reason="Kept until next year", who="Owner", when="2026-05-01"):
    record = r.Accepted(
        id="a", rule=finding.rule, where=finding.where, about=finding.about,
        reason=reason, who=who, when=when,
    )  # fmt: skip
    window.document.do(put("Accept", "accepted", record))
    window.findings.renew()


def test_a_click_goes_there_and_stays_at_the_finding(orchard, panel):
    by_place = {}
    for finding in orchard.document.review.findings:
        by_place.setdefault(finding.where, []).append(finding)
    several = next(
        found for where, found in by_place.items() if len(found) > 1 and where != "project"
    )
    last = several[-1]
    click(panel, items(panel)[last.key])
    assert orchard.selection.ids == (last.where,)
    assert panel.current().key == last.key


def test_where_the_finding_at_hand_is_cleared_another_of_what_is_selected_follows(orchard, panel):
    document, where = orchard.document, {}
    for finding in document.review.findings:
        if finding.severity == "violation":
            where.setdefault(finding.where, []).append(finding)
    key = next(
        key for key, found in where.items() if len(found) > 1 and key in document.project.runs
    )
    orchard.selection.only(key)
    at_hand = panel.current().one
    assert at_hand.where == key
    accept(orchard, at_hand)
    assert panel.current().key != at_hand.key
    assert panel.current().one.where == key


def test_a_finding_of_what_an_edit_selects_comes_to_hand(orchard, panel, qtbot):
    pieces = orchard.document.project.equipment.values()
    orchard.selection.only(next(piece.id for piece in pieces if piece.name == "C3"))
    of_original = panel.current().key
    orchard.commands["duplicate"].trigger()
    copied = orchard.selection.current
    qtbot.waitUntil(lambda: panel.current().key != of_original)
    assert panel.current().one.where == copied


def test_what_is_missing_of_a_new_piece_comes_to_hand(empty_window, qtbot):
    window = empty_window
    for kind in ("utility source", "panel", "load"):
        window.commands.add_below(kind)
    load = window.selection.current
    panel = window.findings
    qtbot.waitUntil(lambda: panel.current() is not None and panel.current().one.where == load)
    assert "nameplate load" in panel.current().words


def test_enter_goes_there(orchard, panel):
    finding = next(f for f in orchard.document.review.findings if f.where != "project")
    panel.list.setCurrentIndex(items(panel)[finding.key])
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    assert orchard.selection.ids == (finding.where,)


def test_what_is_folded_stays_folded(orchard, panel):
    assert is_open(panel, "violation")
    click(panel, headings(panel)["violation"])
    run = next(iter(orchard.document.project.runs))
    orchard.document.do(alter(orchard.document.project, "runs", run, name="Renamed"))
    panel.renew()
    assert not is_open(panel, "violation")
    assert is_open(panel, "warning")


def test_words_keep_back_what_does_not_say_them(orchard, panel):
    review = orchard.document.review
    QTest.keyClicks(panel.filter.words, "farmhouse")
    told = items(panel)
    assert told
    assert len(told) < len(review.findings)
    for item in told.values():
        assert "farmhouse" in f"{text(item)} {text(item, 1)}".lower()
    assert "shown)" in text(headings(panel)["violation"])
    panel.filter.words.clear()
    assert len(items(panel)) >= len(review.findings)


def test_no_heading_vanishes_while_words_are_looked_for(panel):
    before = set(headings(panel))
    QTest.keyClicks(panel.filter.words, "qqqq")
    assert set(headings(panel)) == before
    assert all("(0 shown)" in text(heading) for heading in headings(panel).values())


def test_nothing_found_is_said_in_place(panel, qtbot):
    QTest.keyClicks(panel.filter.words, "qqqq")
    qtbot.waitUntil(lambda: any("No finding fits" in words for words in page_words(panel)))


def test_a_topic_shows_its_findings_alone(orchard, panel):
    topic = RULES[orchard.document.review.findings[0].rule].topic
    panel.filter.topic.setCurrentIndex(panel.filter.topic.findData(topic))
    wanted = {f.key for f in orchard.document.review.findings if RULES[f.rule].topic == topic}
    assert set(items(panel)) == wanted


def test_a_severity_shows_its_findings_alone(orchard, panel):
    panel.filter.mark.setCurrentIndex(panel.filter.mark.findData("advice"))
    wanted = {f.key for f in orchard.document.review.findings if f.severity == "advice"}
    assert set(items(panel)) == wanted
    assert set(headings(panel)) == {"advice"}


def test_accepted_ones_stand_apart_with_their_reason(orchard, panel, qtbot):
    finding = orchard.document.review.findings[0]
    accept(orchard, finding)
    item = items(panel)[finding.key]
    assert item.parent() == headings(panel)["accepted"]
    assert "Accepted: Kept until next year (Owner, 2026-05-01)" in text(item, 1)
    assert not is_open(panel, "accepted")
    assert panel.current().key != finding.key
    click(panel, headings(panel)["accepted"])
    click(panel, item)
    qtbot.waitUntil(
        lambda: any("Kept until" in label.text() for label in panel._page.findChildren(QLabel))
    )
    # nothing is cut off at the side where the page is narrow
    assert panel._page.widget().minimumSizeHint().width() <= panel._page.minimumWidth()


def test_all_that_is_shown_is_copied_as_text(orchard, panel):
    review = orchard.document.review
    finding = review.findings[0]
    accept(orchard, finding)
    QTest.mouseClick(panel.filter.copy, Qt.MouseButton.LeftButton)
    copied = QGuiApplication.clipboard().text()
    for one in orchard.document.review.findings:
        assert review.message(one) in copied
        assert review.cite(one) in copied
    assert "1 accepted" in copied.lower()
    assert "Kept until next year" in copied
    panel.filter.mark.setCurrentIndex(panel.filter.mark.findData("advice"))
    QTest.mouseClick(panel.filter.copy, Qt.MouseButton.LeftButton)
    copied = QGuiApplication.clipboard().text()
    assert "violation" not in copied.lower().splitlines()[0]
    assert "Kept until next year" not in copied


def test_one_finding_is_copied_from_the_list(orchard, panel, qtbot):
    orchard.activateWindow()
    finding = next(f for f in orchard.document.review.findings if f.severity == "violation")
    panel.list.setCurrentIndex(items(panel)[finding.key])
    qtbot.keyClick(panel.list, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    copied = QGuiApplication.clipboard().text()
    assert copied.startswith("1 violation\n- ")
    assert orchard.document.review.message(finding) in copied
    assert len(copied.splitlines()) == 2


def test_nothing_is_copied_where_nothing_is_shown(panel):
    QGuiApplication.clipboard().setText("before")
    QTest.keyClicks(panel.filter.words, "qqqq")
    QTest.mouseClick(panel.filter.copy, Qt.MouseButton.LeftButton)
    assert QGuiApplication.clipboard().text() == "before"


def test_what_is_missing_is_said_of_a_name_with_a_percent_sign_as_it_is(window, qtbot):
    document, panel, name = window.document, window.findings, "Run to Barn at %2"
    document.do(alter(document.project, "equipment", "barn", name="Barn at %2"))
    qtbot.waitUntil(lambda: name in {text(item) for item in items(panel).values()})
    line = next(item for item in items(panel).values() if text(item) == name)
    panel.list.setCurrentIndex(line)
    words = f"Not checked yet.\n{name}: {text(line, 1)}\n"
    qtbot.waitUntil(lambda: any(words in each.text() for each in panel.findChildren(QLabel)))


def test_an_edit_renews_the_lines_that_it_touches_and_no_others(orchard, panel, qtbot):
    """The place in the list stays, and what says the same is not built again."""
    document = orchard.document
    resets, renewed = [], []
    panel.model.modelReset.connect(lambda: resets.append(True))
    panel.model.dataChanged.connect(lambda at, _: renewed.append(panel.model.line_at(at)))
    panel.list.setCurrentIndex(items(panel)[panel.list.unfolded()[-1].key])
    at_hand, before = panel.current(), {line.key: line for line in panel.model.lines()}
    finding = document.review.findings[0]
    accept(orchard, finding)
    assert panel.current() == at_hand
    assert not resets
    after = {line.key: line for line in panel.model.lines()}
    assert set(before) == set(after)
    told = [line for line in renewed if line is not None]
    assert told == [line for line in told if before[line.key] != line]


def test_a_list_of_findings_that_change_places_is_right(orchard, panel):
    document = orchard.document
    panels = [p for p in document.project.equipment.values() if isinstance(p, r.Panel)]
    for number, piece in enumerate(reversed(panels)):
        document.do(alter(document.project, "equipment", piece.id, name=f"{number} panel"))
    panel.renew()
    review = document.review
    told = {line.key: line for line in panel.model.lines()}
    for finding in review.findings:
        assert told[finding.key].words == review.message(finding)
    for heading in panel.model.headings:
        assert [line.name for line in heading.lines] == sorted(line.name for line in heading.lines)


@pytest.mark.parametrize("accepted", [False, True])
def test_no_button_of_a_narrow_page_is_cut(orchard, panel, qtbot, accepted):
    finding = next(f for f in orchard.document.review.findings if f.severity == "violation")
    if accepted:
        panel.list._folded.clear()
        accept(orchard, finding)
    orchard.selection.only(finding.where)
    panel.list.setCurrentIndex(items(panel)[finding.key])
    halves = panel._page.parentWidget()
    halves.setSizes([600, 1])
    panel._show_current()
    QApplication.processEvents()
    page = panel._page
    buttons = page.findChildren(QPushButton)
    assert {"Show on Drawing", "Take Acceptance Back" if accepted else "Accept…"} <= {
        button.text() for button in buttons
    }
    for button in buttons:
        right = button.mapTo(page.viewport(), button.rect().topRight()).x()
        assert right < page.viewport().width(), button.text()
        assert button.width() >= button.minimumSizeHint().width()


def test_two_runs_to_one_piece_can_be_told_apart(window, qtbot):
    project = window.document.project
    long_name = "Farmhouse, main panel beside the north door"
    window.document.do(alter(project, "equipment", "barn", name=long_name))
    project = window.document.project
    run = connect(project, project.equipment["spare"], project.equipment["barn"])
    window.document.do(run)
    panel = window.findings
    panel.renew()
    at = [
        at
        for at in panel.model.found(lambda _: True)
        if panel.model.line_at(at).one.where in window.document.project.runs
        and long_name in panel.model.line_at(at).name
    ]
    told = {index.data(Qt.ItemDataRole.ToolTipRole) for index in at}
    assert {f"Run from {start} to {long_name}" for start in ("P", "Spare")} == told


def test_a_long_name_takes_as_many_lines_as_it_needs(window):
    long_name = "Farmhouse, main panel beside the north door"
    window.document.do(alter(window.document.project, "equipment", "barn", name=long_name))
    panel = window.findings
    panel.renew()
    at = next(panel.model.found(lambda line: long_name in line.name))
    width = panel.list.columnWidth(0) - panel.list.iconSize().width()
    box = panel.list.fontMetrics().boundingRect(
        0, 0, width, 10_000, Qt.TextFlag.TextWordWrap, text(at)
    )
    assert box.height() > panel.list.fontMetrics().height()
    assert panel.list.visualRect(at).height() >= box.height()
