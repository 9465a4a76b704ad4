"""Fill of raceways, NEC Chapter 9 Tables 1 and 4, and the ratio at which three conductors jam."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.conductors import SIZES
from ampacre.codebook.dimensions import Outside, insulated_wire
from ampacre.codebook.raceways import stocked_sizes
from ampacre.sizing.fill import filled, jam_ratio, smallest_raceway


def wire(size, material="cu", insulation="THHN"):
    return insulated_wire(size, material, insulation).value


def test_mixed_sizes_add_up_by_area():
    # 4/0-4/0-2/0-4 compact aluminum XHHW-2: 2 x 0.2733 + 0.1885 + 0.0730 = 0.8081 in2.
    wires = [wire(size, "al", "XHHW-2") for size in ("4/0", "4/0", "2/0", "4")]
    found = smallest_raceway("pvc", wires)
    assert found.area_in2 == pytest.approx(0.8081)
    # 1-1/2 in: 0.8081 of 1.986 is 40.7 %, too much; 2 in: of 3.291 it is 24.6 %.
    assert filled("pvc", "1-1/2", wires).fill_pct == pytest.approx(40.69, abs=0.01)
    assert not filled("pvc", "1-1/2", wires).fits
    assert found.trade_size == "2"
    assert found.fill_pct == pytest.approx(24.55, abs=0.01)


def test_a_nipple_may_be_fuller():
    wires = [wire(size, "al", "XHHW-2") for size in ("4/0", "4/0", "2/0", "4")]
    found = smallest_raceway("pvc", wires, nipple=True)
    # 0.8081 of 1.453 is 55.6 %, within 60.
    assert (found.trade_size, found.limit_pct) == ("1-1/4", 60)


def test_two_conductors_may_fill_the_least():
    # Two 1/0 THHN, 0.371 in2: 31 % of 1 in EMT is 0.268, of 1-1/4 in 0.464.
    found = smallest_raceway("emt", [wire("1/0"), wire("1/0")])
    assert (found.trade_size, found.limit_pct) == ("1-1/4", 31)
    # One alone, 0.1855 in2: 53 % of 3/4 in EMT is 0.283.
    assert smallest_raceway("emt", [wire("1/0")]).trade_size == "3/4"


def test_three_conductors_jam_at_about_three_to_one():
    # 4/0 XHHW-2 compact 0.590 in: in 1-1/2 in (1.590) the ratio is 2.69, in 2 in (2.047) 3.47.
    three = [wire("4/0", "al", "XHHW-2")] * 3
    assert jam_ratio(1.590, three) is None
    assert jam_ratio(2.047, three) is None
    # 250 kcmil, 0.660 in: 3.10 in 2 in.
    assert jam_ratio(2.047, [Outside(0.660, 0.342)] * 3) == pytest.approx(3.10, abs=0.005)
    # A fourth conductor makes it unlikely, and so does a smaller one among the three.
    assert jam_ratio(2.047, [Outside(0.660, 0.342)] * 4) is None
    assert jam_ratio(2.047, [*[Outside(0.660, 0.342)] * 2, Outside(0.45, 0.159)]) is None


def test_a_size_that_jams_can_be_passed_over():
    three = [Outside(0.660, 0.3421)] * 3
    assert filled("pvc", "2", three).fits
    assert filled("pvc", "2", three).jam_ratio is not None
    assert smallest_raceway("pvc", three).trade_size == "2"
    assert smallest_raceway("pvc", three, may_jam=False).trade_size == "2-1/2"


def test_beyond_the_largest_raceway_there_is_none():
    assert smallest_raceway("pvc", [wire("1000")] * 12) is None
    assert smallest_raceway("direct burial", [wire("2")] * 3) is None


sizes = st.sampled_from(SIZES)
contents = st.lists(sizes, min_size=1, max_size=9)
kinds = st.sampled_from(["pvc", "pvc 80", "steel", "emt"])


@given(contents, kinds, st.booleans(), st.booleans())
def test_the_choice_fits_and_nothing_smaller_does(inside, kind, nipple, may_jam):
    wires = [wire(size) for size in inside]
    found = smallest_raceway(kind, wires, nipple=nipple, may_jam=may_jam)
    sizes_made = stocked_sizes(kind)
    upto = sizes_made if found is None else sizes_made[: sizes_made.index(found.trade_size)]
    for size in upto:
        tried = filled(kind, size, wires, nipple=nipple)
        assert not tried.fits or (tried.jam_ratio is not None and not may_jam)
    if found is not None:
        assert found.fits
        assert may_jam or found.jam_ratio is None


@given(contents, sizes, kinds)
def test_another_conductor_never_empties_a_raceway(inside, more, kind):
    wires = [wire(size) for size in inside]
    for size in stocked_sizes(kind):
        before = filled(kind, size, wires)
        assert filled(kind, size, [*wires, wire(more)]).fill_pct > before.fill_pct
