"""The models of our own (not those of Qt) keep the promises that views rely on."""

from PySide6.QtTest import QAbstractItemModelTester

from ampacre.model.edits import alter, remove

FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal


def test_models_of_a_window_stay_sound_while_the_project_changes(orchard, qapp):
    window, document = orchard, orchard.document
    views = (window.outline, window.runs.grid, window.circuits.grid)
    testers = [QAbstractItemModelTester(view.model(), FATAL) for view in views]
    testers.append(QAbstractItemModelTester(window.findings.model, FATAL))
    testers.append(QAbstractItemModelTester(window.checklist.model, FATAL))
    named = {piece.name: key for key, piece in document.project.equipment.items()}
    before = document.project
    for name in ("runs", "circuits"):
        window.commands[name].trigger()
        for edit in (
            alter(document.project, "equipment", named["C1"], name="Charger one"),
            remove(document.project, [named["Cold store"]]),
        ):
            assert document.do(edit)
            qapp.processEvents()
        document.undo()
        document.undo()
        qapp.processEvents()
    assert document.project == before
    assert all(tester.model() for tester in testers)
