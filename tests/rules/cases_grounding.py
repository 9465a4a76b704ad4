"""Cases of the rules on electrodes, their conductors, bonding and what serves as ground."""

from rules.build import altered, feeder, service, wires
from rules.cases import Case, conductors, piece, run
from rules.sites import FT, barn, built, circuits, grounded

from ampacre.model import records as r
from ampacre.model.project import Change, Edit

ROD = {"kind": "rod", "length_m": 8 * FT}


def electrode(*kinds, at="P", **fields):
    """A service with these electrodes, each a dict of its fields."""
    each = tuple(r.Electrode(**kind) for kind in kinds)
    return grounded(service().project(), at, electrodes=each, **fields)


def record(**values):
    """A change of the one grounding record."""
    return lambda project: altered(project, "grounding", "g", **values)


def only(**fields):
    """A change of the record's electrodes to this one."""
    return record(electrodes=(r.Electrode(**fields),))


TWO = {"kind": "rod", "count": 2, "spacing_m": 6 * FT, "length_m": 8 * FT}
ENCASED = {"kind": "concrete-encased", "length_m": 20 * FT}


def derived(panel_bonded=False, jumper="2", wire="4/0", **transformer):
    """A customer's 480 to 120/240 V transformer D with a panel Q behind it."""
    site = service()
    site.pieces["T"] = r.Transformer(
        id="T", name="T", owner="utility", kva=75, system="480", impedance_pct=2.0,
        impedance_basis="nameplate", x_r=1.5,
    )  # fmt: skip
    given = {"kva": 37.5, "system": "120/240", "neutral_bonded": True} | transformer
    site.add(r.Transformer, "D", "P", feeder(100, wires("3", "none", "8")), **given)
    secondary = {
        "role": "transformer secondary", "protected_at": "load", "length_m": 2.0,
        "conductors": wires(wire, wire, jumper),
    }  # fmt: skip
    site.add(
        r.Panel, "Q", "D", secondary, main=r.Device(rating_a=200), bus_a=225,
        neutral_bonded=panel_bonded,
    )  # fmt: skip
    return circuits(site, "Q", 3).project()


def standby(switched, grounding="6"):
    site = service()
    site.add(r.TransferSwitch, "S", "P", feeder(200), rating_a=200, neutral_switched=switched)
    site.add(r.Panel, "Q", "S", {"protected_at": "none", "length_m": 0.0}, bus_a=200)
    output = {
        "role": "generator output", "lands_on": "standby", "device": r.Device(rating_a=200),
        "conductors": wires("3/0", "3/0", grounding), "length_m": 8.0, "terminal_c": 75,
    }  # fmt: skip
    site.add(r.Generator, "G", None, None, kw=40, neutral_bonded=switched)
    site.join("G", "S", **output)
    return site.project()


def piped(bond, **fields):
    """The barn, which has metal water pipes and a steel frame, with these bonds."""
    project = built(more={"metal_water_pipe": True, "steel_frame": True})
    return grounded(project, "barn", electrodes=(r.Electrode(**TWO),), **bond, **fields)


def in_plastic(kind="pvc"):
    wire = wires("1", "1", "raceway", material="al")
    return built(site=barn(run={"conductors": wire, "raceway": kind}))


def sharing(size):
    """Two circuits in one raceway with one grounding conductor."""
    site = service()
    for key, device_a, wire in (("A", 100, "3"), ("C", 60, "6")):
        fields = feeder(device_a, wires(wire, wire), terminal_c=75)
        site.add(r.Panel, key, "P", fields, bus_a=125)
        circuits(site, key, 2)
    project = site.project()
    pipe = r.Raceway(id="pipe", name="Trunk", kind="pvc", grounding=size, grounding_material="cu")
    project = project.apply(Edit("Lay", (Change("raceways", "pipe", None, pipe),)))
    inside = (r.Segment(raceway="pipe", length_m=50.0),)
    return run("P-C", segments=inside)(run("P-A", segments=inside)(project))


CASES = [
    Case(
        "electrode-present", "P", electrode, only(**TWO), "250.50", "no grounding electrode at P",
        1,
    ),
    Case(
        "rod-not-alone", "P", lambda: electrode(ROD), only(**ROD | {"count": 2}), "250.53(A)(2)",
        "One rod is the only electrode at P, not measured", 1,
    ),
    Case(
        "rod-spacing", "P", lambda: electrode(TWO | {"spacing_m": 5 * FT}), only(**TWO),
        "250.53(A)(3)", "rods at P are 5 ft apart; 6 ft is the least", 1,
    ),
    Case(
        "rod-length", "P", lambda: electrode(TWO | {"length_m": 6 * FT}), only(**TWO),
        "250.52(A)(5)", "in contact over 6 ft; 8 ft", 1,
    ),
    Case(
        "water-pipe-length", "P",
        lambda: electrode(TWO, {"kind": "metal water pipe", "length_m": 8 * FT}),
        only(**TWO), "250.52(A)(1)", "in contact over 8 ft; 10 ft", 1,
    ),
    Case(
        "water-pipe-not-alone", "P", lambda: electrode({"kind": "metal water pipe"}),
        record(electrodes=(r.Electrode(kind="metal water pipe"), r.Electrode(**TWO))),
        "250.52(A)(1)", "the only electrode at P", 1,
    ),
    Case(
        "encased-electrode-length", "P", lambda: electrode(ENCASED | {"length_m": 15 * FT}),
        only(**ENCASED), "250.52(A)(3)", "in contact over 15 ft; 20 ft", 1,
    ),
    Case(
        "ring-length", "P", lambda: electrode({"kind": "ring", "length_m": 12 * FT}),
        only(kind="ring", length_m=20 * FT), "250.52(A)(4)", "in contact over 12 ft; 20 ft", 1,
    ),
    Case(
        "ring-size", "P", lambda: electrode({"kind": "ring", "size": "4"}),
        only(kind="ring", size="2"), "250.52(A)(4)", "The ring at P is 4 AWG; 2 AWG", 1,
    ),
    Case(
        "electrode-depth", "P", lambda: electrode({"kind": "ring", "depth_m": 1.5 * FT}),
        only(kind="ring", depth_m=2.5 * FT), "250.53", "lies 1.5 ft deep; 2.5 ft", 1,
    ),
    Case(
        "plate-area", "P", lambda: electrode({"kind": "plate", "count": 2, "area_m2": FT**2}),
        only(kind="plate", count=2, area_m2=2 * FT**2), "250.52(A)(7)", "The plate at P touches", 1,
    ),
    Case(
        # Table 250.66: 2 AWG copper with 500 kcmil of aluminum
        "electrode-conductor-size", "P",
        lambda: electrode({"kind": "metal water pipe"}, TWO, conductor="4", conductor_material="cu"),
        record(conductor="2"), "250.66", "is 4 AWG copper; with 500 kcmil aluminum", 1,
    ),
    Case(
        "electrode-conductor-copper", "P",
        lambda: electrode(ENCASED, conductor="4/0", conductor_material="al"),
        record(conductor_material="cu"), "250.64(A)", "leads to a concrete-encased electrode", 1,
    ),
    Case(
        "grounding-entered", "P", lambda: service().project(),
        lambda project: grounded(project, "P", electrodes=(r.Electrode(**TWO),)),
        "common practice", "Nothing is entered of the grounding at P",
    ),
    Case(
        "main-jumper-size", "P",
        lambda: electrode(TWO, bonding_jumper="6", bonding_jumper_material="cu"),
        record(bonding_jumper="2"), "250.28", "main bonding jumper in P is 6 AWG copper", 1,
    ),
    Case(
        "system-jumper-size", "D",
        lambda: grounded(
            derived(), "D", electrodes=(r.Electrode(**TWO),), bonding_jumper="6",
            bonding_jumper_material="cu",
        ),
        record(bonding_jumper="2"), "250.30(A)(1)", "with 4/0 AWG copper conductors", 1,
    ),
    Case(
        "separate-source-bonded", "D", lambda: derived(neutral_bonded=False),
        piece("Q", neutral_bonded=True), "250.30(A)(1)", "bonded neither in it nor in Q", 2,
    ),
    Case(
        "supply-jumper-size", "D-Q", lambda: derived(jumper="6"), conductors("D-Q", grounding="2"),
        "250.30(A)(2)", "is 6 AWG; it must be 2 AWG", 1,
    ),
    Case(
        # Table 250.122: 6 AWG copper behind 200 A; Table 250.102(C)(1): 4 AWG with 3/0 AWG copper
        "generator-grounding-wire", "G-S", lambda: standby(True),
        piece("S", neutral_switched=False), "250.30(A)(2)", "supply-side bonding jumper of", 1,
    ),
    Case(
        # 1 AWG aluminum feeder, 83 690 cmil: 8 AWG copper by Table 250.102(C)(1)
        "water-pipes-bonded", "B", lambda: piped({"water_pipe_bond": "10"}),
        record(water_pipe_bond="8"), "250.104(A)", "the metal water pipes of barn is 10 AWG", 1,
    ),
    Case(
        "steel-frame-bonded", "B", lambda: piped({"steel_bond": "none"}), record(steel_bond="8"),
        "250.104(C)", "the steel frame of barn is missing", 1,
    ),
    Case(
        "communication-bonds-have-terminals", "P",
        lambda: electrode(TWO, bonding_terminals=1), record(bonding_terminals=3), "250.94",
        "P has 1 terminals", 1,
    ),
    Case(
        "raceway-can-ground", "P-B", in_plastic, run("P-B", raceway="steel"), "250.118",
        "it lies in plastic raceway", 1,
    ),
    Case(
        # 8 AWG copper behind 100 A, 10 AWG behind 60 A (Table 250.122)
        "shared-grounding-wire-size", "P-A", lambda: sharing("10"),
        lambda project: altered(project, "raceways", "pipe", grounding="8"), "250.122(C)",
        "is 10 AWG; for its 2 circuits, up to 100 A, it must be 8 AWG", 1,
    ),
]  # fmt: skip
ASKED = []
SEVERITIES = []
