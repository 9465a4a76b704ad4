"""Cases of the rules on fault current, running voltage, and material used again."""

import dataclasses

from rules.build import altered, branch, feeder, service, wires
from rules.cases import Asked, Case, main, piece, run
from study.build import Site

from ampacre.model import records as r


def near(fault_ka=12.0, motors=0, work=None, **device_fields):
    """A branch on a panel behind a source of this fault current."""
    site = Site()
    site.add(r.UtilitySource, "grid", system="120/240", fault_ka=fault_ka)
    fields = {"role": "service", "protected_at": "load", "length_m": 0.0}
    site.add(
        r.Panel, "P", "grid", fields, bus_a=400, main=r.Device(rating_a=400, interrupting_ka=65.0)
    )
    circuit = branch(20, wires("12", "none", "12"), since=work)
    circuit["device"] = r.Device(rating_a=20, **device_fields)
    site.add(r.Load, "L", "P", circuit, va=2400.0, since=work)
    for number in range(motors):
        site.add(r.Motor, f"M{number}", "P", branch(125, wires("4", "none", "6")), full_load_a=55.0)
    return site.project()


def unmarked_main():
    site = Site()
    site.add(r.UtilitySource, "grid", system="120/240", fault_ka=12.0)
    fields = {"role": "service", "protected_at": "load", "length_m": 0.0}
    site.add(r.Panel, "P", "grid", fields, bus_a=200, main=r.Device(rating_a=200, unmarked=True))
    return site.project()


def no_pair():
    site = Site()
    site.add(r.UtilitySource, "grid", system="120/240", fault_ka=12.0)
    fields = {"role": "service", "protected_at": "none", "length_m": 0.0}
    site.add(r.Panel, "P", "grid", fields, bus_a=200)
    circuit = branch(20, wires("12", "none", "12"))
    circuit["device"] = r.Device(
        rating_a=20, interrupting_ka=10.0, series_ka=22.0, series_basis="tested"
    )
    site.add(r.Load, "L", "P", circuit, va=2400.0)
    return site.project()


def far(length_m, va=4800.0):
    site = service()
    site.add(
        r.Load, "L", "P", branch(40, wires("8", "none", "10"), length_m), va=va, continuous=False
    )
    return site.project()


def hopeless(va):
    site = Site()
    site.add(r.UtilitySource, "grid", system="120/240", fault_ka=10.0)
    fields = {"role": "service", "protected_at": "load", "length_m": 0.0}
    site.add(r.Panel, "P", "grid", fields, bus_a=400, main=r.Device(rating_a=400))
    site.add(
        r.Load, "L", "P", branch(200, wires("3/0", "none", "6"), 900.0), va=va, continuous=False
    )
    return site.project()


def reused(length_m=40.0, size="2", until=r.WORK, **fields):
    """A feeder to Q made of the conductors of the removed one to R."""
    site = service()
    old = feeder(90, wires("2", "2", "6"), 50.0)
    site.add(r.Panel, "R", "P", old, bus_a=100)
    new = feeder(90, wires(size, size, "6"), length_m, since=r.WORK, reuses="P-R")
    site.add(r.Panel, "Q", "P", new, bus_a=100, since=r.WORK, **fields)
    project = site.project()
    return run("P-R", until=until)(project)


def reused_panel(kind):
    site = service()
    site.add(kind, "R", "P", feeder(90, wires("2", "2", "6")), until=r.WORK)
    site.add(
        r.Panel, "Q", "P", feeder(90, wires("2", "2", "6")), bus_a=100, since=r.WORK, reuses="R"
    )
    return site.project()


def as_panel(project):
    return dataclasses.replace(
        project, equipment={**project.equipment, "R": r.Panel(id="R", name="R", until=r.WORK)}
    )


CASES = [
    Case(
        "unmarked-device-interrupts", "P-L", lambda: near(unmarked=True),
        piece("grid", fault_ka=3.0), "240.83(C)", "counts as 5 kA", 1,
    ),
    Case(
        "unmarked-main-interrupts", "P", unmarked_main, main("P", kind="fuse", unmarked=False),
        "240.83(C)", "18.47 kA", 1,
    ),
    Case(
        "series-rating-stated", "P-L",
        lambda: near(
            interrupting_ka=10.0, series_ka=22.0, series_basis="engineered", work=r.WORK
        ),
        run("P-L", since=None), "240.86", "engineer's selection", 1,
    ),
    Case(
        "series-rating-has-pair", "P-L", no_pair, piece("P", main=r.Device(rating_a=200)), "240.86",
        "no device stands ahead", 1,
    ),
    Case(
        "series-rating-few-motors", "P-L",
        lambda: near(motors=2, interrupting_ka=10.0, series_ka=22.0, series_basis="tested"),
        piece("M1", full_load_a=40.0), "240.86(C)", "110 A stand between", 1,
    ),
    Case(
        "utility-fault-in-order", "grid", lambda: piece("grid", fault_min_ka=15.0)(near()),
        piece("grid", fault_min_ka=8.0), "common practice", "15 kA, above", 1,
    ),
    Case(
        "voltage-within-range", "L", lambda: far(320.0), run("P-L", length_m=60.0), "ANSI C84.1",
        "of Range B",
    ),
    Case(
        "load-can-be-carried", "grid", lambda: hopeless(200_000.0), piece("L", va=20_000.0),
        "common practice", "cannot run all at once",
    ),
    Case(
        "reused-wire-long-enough", "P-Q", lambda: reused(60.0), run("P-Q", length_m=50.0),
        "common practice", "which is 164 ft long", 1,
    ),
    Case(
        "reused-wire-as-it-was", "P-Q", lambda: reused(size="1"),
        run("P-Q", conductors=wires("2", "2", "6")), "common practice", "entered as 1 AWG copper", 2,
    ),
    Case(
        "reused-wire-taken-out", "P-Q", lambda: reused(until=None), run("P-R", until=r.WORK),
        "common practice", "still stands", 2,
    ),
    Case(
        "reused-piece-of-its-kind", "Q", lambda: reused_panel(r.Disconnect), as_panel,
        "common practice", "a disconnect", 1,
    ),
]  # fmt: skip

SEVERITIES = [("voltage-within-range", lambda: far(260.0), "advice")]


def renewed(since=r.WORK):
    site = service()
    site.add(r.Load, "L", "P", branch(40, wires("8", "none", "10")), va=4800.0)
    return altered(site.project(), "equipment", "T", since=since)


ASKED = [Asked("fault-mark-renewed", "P", renewed, piece("T", since=None), "110.24")]
