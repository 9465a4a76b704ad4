"""Design drops along a path, worked by hand from NEC Chapter 9 Table 9 at 75 C."""

import pytest
from pytest import approx
from study.build import Site, served, wires

from ampacre.model import records as r
from ampacre.study.study import Study

FEET_100 = 30.48
FEEDER = {"length_m": FEET_100, "conductors": wires("2", "2", "8"), "raceway": "pvc"}


def test_drops_add_up_along_the_path():
    # 50 A through 0.019 ohm out and back on 240 V; then 20 A through 0.06 ohm out and back
    site = served()
    site.add(r.Panel, "q", "p", FEEDER)
    site.add(
        r.Load, "heat", "q", {"role": "branch", "length_m": 3.0}, va=30 * 240.0, category="heat"
    )
    branch = {
        "role": "branch", "length_m": FEET_100 / 2, "conductors": wires("10", "none", "10"),
        "raceway": "pvc",
    }  # fmt: skip
    site.add(r.Load, "far", "q", branch, va=20 * 240.0, category="heat")
    study = Study(site.project())
    feeder_pct, branch_pct = 100 * 50 * 0.038 / 240, 100 * 20 * 0.12 / 240
    assert study.run("p-q").drop_pct == approx(feeder_pct)
    assert study.run("p-q").drop_v == approx(50 * 0.038)
    assert study.run("q-far").drop_pct == approx(branch_pct)
    assert study.run("q-far").total_drop_pct == approx(feeder_pct + branch_pct)


def test_service_conductors_are_outside_the_total():
    site = Site()
    site.add(r.UtilitySource, "grid", system="120/240", fault_ka=10.0)
    site.add(r.Panel, "p", "grid", FEEDER | {"role": "service", "protected_at": "none"})
    site.add(r.Panel, "q", "p", FEEDER)
    site.add(r.Load, "x", "q", {"role": "branch", "length_m": 0.0}, va=50 * 240.0, category="heat")
    study = Study(site.project())
    assert study.run("p-q").total_drop_pct == approx(study.run("p-q").drop_pct)
    assert study.run("grid-p").drop_pct == approx(study.run("p-q").drop_pct)


@pytest.mark.parametrize(
    ("system", "inner", "legs", "volts"),
    [
        ("480", "120/240", "AB", 240),
        ("277/480", "120/208", "ABC", 208 * 3**0.5),
        ("277/480", "120/240", "A", 240),
    ],
)
def test_customer_transformer_has_a_drop_of_its_own(system, inner, legs, volts):
    # at its nameplate kVA a transformer of 4 % and X/R 1 loses 4 / sqrt(2) = 2.83 %
    site = served(system)
    run = {"length_m": 40.0, "conductors": wires("2", "2", "8"), "raceway": "pvc", "legs": legs}
    unit = {"kva": 30.0, "impedance_pct": 4.0, "impedance_basis": "nameplate", "x_r": 1.0}
    site.add(r.Transformer, "t", "p", run, system=inner, **unit)
    site.add(r.Load, "x", "t", {"role": "branch", "length_m": 0.0}, va=30_000.0, category="heat")
    study = Study(site.project())
    assert study.equipment("t").demand.heavier_a == approx(30_000 / volts)
    primary, after = study.run("p-t"), study.run("t-x")
    assert after.total_drop_pct == approx(primary.total_drop_pct + 4 / 2**0.5)
    assert (primary.windings_drop_pct, after.windings_drop_pct) == (0, approx(4 / 2**0.5))
    ahead = [line for line in after.worksheet.lines if line.label.startswith("Regulation of")]
    assert [(line.result, line.unit) for line in ahead] == [(approx(4 / 2**0.5), "pct")]
    assert not any(line.label.startswith("Regulation") for line in primary.worksheet.lines)


def test_where_no_operating_point_exists_no_voltage_is_given():
    site = served()
    far = {
        "role": "branch",
        "length_m": 3000.0,
        "conductors": wires("12", "none", "12"),
        "raceway": "pvc",
    }
    site.add(r.Motor, "pump", "p", far, full_load_a=100.0)
    study = Study(site.project())
    assert study.voltage("pump") is None
    assert study.run("p-pump").drop_pct > 100
