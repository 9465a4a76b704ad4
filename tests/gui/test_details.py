"""The details panel: forms made from the records, entries, refusals and hints."""

import typing

import msgspec
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QTabWidget

from ampacre.model import records as r
from ampacre.model.edits import alter, put
from ampacre.model.words import KINDS
from ampacre.quantity import NotUnderstood
from ampacre_gui.dialogs.properties import PropertiesDialog
from ampacre_gui.panels.editors import ChoiceEditor, LineEditor, TextEditor
from ampacre_gui.panels.entries import read_entry, shown
from ampacre_gui.panels.form import fields_of, form_of, value_at, with_value
from ampacre_gui.panels.hints import hint
from ampacre_gui.panels.numbers import numbers_of
from ampacre_gui.selection import Selection

ALL_KINDS = (*KINDS.values(), r.Run, r.Settings)
NOT_ASKED = {"id", "source", "target", "was"}


def specs(kind):
    return [spec for group in form_of(kind) for spec in group.fields]


def leaf_fields(kind):
    for field in msgspec.structs.fields(kind):
        if field.name in NOT_ASKED:
            continue
        parts = [
            part for part in (field.type, *typing.get_args(field.type)) if isinstance(part, type)
        ]
        struct = next((part for part in parts if issubclass(part, msgspec.Struct)), None)
        if struct and typing.get_origin(field.type) is not tuple:
            yield from (f"{field.name}.{name}" for name in struct.__struct_fields__)
        else:
            yield field.name


@pytest.mark.parametrize("kind", ALL_KINDS)
def test_the_form_asks_every_field_once(kind):
    names = [spec.name for spec in specs(kind)]
    assert sorted(names) == sorted(leaf_fields(kind))


@pytest.mark.parametrize("kind", (*ALL_KINDS, r.Structure, r.Raceway, r.Grounding, r.ManagedGroup))
def test_labels_are_words_and_not_field_names(kind):
    suffixes = {"a", "ka", "m", "mm", "c", "v", "va", "pct", "deg", "ohm", "kva", "kw", "m2"}
    for spec in specs(kind):
        for one in (spec, *(fields_of(spec.part) if spec.part else ())):
            assert "_" not in one.word
            assert one.word.split()[-1] not in suffixes, one.name


def spec_of(kind, name):
    return next(spec for spec in specs(kind) if spec.name == name)


def test_a_text_that_is_too_long_is_refused_and_stays(qtbot):
    spec = spec_of(r.Settings, "scope")
    editor = TextEditor(spec)
    qtbot.addWidget(editor)
    editor.show()
    qtbot.waitExposed(editor)
    editor.show_value("", "", "us")
    entered = []
    editor.entered.connect(entered.append)
    editor.activateWindow()
    editor.setFocus()
    qtbot.waitUntil(editor.hasFocus)
    editor.setPlainText("x" * (spec.longest + 1))
    with qtbot.waitSignal(editor.refused) as refused:
        editor.clearFocus()
    assert refused.args == [f"This takes at most {spec.longest} characters."]
    assert entered == []
    assert len(editor.toPlainText()) == spec.longest + 1
    editor.setFocus()
    editor.setPlainText(" New service ")
    editor.clearFocus()
    assert entered == ["New service"]


@pytest.mark.parametrize(
    ("kind", "name", "typed", "value"),
    [
        (r.Run, "length_m", "310 ft", pytest.approx(94.488)),
        (r.Run, "length_m", "45 m", 45.0),
        (r.Run, "length_m", "100", pytest.approx(30.48)),
        (r.Run, "length_m", "", None),
        (r.Run, "spaces", "1, 3", (1, 3)),
        (r.Panel, "spaces", "42", 42),
        (r.Motor, "power_hp", "3/4 hp", 0.75),
        (r.Panel, "name", " LP-1 ", "LP-1"),
        (r.Pedestal, "receptacles_a", "30, 50", (30, 50)),
    ],
)
def test_what_is_typed_is_read(kind, name, typed, value):
    assert read_entry(spec_of(kind, name), typed, "us") == value


@pytest.mark.parametrize(
    ("kind", "name", "typed", "reason"),
    [
        (r.Run, "length_m", "-3 ft", "at least 0 ft"),
        (r.Panel, "bus_a", "0", "at least 0.001 A"),
        (r.Run, "length_m", "long", "not understood"),
        (r.Run, "length_m", "5 A", "a length"),
        (r.Panel, "spaces", "2.5", "whole number"),
        (r.Panel, "spaces", "", "nothing was typed"),
        (r.Panel, "name", " ", "enter a name"),
        (r.Run, "spaces", "0", "at least 1"),
        (r.Pedestal, "receptacles_a", "30, 45", "not one of"),
        (r.Transformer, "impedance_pct", "150", "at most 100 %"),
    ],
)
def test_what_makes_no_sense_is_refused_with_what_would(kind, name, typed, reason):
    with pytest.raises(NotUnderstood, match=reason):
        read_entry(spec_of(kind, name), typed, "us")


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize("value", [94.488, 0.0, 12.3456789, 30.48])
def test_what_is_shown_reads_back_the_same(value, units):
    spec = spec_of(r.Run, "length_m")
    assert read_entry(spec, shown(spec, value, units), units) == pytest.approx(value, rel=1e-11)


def test_a_part_that_is_not_there_is_made_when_a_field_of_it_is_entered():
    run = r.Run(id="x", source="a", target="b")
    after = with_value(run, ("device", "rating_a"), 60.0)
    assert after.device == r.Device(rating_a=60.0)
    assert value_at(run, ("device", "kind")) == "breaker"


# the panel itself ------------------------------------------------------------------------------


@pytest.fixture
def details(window):
    return window.details


def select(window, key):
    window.selection.only(key)


def field(details, name):
    return next(field for field in details.fields if field.spec.name == name)


def names(details):
    return {field.spec.name for field in details.fields}


def run_to(document, target):
    return next(run.id for run in document.project.runs.values() if run.target == target)


def type_over(editor, text, key=Qt.Key.Key_Return):
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, key)


def test_typing_a_length_is_one_step_that_can_be_undone(window, details):
    run = run_to(window.document, "barn")
    select(window, run)
    type_over(field(details, "length_m").editor, "310 ft")
    assert window.document.project.runs[run].length_m == pytest.approx(94.488)
    assert field(details, "length_m").editor.text() == "310 ft"
    assert len(window.document.history.edits) == 1
    assert window.document.history.peek_undo().label == "Change length of run to Barn"
    window.document.undo()
    assert window.document.project.runs[run].length_m is None
    assert field(details, "length_m").editor.text() == ""


def test_a_wrong_entry_stays_with_its_reason_and_changes_nothing(window, details):
    run = run_to(window.document, "barn")
    select(window, run)
    length = field(details, "length_m")
    type_over(length.editor, "3 horses")
    assert length.editor.text() == "3 horses"
    assert "a length" in length.reason
    assert not window.document.history.edits
    type_over(length.editor, "20 ft")
    assert length.reason == ""
    assert window.document.project.runs[run].length_m == pytest.approx(6.096)


def test_a_run_may_be_left_without_a_name():
    assert read_entry(spec_of(r.Run, "name"), " ", "us") == ""


def test_an_entry_that_the_project_refuses_stays_with_its_reason(window, details):
    run = run_to(window.document, "barn")
    other = window.document.project.runs[run_to(window.document, "charger")]
    select(window, run)
    spaces = field(details, "spaces")
    taken = ", ".join(str(space) for space in other.spaces)
    type_over(spaces.editor, taken)
    assert "taken twice" in spaces.reason
    assert spaces.reason.endswith(".")
    assert spaces.editor.text() == taken
    assert not window.document.history.edits


@pytest.mark.parametrize("enters", [True, False])
def test_escape_brings_back_what_stood_in_a_field(window, details, enters):
    select(window, "panel")
    bus = field(details, "bus_a")
    bus.editor.setFocus()
    bus.editor.selectAll()
    QTest.keyClicks(bus.editor, "no number")
    if enters:
        QTest.keyClick(bus.editor, Qt.Key.Key_Return)
        assert bus.reason
    QTest.keyClick(bus.editor, Qt.Key.Key_Escape)
    assert (bus.editor.text(), bus.reason) == ("200 A", "")
    QTest.keyClick(bus.editor, Qt.Key.Key_Tab)
    assert not window.document.history.edits
    assert window.selection.ids == ("panel",)


def test_escape_brings_back_what_stood_in_a_field_of_several_lines(window, qtbot):
    document = window.document
    document.do(alter(document.project, "project", "project", scope="Gate is locked"))
    dialog = PropertiesDialog(document, window)
    qtbot.addWidget(dialog)
    dialog.show()
    editor = next(each for each in dialog.findChildren(TextEditor) if each.toPlainText())
    tabs = dialog.findChild(QTabWidget)
    tabs.setCurrentIndex(next(at for at in range(3) if tabs.widget(at).isAncestorOf(editor)))
    editor.setFocus()
    QTest.keyClicks(editor, "Key is with ")
    QTest.keyClick(editor, Qt.Key.Key_Escape)
    assert editor.toPlainText() == "Gate is locked"
    assert dialog.isVisible()
    QTest.keyClick(editor, Qt.Key.Key_Tab)
    assert len(document.history.edits) == 1
    QTest.keyClick(editor, Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_a_reason_goes_once_something_else_is_typed(window, details):
    select(window, "panel")
    bus = field(details, "bus_a")
    type_over(bus.editor, "no number")
    assert bus.reason
    QTest.keyClicks(bus.editor, "2")
    assert bus.reason == ""


def test_an_entry_survives_a_change_made_elsewhere(window, details):
    run = run_to(window.document, "barn")
    select(window, run)
    editor = field(details, "length_m").editor
    editor.setFocus()
    QTest.keyClicks(editor, "12")
    window.document.do(alter(window.document.project, "equipment", "panel", bus_a=225.0))
    assert editor.text() == "12"


def test_leaving_an_unchanged_field_is_no_step(window, details):
    select(window, "panel")
    editor = field(details, "bus_a").editor
    editor.setFocus()
    QTest.keyClick(editor, Qt.Key.Key_Tab)
    assert not window.document.history.edits


def test_choosing_from_a_list_and_back_to_nothing(window, details):
    run = run_to(window.document, "barn")
    select(window, run)
    size = field(details, "conductors.size").editor
    assert isinstance(size, ChoiceEditor)
    size.setFocus()
    QTest.keyClick(size, Qt.Key.Key_Down)
    assert window.document.project.runs[run].conductors.size == "14"
    QTest.keyClick(size, Qt.Key.Key_Up)
    assert window.document.project.runs[run].conductors.size is None


def test_sizes_are_listed_in_the_trades_order(window, details):
    select(window, run_to(window.document, "barn"))
    size = field(details, "conductors.size").editor
    words = [size.itemText(index) for index in range(1, size.count())]
    assert words[:3] == ["14 AWG", "12 AWG", "10 AWG"]
    assert words.index("4/0 AWG") + 1 == words.index("250 kcmil")


def test_empty_fields_of_new_work_show_what_the_study_chose(window, details):
    run = run_to(window.document, "charger")
    window.document.do(alter(window.document.project, "runs", run, length_m=10.0))
    select(window, run)
    facts = window.document.study.run(run)
    assert facts.device.how == "chosen"
    device = field(details, "device.rating_a").editor
    assert device.text() == ""
    assert device.placeholderText() == f"{facts.device.value:g} A (chosen)"


def test_sets_in_parallel_are_chosen_until_a_number_is_entered(window, details):
    run = run_to(window.document, "barn")
    project = window.document.project
    window.document.do(
        alter(project, "runs", run, length_m=20.0, device=r.Device(rating_a=800.0), since="work")
    )
    select(window, run)
    sets = field(details, "conductors.sets").editor
    assert (sets.text(), sets.placeholderText()) == ("", "3 (chosen)")
    type_over(sets, "4")
    assert window.document.project.runs[run].conductors.sets == 4
    assert window.document.study.run(run).sets.value == 4
    assert sets.text() == "4"
    sets.clear()
    QTest.keyClick(sets, Qt.Key.Key_Return)
    assert window.document.project.runs[run].conductors.sets is None
    assert (sets.text(), sets.placeholderText()) == ("", "3 (chosen)")


def test_empty_fields_of_what_stands_already_are_not_known():
    spec = spec_of(r.Run, "conductors.size")
    there = r.Run(id="x", source="a", target="b")
    new = r.Run(id="x", source="a", target="b", since="work")
    assert hint(spec, there, None, "us").text == "not known"
    assert hint(spec, new, None, "us").text == "program chooses"


def test_the_main_device_can_be_taken_out_and_put_in(window, details):
    select(window, "panel")
    part = next(part for part in details.parts if part.path == ("main",))
    assert part.box.isChecked()
    part.box.click()
    assert window.document.project.equipment["panel"].main is None
    assert "main.rating_a" not in names(details)
    part.box.click()
    assert window.document.project.equipment["panel"].main == r.Device()


def test_a_record_of_measured_demand_is_asked_for_on_request(window, details):
    select(window, "panel")
    part = next(part for part in details.parts if part.path == ("measured",))
    assert not part.holder.isVisibleTo(details)
    details._more.click()
    part.box.click()
    assert window.document.project.equipment["panel"].measured is not None
    type_over(field(details, "measured.demand").editor, "40")
    assert window.document.project.equipment["panel"].measured.demand == 40.0


def test_a_new_structure_is_made_by_typing_its_name(window, details):
    select(window, "barn")
    editor = field(details, "structure").editor
    line = editor.lineEdit()
    line.setFocus()
    QTest.keyClicks(line, "Press barn")
    QTest.keyClick(line, Qt.Key.Key_Return)
    (structure,) = window.document.project.structures.values()
    assert structure.name == "Press barn"
    assert window.document.project.equipment["barn"].structure == structure.id
    assert len(window.document.history.edits) == 1
    assert field(details, "structure").editor.currentText() == "Press barn"


def test_fields_that_cannot_matter_are_not_shown(window, details):
    select(window, run_to(window.document, "barn"))
    assert "lands_on" not in names(details)
    assert "spaces" in names(details)
    select(window, run_to(window.document, "meter"))
    assert "spaces" not in names(details)


def test_seldom_needed_fields_come_on_request(window, details):
    select(window, run_to(window.document, "barn"))
    assert "ambient_c" not in names(details)
    details._more.click()
    assert "ambient_c" in names(details)


def test_metric_units_are_shown_and_read(window, details):
    run = run_to(window.document, "barn")
    window.document.do(alter(window.document.project, "project", "project", units="metric"))
    window.document.do(alter(window.document.project, "runs", run, length_m=25.0))
    select(window, run)
    editor = field(details, "length_m").editor
    assert editor.text() == "25 m"
    type_over(editor, "30")
    assert window.document.project.runs[run].length_m == 30.0


def test_undo_in_an_untouched_field_is_the_documents(window, details, qtbot):
    window.activateWindow()
    select(window, "panel")
    window.document.do(alter(window.document.project, "equipment", "panel", bus_a=225.0))
    editor = field(details, "name").editor
    editor.setFocus()
    qtbot.keyClick(editor, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.document.project.equipment["panel"].bus_a == 200.0


def test_undo_in_an_untouched_list_that_takes_words_is_the_documents(window, details, qtbot):
    window.activateWindow()
    select(window, "panel")
    window.document.do(alter(window.document.project, "equipment", "panel", bus_a=225.0))
    editor = field(details, "structure").editor
    editor.setFocus()
    qtbot.keyClick(editor, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.document.project.equipment["panel"].bus_a == 200.0
    window.commands["redo"].trigger()
    qtbot.keyClicks(editor, "Sh")
    qtbot.keyClick(editor, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert editor.currentText() != "Sh"
    assert window.document.project.equipment["panel"].bus_a == 225.0


def test_a_number_of_things_is_asked_for_as_a_whole_number(window, details):
    select(window, "panel")
    spaces = field(details, "spaces")
    type_over(spaces.editor, "3x0")
    assert spaces._reason.text() == '"3x0" is not understood; this wants a whole number.'
    type_over(spaces.editor, "42")
    assert window.document.project.equipment["panel"].spaces == 42


def test_methods_of_load_are_listed_with_their_sections(window, details):
    select(window, "panel")
    methods = field(details, "basis").editor
    listed = [methods.itemText(row) for row in range(methods.count())]
    assert "optional (220.82)" in listed
    assert "existing (220.83)" in listed


def test_appliances_of_a_dwelling(window, details):
    house = r.DwellingLoad(id="house", name="House")
    window.document.do(put("Add", "equipment", house))
    select(window, "house")
    editor = field(details, "appliances").editor
    editor.add()
    row = editor.rows[0]
    type_over(row.editors["va"], "4.5 kW")
    (appliance,) = window.document.project.equipment["house"].appliances
    assert appliance.va == 4500
    row = editor.rows[0]
    row.removed.emit()
    assert window.document.project.equipment["house"].appliances == ()


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_can_be_shown(window, details, kind):
    piece = KINDS[kind](id="fresh", name="Fresh")
    window.document.do(put("Add", "equipment", piece))
    select(window, "fresh")
    assert details._head.text() == "Fresh"
    for one in details.fields:
        assert one.editor.accessibleName()
        if isinstance(one.editor, LineEditor):
            assert one.editor.text() == shown(one.spec, value_at(piece, one.spec.path), "us")


def test_nothing_selected(window, details):
    window.selection.only("panel")
    window.selection.set(())
    assert details.fields == []
    window.selection.set(("project",))
    assert details.fields == []


def test_what_was_being_typed_is_entered_where_it_was_typed(window, details):
    select(window, "panel")
    editor = field(details, "bus_a").editor
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, "225")
    select(window, "barn")
    assert window.document.project.equipment["panel"].bus_a == 225.0
    assert field(details, "bus_a").editor.text() == "100 A"
    assert details._head.text() == "Barn"


def test_numbers_match_the_study(orchard):
    panel = next(p for p in orchard.document.project.equipment.values() if p.name == "S1")
    orchard.selection.only(panel.id)
    lines = orchard.details.numbers.lines
    told = {name.text(): value.text() for name, value in lines if not name.isHidden()}
    assert told["Calculated current"] == "393.3 A"
    assert told["Sizing current"] == "436.7 A"
    run = next(iter(orchard.document.project.runs))
    orchard.selection.only(run)
    told = [name.text() for name, _ in orchard.details.numbers.lines if not name.isHidden()]
    assert told == [
        number.label
        for number in numbers_of(orchard.document.study, orchard.document.study.run(run))
    ]


def test_selection_forgets_what_is_gone():
    selection = Selection()
    selection.set(("a", "b", "a"))
    assert selection.ids == ("a", "b")
    selection.keep({"b"})
    assert selection.ids == ("b",)
    selection.toggle("c")
    assert selection.current == "c"


def test_a_number_says_between_what_it_may_lie(window, details):
    select(window, "panel")
    assert field(details, "bus_a").editor.toolTip() == "From 0.001 A to 6,000 A"
    assert field(details, "spaces").editor.toolTip() == "From 1 to 126"


def test_what_the_study_chose_says_why(window, details):
    run = run_to(window.document, "charger")
    window.document.do(alter(window.document.project, "runs", run, length_m=10.0))
    select(window, run)
    why = window.document.study.run(run).device.why
    assert why
    assert field(details, "device.rating_a").editor.toolTip() == why


@pytest.mark.parametrize(
    ("category", "asked", "not_asked"),
    [
        ("heat", (), ("occupancy", "strip_m", "duty_pct", "used_together")),
        ("lighting", ("floor_area_m2", "occupancy"), ("strip_m", "duty_pct")),
        ("welder", ("duty_pct", "motor_generator"), ("occupancy", "strip_m")),
        ("multioutlet", ("strip_m", "used_together"), ("duty_pct",)),
    ],
)
def test_a_load_is_asked_only_what_its_category_has(window, details, category, asked, not_asked):
    load = r.Load(id="load", name="Load", category=category)
    window.document.do(put("Add", "equipment", load))
    select(window, "load")
    details._more.click()
    assert names(details) >= set(asked)
    assert not names(details) & set(not_asked)


def test_a_motor_of_a_dwelling_is_asked_whether_it_heats_or_cools(window, details):
    home = r.DwellingLoad(id="home", name="Home")
    window.document.do(put("Add", "equipment", home))
    for key, serves in (("pump", None), ("cooler", "home")):
        motor = r.Motor(id=key, name=key, serves=serves)
        window.document.do(put("Add", "equipment", motor))
        select(window, key)
        assert ("conditioning" in names(details)) == (serves is not None)
    editor = field(details, "conditioning").editor
    assert editor.itemText(0) == "neither"
    cooler = alter(window.document.project, "equipment", "cooler", compressor=True)
    window.document.do(cooler)
    box = field(details, "conditioning").editor
    assert box.itemText(0) == "as a heat pump"
    words = [box.itemText(at) for at in range(box.count())]
    assert {"cooling", "heat pump", "neither"} <= set(words)


def test_what_is_entered_is_shown_whether_it_matters_or_not(window, details):
    load = r.Load(id="load", name="Load", category="heat", duty_pct=60)
    window.document.do(put("Add", "equipment", load))
    select(window, "load")
    assert "duty_pct" in names(details)


def test_only_what_the_study_chooses_is_left_to_it():
    new = r.Run(id="x", source="a", target="b", since="work")
    for spec in specs(r.Run):
        text = hint(spec, new, None, "us").text
        assert (text == "program chooses") == (spec.name in CHOSEN), spec.name


CHOSEN = {
    "device.rating_a", "device.interrupting_ka", "raceway", "trade_size", "place", "cover_m",
    "conductors.size", "conductors.material", "conductors.insulation", "conductors.sets",
    "conductors.neutral", "conductors.grounding", "conductors.grounding_material", "terminal_c",
}  # fmt: skip


def stops(details):
    """Press Tab from the first field until the focus leaves the page; where it went, from the top."""
    QApplication.processEvents()
    details.focus_first()
    found = [QApplication.focusWidget()]
    while True:
        QTest.keyClick(found[-1], Qt.Key.Key_Tab)
        at = QApplication.focusWidget()
        if not details.isAncestorOf(at) or at in found:
            return found
        found.append(at)


def test_tab_goes_from_the_top_down_also_through_fields_that_came_late(window, details):
    window.activateWindow()
    select(window, "panel")
    assert len(stops(details)) > len(details.fields)
    details._more.click()
    next(part for part in details.parts if part.path == ("measured",)).box.click()
    late = stops(details)
    assert field(details, "measured.demand").editor in late
    heights = [at.mapTo(details.widget(), QPoint()).y() for at in late]
    assert heights == sorted(heights)


def test_tab_goes_through_each_part_of_a_list_before_the_button_that_adds_one(window, details):
    window.activateWindow()
    house = r.DwellingLoad(id="house", name="House")
    window.document.do(put("", "equipment", house))
    select(window, "house")
    editor = field(details, "appliances").editor
    editor.add()
    editor.add()
    late = stops(details)
    first, second = ([late.index(stop) for stop in row.stops] for row in editor.rows)
    assert [*first, *second] == sorted([*first, *second])
    assert late.index(editor._add_button) == second[-1] + 1
