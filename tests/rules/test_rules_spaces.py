"""Remedies that give a circuit other spaces of its panel."""

import pytest
from rules.build import Site, of_rule, service

from ampacre.model import records as r
from ampacre.model.edits import free_spaces
from ampacre.rules.review import Review
from ampacre.study.study import Study


def panel(**circuits):
    """A panel P with a motor on each of these circuits: its spaces and its volts."""
    site: Site = service()
    for key, (spaces, volts) in circuits.items():
        site.add(
            r.Motor, key, "P", {"role": "branch", "spaces": spaces}, full_load_a=10, volts=volts
        )
    return site.project()


def moved(project, rule, key):
    """The spaces of a circuit after the remedy of the rule's one finding."""
    (finding,) = of_rule(project, rule)
    (edit,) = Review(Study(project)).remedies(finding)
    return project.apply(edit).runs[f"P-{key}"].spaces


@pytest.mark.parametrize(
    ("spaces", "others", "after"),
    [
        ((1,), {}, (1, 3)),
        ((3,), {}, (1, 3)),
        ((3,), {"B": ((1,), 120)}, (3, 5)),
        ((1,), {"B": ((3,), 120)}, (2, 4)),
        ((8,), {}, (6, 8)),
    ],
)
def test_a_circuit_that_takes_two_legs_keeps_its_space_where_the_next_is_free(
    spaces, others, after
):
    project = panel(A=(spaces, 240), **others)
    assert moved(project, "voltage-suits", "A") == after


def test_a_circuit_that_takes_one_leg_keeps_one_of_its_spaces():
    assert moved(panel(A=((6, 8), 120)), "voltage-suits", "A") == (6,)


def test_poles_that_stand_across_keep_one_of_their_spaces():
    assert moved(panel(A=((5, 6), None)), "spaces-on-different-legs", "A") == (3, 5)


def test_a_circuit_that_is_not_in_the_panel_takes_the_first_spaces_free():
    project = panel(A=((1,), 120))
    assert free_spaces(project, project.equipment["P"], 2) == (2, 4)
    full = panel(**{f"M{n}": ((n,), 120) for n in range(1, 31)})
    assert free_spaces(full, full.equipment["P"], 1) == ()
