"""Cases of the rules on structures that feeders supply, and on names."""

from rules.build import branch, feeder, wires
from rules.cases import Case, conductors, piece, run
from rules.sites import FT, barn, built, circuits, put, structure, without

from ampacre.model import records as r

WIRE = wires("1", "1", "6", material="al")


def twice(reason=None, count=2, **second):
    """The barn with further feeders of the same panel, each into a panel of its own."""
    site = barn()
    for number in range(2, count + 1):
        given = {"bus_a": 125, "main": r.Device(rating_a=100)} | second
        site.add(r.Panel, f"B{number}0", "P", feeder(100, WIRE, terminal_c=75), **given)
    circuits(site, "B20", 3)
    return built(site=site, more={"several_supplies": reason})


def without_second(project):
    gone = ["B20", *(f"B20{number}" for number in (1, 2, 3))]
    return without(project, "P-B20", *gone, *(f"B20-{key}" for key in gone[1:]))


def no_disconnect():
    """A heater of the barn on a branch circuit from the board."""
    site = barn()
    site.add(r.Load, "BH", "P", branch(40, wires("8", "none", "10")), va=7200.0, category="heat")
    return built(site=site, more={"several_supplies": "special permission"})


def behind_switch(project):
    switch = r.Disconnect(id="S", name="S", structure="barn", rating_a=60)
    joint = r.Run(id="S-BH", source="S", target="BH", role="branch", length_m=0.0)
    before = project.runs["P-BH"]
    project = put(without(project, "P-BH"), switch, joint)
    lead = type(before)(
        id="P-S", source="P", target="S", role="branch", device=before.device, legs="AB",
        conductors=before.conductors, length_m=10.0,
    )  # fmt: skip
    return put(project, r.Junction(id="unused", name="unused"), lead)


def lugs_only(count=7):
    return built(site=barn(count=count, main=None, main_lugs=True))


def small(main_a=40, **more):
    return built(site=barn(main=r.Device(rating_a=main_a)), **more)


def three_wire(**fields):
    """An old feeder without grounding conductor to the barn, where the neutral is bonded."""
    old = {"conductors": wires("1", "1", "none", material="al")} | fields
    return built(site=barn(run=old, neutral_bonded=True))


def beside_another():
    """The same with a second, grounded circuit to the barn."""
    site = barn(run={"conductors": wires("1", "1", "none", material="al")}, neutral_bonded=True)
    site.add(r.Load, "BG", "P", branch(20, wires("12", "12", "12")), va=1200.0)
    return built(site=site, more={"several_supplies": "special permission"})


def apart(length_m):
    project = run("P-B", length_m=length_m)(built())
    project = structure("board", east_m=0.0, north_m=0.0)(project)
    return structure("barn", east_m=300 * FT, north_m=400 * FT)(project)


CASES = [
    Case(
        "one-supply-per-structure", "P-B20", twice, without_second, "225.30",
        "has 2 supplies: the run to B and the run to B20", severity="ask",
    ),
    Case(
        "feeders-of-one-panel", "P-B", lambda: twice("several feeders of one panel", 7),
        lambda project: without(project, "P-B70", "B70"), "225.30(B)",
        "as feeders of one panel; six are the most",
    ),
    Case(
        "structure-has-disconnect", "BH", no_disconnect, behind_switch, "225.31",
        "BH in barn is supplied from another structure", 1,
    ),
    Case(
        "structure-disconnects-six", "B", lugs_only,
        lambda project: without(project, "B7", "B-B7"), "225.33", "It takes 7 disconnects in B", 1,
    ),
    Case(
        "structure-rating-enough", "B", small, piece("B", main=r.Device(rating_a=60)), "225.39",
        "is rated 40 A; 60 A is the least", 1,
    ),
    Case(
        "structure-switch-opens-all-legs", "B", lambda: piece("B", poles=1)(built()),
        piece("B", poles=2), "225.38", "opens 1 of the 2 legs", 1,
    ),
    Case(
        "three-wire-without-trip", "P-B", lambda: three_wire(ground_fault_trip_a=30.0),
        run("P-B", ground_fault_trip_a=None), "250.32(B)(1) exception 1",
        "trips on ground faults of 30 A", 1,
    ),
    Case(
        "three-wire-without-metal", "P-B", beside_another,
        conductors("P-BG", grounding="none", grounding_material=None),
        "250.32(B)(1) exception 1", "the run to BG is a metal path between board and barn", 1,
    ),
    Case(
        "run-reaches-its-structure", "P-B", lambda: apart(400 * FT), run("P-B", length_m=500 * FT),
        "common practice", "400 ft long; the structures that it joins are 500 ft apart", 1,
    ),
    Case(
        "structure-uses-entered", "B", lambda: built(None), structure("barn", use="accessory"),
        "common practice", "barn",
    ),
    Case(
        "equipment-names-differ", "P", lambda: piece("P", name="B")(built()), piece("P", name="P"),
        "110.22(A)", "B is the name of a panel and of a panel", 1,
    ),
    Case(
        "circuit-names-differ", "B", lambda: piece("B2", name="B1")(built()),
        piece("B2", name="B2"), "408.4(A)", "Two circuits of B are called B1", 1,
    ),
]  # fmt: skip


ASKED = []
SEVERITIES = []
