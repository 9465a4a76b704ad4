"""The findings panel by hand: going there, looking for words, accepting, copying."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from ampacre.model import records as r
from ampacre.model.edits import alter, put
from ampacre.rules.rule import RULES


@pytest.fixture
def panel(orchard):
    orchard.findings._list.setFocus()
    return orchard.findings


def items(panel):
    return {item.data(0, Qt.ItemDataRole.UserRole): item for item in panel._items()}


def headings(panel):
    tree = panel._list
    return {
        tree.topLevelItem(row).data(0, Qt.ItemDataRole.UserRole): tree.topLevelItem(row)
        for row in range(tree.topLevelItemCount())
    }


def click(panel, item):
    panel._list.scrollToItem(item)
    QTest.mouseClick(
        panel._list.viewport(), Qt.MouseButton.LeftButton,
        pos=panel._list.visualItemRect(item).center(),
    )  # fmt: skip


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
    assert panel._current_key() == last.key


def test_enter_goes_there(orchard, panel):
    finding = next(f for f in orchard.document.review.findings if f.where != "project")
    panel._list.setCurrentItem(items(panel)[finding.key])
    QTest.keyClick(panel._list, Qt.Key.Key_Return)
    assert orchard.selection.ids == (finding.where,)


def test_what_is_folded_stays_folded(orchard, panel):
    heading = headings(panel)["violation"]
    assert heading.isExpanded()
    click(panel, heading)
    run = next(iter(orchard.document.project.runs))
    orchard.document.do(alter(orchard.document.project, "runs", run, name="Renamed"))
    panel.renew()
    assert not headings(panel)["violation"].isExpanded()
    assert headings(panel)["warning"].isExpanded()


def test_words_keep_back_what_does_not_say_them(orchard, panel):
    review = orchard.document.review
    QTest.keyClicks(panel.filter.words, "farmhouse")
    told = items(panel)
    assert told
    assert len(told) < len(review.findings)
    for item in told.values():
        assert "farmhouse" in f"{item.text(0)} {item.text(1)}".lower()
    assert "shown)" in headings(panel)["violation"].text(0)
    panel.filter.words.clear()
    assert len(items(panel)) >= len(review.findings)


def test_no_heading_vanishes_while_words_are_looked_for(panel):
    before = set(headings(panel))
    QTest.keyClicks(panel.filter.words, "qqqq")
    assert set(headings(panel)) == before
    assert all("(0 shown)" in heading.text(0) for heading in headings(panel).values())


def test_nothing_found_is_said_in_place(panel, qtbot):
    QTest.keyClicks(panel.filter.words, "qqqq")
    qtbot.waitUntil(lambda: "No finding fits" in str(panel._page.widget().property("text")))


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
    assert item.parent() is headings(panel)["accepted"]
    assert "Accepted: Kept until next year (Owner, 2026-05-01)" in item.text(1)
    assert not headings(panel)["accepted"].isExpanded()
    assert panel._current_key() not in (None, finding.key)
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
    text = QGuiApplication.clipboard().text()
    for one in orchard.document.review.findings:
        assert review.message(one) in text
        assert review.cite(one) in text
    assert "1 accepted" in text.lower()
    assert "Kept until next year" in text
    panel.filter.mark.setCurrentIndex(panel.filter.mark.findData("advice"))
    QTest.mouseClick(panel.filter.copy, Qt.MouseButton.LeftButton)
    text = QGuiApplication.clipboard().text()
    assert "violation" not in text.lower().splitlines()[0]
    assert "Kept until next year" not in text


def test_one_finding_is_copied_from_the_list(orchard, panel, qtbot):
    orchard.activateWindow()
    finding = next(f for f in orchard.document.review.findings if f.severity == "violation")
    panel._list.setCurrentItem(items(panel)[finding.key])
    qtbot.keyClick(panel._list, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    text = QGuiApplication.clipboard().text()
    assert text.startswith("1 violation\n- ")
    assert orchard.document.review.message(finding) in text
    assert len(text.splitlines()) == 2


def test_nothing_is_copied_where_nothing_is_shown(panel):
    QGuiApplication.clipboard().setText("before")
    QTest.keyClicks(panel.filter.words, "qqqq")
    QTest.mouseClick(panel.filter.copy, Qt.MouseButton.LeftButton)
    assert QGuiApplication.clipboard().text() == "before"


def test_what_is_missing_is_said_of_a_name_with_a_percent_sign_as_it_is(window, qtbot):
    document, panel, name = window.document, window.findings, "Run to Barn at %2"
    document.do(alter(document.project, "equipment", "barn", name="Barn at %2"))
    qtbot.waitUntil(lambda: name in {item.text(0) for item in panel._items()})
    line = next(item for item in panel._items() if item.text(0) == name)
    panel._list.setCurrentItem(line)
    words = f"Not checked yet. {name} lacks: {line.text(1)}."
    qtbot.waitUntil(lambda: any(words in each.text() for each in panel.findChildren(QLabel)))
