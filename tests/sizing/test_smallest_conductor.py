"""The smallest conductor for a load behind its device."""

from hypothesis import given
from hypothesis import strategies as st

from ampacre.codebook.articles import EDITIONS
from ampacre.codebook.conductors import SIZES
from ampacre.sizing.ampacity import conductor_ampacity
from ampacre.sizing.conductor import smallest_size
from ampacre.sizing.protection import largest_device_a

USUAL = {
    "insulation": None,
    "terminal_c": 75,
    "ambient_c": 30.0,
    "wet": True,
    "sets": 1,
    "edition": "2023",
}


def test_load_and_device_together_decide():
    # 78 A sizing current behind a 90 A device: 2 AWG aluminum carries 90 A at 75 C.
    assert smallest_size(78, 69.5, 90, "al", **USUAL) == "2"
    # Behind a 100 A device it may round up from 90 A to 90 only, so 1 AWG (100 A).
    assert smallest_size(78, 69.5, 100, "al", **USUAL) == "1"
    # With no device ahead the current alone counts: 4 AWG carries 65 A, 3 AWG 75, 2 AWG 90.
    assert smallest_size(78, 69.5, None, "al", **USUAL) == "2"


def test_rounding_up_saves_a_size():
    # 200 A device: 4/0 aluminum (180 A) by rounding up, 250 kcmil (205 A) without.
    assert smallest_size(170, 150, 200, "al", **USUAL) == "4/0"
    assert smallest_size(170, 150, 200, "al", round_up=False, **USUAL) == "250"


def test_sixty_degree_terminations_want_more_copper():
    assert smallest_size(60, 48, 60, "cu", **USUAL) == "6"
    assert smallest_size(60, 48, 60, "cu", **(USUAL | {"terminal_c": 60})) == "4"


def test_cables_of_the_60_degree_column_want_more_copper_too():
    # 48 A continuous is 60 A; 6 AWG carries 55 A at 60 C, 4 AWG 70 A (NEC 334.80, 340.80, 210.19(A)).
    for insulation, wet in (("NM-B", False), ("UF-B", True), ("TW", True)):
        how = USUAL | {"insulation": insulation, "wet": wet}
        assert smallest_size(60, 48, 60, "cu", **how) == "4"
    # Without a continuous part 6 AWG may have the next standard device, 60 A (240.4(B)).
    assert smallest_size(48, 48, 60, "cu", **(USUAL | {"insulation": "NM-B", "wet": False})) == "6"


def test_small_conductors_are_skipped_behind_large_devices():
    # 12 AWG copper carries 25 A, but not behind a 25 A device (240.4(D)).
    assert smallest_size(24, 20, 25, "cu", **USUAL) == "10"
    assert smallest_size(16, 16, 20, "cu", **USUAL) == "12"


def test_parallel_sets_start_at_1_0():
    # Two sets of 1 AWG would do for 180 A; NEC 310.10(G) wants 1/0.
    assert smallest_size(180, 150, 200, "al", **(USUAL | {"sets": 2})) == "1/0"


def test_nothing_fits_a_load_beyond_the_table():
    assert smallest_size(900, 900, 1000, "al", **USUAL) is None
    assert smallest_size(50, 50, 50, "cu", **(USUAL | {"ambient_c": 90.0})) is None


@given(
    st.floats(min_value=1, max_value=600),
    st.floats(min_value=1, max_value=1.25),
    st.sampled_from([15, 30, 60, 90, 100, 200, 400, 600]),
    st.sampled_from(["cu", "al"]),
    st.sampled_from(["TW", "THWN", "UF-B", "XHHW-2", None]),
    st.sampled_from([60, 75]),
    st.floats(min_value=10, max_value=50),
    st.integers(min_value=1, max_value=3),
    st.sampled_from(EDITIONS),
)
def test_the_choice_fits_and_the_next_smaller_does_not(
    calculated_a, continuous, device_a, material, insulation, terminal_c, ambient_c, sets, edition
):
    how = {"insulation": insulation, "terminal_c": terminal_c, "ambient_c": ambient_c, "wet": True}
    sizing_a = calculated_a * continuous

    def fits(size):
        found = conductor_ampacity(size, material, sets=sets, **how)
        if found is None or (sets > 1 and SIZES.index(size) < SIZES.index("1/0")):
            return False
        largest = largest_device_a(found.allowed_a, size, material, edition)
        return (
            found.terminal_a >= sizing_a
            and found.corrected_a >= calculated_a
            and largest.rating_a >= device_a
        )

    chosen = smallest_size(
        sizing_a, calculated_a, device_a, material, sets=sets, edition=edition, **how
    )
    if chosen is None:
        assert not any(fits(size) for size in SIZES)
    else:
        assert fits(chosen)
        assert not any(fits(size) for size in SIZES[: SIZES.index(chosen)])
