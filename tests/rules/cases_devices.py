"""Cases of the rules on devices, their voltages, receptacles and branch circuits."""

from rules.build import JOINT, branch, feeder, service, wires
from rules.cases import Asked, Case, device, main, piece, run, settings
from study.build import Site

from ampacre.model import records as r


def with_load(run_fields, **load):
    site = service()
    site.add(r.Load, "L", "P", run_fields, **({"va": 2400.0, "category": "other"} | load))
    return site.project()


def one_leg(device_a, size="12", **fields):
    return branch(device_a, wires(size, size, size), legs="", spaces=(1,), **fields)


def odd_device():
    return with_load(branch(55, wires("6", "none", "10")), va=7200.0, continuous=False)


def odd_main():
    site = service(main_a=180)
    site.add(r.Load, "L", "P", branch(40), va=7200.0)
    return site.project()


def ten_amp():
    return with_load(one_leg(10), category="receptacles", va=180.0, continuous=False)


def adjustable():
    site = service()
    fields = feeder(150, wires("1/0", "1/0", "6"))
    fields["device"] = r.Device(rating_a=150, highest_a=225)
    site.add(r.Panel, "Q", "P", fields, bus_a=225)
    return site.project()


def same_leg():
    return with_load(
        branch(20, wires("12", "none", "12"), legs="", spaces=(1, 2)), va=1200.0, continuous=False
    )


def small_switch():
    site = service()
    site.add(r.Disconnect, "D", "P", feeder(100, wires("3", "3", "8")), rating_a=60)
    return site.project()


def high_leg(**panel):
    """A 120/240 V high-leg delta with a panel on it."""
    site = Site()
    site.add(r.UtilitySource, "line")
    site.add(
        r.Transformer, "T", "line",
        JOINT | {"role": "utility", "owner": "utility", "protected_at": "none"},
        owner="utility", kva=45, system="120/240 high-leg",
    )  # fmt: skip
    fields = {
        "role": "service", "protected_at": "load", "length_m": 10.0,
        "conductors": wires("3/0", "3/0"),
    }  # fmt: skip
    site.add(
        r.Panel, "P", "T", fields,
        **{"bus_a": 200, "main": r.Device(rating_a=200), "neutral_bonded": True} | panel,
    )  # fmt: skip
    return site


def four_eighty(**main_fields):
    site = Site()
    site.add(r.UtilitySource, "grid", system="277/480", fault_ka=10.0)
    fields = {
        "role": "service", "protected_at": "load", "length_m": 10.0,
        "conductors": wires("3/0", "3/0"),
    }  # fmt: skip
    site.add(
        r.Panel, "P", "grid", fields, bus_a=200, main=r.Device(rating_a=200, **main_fields),
    )  # fmt: skip
    return site


def low_volts():
    site = four_eighty()
    fields = branch(20, wires("12", "none", "12"), legs="AB")
    fields["device"] = r.Device(rating_a=20, volts="240")
    site.add(r.Load, "L", "P", fields, va=2000.0)
    return site.project()


def slash_on_high_leg():
    site = high_leg()
    fields = branch(20, wires("12", "none", "12"), legs="AB")
    fields["device"] = r.Device(rating_a=20, volts="120/240")
    site.add(r.Load, "L", "P", fields, va=2000.0)
    return site.project()


def rounded_receptacles():
    wire = wires("8", "8", "10", insulation="NM-B")
    fields = branch(45, wire, legs="", spaces=(1,), place="indoors", raceway="cable")
    return with_load(fields, category="receptacles", va=1800.0, continuous=False)


def sixty_amp_receptacles():
    return with_load(
        branch(60, wires("4", "4", "10"), legs="", spaces=(1,)),
        category="receptacles", va=3600.0, continuous=False,
    )  # fmt: skip


def single(receptacle_a):
    return with_load(
        one_leg(30, "10"), va=1800.0, receptacles=1, receptacle_a=receptacle_a, continuous=False
    )


def two_receptacles(receptacle_a):
    return with_load(
        one_leg(30, "10"), category="receptacles", va=1800.0, receptacles=2,
        receptacle_a=receptacle_a, continuous=False,
    )  # fmt: skip


def corded(device_a=15):
    return with_load(
        one_leg(device_a), category="appliance", va=1680.0, receptacles=3, continuous=False
    )


def shared_circuit(heater_va):
    site = service()
    site.add(r.Junction, "J", "P", one_leg(20))
    tail = JOINT | {"role": "branch", "protected_at": "none"}
    site.add(r.Load, "heater", "J", tail, category="heat", va=heater_va)
    site.add(r.Load, "lamps", "J", tail, category="lighting", va=300.0)
    return site.project()


def appliance(device_a=50):
    return with_load(
        branch(device_a, wires("6", "none", "10")), category="appliance", va=4800.0,
        continuous=False,
    )  # fmt: skip


def heater(va):
    return with_load(branch(80, wires("3", "none", "8")), category="heat", va=va)


def kitchen(**dwelling):
    site = service()
    site.add(
        r.DwellingLoad, "house", "P", {"role": "branch", "protected_at": "none"},
        floor_area_m2=120.0, **dwelling,
    )  # fmt: skip
    return site.project()


def shared_neutral(second_space=2, second_source="P"):
    site = service()
    site.add(r.Panel, "Q", "P", feeder(60, wires("4", "4", "10"), spaces=(9, 11)), bus_a=100)
    site.add(r.Load, "A", "P", one_leg(20), category="lighting", va=1200.0)
    site.add(
        r.Load, "B", second_source,
        branch(20, wires("12", "none", "12"), legs="", spaces=(second_space,)),
        category="lighting", va=1200.0,
    )  # fmt: skip
    project = site.project()
    return run(f"{second_source}-B", neutral_with="P-A")(project)


def on_high_leg(space=3):
    site = high_leg()
    site.add(
        r.Load, "L", "P", branch(20, wires("12", "12", "12"), legs="", spaces=(space,)),
        category="lighting", va=1200.0,
    )  # fmt: skip
    return site.project()


CASES = [
    Case(
        "device-rating-standard", "P-L", odd_device, device("P-L", rating_a=50), "240.6(A)",
        "rated 55 A", remedies=2,
    ),
    Case(
        "main-rating-standard", "P", odd_main, main("P", rating_a=200), "240.6(A)", "180 A",
        remedies=2,
    ),
    Case(
        "small-circuit-without-receptacles", "L", ten_amp, piece("L", category="lighting"),
        "210.23(A)", "circuit of 10 A", remedies=1,
    ),
    Case(
        "adjustable-device-counts-highest", "P-Q", adjustable, device("P-Q", highest_a=150),
        "240.6(B)", "225 A", remedies=1,
    ),
    Case(
        "spaces-on-different-legs", "P-L", same_leg, run("P-L", spaces=(1, 3)), "common practice",
        "spaces 1 and 2", remedies=1,
    ),
    Case(
        "switch-behind-its-device", "D", small_switch, piece("D", rating_a=100), "common practice",
        "rated 60 A", remedies=1,
    ),
    Case(
        "device-volts-enough", "P-L", low_volts, device("P-L", volts="480"), "240.83(E)",
        "marked 240 V", remedies=1,
    ),
    Case(
        "main-volts-enough", "P", lambda: four_eighty(volts="240").project(),
        main("P", volts="277/480"), "240.83(E)", "480 V", remedies=1,
    ),
    Case(
        "device-slash-volts", "P-L", slash_on_high_leg, run("P-L", legs="AC"), "240.85",
        "207.8 V from ground", remedies=1,
    ),
    Case(
        "main-slash-volts", "P", lambda: high_leg(main=r.Device(rating_a=200, volts="120/240")).project(),
        main("P", volts="240"), "240.85", "207.8 V from ground", remedies=1,
    ),
    Case(
        "receptacle-circuit-not-rounded", "L", rounded_receptacles, device("P-L", rating_a=40),
        "240.4(B)", "45 A on conductors that carry 40 A", remedies=2,
    ),
    Case(
        "several-receptacles-rating", "L", sixty_amp_receptacles, piece("L", receptacles=1),
        "210.18", "60 A may not", remedies=1,
    ),
    Case(
        "single-receptacle-rating", "L", lambda: single(20), piece("L", receptacle_a=30),
        "210.21(B)(1)", "20 A is alone", remedies=2,
    ),
    Case(
        "receptacles-match-circuit", "L", lambda: two_receptacles(20), piece("L", receptacle_a=30),
        "210.21(B)(3)", "those of 30 A", remedies=1,
    ),
    Case(
        "cord-load-share", "L", corded, device("P-L", rating_a=20), "210.21(B)(2)", "12 A",
        remedies=1,
    ),
    Case(
        "fixed-load-half", "J", lambda: shared_circuit(1500.0), piece("heater", va=1100.0),
        "210.23(B)(2)", "12.5 A of the 20 A",
    ),
    Case(
        "appliance-device-limit", "L", appliance, device("P-L", rating_a=30), "422.11(E)",
        "30 A at most", remedies=1,
    ),
    Case(
        "heater-in-parts", "L", lambda: heater(14_400.0), piece("L", va=11_000.0), "422.11(F)",
        "60 A behind one device of 80 A",
    ),
    Case(
        "dwelling-required-circuits", "house", lambda: kitchen(small_appliance_circuits=1),
        piece("house", small_appliance_circuits=2), "210.11(C)", "has 1 small", remedies=1,
    ),
    Case(
        "shared-neutral-on-different-legs", "P-B", shared_neutral, run("P-B", spaces=(4,)),
        "210.4(B)", "up to 20 A", remedies=2,
    ),
    Case(
        "shared-neutral-of-one-panel", "Q-B", lambda: shared_neutral(4, "Q"),
        run("Q-B", source="P"), "210.4(A)", "leaves Q", remedies=1,
    ),
    Case(
        "high-leg-not-to-neutral", "P-L", on_high_leg, run("P-L", spaces=(1,)), "408.3(E)",
        "207.8 V", remedies=1,
    ),
]  # fmt: skip


def big_service(rating_a, system="277/480"):
    site = Site()
    site.add(r.UtilitySource, "grid", system=system, fault_ka=30.0)
    fields = {"role": "service", "protected_at": "load", "length_m": 0.0}
    site.add(r.Panel, "P", "grid", fields, bus_a=2000, main=r.Device(rating_a=rating_a))
    return site.project()


def plain():
    return with_load(branch(20))


def fed_dwelling(edition="2023"):
    site = service()
    site.add(r.Panel, "Q", "P", feeder(100, wires("1", "1", "6")), bus_a=125)
    site.add(
        r.DwellingLoad, "house", "Q", {"role": "branch", "protected_at": "none"},
        floor_area_m2=120.0,
    )  # fmt: skip
    return settings(edition=edition)(site.project())


ASKED = [
    Asked(
        "arc-energy-reduced", "P", lambda: big_service(1200), main("P", rating_a=1000), "240.87"
    ),
    Asked(
        "large-main-ground-fault", "P", lambda: big_service(1000), main("P", rating_a=800), "230.95"
    ),
    Asked("device-handle-height", "P", plain, piece("P", owner="utility"), "240.24(A)"),
    Asked("device-place-allowed", "P", plain, piece("P", location="outdoors"), "240.24"),
    Asked("back-fed-main-secured", "P", plain, piece("P", main=None), "408.36(D)"),
    Asked(
        "full-load-assembly-listed", "P", lambda: main("P", listed_100_pct=True)(plain()),
        main("P", listed_100_pct=False), "215.3",
    ),
    Asked(
        "full-load-circuit-listed", "P-L", lambda: device("P-L", listed_100_pct=True)(plain()),
        device("P-L", listed_100_pct=False), "215.3",
    ),
    Asked("neutral-terminals-own", "P", plain, piece("T", system="240"), "408.41"),
    Asked(
        "high-leg-marked", "P", lambda: high_leg().project(), piece("T", system="120/208"), "110.15"
    ),
    Asked(
        "dwelling-feeder-surge-protected", "Q", fed_dwelling, settings(edition="2020"), "215.18"
    ),
    Asked(
        "dwelling-bath-and-garage-circuits", "house", fed_dwelling, piece("house", owner="utility"),
        "210.11(C)",
    ),
    Asked(
        "shared-neutral-common-trip", "P-B", lambda: shared_neutral(4),
        run("P-B", neutral_with=None), "210.4(B)",
    ),
]  # fmt: skip

SEVERITIES = []
