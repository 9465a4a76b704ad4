"""Quantities as typed and shown.

Factors come from the international foot and inch (NIST SP 811, appendix B.8: 1 ft = 0.3048 m and
1 in = 25.4 mm exactly; 1 horsepower of 550 ft lbf/s = 745.6999 W) and the kelvin scale (t/°C =
(t/°F - 32)/1.8).
"""

import math
import subprocess
import sys

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ampacre.model import records as r
from ampacre.model.words import KINDS, unit_of
from ampacre.quantity import NotUnderstood, exact, fill, read, show, trade_size, unit_word

UNITS = ("m", "mm", "m2", "a", "v", "va", "kva", "kw", "kwh", "ka", "hp", "c", "pct", "")

UNDERSTOOD = [
    ("310 ft", "m", 310 * 0.3048),
    ("310ft.", "m", 310 * 0.3048),
    ("310'", "m", 310 * 0.3048),
    ("310", "m", 310 * 0.3048),
    ("12' 6\"", "m", 12.5 * 0.3048),
    ("12'6", "m", 12.5 * 0.3048),
    ("12'-6 1/2\"", "m", 12 * 0.3048 + 6.5 * 0.0254),
    ("12 ft 6 in", "m", 12.5 * 0.3048),
    ("-12' 6\"", "m", -12.5 * 0.3048),
    ("12\u2032 6\u2033", "m", 12.5 * 0.3048),
    ("85 m", "m", 85.0),
    ("100 yd", "m", 91.44),
    ("0.5 mile", "m", 804.672),
    ("1e2 m", "m", 100.0),
    ("2-1/2 in", "mm", 63.5),
    ('2 1/2"', "mm", 63.5),
    ("2\u00bd in", "mm", 63.5),
    ("2.5", "mm", 63.5),
    ("64 mm", "mm", 64.0),
    ("2,000 sq ft", "m2", 2000 * 0.3048**2),
    ("2000 ft2", "m2", 2000 * 0.3048**2),
    ("2000 ft²", "m2", 2000 * 0.3048**2),
    ("186 m2", "m2", 186.0),
    ("200", "a", 200.0),
    ("200 amps", "a", 200.0),
    ("500 mA", "a", 0.5),
    ("10 kA", "a", 10_000.0),
    ("22000 A", "ka", 22.0),
    ("22", "ka", 22.0),
    ("7.2 kV", "v", 7200.0),
    ("240 volts", "v", 240.0),
    ("1,200 VA", "va", 1200.0),
    ("20 kVA", "va", 20_000.0),
    ("20 kva", "va", 20_000.0),
    ("4.5 kW", "va", 4500.0),
    ("75 kVA", "kva", 75.0),
    ("22 kW", "kw", 22.0),
    ("0.5 MW", "kw", 500.0),
    ("13.5 kWh", "kwh", 13.5),
    ("3/4 hp", "hp", 0.75),
    ("1-1/2", "hp", 1.5),
    ("745.6999 W", "hp", 1.0),
    ("40 °F", "c", 40 / 9),
    ("86F", "c", 30.0),
    ("-40 degrees F", "c", -40.0),
    ("30", "c", 30.0),
    ("30 C", "c", 30.0),
    ("3 %", "pct", 3.0),
    ("1.7", "pct", 1.7),
    ("3 percent", "pct", 3.0),
    ("1.6", "", 1.6),
    (" 1.6 ", "", 1.6),
    ("+5", "", 5.0),
]


@pytest.mark.parametrize(("text", "unit", "value"), UNDERSTOOD)
def test_what_people_type_is_understood(text, unit, value):
    assert read(text, unit) == pytest.approx(value, rel=1e-7)


def test_a_bare_number_is_in_the_unit_that_is_shown():
    assert read("310", "m", "metric") == 310.0
    assert read("186", "m2", "metric") == 186.0
    assert read("64", "mm", "metric") == 64.0
    assert read("30", "c", "metric") == 30.0
    assert read("310 ft", "m", "metric") == pytest.approx(94.488)


NOT_UNDERSTOOD = [
    ("310 A", "m", "310 A is a current; this wants a length such as 310 ft, 12' 6\" or 85 m"),
    ("75 kW", "kva", "75 kW is a power; this wants an apparent power such as 75 kVA"),
    (
        "3 hp",
        "va",
        "3 hp is a motor's power; this wants an apparent power such as 1,200 VA or 4.5 kW",
    ),
    ("5 %", "m", "5 % is a percentage; this wants a length"),
    ("3 %", "", "3 % is a percentage; this wants a plain number such as 1.6"),
    ("5 '", "a", "5 ' is a length; this wants a current such as 200 A"),
    ("10 AWG", "mm", '"10 AWG" is not understood; this wants a length such as 2-1/2 in or 64 mm'),
    ("4/0", "", '"4/0" is not understood'),
    ("1/0", "a", '"1/0" is not understood'),
    ("12 6", "m", '"12 6" is not understood'),
    ("1,5", "a", '"1,5" is not understood'),
    ("1,2000", "a", '"1,2000" is not understood'),
    ("two feet", "m", '"two feet" is not understood'),
    ("10 min", "a", '"10 min" is not understood'),
    ("", "a", "nothing was typed; this wants a current such as 200 A"),
    ("   ", "a", "nothing was typed"),
    ("ft", "m", '"ft" is not understood'),
    ("9**9**9", "m", '"9**9**9" is not understood'),
    ("9**9**9 ft", "m", '"9**9**9 ft" is not understood'),
    ("(2+3) ft", "m", '"(2+3) ft" is not understood'),
    ("2 ft*ft", "m2", '"2 ft*ft" is not understood'),
    ("inf", "a", '"inf" is not understood'),
    ("-Infinity", "a", '"-Infinity" is not understood'),
    ("nan", "a", '"nan" is not understood'),
    ("nan A", "a", '"nan A" is not understood'),
    ("1e999", "a", '"1e999" is too large a number'),
    ("1e308 km", "m", '"1e308 km" is too large a number'),
    ("9" * 61, "a", "..."),
    ("٣ A", "a", "is not understood"),
]


@pytest.mark.parametrize(("text", "unit", "words"), NOT_UNDERSTOOD)
def test_what_is_not_understood_is_answered_with_what_would_be(text, unit, words):
    with pytest.raises(NotUnderstood) as caught:
        read(text, unit)
    assert words in str(caught.value)


@given(st.text(max_size=70), st.sampled_from(UNITS), st.sampled_from(["us", "metric"]))
def test_any_text_is_a_finite_number_or_not_understood(text, unit, units):
    try:
        assert math.isfinite(read(text, unit, units))
    except NotUnderstood:
        assume(True)


@given(
    st.from_regex(
        r"[-+]?[0-9./,]{1,6}[ -]?[0-9/]{0,4} ?([A-Za-z'\"%°.]{0,4}[23]?)", fullmatch=True
    ),
    st.sampled_from(UNITS),
)
def test_anything_like_a_quantity_is_a_finite_number_or_not_understood(text, unit):
    try:
        assert math.isfinite(read(text, unit))
    except NotUnderstood as error:
        assert text.strip() in str(error)


SHOWN = [
    (94.488, "m", "us", "310 ft"),
    (94.5, "m", "metric", "94.5 m"),
    (146.3, "a", "us", "146.3 A"),
    (146.349, "a", "us", "146.3 A"),
    (400.0, "a", "us", "400 A"),
    (1200, "a", "us", "1,200 A"),
    (10.4, "ka", "us", "10.4 kA"),
    (10.404, "ka", "us", "10.4 kA"),
    (18.38, "ka", "us", "18.38 kA"),
    (94385.4, "va", "us", "94,385 VA"),
    (113.24, "kva", "us", "113.2 kVA"),
    (22.0, "kw", "us", "22 kW"),
    (13.5, "kwh", "us", "13.5 kWh"),
    (0.75, "hp", "us", "0.75 hp"),
    (3.81, "pct", "us", "3.8 %"),
    (75.0, "c", "us", "75 °C"),
    (75.0, "c", "metric", "75 °C"),
    (240.0, "v", "us", "240 V"),
    (2000 * 0.09290304, "m2", "us", "2,000 ft²"),
    (185.8, "m2", "metric", "185.8 m²"),
    (63.5, "mm", "us", "2.5 in"),
    (63.5, "mm", "metric", "63.5 mm"),
    (-0.01, "a", "us", "0 A"),
    (0.0, "va", "us", "0 VA"),
    (1.6, "", "us", "1.6"),
]


@pytest.mark.parametrize(("value", "unit", "units", "text"), SHOWN)
def test_values_are_shown_as_people_write_them(value, unit, units, text):
    assert show(value, unit, units) == text


LAST_DIGIT = {
    "a": 0.1,
    "ka": 0.01,
    "va": 1,
    "kva": 0.1,
    "kw": 0.1,
    "kwh": 0.1,
    "hp": 0.01,
    "v": 0.1,
}
LAST_DIGIT |= {"c": 0.1, "pct": 0.1, "": 0.01, "m": 0.1 * 0.3048, "mm": 0.01 * 25.4}
LAST_DIGIT["m2"] = 0.3048**2
METRIC_DIGIT = LAST_DIGIT | {"m": 0.1, "mm": 0.1, "m2": 0.1}


@given(st.floats(-1e8, 1e8), st.sampled_from(UNITS))
def test_what_is_shown_reads_back_to_the_digits_shown(value, unit):
    for units, digits in (("us", LAST_DIGIT), ("metric", METRIC_DIGIT)):
        back = read(show(value, unit, units), unit, units)
        assert abs(back - value) <= 0.5001 * digits[unit] + 1e-9 * abs(value)


@given(st.floats(0.001, 1e6), st.sampled_from(UNITS), st.sampled_from(["us", "metric"]))
def test_what_is_shown_for_editing_reads_back_to_the_value_itself(value, unit, units):
    assert read(exact(value, unit, units), unit, units) == pytest.approx(value, rel=1e-9)
    typed = show(value, unit, units)
    assert exact(read(typed, unit, units), unit, units) == typed


def test_every_field_of_the_model_has_a_unit_that_can_be_read_and_shown():
    kinds = [*KINDS.values(), r.Run, r.Device, r.Appliance, r.Settings, r.ManagedGroup, r.Placement]
    for unit in {unit_of(name) for kind in kinds for name in kind.__struct_fields__}:
        assert unit in UNITS
        assert read(show(12.0, unit), unit) == pytest.approx(12.0, rel=0.05)


def test_unit_words():
    assert [unit_word("m"), unit_word("m", "metric"), unit_word("")] == ["ft", "m", ""]


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("2-1/2 in", "2-1/2"), ('2 1/2"', "2-1/2"), ("2.5", "2-1/2"), ("3/4", "3/4"), ("4 in", "4"),
        ("63.5 mm", "2-1/2"),
    ],
)  # fmt: skip
def test_trade_sizes(text, size):
    assert trade_size(text) == size


@pytest.mark.parametrize("text", ["2-3/4 in", "7", "", "x", "3 A"])
def test_what_is_no_trade_size(text):
    with pytest.raises(NotUnderstood, match=r"is not a trade size; known are 1/2, 3/4,"):
        trade_size(text)


def test_templates_show_numbers_by_the_end_of_their_name():
    template = "{name} carries {calculated_a} on {bus_a} over {length_m}, X/R {x_r}, {kva}, {count}"
    values = {
        "name": "P-1 {bus_a}", "calculated_a": 214.04, "bus_a": 200, "length_m": 94.488, "x_r": 1.6,
        "kva": 75.0, "count": 3,
    }  # fmt: skip
    assert (
        fill(template, values)
        == "P-1 {bus_a} carries 214 A on 200 A over 310 ft, X/R 1.6, 75 kVA, 3"
    )
    assert "over 94.5 m," in fill(template, values, "metric")
    with pytest.raises(KeyError):
        fill("{missing_a}", {})


def test_pint_stays_out_until_a_unit_needs_it():
    program = (
        "import sys\n"
        "from ampacre.quantity import read, show\n"
        "read('310 ft', 'm'), read('85 m', 'm'), read('1,200 VA', 'va'), show(94.488, 'm')\n"
        "assert 'pint' not in sys.modules\n"
        "read('100 yd', 'm')\n"
        "assert 'pint' in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", program], check=True)
