"""Cases of the rules on chargers, pedestals, docks, protection for people."""

from rules.build import JOINT, altered, branch, feeder, service, wires
from rules.cases import Asked, Case, conductors, device, piece, run, settings, standing_in

from ampacre.model import records as r
from ampacre.model.edits import remove


def charger(device_a=60, wire="6", run_fields=None, **fields):
    site = service()
    circuit = branch(device_a, wires(wire, "none", "10")) | (run_fields or {})
    site.add(r.Charger, "C", "P", circuit, **({"nameplate_a": 48.0} | fields))
    return site.project()


def shared(lamp=True):
    site = service()
    site.add(r.Junction, "J", "P", branch(60, wires("6", "6", "10"), legs="", spaces=(1, 3)))
    tail = JOINT | {"role": "branch", "protected_at": "none", "legs": "AB"}
    site.add(r.Charger, "C", "J", tail, nameplate_a=32.0)
    site.add(r.Load, "L", "J", tail, va=1200.0)
    return site.project()


def alone(project):
    return project.apply(remove(project, ["L"]))


def pooled(policy="inside"):
    site = service(basis="optional dwelling")
    site.add(
        r.DwellingLoad, "H", "P", {"role": "branch", "protected_at": "none"}, floor_area_m2=150.0
    )
    site.add(
        r.Charger, "C", "P", branch(50, wires("6", "none", "10")), nameplate_a=40.0, serves="H"
    )
    return settings(optional_chargers=policy)(site.project())


def pedestal(device_a=30, wire=None, run_fields=None, receptacles=(20, 30), **fields):
    """A pedestal E on a yard panel Q."""
    site = service()
    site.add(r.Panel, "Q", "P", feeder(100, wires("1", "1", "6")), bus_a=125, spaces=12)
    circuit = branch(device_a, wire or wires("8", "8", "10"), legs="", spaces=(1, 3))
    site.add(
        r.Pedestal, "E", "Q", circuit | (run_fields or {}), receptacles_a=receptacles, **fields
    )
    return site.project()


def park(kinds, since=None):
    site = service()
    site.add(r.Panel, "Q", "P", feeder(200, wires("3/0", "3/0", "4")), bus_a=200, spaces=40)
    for number, receptacles in enumerate(kinds):
        spaces = (4 * number + 1, 4 * number + 3)
        site.add(
            r.Pedestal, f"E{number}", "Q",
            branch(50, wires("6", "6", "10"), legs="", spaces=spaces),
            receptacles_a=receptacles, open_to_public=True, since=since,
        )  # fmt: skip
    return site.project()


def dock(trip_a=0.03, feeder_trip_a=0.1, receptacles=(30,)):
    project = pedestal(receptacles=receptacles, dock=True)
    project = run("Q-E", ground_fault_trip_a=trip_a)(project)
    return run("P-Q", ground_fault_trip_a=feeder_trip_a)(project)


CASES = [
    Case(
        "charger-own-circuit", "C", shared, alone, "625.40", "shares a circuit of 60 A with L", 1
    ),
    Case(
        "charger-disconnect", "C", lambda: charger(100, "3", nameplate_a=80.0),
        piece("C", nameplate_a=60.0), "625.43", "rated 80 A", 2,
    ),
    Case(
        "charger-cord-within-receptacle", "C",
        lambda: charger(connection="receptacle", receptacle_a=50),
        piece("C", nameplate_a=40.0), "625.44", "allows 40 A", 2,
    ),
    Case(
        "charger-setting-offered", "C", lambda: charger(setting_a=5.0), piece("C", setting_a=6.0),
        "SAE J1772", "5 A", 1,
    ),
    Case(
        "charger-in-optional-pool", "C", pooled, piece("C", serves=None), "220.82",
        "counted in the pool", 1,
    ),
    Case(
        "park-site-receptacles", "E", lambda: pedestal(receptacles=(30,), open_to_public=True),
        piece("E", receptacles_a=(20, 30)), "551.71", "receptacles of 30 A", 1,
    ),
    Case(
        "park-receptacle-mix", "project",
        lambda: park([(20, 30)] * 4 + [(20, 30, 50)], since=r.WORK),
        piece("E0", receptacles_a=(20, 30, 50)), "551.71", "20 % of the park's 5 new sites",
    ),
    Case(
        "park-feeder-least", "E", lambda: pedestal(20, receptacles=(20,), open_to_public=True),
        device("Q-E", rating_a=30), "551.72", "behind 20 A", 1,
    ),
    Case(
        "pedestal-device-for-receptacle", "E", lambda: pedestal(receptacles=(20, 30, 50)),
        piece("E", receptacles_a=(20, 30)), "210.21(B)(3)", "50 A behind a device of 30 A", 1,
    ),
    Case(
        "pedestal-two-legs", "E",
        lambda: pedestal(50, wires("6", "6", "10"), {"spaces": (1,)}, (30, 50)),
        run("Q-E", spaces=(1, 3)), "551.71", "on one leg of 120 V", 1,
    ),
    Case(
        "pedestal-full-neutral", "E", lambda: pedestal(wire=wires("8", "10", "10")),
        conductors("Q-E", neutral="8"), "551.72", "10 AWG", 1,
    ),
    Case(
        "pedestal-grounding-wire", "E", lambda: pedestal(wire=wires("8", "8", "none")),
        conductors("Q-E", grounding="10", grounding_material="cu"), "551.75",
        "without a grounding conductor", 1,
    ),
    Case(
        "shore-receptacle-least", "E", lambda: dock(receptacles=(20,)),
        piece("E", receptacles_a=(30,)), "555.33(A)", "receptacle of 20 A", 1,
    ),
    Case(
        "shore-power-trip", "E", lambda: dock(0.1), run("Q-E", ground_fault_trip_a=0.03),
        "555.35(B)(1)", "100 mA", 1,
    ),
    Case(
        "dock-feeder-trip", "E", lambda: dock(0.03, 0.3), run("P-Q", ground_fault_trip_a=0.1),
        "555.35(A)", "300 mA", 1,
    ),
]  # fmt: skip

SEVERITIES = []


def home(project, *keys, use="dwelling", location="outdoors"):
    """The project with pieces outdoors at a structure of this use."""
    project = standing_in(project, {"there": use}, **dict.fromkeys(keys, "there"))
    for key in keys:
        project = altered(project, "equipment", key, location=location)
    return project


def outlet(category="receptacles", use="dwelling", device_a=20, **fields):
    site = service()
    circuit = branch(device_a, wires("12", "12", "12"), legs="", spaces=(1,))
    site.add(r.Load, "L", "P", circuit, category=category, va=720.0, **fields)
    return home(site.project(), "L", use=use)


def indoor_lights():
    site = service()
    site.add(
        r.DwellingLoad, "H", "P", {"role": "branch", "protected_at": "none"}, floor_area_m2=90.0
    )
    circuit = branch(15, wires("14", "14", "14"), legs="", spaces=(1,))
    site.add(r.Load, "L", "P", circuit, category="lighting", va=720.0, serves="H")
    return site.project()


def pump():
    site = service()
    site.add(
        r.Motor, "M", "P", branch(30, wires("10", "none", "10")), full_load_a=12.0, drive_fed=True
    )
    return home(site.project(), "M")


def unprotected(key):
    return run(key, gfci_protected=False)


ASKED = [
    Asked(
        "charger-receptacle-protected", "C", lambda: charger(connection="receptacle"),
        piece("C", connection="hardwired"), "625.54", unprotected("P-C"),
    ),
    Asked(
        "charger-outdoors-protected", "C", lambda: home(charger(50, nameplate_a=40.0), "C"),
        piece("C", location="indoors"), "210.8(F)", unprotected("P-C"),
    ),
    Asked(
        "park-receptacle-protected", "E", lambda: pedestal(open_to_public=True),
        piece("E", receptacles_a=(30,)), "551.71(F)", unprotected("Q-E"),
    ),
    Asked(
        "private-pedestal-protected", "E", lambda: pedestal(open_to_public=False),
        piece("E", open_to_public=True), "210.8(A)", unprotected("Q-E"),
    ),
    Asked(
        "pedestal-breaker-each", "E", pedestal, piece("E", receptacles_a=(30,)), "210.21(B)(1)"
    ),
    Asked(
        "park-site-disconnect", "E", lambda: pedestal(open_to_public=True),
        piece("E", dock=True), "551.77",
    ),
    Asked("pedestal-neutral-apart", "E", pedestal, piece("E", owner="utility"), "551.75"),
    Asked("dock-outlets-protected", "E", dock, settings(edition="2017"), "555.35(B)(2)"),
    Asked("dock-receptacle-height", "E", dock, piece("E", dock=False), "555.33"),
    Asked(
        "dwelling-receptacles-protected", "L", outlet, piece("L", category="other"), "210.8(A)",
        unprotected("P-L"),
    ),
    Asked(
        "outdoor-outlet-protected", "L", lambda: outlet("other"), device("P-L", rating_a=60),
        "210.8(F)", unprotected("P-L"),
    ),
    Asked(
        "other-receptacles-protected", "L", lambda: outlet(use="farm building"),
        piece("L", location="indoors"), "210.8(B)", unprotected("P-L"),
    ),
    Asked(
        "pump-drive-with-protection", "M", pump, piece("M", drive_fed=False), "210.8(F)"
    ),
    Asked("dwelling-arc-fault", "L", indoor_lights, device("P-L", rating_a=30), "210.12"),
]  # fmt: skip
