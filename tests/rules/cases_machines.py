"""Cases of the rules on motors, generators, solar and storage."""

from rules.build import JOINT, branch, feeder, service, wires
from rules.cases import Asked, Case, conductors, device, main, piece, run, settings, standing_in
from study.build import Site

from ampacre.model import records as r

FT = 0.3048


def motor(device_a=40, wire="10", between=None, kind="breaker", **fields):
    site = service()
    circuit = branch(device_a, wires(wire, "none", "10"))
    circuit["device"] = r.Device(rating_a=device_a, kind=kind)
    if between is not None:
        site.add(r.Disconnect, "D", "P", circuit, rating_a=between)
        tail = JOINT | {"role": "branch", "protected_at": "none"}
        site.add(r.Motor, "M", "D", tail, **fields)
    else:
        site.add(r.Motor, "M", "P", circuit, **fields)
    return site.project()


def pumps(device_a=100, wire="2"):
    """A feeder of 100 A on conductors for 95 A, for two motors of 28 A."""
    site = service()
    site.add(r.Panel, "Q", "P", feeder(device_a, wires(wire, wire, "6")), bus_a=125)
    for key in ("M", "N"):
        site.add(r.Motor, key, "Q", branch(70, wires("8", "none", "8")), full_load_a=28.0)
    return site.project()


def standby(
    output=None, kw=22.0, switches=(False,), bonded=False, system="120/240", dwelling=True, **fields
):
    """A service with one or more transfer switches, and a set G that feeds their other side."""
    site = service()
    wire = wires("2", "2", "8")
    output = output or {
        "device": r.Device(rating_a=100, lockable=None), "conductors": wire, "length_m": 5.0,
    }  # fmt: skip
    site.add(r.Generator, "G", kw=kw, neutral_bonded=bonded, system=system, **fields)
    for number, switched in enumerate(switches, start=1):
        key = f"S{number}"
        site.add(
            r.TransferSwitch, key, "P", feeder(100, wires("3", "3", "8")), rating_a=200,
            automatic=False, neutral_switched=switched,
        )  # fmt: skip
        site.join("G", key, role="generator output", lands_on="standby", **output)
        site.add(r.Panel, f"Q{number}", key, JOINT | {"protected_at": "none"}, bus_a=200)
        if dwelling:
            site.add(
                r.DwellingLoad, f"H{number}", f"Q{number}",
                {"role": "branch", "protected_at": "none"}, floor_area_m2=60.0,
            )  # fmt: skip
        else:
            site.add(
                r.Load, f"L{number}", f"Q{number}", branch(20, wires("12", "none", "12")), va=2400.0
            )
    return site.project()


def bare_output(size="4"):
    return {"protected_at": "none", "conductors": wires(size, size, "8"), "length_m": 5.0}


def ended_output(size="4"):
    """Output conductors to a panel with a main, from which the switch is fed."""
    site = service()
    site.add(r.Generator, "G", kw=22.0)
    site.add(
        r.Panel, "K", "G", bare_output(size) | {"role": "generator output", "protected_at": "load"},
        bus_a=100, main=r.Device(rating_a=80),
    )  # fmt: skip
    site.add(
        r.TransferSwitch, "S", "P", feeder(100, wires("3", "3", "8")), rating_a=100, automatic=False
    )
    site.join("K", "S", lands_on="standby", **feeder(80, wires("4", "4", "8")))
    site.add(r.Panel, "Q", "S", JOINT | {"protected_at": "none"}, bus_a=100)
    site.add(r.Load, "L", "Q", branch(20, wires("12", "none", "12")), va=2400.0)
    return site.project()


def farm_solar(wire="8", output_a=48.0):
    """An inverter on a sub-panel Q, whose feeder is small."""
    site = service()
    site.add(r.Panel, "Q", "P", feeder(50, wires(wire, wire, "10"), 20.0), bus_a=200)
    site.add(
        r.Inverter, "I", "Q", branch(60, wires("4", "none", "8"), legs="", spaces=(27, 29)),
        output_a=output_a,
    )  # fmt: skip
    return site.project()


def tie(beyond="3", **panel):
    """An inverter tied into a feeder at J, ahead of the panel Q that it goes on to."""
    site = service()
    site.add(r.Junction, "J", "P", feeder(100, wires("1/0", "1/0", "6")))
    site.add(r.Inverter, "I", "J", branch(40, wires("8", "none", "10")), output_a=24.0)
    on = {"protected_at": "none", "length_m": 10.0, "conductors": wires(beyond, beyond, "6")}
    site.add(r.Panel, "Q", "J", on, bus_a=125, **panel)
    site.add(r.Load, "L", "Q", branch(20, wires("12", "none", "12")), va=2400.0)
    return site.project()


def center(fed="center", output_a=32.0, dwelling=False):
    site = service(fed=fed)
    site.add(
        r.Inverter, "I", "P", branch(40, wires("8", "none", "10"), legs="", spaces=(27, 29)),
        output_a=output_a,
    )  # fmt: skip
    for number in range(4):
        site.add(
            r.Load, f"L{number}", "P", branch(50, wires("6", "none", "10")), va=2400.0,
            continuous=False,
        )  # fmt: skip
    if dwelling:
        site.add(
            r.DwellingLoad, "H", "P", {"role": "branch", "protected_at": "none"}, floor_area_m2=90.0
        )
    return site.project()


def ahead(size="6", switch=True, class_a=200, output_a=32.0, length_ft=8.0, **settings):
    """A solar inverter tied at the meter, ahead of the service panel."""
    site = Site(**settings)
    site.add(r.UtilitySource, "grid", system="120/240", fault_ka=10.0)
    drop = {"role": "utility", "owner": "utility", "protected_at": "none", "length_m": 10.0}
    site.add(r.Meter, "M", "grid", drop, class_a=class_a)
    site.add(
        r.Panel, "P", "M", JOINT | {"role": "service", "protected_at": "load"}, bus_a=200,
        main=r.Device(rating_a=200), neutral_bonded=True,
    )  # fmt: skip
    fields = {
        "role": "supply-side source", "protected_at": "load", "length_m": length_ft * FT,
        "place": "indoors", "legs": "AB", "conductors": wires(size, size, "10"),
    }  # fmt: skip
    if switch:
        site.add(r.Disconnect, "D", "M", fields, rating_a=60, main=r.Device(rating_a=50))
        tail = JOINT | {"role": "branch", "protected_at": "none"}
        site.add(r.Inverter, "I", "D", tail, output_a=output_a)
    else:
        site.add(r.Inverter, "I", "M", fields | {"protected_at": "none"}, output_a=output_a)
    return site.project()


def far_array(length_m=90.0):
    site = service()
    site.add(
        r.Inverter, "I", "P",
        branch(40, wires("8", "none", "10"), length_m, legs="", spaces=(27, 29)), output_a=32.0,
    )  # fmt: skip
    return site.project()


CASES = [
    Case(
        "motor-current-by-table", "M", lambda: motor(power_hp=5.0, full_load_a=24.0),
        piece("M", full_load_a=28.0), "430.6(A)", "table gives 28 A", 1,
    ),
    Case(
        "motor-device-within-limit", "M", lambda: motor(80, full_load_a=17.0),
        device("P-M", rating_a=45), "430.52", "device of 45 A", 1,
    ),
    Case(
        "compressor-device-within-limit", "M",
        lambda: motor(50, full_load_a=20.0, compressor=True), device("P-M", rating_a=35),
        "440.22(A)", "device of 35 A", 1,
    ),
    Case(
        "unit-wire-as-marked", "M", lambda: motor(full_load_a=18.0, minimum_circuit_a=38.0),
        conductors("P-M", size="8"), "440.4(B)", "38 A; its conductors carry 30 A", 1,
    ),
    Case(
        "unit-device-as-marked", "M", lambda: motor(full_load_a=18.0, maximum_device_a=35.0),
        device("P-M", rating_a=35), "440.4(B)", "35 A at most", 1,
    ),
    Case(
        "motor-overload-setting", "M", lambda: motor(full_load_a=17.0, overload_a=21.0),
        piece("M", overload_a=19.5), "430.32", "115 %", 1,
    ),
    Case(
        "motor-disconnect-rating", "M", lambda: motor(60, "6", 30, full_load_a=28.0),
        piece("D", rating_a=60), "430.110(A)", "32.2 A", 1,
    ),
    Case(
        "motor-feeder-device", "P-Q", pumps, device("P-Q", rating_a=90), "430.62", "carry 95 A", 1
    ),
    Case(
        "generator-wire-by-nameplate", "G-K", ended_output, conductors("G-K", size="1"), "445.13",
        "105.4 A", 1,
    ),
    Case(
        "generator-wire-protected", "G-S1",
        lambda: standby({"device": r.Device(rating_a=100), "conductors": wires("6", "6", "8"),
                         "length_m": 5.0}),
        conductors("G-S1", size="1"), "240.4", "the one at the generator is 100 A", 1,
    ),
    Case(
        "generator-has-protection", "G-S1", lambda: standby(bare_output("2")),
        run("G-S1", protected_at="supply", device=r.Device(rating_a=100)), "445.12",
        "no device stands at either end", 1,
    ),
    Case(
        "generator-bond-not-doubled", "G", lambda: standby(bonded=True),
        piece("S1", neutral_switched=True), "250.24", "leaves it connected", 1,
    ),
    Case(
        "generator-bond-present", "G", lambda: standby(switches=(True,)),
        piece("S1", neutral_switched=False), "250.30", "bonded nowhere", 1,
    ),
    Case(
        "generator-switches-agree", "G", lambda: standby(switches=(False, True)),
        piece("S2", neutral_switched=False), "250.30", "S1, S2", 1,
    ),
    Case(
        "generator-system-as-normal", "G", lambda: standby(system="120/208"),
        piece("G", system="120/240"), "702.5", "120/208 V", 1,
    ),
    Case(
        "feeder-carries-source", "P-Q", farm_solar, conductors("P-Q", size="4"), "705.12(A)(1)",
        "125 % of that is 60 A", 1,
    ),
    Case(
        "feeder-beyond-tie-large-enough", "J-Q", tie, piece("Q", main=r.Device(rating_a=80)),
        "705.12(A)(2)", "make 130 A", 1,
    ),
    Case(
        "center-fed-bus-sources", "P", center, piece("P", fed="end"), "705.12(B)(4)", "is 240 A"
    ),
    Case(
        "supply-side-disconnect", "M-I", lambda: ahead(switch=False), piece("I", output_a=None),
        "705.11", "32 A, is tied ahead", 1,
    ),
    Case(
        "supply-side-wire-large-enough", "M-D", lambda: ahead("8"), conductors("M-D", size="6"),
        "705.11(B)", "6 AWG or larger", 1,
    ),
    Case(
        "supply-side-device-near", "M-D", lambda: ahead(length_ft=20.0, edition="2020"),
        run("M-D", length_m=16 * FT), "705.11(C)", "16.5 ft", 1,
    ),
    Case(
        "supply-side-sources-together", "M", lambda: ahead("4/0", class_a=125, output_a=140.0),
        piece("I", output_a=120.0), "705.11(A)", "140 A",
    ),
    Case(
        "source-rise-within-limit", "I", far_array, run("P-I", length_m=25.0), "common practice",
        "raises the voltage", 1,
    ),
]  # fmt: skip

SEVERITIES = [
    ("motor-device-within-limit", lambda: motor(60, full_load_a=17.0), "advice"),
    ("motor-device-within-limit", lambda: motor(80, full_load_a=17.0), "violation"),
    ("compressor-device-within-limit", lambda: motor(40, full_load_a=20.0, compressor=True), "advice"),
    ("center-fed-bus-sources", lambda: center(dwelling=True), "ask"),
    ("center-fed-bus-sources", lambda: center(output_a=48.0, dwelling=True), "violation"),
]  # fmt: skip


def housed(project, use, *keys):
    return standing_in(project, {"there": use}, **dict.fromkeys(keys, "there"))


def stored():
    site = service()
    site.add(r.Battery, "B", "P", branch(40, wires("8", "none", "10")), output_a=24.0)
    site.add(
        r.DwellingLoad, "H", "P", {"role": "branch", "protected_at": "none"}, floor_area_m2=90.0
    )
    return site.project()


ASKED = [
    Asked(
        "motor-disconnect-in-sight", "M", lambda: motor(full_load_a=17.0),
        piece("M", compressor=True), "430.102",
    ),
    Asked(
        "unit-disconnect-in-sight", "M", lambda: motor(full_load_a=17.0, compressor=True),
        piece("M", compressor=False), "440.14",
    ),
    Asked(
        "generator-disconnect-locks", "G", standby, piece("G", owner="utility"), "445.18",
        stated=device("G-S1", lockable=False),
    ),
    Asked("generator-stop-outdoors", "G", standby, settings(edition="2017"), "445.19(C)"),
    Asked(
        "generator-stop-remote", "G", lambda: standby(dwelling=False), piece("G", kw=14.0),
        "445.19(B)",
    ),
    Asked(
        "far-end-breaker-labelled", "P", lambda: center("end"), main("P", rating_a=150), "705.12(B)"
    ),
    Asked(
        "solar-rapid-shutdown", "I", lambda: housed(far_array(), "accessory", "I"),
        lambda project: housed(project, "outdoor", "I"), "690.12",
    ),
    Asked("storage-disconnect-near", "B", stored, piece("B", owner="utility"), "706.15(B)"),
    Asked("storage-shutdown-outdoors", "B", stored, settings(edition="2017"), "706.15(B)"),
]  # fmt: skip
