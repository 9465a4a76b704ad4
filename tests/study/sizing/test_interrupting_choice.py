"""Interrupting ratings: stated, unmarked, or the next step above the fault current."""

from ampacre.model import records as r
from ampacre.study.settle import interrupting_of


def test_new_devices_get_the_next_step():
    assert interrupting_of(None, new=True, fault_ka=10.4).value == 14
    assert interrupting_of(r.Device(rating_a=60.0), new=True, fault_ka=8.2).value == 10
    assert interrupting_of(None, new=True, fault_ka=10.4).why == "next step above 10.40 kA"


def test_what_is_stated_stays():
    device = r.Device(interrupting_ka=10.0, series_ka=22.0)
    assert interrupting_of(device, new=True, fault_ka=18.0) == (10, "entered", "")


def test_existing_ones_are_not_guessed():
    assert interrupting_of(r.Device(rating_a=60.0), new=False, fault_ka=8.2).how == "unknown"
    assert interrupting_of(None, new=False, fault_ka=None).value is None


def test_unmarked_devices_count_least():
    # NEC 240.83(C) and 240.60(C).
    assert interrupting_of(r.Device(unmarked=True), new=False, fault_ka=8.2).value == 5
    assert (
        interrupting_of(r.Device(kind="fuse", unmarked=True), new=False, fault_ka=8.2).value == 10
    )


def test_without_a_fault_current_or_beyond_the_steps_nothing_is_chosen():
    assert interrupting_of(None, new=True, fault_ka=None).how == "unknown"
    assert interrupting_of(None, new=True, fault_ka=250.0).how == "unknown"
