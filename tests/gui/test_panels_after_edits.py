"""Panels after edits: they show what panels made afresh of the same project show."""

from hypothesis import given, settings
from PySide6.QtCore import QModelIndex, Qt
from strategies import histories

from ampacre_gui.document import Document
from ampacre_gui.panels.findings import Findings
from ampacre_gui.panels.outline import Outline
from ampacre_gui.selection import Selection


def seen(panel, document):
    panel = panel(document, Selection())
    panel.watch(seen=True)
    return panel


def found(findings):
    return [(heading.key, heading.title, heading.lines) for heading in findings.model.headings]


def lines(outline, above=None):
    model, above = outline.model(), above or QModelIndex()
    for row in range(model.rowCount(above)):
        cells = [model.index(row, column, above) for column in range(model.columnCount())]
        words = cells[0].data(Qt.ItemDataRole.AccessibleTextRole)
        yield words, *(cell.data() for cell in cells), list(lines(outline, cells[0]))


@settings(max_examples=40)
@given(histories())
def test_after_any_edits_panels_show_what_new_ones_do(qapp, history):
    first, steps = history
    document = Document(first)
    findings, outline = seen(Findings, document), seen(Outline, document)
    for edit, project in steps:
        assert document.do(edit)
        qapp.processEvents()
        fresh = Document(project)
        assert found(findings) == found(seen(Findings, fresh))
        assert list(lines(outline)) == list(lines(seen(Outline, fresh)))
        fresh.close()
    document.close()
