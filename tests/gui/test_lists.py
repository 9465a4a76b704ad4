"""Charger groups, structures, raceways, grounding and stages in their dialog."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from ampacre.model import records as r
from ampacre.model.edits import put
from ampacre_gui.dialogs.lists import _SORTS, ListsDialog


@pytest.fixture
def dialog(qtbot, document):
    dialog = ListsDialog(document)
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def field(page, name):
    return next(field for field in page._fields if field.spec.name == name)


@pytest.mark.parametrize("sort", _SORTS, ids=lambda sort: sort.title)
def test_an_entry_of_each_sort_is_added_and_removed(dialog, document, sort):
    before = document.project
    page = dialog.pages[sort.title]
    page.add_button.click()
    added = document.project.table(sort.table).keys() - before.table(sort.table).keys()
    assert added == {page._key}
    assert page.entries.currentItem().text()
    page.remove_button.click()
    assert document.project == before
    assert len(document.history.edits) == 2


def test_chargers_are_put_under_one_limit(dialog, document):
    page = dialog.pages["Managed Chargers"]
    page.add_button.click()
    members = field(page, "members").editor
    words = [members._list.item(row).text() for row in range(members._list.count())]
    assert "C1" in words
    members._list.item(words.index("C1")).setCheckState(Qt.CheckState.Checked)
    limit = field(page, "limit_a").editor
    limit.setFocus()
    limit.selectAll()
    QTest.keyClicks(limit, "60 A")
    QTest.keyClick(limit, Qt.Key.Key_Return)
    (group,) = document.project.groups.values()
    assert group.members == ("charger",)
    assert group.limit_a == 60.0


def test_a_group_holds_all_load_where_it_measures(dialog, document):
    page = dialog.pages["Managed Chargers"]
    page.add_button.click()
    for name, words in (("holds", "all load where it measures"), ("measured_at", "P")):
        choice = field(page, name).editor
        listed = [choice.itemText(row) for row in range(choice.count())]
        assert "C1" not in listed, "nothing is fed from a charger"
        choice.setFocus()
        for _ in range(listed.index(words) - choice.currentIndex()):
            QTest.keyClick(choice, Qt.Key.Key_Down)
    (group,) = document.project.groups.values()
    assert group.holds == "all load"
    assert document.project.equipment[group.measured_at].name == "P"


def test_what_something_points_to_is_not_removed_and_says_why(dialog, document):
    document.do(put("", "structures", r.Structure(id="shed", name="Shed")))
    document.do(put("", "equipment", r.Panel(id="inside", name="Inside", structure="shed")))
    page = dialog.pages["Structures"]
    page.remove_button.click()
    assert "shed" in document.project.structures
    assert page._reason.text()


def tick(page, name):
    members = field(page, "members").editor
    items = [members._list.item(row) for row in range(members._list.count())]
    item = next(item for item in items if item.text() == name)
    item.setCheckState(Qt.CheckState.Checked)
    return item


def test_only_what_may_be_a_member_is_listed(dialog, document):
    document.do(put("", "equipment", r.Motor(id="pump", name="Pump")))
    listed = {}
    for title in ("Managed Chargers", "One at a Time"):
        page = dialog.pages[title]
        page.add_button.click()
        members = field(page, "members").editor._list
        listed[title] = {members.item(row).text() for row in range(members.count())}
    assert listed == {"Managed Chargers": {"C1"}, "One at a Time": {"Pump"}}


def test_a_charger_in_two_groups_is_refused_and_the_tick_taken_back(dialog, document):
    page = dialog.pages["Managed Chargers"]
    page.add_button.click()
    tick(page, "C1")
    page.add_button.click()
    item = tick(page, "C1")
    reason = field(page, "members").reason
    assert "member of two groups" in reason
    assert reason.endswith(".")
    assert item.checkState() == Qt.CheckState.Unchecked
    assert sorted(group.members for group in document.project.groups.values()) == [(), ("charger",)]


def test_electrodes_are_listed_one_by_one(dialog, document):
    page = dialog.pages["Grounding"]
    page.add_button.click()
    field(page, "electrodes").editor.add()
    (grounding,) = document.project.grounding.values()
    assert [electrode.kind for electrode in grounding.electrodes] == ["rod"]


def test_the_dialog_follows_undo(dialog, document):
    page = dialog.pages["Structures"]
    page.add_button.click()
    document.undo()
    assert page.entries.count() == 0
    assert page._fields == []
