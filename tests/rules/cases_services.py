"""Cases of the rules on services, their disconnects, conductors and meters."""

from rules.build import JOINT, altered, branch, feeder, service, wires
from rules.cases import Case, conductors, piece, run
from rules.sites import (
    ENTRANCE,
    FT,
    LATERAL,
    circuits,
    metered,
    moved,
    placed,
    put,
    several,
    structure,
    utility,
    without,
)

from ampacre.model import records as r
from ampacre.model.project import Change, Edit


def with_inverter(project):
    inverter = r.Inverter(id="I", name="I", structure="barn", output_a=16.0)
    return put(project, inverter, r.Run(id="P1-I", source="P1", target="I", role="branch"))


def with_meter(project):
    meter = r.Meter(id="M", name="M", class_a=200)
    first = r.Run(id="T-M", source="T", target="M", role="utility", owner="utility", length_m=0.0)
    return moved(put(project, meter, first), "T-P", "M")


def two_services(reason=None, **more):
    site = metered({}, {}, **more)
    there = {"barn": {"use": "farm building", "several_supplies": reason}, "shed": {}}
    return placed(site, there, M1="barn", P1="barn", M2="barn", P2="barn")


def elsewhere(key):
    """A change that puts the second service on a structure of its own."""
    return lambda project: altered(
        altered(project, "equipment", "M2", structure="shed"), "equipment", key, structure="shed"
    )


def two_houses(second="dwelling"):
    site = several(2)
    there = {"house": {"use": "dwelling"}, "other": {"use": second}}
    return placed(site, there, D1="house", D2="other")


def load_ahead():
    site = metered({})
    site.add(r.Load, "X", "M1", branch(20), va=1200.0, volts=240.0)
    return site.project()


def seven():
    return several(7).project()


def lugs(count, **fields):
    site = utility()
    site.add(r.Meter, "M", "T", LATERAL, class_a=200)
    site.add(
        r.Panel, "P", "M", ENTRANCE | {"protected_at": "none"}, bus_a=200, main_lugs=True, **fields
    )
    return circuits(site, "P", count)


def indoors_and_out():
    site = several(2)
    project = altered(site.project(), "equipment", "D1", location="indoors")
    return altered(project, "equipment", "D2", location="outdoors")


def small_service(rating_a=60):
    site = metered({"main": r.Device(rating_a=rating_a)})
    site.add(r.DwellingLoad, "home", "P1", {"role": "branch", "protected_at": "none"})
    return placed(site, {"house": {"use": "dwelling"}}, P1="house", home="house")


def small_switch():
    site = utility()
    site.add(r.Meter, "M", "T", LATERAL)
    site.add(r.Disconnect, "D", "M", ENTRANCE | {"protected_at": "none"}, rating_a=30)
    load = {"role": "feeder", "protected_at": "load", "length_m": 0.3}
    site.add(r.Panel, "P", "D", load, main=r.Device(rating_a=30), bus_a=100)
    return circuits(site, "P", 3).project()


def far_device(length_m=6.0):
    site = utility()
    site.add(r.Disconnect, "D", "T", ENTRANCE | {"protected_at": "none"}, rating_a=200)
    beyond = feeder(None, wires("4/0", "2/0", "4", material="al"), length_m) | {
        "protected_at": "load",
        "device": None,
    }
    site.add(r.Panel, "P", "D", beyond, main=r.Device(rating_a=200), bus_a=200)
    return circuits(site, "P", 3).project()


def thin_entrance(size):
    site = metered({"main": r.Device(rating_a=60)})
    project = site.project()
    return conductors("M1-P1", size=size, neutral=size)(project)


def house_on(size):
    site = metered({"main": r.Device(rating_a=100)})
    site.add(r.DwellingLoad, "home", "P1", {"role": "branch", "protected_at": "none"})
    project = placed(site, {"house": {"use": "dwelling"}}, P1="house", home="house")
    return conductors("M1-P1", size=size, neutral=size)(project)


def without_neutral():
    return conductors("M1-P1", neutral="none")(metered({}).project())


def under_floor(cover_m):
    project = metered({}).project()
    return run("M1-P1", place="under building", raceway="pvc", cover_m=cover_m)(project)


def shared_raceway():
    project = metered({}).project()
    pipe = r.Raceway(id="pipe", name="Riser", kind="pvc", trade_size="3")
    project = project.apply(Edit("Lay", (Change("raceways", "pipe", None, pipe),)))
    inside = (r.Segment(raceway="pipe", length_m=3.0),)
    return run("P1-L1", segments=inside)(run("M1-P1", segments=inside)(project))


def indoor_house(edition="2023"):
    site = metered({"location": "indoors"})
    site.settings = r.Settings(id="project", edition=edition)
    return placed(site, {"house": {"use": "dwelling"}}, P1="house")


def fed_house(location="indoors"):
    site = service(location="outdoors")
    fields = feeder(100, wires("1", "1", "6", material="al"), terminal_c=75)
    site.add(r.Panel, "H", "P", fields, main=r.Device(rating_a=100), bus_a=125, location=location)
    circuits(site, "H", 3)
    there = {
        "board": {"use": "outdoor", "east_m": 0.0, "north_m": 0.0},
        "house": {"use": "dwelling", "east_m": 60 * FT, "north_m": 0.0},
    }
    return placed(site, there, P="board", H="house")


def far_emergency(distance_m=60 * FT):
    site = utility()
    site.add(
        r.Disconnect, "E", "T", ENTRANCE | {"protected_at": "none"}, rating_a=200,
        purpose="emergency disconnect", location="outdoors",
    )  # fmt: skip
    beyond = JOINT | {"role": "service", "protected_at": "load"}
    site.add(r.Panel, "P", "E", beyond, main=r.Device(rating_a=200), location="indoors", bus_a=200)
    circuits(site, "P", 3)
    there = {
        "pole": {"use": "outdoor", "east_m": 0.0, "north_m": distance_m},
        "house": {"use": "dwelling", "east_m": 0.0, "north_m": 0.0},
    }
    return placed(site, there, E="pole", P="house")


def surged(**fields):
    site = metered(fields)
    return placed(site, {"house": {"use": "dwelling"}}, P1="house")


def surged_ahead(kind="type 2"):
    return piece("E", surge=kind)(far_emergency(10.0))


def private(**fields):
    """A private meter N in a feeder behind the service panel."""
    site = service()
    wire = wires("4/0", "2/0", "4", material="al")
    given = {"role": "private", "class_a": 200} | fields
    site.add(r.Meter, "N", "P", feeder(175, wire, terminal_c=75), **given)
    site.add(r.Panel, "Y", "N", JOINT | {"protected_at": "none"}, bus_a=225)
    return circuits(site, "Y", 3).project()


def large_meter(**fields):
    site = metered({"bus_a": 600, "main": r.Device(rating_a=600)})
    site.add(r.Load, "X", "P1", feeder(500), va=360 * 240.0, volts=240.0, continuous=False)
    return piece("M1", class_a=400, **fields)(site.project())


def unmetered():
    return service().project()


CASES = [
    Case(
        "one-service-per-structure", "M2", two_services,
        structure("barn", several_supplies="special permission"), "230.2",
        "has 2 services, at M1 and M2; no reason",
    ),
    Case(
        "capacity-is-the-reason", "M1", lambda: two_services("above 2000 A"), elsewhere("P2"),
        "230.2", "together they carry", 1,
    ),
    Case(
        "voltage-is-the-reason", "M1", lambda: two_services("different voltage or use"),
        piece("M2", role="second rate"), "230.2", "all are 120/240 V", 1,
    ),
    Case(
        "source-is-the-reason", "M1", lambda: two_services("parallel power production"),
        with_inverter, "230.2", "no such source", 1,
    ),
    Case(
        "one-set-per-service", "M", two_houses, structure("other", use="accessory"), "230.40",
        "2 structures that are not one dwelling",
    ),
    Case(
        "service-disconnect-ahead", "X", load_ahead, lambda project: moved(project, "M1-X", "P1"),
        "230.82", "X is connected at M1", 1,
    ),
    Case(
        "service-disconnects-six", "D1", seven,
        lambda project: without(project, "D7", "Q7", "W-D7", "D7-Q7"), "230.71",
        "has 7 disconnects",
    ),
    Case(
        "service-disconnects-apart", "P", lambda: lugs(3).project(),
        piece("P", main=r.Device(rating_a=100)), "230.71", "its 3 breakers", 1,
    ),
    Case(
        "service-disconnects-grouped", "D2", indoors_and_out, piece("D2", location="indoors"),
        "230.72", "D2 stands outdoors, D1 indoors", 2,
    ),
    Case(
        "service-rating-enough", "P1", small_service, piece("P1", main=r.Device(rating_a=100)),
        "230.79", "is rated 60 A; 100 A is the least", 1,
    ),
    Case(
        "service-device-at-disconnect", "D", far_device, run("D-P", length_m=0.5), "230.91",
        "is at P, 19.7 ft away", 1,
    ),
    Case(
        "service-switch-opens-all-legs", "P1", lambda: piece("P1", poles=1)(metered({}).project()),
        piece("P1", poles=2), "230.74", "opens 1 of the 2 legs", 1,
    ),
    Case(
        "service-wire-for-disconnect", "M1-P1", lambda: house_on("4"),
        conductors("M1-P1", size="1/0", neutral="1/0"), "230.42(B)", "is 100 A", 1,
    ),
    Case(
        "several-mains-above-wire", "M-W", lambda: several(3).project(),
        lambda project: without(project, "D3", "Q3", "W-D3", "D3-Q3"), "230.90(A) exception 3",
        "add up to 300 A", severity="advice",
    ),
    Case(
        "service-neutral-present", "M1-P1", without_neutral, conductors("M1-P1", neutral="2"),
        "250.24", "No neutral comes with", 1,
    ),
    Case(
        "service-wire-outside-building", "M1-P1", lambda: under_floor(12 * 0.0254),
        run("M1-P1", cover_m=18 * 0.0254), "230.6", "1 ft under a building", 1,
    ),
    Case(
        "service-raceway-alone", "M1-P1", shared_raceway, run("P1-L1", segments=()), "230.7",
        "Riser holds the run to P1 and the run to L1 together", 1,
    ),
    Case(
        "emergency-disconnect-at-service", "P1", indoor_house, piece("P1", location="outdoors"),
        "230.85", "stands indoors: P1", 2,
    ),
    Case(
        "emergency-disconnect-at-feeder", "H", fed_house, piece("H", location="outdoors"),
        "225.41", "stands indoors: H", 2,
    ),
    Case(
        "emergency-disconnect-in-sight", "E", far_emergency, structure("pole", north_m=50 * FT),
        "230.85", "60 ft away", 1,
    ),
    Case(
        "surge-discharge-current", "P1", lambda: surged(surge="type 2", surge_ka=5.0),
        piece("P1", surge_ka=10.0), "230.67(E)", "rated for 5 kA", 1,
    ),
    Case(
        "surge-type-for-place", "E", surged_ahead, piece("E", surge="type 1"), "242",
        "is of type 2", 1,
    ),
    Case(
        "surge-withstands-fault", "P1",
        lambda: surged(surge="type 2", surge_short_circuit_ka=5.0),
        run("M1-P1", length_m=60.0), "242", "stands faults of 5 kA", 1,
    ),
    Case(
        "meter-housing-bonded", "M1", lambda: piece("M1", neutral_bonded=False)(metered({}).project()),
        piece("M1", neutral_bonded=True), "230.82(2)", "not bonded", 1,
    ),
    Case(
        "private-meter-neutral-apart", "N", lambda: private(neutral_bonded=True),
        piece("N", neutral_bonded=False), "250.142(B)", "bonded in N, behind P", 1,
    ),
    Case(
        "private-meter-rating", "N", lambda: private(class_a=125), piece("N", class_a=200),
        "250.142(B)", "a class 125 socket behind a device of 175 A", 1,
    ),
    Case(
        "meter-role-fits-place", "N", lambda: private(role="revenue"), piece("N", role="private"),
        "230.66", "behind P, a service disconnect", 1,
    ),
    Case(
        "meter-by-current-transformers", "M1", lambda: large_meter(current_transformers=False),
        piece("X", va=200 * 240.0), "common practice", "most utilities ask", 1,
    ),
    Case(
        "service-is-metered", "P", unmetered, with_meter,
        "common practice", "No meter is drawn", 1,
    ),
]  # fmt: skip


ASKED = []
SEVERITIES = []
