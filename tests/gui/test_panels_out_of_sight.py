"""Panels behind another tab do no work, and are up to date when they are brought to the front."""

import pytest

from ampacre.model.edits import alter


@pytest.fixture
def front(window, qapp):
    """Bring a panel to the front, over those that share its tabs."""

    def bring(name):
        window._docks.show(name)
        qapp.processEvents()

    bring("findings")
    return bring


@pytest.fixture
def rename(window, qapp):
    def renamed(key, name):
        assert window.document.do(alter(window.document.project, "equipment", key, name=name))
        qapp.processEvents()

    return renamed


def test_the_worksheet_waits_behind_another_tab(window, front, rename):
    window.selection.only("panel")
    assert window.worksheet.toPlainText() == ""
    front("worksheet")
    rename("panel", "North")
    assert "North" in window.worksheet.toPlainText()
    front("findings")
    rename("panel", "South")
    assert "North" in window.worksheet.toPlainText()
    front("worksheet")
    assert "South" in window.worksheet.toPlainText()


@pytest.mark.parametrize("name", ["runs", "circuits"])
def test_a_table_waits_behind_another_tab(window, front, rename, qapp, name):
    grid, model = getattr(window, name).grid, getattr(window, name).model
    window.selection.only("panel")
    front(name)
    front("findings")
    told = []
    model.dataChanged.connect(lambda *_: told.append(1))
    rename("barn", "Byre")
    run = next(run.id for run in window.document.project.runs.values() if run.target == "barn")
    window.selection.only(run)
    qapp.processEvents()
    assert not told
    assert grid.currentIndex().row() != model.row_of(run)
    front(name)
    assert told
    assert grid.currentIndex().row() == model.row_of(run)
    texts = {model.index(model.row_of(run), column).data() for column in range(3)}
    assert "Byre" in texts


def test_findings_wait_behind_another_tab(window, front, rename):
    front("runs")
    names = {line.name for line in window.findings.model.lines()}
    rename("barn", "Byre")
    assert {line.name for line in window.findings.model.lines()} == names
    front("findings")
    after = {line.name for line in window.findings.model.lines()}
    assert after != names
    assert "Run to Byre" in after


def test_the_outline_waits_behind_another_tab(window, front, rename):
    front("history")
    told = []
    window.outline.model().dataChanged.connect(lambda *_: told.append(1))
    window.outline.model().modelReset.connect(lambda: told.append(1))
    rename("barn", "Byre")
    assert not told
    front("outline")
    assert window.outline.model().index_of("barn").data() == "Byre"


def test_a_closed_panel_waits_until_it_is_shown_again(window, front, rename):
    front("runs")
    window._docks["runs"].close()
    told = []
    window.runs.model.dataChanged.connect(lambda *_: told.append(1))
    rename("barn", "Byre")
    assert not told
    front("runs")
    assert told
