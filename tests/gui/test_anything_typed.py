"""Whatever is typed into a field is read or refused in words; nothing else happens."""

import msgspec
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from ampacre.model import records as r
from ampacre.model.edits import put
from ampacre.model.project import Change, Edit, Project, Refused
from ampacre.model.words import KINDS
from ampacre.quantity import NotUnderstood
from ampacre_gui.panels.editors import LineEditor
from ampacre_gui.panels.entries import read_entry, shown
from ampacre_gui.panels.form import fields_of, form_of, with_value

FORMS = (*KINDS.values(), r.Run, r.Settings, r.Structure, r.Raceway, r.ManagedGroup)
PARTS = (r.Appliance, r.Segment, r.Electrode)
TYPED = [spec for kind in FORMS for group in form_of(kind) for spec in group.fields]
TYPED += [spec for part in PARTS for spec in fields_of(part)]
TYPED = [spec for spec in TYPED if spec.editor in ("text", "number", "several")]

_NUMBERISH = st.text(
    "0123456789.,+-/eE'\" ftminAkVWhp%°²·½()*_xinfa\u00a0\u2212\u0661", max_size=24
)
_ODD = st.sampled_from(
    ["nan", "inf", "-inf", "1e999", "9**9**9 ft", "0x10", "1/0", "-0", "1_000", "٣", "²", "½",
     "1e-400", "5 5", "10 ft 6", "\ud800", "\x00", "5\u00a0A", ",", ";;;", "1,,2", "9" * 5000]
)  # fmt: skip


@given(
    st.sampled_from(TYPED),
    st.one_of(_NUMBERISH, st.text(), _ODD),
    st.sampled_from(["us", "metric"]),
)
@example(next(spec for spec in TYPED if spec.editor == "several"), "1e999", "us")
def test_any_text_is_read_or_refused_in_words(spec, text, units):
    try:
        value = read_entry(spec, text, units)
    except NotUnderstood as error:
        assert str(error)
        return
    if spec.editor == "number" and value is not None:
        low = -float("inf") if spec.low is None else spec.low
        high = float("inf") if spec.high is None else spec.high
        assert low <= value <= high
    again = read_entry(spec, shown(spec, value, units), units)
    if spec.editor == "number" and value is not None:
        assert again == pytest.approx(value, rel=1e-9)
    else:
        assert again == value


@given(st.data())
def test_what_is_read_the_project_takes_or_refuses_in_words(data):
    kind = data.draw(st.sampled_from(list(KINDS.values())))
    specs = [
        s for g in form_of(kind) for s in g.fields if s.editor in ("text", "number", "several")
    ]
    spec = data.draw(st.sampled_from(specs))
    text = data.draw(st.one_of(_NUMBERISH, st.text(), _ODD))
    piece = kind(id="x", name="X")
    project = Project().apply(put("", "equipment", piece))
    try:
        after = with_value(piece, spec.path, read_entry(spec, text, "us"))
        project = project.apply(Edit("", (Change("equipment", "x", piece, after),)))
    except (NotUnderstood, Refused) as error:
        assert str(error)
        return
    msgspec.json.encode(project.equipment["x"])


@pytest.mark.parametrize("kind", KINDS)
def test_every_line_of_a_form_takes_it_or_says_why(window, kind):
    for number, typed in enumerate(["12 horses", "-1e300", "1e999", "1/0", "(", "9" * 300]):
        piece = KINDS[kind](id=f"fresh-{number}", name=f"Fresh {number}")
        assert window.document.do(put("Add", "equipment", piece))
        window.selection.only(piece.id)
        for one in window.details.fields:
            if isinstance(one.editor, LineEditor) and one.isVisibleTo(window.details):
                check_entry(window.document, one, typed)


def check_entry(document, one, typed):
    steps = len(document.history.edits)
    one.editor.setFocus()
    one.editor.selectAll()
    one.editor.insert(typed)
    QTest.keyClick(one.editor, Qt.Key.Key_Return)
    taken = len(document.history.edits) > steps
    assert taken != bool(one.reason), (one.spec.name, typed)
    if one.reason:
        assert one.reason[0] == one.reason[0].upper()
        assert one.reason.endswith("."), one.reason
        assert one.editor.text() == typed
