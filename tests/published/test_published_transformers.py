"""Published transformer fault currents, by the impedance of the transformer.

Each case names its source in its file; `verified` 2 there means that the published figures were
read, 1 that they were recalled or recomputed.
"""

import math
import tomllib
from pathlib import Path

import pytest

from ampacre.sizing.impedance import centre_tap_halves, transformer_impedance

EXAMPLES = Path(__file__).parent / "worked_examples"


def case(name):
    found = tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))
    assert found["source"]["title"]
    return found


@pytest.mark.parametrize("x_r", [0.5, 2.0, 6.0])
def test_three_phase_on_an_infinite_primary(x_r):
    # IAEI Magazine, 22 Aug 2018: 1500 kVA, 480 V, 5.75 %.
    example = case("fc01_xfmr_3ph_infinite")
    given = example["inputs"]
    z = transformer_impedance(given["kva"], given["v_ll"], given["pct_z"], x_r)
    fault_a = given["v_ll"] / math.sqrt(3) / abs(z)
    assert fault_a == pytest.approx(example["answer"]["i_sc_a"], rel=example["tolerance_rel"])


def test_three_phase_with_a_known_utility():
    # Krarti, Energy-Efficient Electrical Systems for Buildings: the MVA method adds magnitudes,
    # which is what equal ratios of reactance to resistance do to complex impedances.
    example = case("fc03_xfmr_known_utility_fault")
    given = example["inputs"]
    x_r = 5.0
    utility_mva = math.sqrt(3) * given["kv_primary"] * given["ka_primary"]
    assert utility_mva == pytest.approx(example["steps"]["mva_utility"], rel=1e-4)
    utility_pct = 100 * given["kva"] / (utility_mva * 1000)
    z = transformer_impedance(given["kva"], given["v_ll"], given["pct_z"], x_r)
    z += transformer_impedance(given["kva"], given["v_ll"], utility_pct, x_r)
    fault_a = given["v_ll"] / math.sqrt(3) / abs(z)
    assert fault_a == pytest.approx(example["answer"]["i_sc_a"], rel=example["tolerance_rel"])


@pytest.mark.parametrize(
    ("name", "answer"),
    [
        ("fc04_xfmr_1ph_ll", "i_ll_a"),  # Mike Holt forum: 37.5 kVA, 2.2 %
        ("pp03_p2p_single_phase_service", "i_secondary_ll_a"),  # Bussmann EDP-1: 75 kVA, 1.4 %
    ],
)
def test_single_phase_line_to_line(name, answer):
    example = case(name)
    given = example["inputs"]
    z = transformer_impedance(given["kva"], given["v_ll"], given["pct_z"], 1.6)
    fault_a = given["v_ll"] / abs(z)
    assert fault_a == pytest.approx(example["answer"][answer], rel=example["tolerance_rel"])


def test_a_low_impedance_by_tolerance():
    # Bussmann, Electrical Plan Review: 300 kVA, 2 % on the nameplate taken at 1.8 %.
    example = case("pp01_p2p_3ph_first_fault")
    given = example["inputs"]
    z = transformer_impedance(given["kva"], given["v_ll"], given["pct_z"] * 0.9, 4.5)
    fault_a = given["v_ll"] / math.sqrt(3) / abs(z)
    answer = example["answer"]["i_secondary_a"]
    assert fault_a == pytest.approx(answer, rel=example["tolerance_rel"])


def test_centre_tap_line_to_line_and_line_to_neutral():
    # Gonen, Electric Power Distribution System Engineering: 25 kVA, R 1.4 %, X 1.2 %.
    example = case("fc06_center_tap_ll_ln")
    given, answer = example["inputs"], example["answer"]
    pct = 100 * math.hypot(given["r_pu"], given["x_pu"])
    z_ll = transformer_impedance(given["kva"], given["v_ll"], pct, given["x_pu"] / given["r_pu"])
    z_ln = sum(centre_tap_halves(z_ll))
    tolerance = example["tolerance_rel"]
    assert abs(z_ll) == pytest.approx(answer["z_ll_ohm"], rel=tolerance)
    assert 240 / abs(z_ll) == pytest.approx(answer["i_ll_a"], rel=tolerance)
    assert abs(z_ln) == pytest.approx(answer["z_ln_ohm"], rel=tolerance)
    assert 120 / abs(z_ln) == pytest.approx(answer["i_ln_a"], rel=tolerance)
