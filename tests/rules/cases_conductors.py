"""Cases of the rules on conductors, overhead spans, places, raceways, taps and transformers."""

import dataclasses

from rules.build import JOINT, altered, branch, feeder, service, wires
from rules.cases import Asked, Case, conductors, device, main, piece, run, standing_in
from study.build import Site

from ampacre.model import records as r

FT = 0.3048
IN = 0.0254


def fed(run_fields, **panel):
    """A sub-panel Q fed from P."""
    site = service()
    site.add(r.Panel, "Q", "P", run_fields, **({"bus_a": 200} | panel))
    return site


def loaded(site, at="Q", va=4800.0):
    site.add(r.Load, "L", at, branch(40, wires("8", "none", "10")), va=va, continuous=False)
    return site.project()


def lateral(size, material="cu", **fields):
    site = Site()
    site.add(r.UtilitySource, "grid", system="120/240", fault_ka=10.0)
    wire = wires(size, size, material=material)
    site.add(
        r.Panel, "P", "grid",
        {"role": "service", "protected_at": "load", "length_m": 20.0, "conductors": wire} | fields,
        bus_a=100, main=r.Device(rating_a=30), neutral_bonded=True,
    )  # fmt: skip
    return site.project()


def aluminum_fourteen():
    site = service()
    site.add(r.Load, "L", "P", branch(15, wires("14", "none", "12", "al")), va=480.0)
    return site.project()


def parallel(size, neutral):
    wire = r.Conductors(size=size, neutral=neutral, grounding="6", material="cu", sets=2)
    return loaded(fed(feeder(100, wire)))


def terminals(terminal_c):
    return loaded(fed(feeder(100, wires("3", "3", "8"), terminal_c=terminal_c)))


def dwelling_with_shop(charger_at="house"):
    site = service(main_a=400, bus_a=400, kva=100)
    wire = wires("350", "4/0", "2", "al")
    site.add(r.Panel, "Q", "P", feeder(300, wire), bus_a=400, basis="optional dwelling")
    site.add(
        r.DwellingLoad, "home", "Q", {"role": "branch", "protected_at": "none"}, floor_area_m2=150.0
    )
    site.add(
        r.Charger, "C", "Q", branch(50, wires("6", "none", "10")), nameplate_a=40.0, serves="home"
    )
    project = site.project()
    uses = {"house": "dwelling", "shop": "accessory"}
    return standing_in(project, uses, home="house", C=charger_at)


def span(size="6", material="cu", length_m=20.0, **fields):
    wire = wires(size, size, "none", material)
    return loaded(fed(feeder(60, wire, length_m, place="overhead", **fields)))


def kind(insulation, **fields):
    wire = wires("4", "4", "8", insulation=insulation)
    return loaded(fed(feeder(60, wire, **fields)))


def buried(cover_in, raceway="pvc", **fields):
    return kind("USE-2", raceway=raceway, place="yard", cover_m=cover_in * IN, **fields)


def trench(cover_in):
    project = kind("XHHW-2", length_m=30.0)
    shared = r.Raceway(
        id="way", name="Long trench", kind="pvc", place="yard", cover_m=cover_in * IN
    )
    project = dataclasses.replace(project, raceways={"way": shared})
    return run("P-Q", segments=(r.Segment(raceway="way", length_m=30.0),))(project)


def crowded(trade_size):
    """Two feeders in one raceway."""
    site = service()
    for key in ("Q", "R"):
        site.add(
            r.Panel, key, "P",
            feeder(125, wires("1/0", "1/0", "6", insulation="XHHW-2"), 30.0, raceway="pvc"),
            bus_a=200,
        )  # fmt: skip
        site.add(
            r.Load, f"L{key}", key, branch(40, wires("8", "none", "10")), va=4800.0,
            continuous=False,
        )  # fmt: skip
    project = site.project()
    shared = r.Raceway(
        id="way", name="Long trench", kind="pvc", trade_size=trade_size, place="yard"
    )
    project = dataclasses.replace(project, raceways={"way": shared})
    for key in ("P-Q", "P-R"):
        project = run(key, segments=(r.Segment(raceway="way", length_m=30.0),))(project)
    return project


def widened(trade_size):
    return lambda project: altered(project, "raceways", "way", trade_size=trade_size)


def covered(cover_in):
    return lambda project: altered(project, "raceways", "way", cover_m=cover_in * IN)


def filled(trade_size, wire=None):
    wire = wire or wires("1/0", "1/0", "6", insulation="XHHW-2")
    return loaded(fed(feeder(125, wire, raceway="pvc", place="outdoors", trade_size=trade_size)))


def jamming(trade_size):
    site = service()
    wire = wires("1/0", "none", "none", insulation="XHHW-2")
    site.add(
        r.Panel, "Q", "P",
        feeder(125, wire, raceway="pvc", place="outdoors", trade_size=trade_size),
        bus_a=200,
    )  # fmt: skip
    return conductors("P-Q", grounding="1/0")(loaded(site))


def tapped(size="4", length_ft=15, ahead_a=200, place="indoors", **panel):
    """A feeder to a junction J, tapped by a panel Q of 60 A."""
    site = service()
    site.add(r.Junction, "J", "P", feeder(ahead_a, wires("3/0", "3/0", "6")))
    fields = {
        "role": "tap", "protected_at": "load", "length_m": length_ft * FT, "place": place,
        "conductors": wires(size, size, "8"),
    }  # fmt: skip
    site.add(r.Panel, "Q", "J", fields, **({"bus_a": 100, "main": r.Device(rating_a=60)} | panel))
    return loaded(site)


def chained():
    site = service()
    site.add(r.Junction, "J", "P", feeder(200, wires("3/0", "3/0", "6")))
    tap = {
        "role": "tap", "protected_at": "load", "length_m": 9 * FT, "place": "indoors",
        "conductors": wires("1/0", "1/0", "6"),
    }  # fmt: skip
    site.add(r.Panel, "K", "J", tap, bus_a=125)
    site.add(r.Panel, "Q", "K", tap, bus_a=125, main=r.Device(rating_a=125))
    return loaded(site)


def transformer_tap(size="1", length_ft=10):
    site = service()
    site.add(r.Junction, "J", "P", feeder(200, wires("3/0", "3/0", "6")))
    fields = {
        "role": "tap", "protected_at": "none", "length_m": length_ft * FT, "legs": "AB",
        "conductors": wires(size, "none", "6"),
    }  # fmt: skip
    site.add(r.Transformer, "X", "J", fields, kva=15.0, system="240/480")
    out = {
        "role": "transformer secondary", "protected_at": "load", "length_m": 5 * FT,
        "conductors": wires("6", "6", "10"),
    }  # fmt: skip
    site.add(r.Panel, "Q", "X", out, bus_a=100, main=r.Device(rating_a=35))
    return site.project()


def tap_by_solar(size="4"):
    site = service()
    site.add(r.Junction, "J", "P", feeder(150, wires("3/0", "3/0", "6")))
    fields = {
        "role": "tap", "protected_at": "load", "length_m": 20 * FT, "place": "indoors",
        "conductors": wires(size, size, "8"),
    }  # fmt: skip
    site.add(r.Panel, "Q", "J", fields, bus_a=100, main=r.Device(rating_a=60))
    site.add(r.Inverter, "I", "J", branch(125, wires("1", "none", "6")), output_a=96.0)
    return loaded(site)


def transformed(primary_a=125, secondary_a=125, kva=25.0, loads=1, length_ft=8.0, size="1"):
    """A customer's 25 kVA transformer, 480 V to 120/240 V: 52 A in, 104 A out."""
    site = Site()
    site.add(r.UtilitySource, "grid", system="480", fault_ka=10.0)
    site.add(
        r.Disconnect, "D", "grid",
        {"role": "service", "protected_at": "load", "length_m": 0.0}, rating_a=200,
        main=r.Device(rating_a=200),
    )  # fmt: skip
    fields = {
        "role": "feeder", "length_m": 10.0, "device": r.Device(rating_a=primary_a),
        "conductors": wires("2/0", "none", "6"),
    }  # fmt: skip
    site.add(r.Transformer, "X", "D", fields, kva=kva, system="120/240", neutral_bonded=True)
    for number in range(loads):
        key = "QRSUVWZ"[number]
        out = {
            "role": "transformer secondary", "protected_at": "load", "length_m": length_ft * FT,
            "place": "indoors", "conductors": wires(size, size, "6"),
        }  # fmt: skip
        mains = {"main": r.Device(rating_a=secondary_a)} if secondary_a else {}
        site.add(r.Panel, key, "X", out, bus_a=200, **mains)
    site.add(r.Load, "L", "Q", branch(40, wires("8", "none", "10")), va=4800.0)
    return site.project()


def unprotected_switch():
    site = Site()
    site.add(r.UtilitySource, "grid", system="480", fault_ka=10.0)
    site.add(
        r.Disconnect, "D", "grid",
        {"role": "service", "protected_at": "load", "length_m": 0.0}, rating_a=100,
        main=r.Device(rating_a=60),
    )  # fmt: skip
    site.add(
        r.Transformer, "X", "D",
        {"role": "feeder", "length_m": 10.0, "device": r.Device(rating_a=60),
         "conductors": wires("6", "none", "10")},
        kva=25.0, system="120/240",
    )  # fmt: skip
    site.add(
        r.Disconnect, "E", "X",
        {"role": "transformer secondary", "protected_at": "none", "length_m": 2.0,
         "conductors": wires("1", "1", "6")},
        rating_a=200,
    )  # fmt: skip
    site.add(
        r.Panel, "Q", "E", JOINT | {"protected_at": "none"}, bus_a=200, main=r.Device(rating_a=100)
    )
    site.add(r.Load, "L", "Q", branch(40, wires("8", "none", "10")), va=4800.0)
    return site.project()


CASES = [
    Case(
        "wire-least-size", "P-L", aluminum_fourteen, conductors("P-L", size="12"), "310.3(A)",
        "14 AWG aluminum", remedies=1,
    ),
    Case(
        "service-wire-least-size", "grid-P", lambda: lateral("10"), conductors("grid-P", size="8"),
        "230.23(B)", "10 AWG copper", remedies=1,
    ),
    Case(
        "parallel-wires-least-size", "P-Q", lambda: parallel("1", "1/0"),
        conductors("P-Q", size="1/0"), "310.10(G)", "1/0 AWG or larger", remedies=1,
    ),
    Case(
        "parallel-neutral-least-size", "P-Q", lambda: parallel("1/0", "2"),
        conductors("P-Q", neutral="1/0"), "250.24(D)(2)", "2 sets", remedies=1,
    ),
    Case(
        "terminals-above-column", "P-Q", lambda: terminals(90), run("P-Q", terminal_c=75),
        "110.14(C)", "at 90 C", remedies=1,
    ),
    Case(
        "dwelling-table-disputed", "P-Q", lambda: dwelling_with_shop("shop"),
        piece("C", structure="house"), "310.12", "C stands in another structure", remedies=1,
    ),
    Case(
        "overhead-span-clear", "P-Q", lambda: span(spans="drive", clearance_m=11 * FT),
        run("P-Q", clearance_m=12 * FT), "225.18", "must keep 12 ft", remedies=1,
    ),
    Case(
        "overhead-wire-least-size", "P-Q", lambda: span("8", "al", 60 * FT),
        run("P-Q", length_m=48 * FT), "225.6(A)", "6 AWG or larger", remedies=1,
    ),
    Case(
        "wire-wet-rated", "P-Q", lambda: kind("THHN", raceway="pvc", place="yard"),
        conductors("P-Q", insulation="THWN-2"), "300.5(B)", "THHN is made for dry", remedies=1,
    ),
    Case(
        "indoor-cable-indoors", "P-Q", lambda: kind("NM-B", raceway="cable", place="outdoors"),
        run("P-Q", place="indoors"), "334.12", "NM-B", remedies=1,
    ),
    Case(
        "entrance-cable-above-ground", "P-Q", lambda: kind("SER", raceway="pvc", place="yard"),
        run("P-Q", place="outdoors"), "338.12(A)", "SER", remedies=1,
    ),
    Case(
        "buried-wire-of-its-kind", "P-Q", lambda: kind("THWN-2", raceway="direct burial"),
        run("P-Q", raceway="pvc"), "310.10", "THWN-2 is not made", remedies=1,
    ),
    Case(
        "under-building-in-raceway", "P-Q",
        lambda: kind("USE-2", raceway="direct burial", place="under building"),
        run("P-Q", raceway="pvc"), "300.5(C)", "under a building", remedies=1,
    ),
    Case(
        "cover-deep-enough", "P-Q", lambda: buried(12), run("P-Q", cover_m=18 * IN),
        "Table 300.5(A)", "needs 1.5 ft", remedies=2,
    ),
    Case(
        "shared-cover-deep-enough", "P-Q", lambda: trench(12), covered(18), "Table 300.5(A)",
        "Long trench", remedies=1,
    ),
    Case(
        "shared-fill-within-limit", "P-Q", lambda: crowded("1-1/2"), widened("2-1/2"),
        "Chapter 9 Table 1", "conductors of 2 runs", remedies=1,
    ),
    Case(
        "raceway-fill-within-limit", "P-Q", lambda: filled("1-1/4"), run("P-Q", trade_size="2"),
        "Chapter 9 Table 1", "40 % is the most", remedies=1,
    ),
    Case(
        "conductors-not-jamming", "P-Q", lambda: jamming("1-1/4"), run("P-Q", trade_size="2"),
        "Chapter 9 Table 1", "may jam", remedies=1,
    ),
    Case(
        "bends-between-pulls", "P-Q", lambda: buried(24, bends_deg=450.0),
        run("P-Q", bends_deg=360.0), "352.24(B)", "450 degrees", remedies=1,
    ),
    Case(
        "tap-within-its-rule", "J-Q", lambda: tapped("8"), run("J-Q", length_m=9 * FT),
        "240.21(B)", "a third", remedies=1,
    ),
    Case(
        "tap-ends-in-device", "J-Q", lambda: tapped(main=None),
        piece("Q", main=r.Device(rating_a=60)), "240.21(B)(2)", "without a device", remedies=1,
    ),
    Case(
        "short-tap-covers-its-end", "J-Q", lambda: tapped("4", 8, main=None),
        conductors("J-Q", size="1"), "240.21(B)(1)", "rated 100 A", remedies=2,
    ),
    Case(
        "tap-not-from-tap", "K-Q", chained, main("K", rating_a=125), "240.21", "a tap itself",
        remedies=1,
    ),
    Case(
        "transformer-tap-within-its-rule", "J-X", lambda: transformer_tap("6"),
        conductors("J-X", size="4"), "240.21(B)(3)", "a third", remedies=1,
    ),
    Case(
        "tap-beside-sources", "J-Q", tap_by_solar, device("J-I", rating_a=60), "705.12(A)(3)",
        "91.7 A", remedies=1,
    ),
    Case(
        "transformer-primary-protected", "X", lambda: transformed(150),
        device("D-X", rating_a=125), "450.3(B)", "125 A at most", remedies=1,
    ),
    Case(
        "transformer-secondary-protected", "X", lambda: transformed(125, 175),
        main("Q", rating_a=150), "450.3(B)", "150 A at most", remedies=1,
    ),
    Case(
        "transformer-secondary-devices", "X", lambda: transformed(125, 100, loads=2),
        main("R", rating_a=50), "450.3(B)", "200 A together", remedies=1,
    ),
    Case(
        "panel-protected-behind-transformer", "Q", lambda: transformed(60, None),
        main("Q", rating_a=100), "408.36(B)", "no device between", remedies=1,
    ),
    Case(
        "secondary-within-its-rule", "X-Q", lambda: transformed(125, 50, size="6", length_ft=20),
        run("X-Q", length_m=9 * FT), "240.21(C)", "a third", remedies=1,
    ),
    Case(
        "secondary-ends-in-device", "X-E", unprotected_switch, main("E", rating_a=100),
        "240.4(F)", "without a device", remedies=1,
    ),
    Case(
        "transformer-steps-down", "X", lambda: transformer_tap("4"), piece("X", system="120"),
        "450.11(B)", "480 V",
    ),
]  # fmt: skip


def bare(project):
    """The project with the wires taken out and everything joined by bus."""
    for key in project.runs:
        project = run(key, length_m=0.0)(project)
    return project


def two_voltages():
    return transformer_tap("4")


def pvc_feeder(**fields):
    wire = wires("4", "4", "8", insulation="XHHW-2")
    project = loaded(fed(feeder(60, wire, raceway="pvc", **fields)))
    return standing_in(project, {"house": "dwelling", "barn": "accessory"}, P="house", Q="barn")


ASKED = [
    Asked(
        "overhead-clear-of-roofs", "P-Q", span, run("P-Q", place="yard"), "225.19"
    ),
    Asked(
        "raceway-expansion-fitting", "P-Q", lambda: pvc_feeder(place="outdoors"),
        run("P-Q", length_m=1.0), "352.44",
    ),
    Asked(
        "raceway-sealed-at-building", "P-Q", lambda: pvc_feeder(place="yard"),
        piece("Q", structure="house"), "225.27",
    ),
    Asked(
        "riser-guarded", "P-Q", lambda: kind("USE-2", raceway="direct burial", place="yard"),
        run("P-Q", raceway="pvc"), "300.5(D)(1)",
    ),
    Asked(
        "service-ribbon-laid", "grid-P", lambda: lateral("4", place="yard", cover_m=0.6),
        run("grid-P", place="outdoors"), "300.5(D)(3)",
    ),
    Asked(
        "service-raceway-strong-enough", "grid-P", lambda: lateral("4", raceway="pvc"),
        run("grid-P", raceway="steel"), "230.43",
    ),
    Asked(
        "transformer-disconnect-near", "X", transformed, piece("X", owner="utility"), "450.14"
    ),
    Asked(
        "parallel-conductors-alike", "P-Q", lambda: parallel("1/0", "1/0"),
        conductors("P-Q", sets=1), "310.10(G)",
    ),
    Asked("neutrals-white", "project", transformed, bare, "200.6"),
    Asked("grounding-wires-green", "project", transformed, bare, "250.119"),
    Asked(
        "voltage-systems-told-apart", "project", two_voltages,
        piece("X", system="120/240"), "210.5(C)",
    ),
]  # fmt: skip


SEVERITIES = []
