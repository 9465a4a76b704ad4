"""What the equipment list says of a charger's disconnect is what is drawn, or that it lacks."""

from pathlib import Path

import pytest
from published.permit_answers import added, both, piece, run

from ampacre.model import records as r
from ampacre.rules.review import Review
from ampacre.sheets.equipment_list import equipment_list
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLE = load(Path(__file__).parents[2] / "samples" / "harrow_orchard_upgraded.ampacre")
LARGE = piece("c3", nameplate_a=80.0)
LOCKING_BREAKER = run("run-barn-c3", device__lockable=True)


def _switch(lockable):
    switch = r.Disconnect(id="d3", name="D3", since=r.WORK, rating_a=100.0, lockable=lockable)
    return both(
        added("equipment", switch),
        run("run-barn-c3", target="d3"),
        added("runs", r.Run(id="d3-c3", since=r.WORK, source="d3", target="c3", role="branch",
                            protected_at="none", length_m=1.0)),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("change", "said", "is_violation"),
    [
        (piece("c3", nameplate_a=60.0), "not called for by its size", False),
        (LARGE, "required, to lock open: not shown", True),
        (
            both(LARGE, LOCKING_BREAKER),
            "required: breaker in Press barn, can be locked open",
            False,
        ),
        (both(LARGE, _switch(True)), "required: D3, can be locked open", False),
        (both(LARGE, _switch(None)), "required: D3, locking open to be stated", False),
        (both(LARGE, _switch(False)), "required, to lock open: not shown", True),
        (LOCKING_BREAKER, "breaker in Press barn, can be locked open", False),
        (piece("c3", nameplate_a=None), "nameplate not read", False),
        (piece("t1", system="277/480"), "required, to lock open: not shown", True),
    ],
)
def test_the_list_agrees_with_the_check(change, said, is_violation):
    study = Study(change(SAMPLE))
    review = Review(study)
    chargers = next(
        part for part in equipment_list(study, review) if part.title == "Vehicle supply equipment"
    )
    assert next(row for row in chargers.rows if row[0] == "C3")[-1] == said
    found = {finding.where for finding in review.findings if finding.rule == "charger-disconnect"}
    assert ("c3" in found) == is_violation
