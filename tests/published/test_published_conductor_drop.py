"""Published voltage-drop cases.

Each case names its source in its file; `verified` 2 there means that the published figures were
read, 1 that they were recalled or recomputed.
"""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest

from ampacre.codebook.conductors import area_cmil, impedance_75c
from ampacre.model.system import SYSTEMS, narrowed
from ampacre.sizing.impedance import run_impedance
from ampacre.study.design_drop import design_drop
from ampacre.study.sweep import POWER, LoadColumns, Zone, sweep

EXAMPLES = Path(__file__).parent / "worked_examples"


def case(name):
    found = tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))
    assert found["source"]["title"]
    return found


def two_wire_drop_v(current_a, one_way):
    """Drop of a two-wire circuit at 120 V, as runs are computed."""
    return design_drop((current_a,), narrowed(SYSTEMS["120/240"], "A"), one_way, None) * 120 / 100


def test_two_wires_by_table_8():
    # G. Newton, electrician2.com: 4 A over 100 ft of 16 AWG copper.
    example = case("vd01_table8_two_wire")
    given, answer = example["inputs"], example["answer"]
    one_way = complex(given["r_ohm_per_kft"] * given["length_ft"] / 1000)
    drop_v = two_wire_drop_v(given["i_a"], one_way)
    assert drop_v == pytest.approx(answer["vd_v"], rel=example["tolerance_rel"])
    assert 100 * drop_v / given["v"] == pytest.approx(
        answer["vd_pct"], rel=example["tolerance_rel"]
    )


def test_two_wires_by_table_9():
    # electricianpracticetests.com: 8 A over 100 ft of 12 AWG copper.
    example = case("vd03_table9_12awg")
    given = example["inputs"]
    z = run_impedance("12", "cu", "pvc", 1, given["length_ft"] * 0.3048, 75)
    assert z.real == pytest.approx(given["r_ohm_per_kft"] * given["length_ft"] / 1000)
    drop_v = two_wire_drop_v(given["i_a"], z)
    assert drop_v == pytest.approx(example["answer"]["vd_v"], rel=example["tolerance_rel"])


def test_by_area_and_by_resistance():
    # voltexam.com: 16 A over 100 ft of 12 AWG copper, K = 12.9 ohm circular mil per foot.
    example = case("vd05_cmil_1ph")
    given, answer = example["inputs"], example["answer"]
    assert area_cmil("12") == given["cmil"]
    for ohm_per_ft, expected in (
        (given["k_ohm_cmil_per_ft"] / area_cmil("12"), answer["vd_v"]),
        (given["r_ohm_per_kft"] / 1000, answer["vd_r_method_v"]),
    ):
        one_way = complex(ohm_per_ft * given["length_ft"])
        drop_v = two_wire_drop_v(given["i_a"], one_way)
        assert drop_v == pytest.approx(expected, rel=example["tolerance_rel"])


def test_effective_impedance_of_250_kcmil_in_steel():
    # NEC Chapter 9 Table 9: the drop of 1 A along 1000 ft of one conductor at 0.85.
    example = case("vd06_effective_z_250_steel")
    given = example["inputs"]
    z = impedance_75c("250", "cu", "steel").value
    assert z == complex(given["r"], given["x"])
    effective = z.real * given["pf"] + z.imag * math.sqrt(1 - given["pf"] ** 2)
    assert effective == pytest.approx(
        example["answer"]["ze_ohm_per_kft"], rel=example["tolerance_rel"]
    )


def test_a_constant_power_behind_a_three_phase_line():
    # Chakrabarti et al., A Textbook on Power System Engineering, example 3.2.
    example = case("vd11_line_3ph_approx_vs_exact")
    given = example["inputs"]
    line = complex(given["r_per_km"], given["x_per_km"]) * given["km"]
    load_va = complex(given["p_w"], given["p_w"] * 0.75)
    # between lines the voltages and the power of all three phases stand as those of one leg do
    columns = (1, 0, -1, load_va, given["v_send_ll"], POWER)
    zone = Zone(
        end=np.array([2, 2]), line_ohm=np.array([[0j], [line]]), neutral_ohm=np.zeros(2, complex),
        source_v=np.array([given["v_send_ll"] + 0j]), source_ohm=np.zeros((1, 1), complex),
        loads=LoadColumns(*(np.array([value]) for value in columns)), plug=None,
    )  # fmt: skip
    left_v = abs(sweep([zone]).volts[0][1, 0])
    assert left_v == pytest.approx(
        example["answer"]["v_recv_ll_exact_v"], rel=example["tolerance_rel"]
    )
