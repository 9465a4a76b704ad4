"""Devices of motors (NEC 430.52) and transformers (NEC 450.3(B)), interrupting steps, electrodes."""

import pytest

from ampacre.codebook.devices import INTERRUPTING_KA, interrupting_step
from ampacre.codebook.grounding import electrode_limit
from ampacre.codebook.motors import device_limit_pct, starting_limit_pct
from ampacre.codebook.transformers import protection_limit


@pytest.mark.parametrize("phases", [1, 3])
def test_motor_devices_of_table_430_52(phases):
    assert device_limit_pct("breaker", phases).value == 250
    assert device_limit_pct("fuse", phases).value == 175


def test_what_a_motor_may_have_where_it_does_not_start():
    # NEC 430.52(C)(1) exception 2, from memory and marked so.
    assert starting_limit_pct("breaker", 28).value == 400
    assert starting_limit_pct("breaker", 130).value == 300
    assert starting_limit_pct("fuse", 28).value == 225
    assert starting_limit_pct("fuse", 28).verified == 0


@pytest.mark.parametrize(
    ("side", "rated_a", "both", "pct", "up"),
    [
        ("primary", 52.1, False, 125, True),
        ("primary", 9.0, False, 125, True),
        ("primary", 6.25, False, 167, False),
        ("primary", 1.34, False, 300, False),
        ("primary", 52.1, True, 250, False),
        ("secondary", 104.2, True, 125, True),
        ("secondary", 6.0, True, 167, False),
    ],
)
def test_transformers_of_table_450_3_b(side, rated_a, both, pct, up):
    limit = protection_limit(side, rated_a, with_secondary=both).value
    assert (limit.pct, limit.next_size_up) == (pct, up)


def test_a_secondary_has_no_limit_where_the_primary_alone_protects():
    assert protection_limit("secondary", 104.2, with_secondary=False) is None


def test_interrupting_steps():
    assert INTERRUPTING_KA[:4] == (10, 14, 18, 22)
    assert interrupting_step(10.4).value == 14
    assert interrupting_step(10.0).value == 10
    assert interrupting_step(12.1).value == 14
    assert interrupting_step(201) is None


def test_electrodes_that_never_need_more():
    # NEC 250.66(A) and (B): 6 AWG copper or 4 AWG aluminum to rods, 4 AWG copper to a footing.
    assert electrode_limit("rod", "cu").value == "6"
    assert electrode_limit("rod", "al").value == "4"
    assert electrode_limit("plate", "cu").value == "6"
    assert electrode_limit("concrete-encased", "cu").value == "4"
    assert electrode_limit("metal water pipe", "cu") is None
    assert electrode_limit("ring", "cu") is None
