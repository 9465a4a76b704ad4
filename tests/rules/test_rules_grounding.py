"""Grounding conductors and neutral bonds."""

import pytest
from rules.build import altered, branch, broken, feeder, fine, message, remedied, service, wires

from ampacre.model import records as r
from ampacre.model.project import Change, Edit
from ampacre.study.study import Study


def barn(size="2", grounding="6", device_a=90, bonded=None, va=80 * 240.0):
    """A feeder of aluminum to another structure, 80 A behind it."""
    site = service(structure=None)
    site.add(
        r.Panel, "barn", "P",
        feeder(device_a, wires(size, size, grounding, material="al"), terminal_c=75),
        neutral_bonded=bonded,
    )  # fmt: skip
    site.add(r.Load, "load", "barn", branch(100, length_m=0.0), va=va, continuous=False)
    project = site.project()
    for key, name in (("s1", "Board"), ("s2", "Barn")):
        built = Change("structures", key, None, r.Structure(id=key, name=name))
        project = project.apply(Edit("Build", (built,)))
    project = altered(project, "equipment", "P", structure="s1")
    return altered(project, "equipment", "barn", structure="s2")


def test_a_grounding_conductor_by_the_device():
    # NEC Table 250.122: 6 AWG aluminum behind up to 100 A, 4 AWG behind 200 A
    fine(barn(), "grounding-wire-large-enough")
    project = barn(grounding="8")
    assert message(project, "grounding-wire-large-enough") == (
        "The grounding conductor of the run to barn is 8 AWG; behind 90 A it must be 6 AWG."
    )
    remedied(
        project, "grounding-wire-large-enough",
        "Pull a 6 AWG aluminum grounding conductor with the run to barn",
    )  # fmt: skip


def test_a_grounding_conductor_grows_with_enlarged_conductors():
    # NEC 250.122(B): 26 240 x 211 600 / 66 360 = 83 671 cmil, so 1 AWG (83 690 cmil); the 4 AWG of
    # a stock assembly of 4/0 aluminum falls short
    project = barn(size="4/0", grounding="4")
    finding = broken(project, "grounding-wire-large-enough", "P-barn")
    assert finding.values["needed"] == "1"
    remedied(
        project, "grounding-wire-large-enough",
        "Pull a 1 AWG aluminum grounding conductor with the run to barn",
    )  # fmt: skip
    fine(barn(size="4/0", grounding="1"), "grounding-wire-large-enough")
    broken(barn(size="4/0", grounding="2"), "grounding-wire-large-enough", "P-barn")


def test_a_feeder_to_another_structure_has_a_grounding_conductor():
    # NEC 250.32(B)(1)
    project = barn(grounding="none")
    assert message(project, "structure-has-grounding-wire") == (
        "No grounding conductor goes with the run to barn, which leads to Barn."
    )
    remedied(
        project, "structure-has-grounding-wire",
        "Pull an 8 AWG copper grounding conductor with the run to barn",
    )  # fmt: skip
    fine(barn(), "structure-has-grounding-wire")
    fine(altered(project, "equipment", "barn", structure="s1"), "structure-has-grounding-wire")


def test_a_grounding_conductor_that_was_not_read_says_nothing():
    project = barn(grounding=None)
    for rule in ("structure-has-grounding-wire", "grounding-wire-large-enough"):
        fine(project, rule)
    assert "grounding conductor" in Study(project).run("P-barn").missing


def test_a_second_bond():
    # NEC 250.24(A)(5), 250.142(B)
    project = barn(bonded=True)
    broken(project, "no-second-bond", "barn")
    remedied(project, "no-second-bond", "Lift the neutral bond in barn")
    fine(barn(bonded=None), "no-second-bond")


def test_a_bond_is_not_lifted_before_there_is_a_grounding_conductor():
    project = barn(grounding="none", bonded=True)
    label = (
        "Pull an 8 AWG copper grounding conductor with the run to barn, then lift the neutral bond "
        "in barn"
    )
    remedied(project, "no-second-bond", label)


@pytest.mark.parametrize("kind", [r.Panel, r.Disconnect])
def test_the_bond_at_the_service(kind):
    # NEC 250.24(B): a main bonding jumper in the service disconnect
    site = service(neutral_bonded=False)
    rule = "service-bonded"
    if kind is r.Disconnect:
        site.pieces["P"] = r.Disconnect(id="P", name="P", neutral_bonded=False)
    project = site.project()
    broken(project, rule, "P")
    remedied(project, rule, "Bond the neutral in P")
    fine(altered(project, "equipment", "P", neutral_bonded=None), rule)
