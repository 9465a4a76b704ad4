"""Cases of the questions on services, structures, grounding, working space and labels."""

from rules.build import altered, branch, feeder, service
from rules.cases import Asked, conductors, device, piece, run, settings
from rules.cases_services import far_emergency, surged, two_services
from rules.cases_structures import three_wire, twice, without_second
from rules.sites import built, circuits, grounded, metered, placed, structure
from study.build import Site

from ampacre.model import records as r

UTILITYS = {"owner": "utility"}


def plain():
    return service().project()


def sub_panel():
    site = service()
    site.add(r.Panel, "Q", "P", feeder(100), bus_a=125)
    return circuits(site, "Q", 2).project()


def four_eighty():
    site = Site()
    site.add(r.UtilitySource, "grid", system="277/480", fault_ka=10.0)
    site.add(
        r.Panel, "P", "grid", {"role": "service", "protected_at": "load", "length_m": 5.0},
        main=r.Device(rating_a=1200), bus_a=1200,
    )  # fmt: skip
    return circuits(site, "P", 1).project()


def new_service():
    return piece("P", since=r.WORK)(plain())


def earthed(size="6"):
    rods = (r.Electrode(kind="rod", count=2),)
    return grounded(plain(), "P", electrodes=rods, conductor=size, conductor_material="cu")


def barn_service():
    site = metered({})
    return placed(site, {"barn": {"use": "farm building"}}, P1="barn")


def new_house():
    return piece("P1", since=r.WORK)(surged())


def meter_disconnect():
    return piece("E", purpose="meter disconnect")(far_emergency(10.0))


def charger_switch():
    site = service()
    site.add(r.Disconnect, "D", "P", branch(40), rating_a=60)
    site.add(r.Charger, "C", "D", branch(40, length_m=0.0), nameplate_a=32.0)
    return site.project()


def with_sources():
    site = service()
    site.add(r.Inverter, "I", "P", branch(20), output_a=16.0)
    return site.project()


def with_generator():
    site = service()
    site.add(r.TransferSwitch, "S", "P", feeder(100))
    site.add(r.Generator, "G", kw=10)
    site.join("G", "S", role="generator output", lands_on="standby")
    return site.project()


def buried_aluminum():
    return run("P-B", place="yard")(built())


def apart_service():
    """The second service on a structure of its own."""
    return lambda project: piece("M2", structure="shed")(piece("P2", structure="shed")(project))


ASKED = [
    Asked(
        "dwelling-service-surge-protected", "P1", new_house, settings(edition="2017"), "230.67",
        piece("P1", surge="none"),
    ),
    Asked("space-in-front", "P", plain, piece("P", **UTILITYS), "110.26(A)(1)"),
    Asked(
        "space-in-front-above-low-volts", "P", four_eighty, piece("grid", system="120/208"),
        "110.26(A)(1)",
    ),
    Asked("space-width", "P", plain, piece("P", **UTILITYS), "110.26(A)(2)"),
    Asked("space-height", "P", plain, piece("P", location="outdoors"), "110.26(A)(3)"),
    Asked("space-kept-clear", "P", plain, piece("P", **UTILITYS), "110.26(B)"),
    Asked("dedicated-space", "P", plain, piece("P", location="outdoors"), "110.26(E)"),
    Asked("large-gear-way-out", "P", four_eighty, piece("P", location="outdoors"), "110.26(C)"),
    Asked(
        "service-equipment-marked-suitable", "P", plain, piece("P", **UTILITYS), "230.66",
        piece("P", service_rated=False),
    ),
    Asked(
        "three-wire-disconnect-suitable", "B", three_wire, conductors("P-B", grounding="6"),
        "225.36", piece("B", service_rated=False),
    ),
    Asked(
        "service-disconnect-near-entry", "P", plain, piece("P", location="outdoors"),
        "230.70(A)(1)",
    ),
    Asked(
        "service-disconnect-not-in-bathroom", "P", plain, piece("P", location="outdoors"),
        "230.70(A)(2)",
    ),
    Asked("service-line-side-covered", "P", new_service, piece("P", since=None), "230.62(C)"),
    Asked("service-raceways-bonded", "P", plain, piece("P", **UTILITYS), "250.92"),
    Asked("service-wire-not-through-building", "T-P", plain, run("T-P", length_m=0.0), "230.3"),
    Asked("occupants-reach-disconnect", "B", built, piece("B", structure="board"), "225.35"),
    Asked(
        "structure-disconnect-near-entry", "B", built, piece("B", location="outdoors"), "225.31(B)"
    ),
    Asked("electrodes-joined", "B", built, piece("B", structure="board"), "250.50"),
    Asked("electrode-connection-reachable", "B", built, piece("B", structure="board"), "250.68(A)"),
    Asked(
        "electrode-conductor-guarded", "P", earthed,
        lambda project: altered(project, "grounding", "g", conductor="2"), "250.64",
    ),
    Asked("gas-pipes-bonded", "B", built, structure("barn", use="outdoor"), "250.104(B)"),
    Asked(
        "aluminum-ground-off-earth", "P-B", buried_aluminum,
        conductors("P-B", grounding_material="cu"), "250.120(B)",
    ),
    Asked(
        "three-wire-no-other-metal", "P-B", three_wire, conductors("P-B", grounding="6"),
        "250.32(B)(1) exception 1",
    ),
    Asked("service-disconnect-label", "P", plain, piece("P", **UTILITYS), "230.70(B)"),
    Asked("services-plaque", "P1", two_services, apart_service(), "230.2(E)"),
    Asked("supplies-plaque", "B", twice, without_second, "225.37"),
    Asked(
        "emergency-disconnect-label", "E", lambda: piece("E", structure="house")(far_emergency()),
        settings(edition="2017"), "230.85",
    ),
    Asked("meter-disconnect-label", "E", meter_disconnect, piece("E", purpose=None), "230.82(3)"),
    Asked(
        "service-fault-label", "P1", barn_service, structure("barn", use="dwelling"), "110.24"
    ),
    Asked("panel-fault-label", "B", built, settings(edition="2017"), "408.6"),
    Asked("arc-flash-label", "P", four_eighty, piece("P", bus_a=800, main=None), "110.16"),
    Asked("panel-directory", "B", built, piece("B", **UTILITYS), "408.4(A)"),
    Asked("panel-source-label", "B", built, structure("barn", use="dwelling"), "408.4(B)"),
    Asked("disconnect-purpose-label", "D", charger_switch, run("D-C", source="P"), "110.22(A)"),
    Asked("sources-directory", "P", with_sources, piece("I", **UTILITYS), "705.10"),
    Asked("standby-sign", "P", with_generator, piece("P", **UTILITYS), "702.7"),
    Asked(
        "lock-provision-stays", "D", charger_switch, run("D-C", source="P"), "110.25",
        piece("D", lockable=False),
    ),
    Asked(
        "series-rating-label", "P-B", lambda: device("P-B", series_ka=22.0)(built()),
        device("P-B", series_ka=None), "110.22(C)",
    ),
]  # fmt: skip


CASES = []
SEVERITIES = []
