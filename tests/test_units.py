"""What people write becomes numbers, and the words for what cannot be read are whole sentences."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood import units
from knowngood.units import Kind, UnitsError


@pytest.mark.published("NIST SP 811, appendix B, exact definitions (from memory)")
@pytest.mark.parametrize(
    ("text", "inside"),
    [
        ("1 lbf·ft", 1.3558179483314004),
        ("1 in-lb", 0.1129848290276167),
        ("1 kgf·m", 9.80665),
        ("1 qt", 0.946352946),
        ("1 imp qt", 1.1365225),
        ("1 in", 25.4),
        ("1 mi", 1.609344),
        ("1 psi", 6.894757293168361),
        ("1 mbar", 0.1),
        ("1 mmHg", 0.133322387415),
        ("1 inHg", 3.386388640341),
        ("1 inH2O", 0.24908891),
        ("1 kg/m3", 0.001),
        ("1 g/cm3", 1.0),
        ("32 °F", 0.0),
        ("5 %", 5.0),
        ("0,954 km", 0.954),
        ("2 kΩ", 2000.0),
        ("2 mΩ", 0.002),
        ("2 MΩ", 2e6),
    ],
)
def test_factor(text, inside):
    assert units.quantity(text).value == pytest.approx(inside, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    "text", ["13.1 13.3 13.2 ohm", "13,1 13,3 13,2 ohm", "13.1, 13.3, 13.2 ohm", "13.1; 13.3; 13.2 ohm"]
)
def test_readings_are_told_apart(text):
    read = units.readings(text)
    assert (read.values, read.step) == ((13.1, 13.3, 13.2), pytest.approx(0.1))


@pytest.mark.parametrize(
    "text",
    ["148 300 km", "148\u00a0300 km", "148\u202f300 km", "148\u2009300", "148'300 km", "148’300", "148300 km"],
)
def test_thousands_apart_are_one_number_where_one_is_asked(text):
    assert units.quantity(units.completed(text, "km"), Kind.DISTANCE).value == 148300.0


@pytest.mark.parametrize(
    ("text", "count"), [("14 8300 km", 2), ("148 30 km", 2), ("0 300 km", 2), ("1 2 300 km", 2), ("148 300 5 km", 2)]
)
def test_what_is_no_group_of_three_stays_apart(text, count):
    with pytest.raises(UnitsError, match=f"holds {count} numbers"):
        units.quantity(text)


def test_readings_are_never_taken_for_thousands():
    assert units.readings("100 101 102 ohm").values == (100.0, 101.0, 102.0)
    assert units.readings("100.9 101.2 101.1 ohm").values == (100.9, 101.2, 101.1)


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("1 000..1 200 km", (1000, 1200)),
        ("max 10 000 ohm", (None, 10000)),
        ("11..15 ohm", (11, 15)),
        ("80-95 ohm", (80, 95)),
        ("80 to 95 ohm", (80, 95)),
        ("80–95 Ω", (80, 95)),
        ("max 13.3 ohm", (None, 13.3)),
        ("min 490 kPa", (490, None)),
        ("<= 13.3 ohm", (None, 13.3)),
        (">= 490 kPa", (490, None)),
        ("8 N·m ± 1", (7, 9)),
        ("\u22125..5 °C", (-5, 5)),
    ],
)
def test_span(text, ends):
    span = units.span(text)
    assert (span.lower, span.upper) == ends


@pytest.mark.parametrize("text", ["48 ± 4 °C", "48 +- 4 °C", "48 +/- 4 °C", "48\u00a0±\u00a04\u00a0°C"])
def test_tolerance(text):
    read = units.tolerance(text)
    assert (read.value, read.half_width) == (48.0, 4.0)


@pytest.mark.parametrize(
    ("text", "unit"),
    [("20 inHg", "inHg"), ('20 "Hg', "inHg"), ("20 in. Hg", "inHg"), ("20 INHG", "inHg"), ("20 in", "in"),
     ('20 "', "in"), ("20 mmHg", "mmHg"), ("20 mm", "mm"), ("20 hPa", "mbar"), ("20 inH₂O", "inH₂O"),
     ("1.26 sp. gr.", "SG"), ("1.26 g/ml", "g/mL"), ("1.26 g/cm³", "g/cm³"), ("1260 kg/m3", "kg/m³"), ("20 kg", "kg"),
     ("20 g", "g"), ("0L", "L")],
)  # fmt: skip
def test_alike_spellings_are_told_apart(text, unit):
    assert units.quantity(text, Kind.VOLUME if unit == "L" else None).unit == unit


def test_a_digit_of_the_unit_is_no_reading():
    assert units.readings("1.25 1.26 g/cm3").values == pytest.approx((1.25, 1.26))
    assert units.apart("20 inH2O") == (("20",), "inH₂O")


def test_capitals_count_only_between_milli_and_mega():
    assert (units.quantity("20 MIN").unit, units.quantity("500 Mi").unit) == ("min", "mi")


def test_half_width_in_fahrenheit_has_no_offset():
    assert units.tolerance("100 ± 4 °F").half_width == pytest.approx(20 / 9)


@pytest.mark.parametrize(
    ("text", "kind", "sentence"),
    [
        ("5 MV", None, '"MV" is not a unit known here; did you mean "mV"?'),
        ("5 mPA", None, '"mPA" is not a unit known here; did you mean "MPa"?'),
        ("148,300 km", None,
         '"148,300 km" may mean thousands or a fraction. Write "148300 km" or "148.3 km".'),
        ("5 omh", None, '"omh" is not a unit known here; did you mean "ohm"?'),
        ("5 V", Kind.RESISTANCE, '"5 V" is a voltage; a resistance belongs here, such as "13.4 ohm".'),
        ("8 lb", Kind.TORQUE,
         '"8 lb" is a weight, not a torque. Write lbf·in or lbf·ft (or N·m): the two differ by 12 times.'),
        ("4 K", Kind.TEMPERATURE,
         '"4 K" is a difference of temperatures; a temperature belongs here, such as "41 °C".'),
        ("5", None, '"5" has no unit. Write it with one, such as "13.4 ohm".'),
        ("", None, 'Nothing is written here. Write a number with its unit, such as "13.4 ohm".'),
        ("OL", Kind.RESISTANCE, '"OL" is the display\'s overload: an open circuit or a range too small, not a number. '
         "Try the next higher range; if it stays, the part is open."),
        ("OL", Kind.VOLTAGE, '"OL" is the display\'s overload: more than this range shows, not a number. '
         "Take the next higher range and read again."),
        ("O.L", Kind.CURRENT, '"O.L" is the display\'s overload: more than this range shows, not a number. Switch off, '
         "change to the next higher range and its socket, and read again."),
        ("OL", Kind.TEMPERATURE, '"OL" is the display\'s overload: hotter or colder than it can show, or a probe that '
         "is unplugged or broken. Plug the probe in, or take a thermometer that reaches further."),
        ("OL", Kind.PRESSURE, '"OL" is the display\'s overload: more than it can show, not a number. '
         "Read it with an instrument that reaches further."),
        ("0.7 ± 0.1 kg", Kind.MASS, '"0.7 ± 0.1 kg" says how far off; a plain number belongs here. '
         'Write it without ±, such as "1500 kg".'),
        ("12 Mbar", None, '"Mbar" is not a unit known here; did you mean "mbar"?'),
        ("12.34,5 km", None,
         '"12.34,5 km" has two separators in one number. Write thousands without one, such as "148300 km", and several '
         "numbers with a space between."),
    ],
)  # fmt: skip
def test_refused_in_words(text, kind, sentence):
    with pytest.raises(UnitsError) as refused:
        units.quantity(text, kind)
    assert str(refused.value) == sentence


def test_upside_down_span_is_refused():
    with pytest.raises(UnitsError) as refused:
        units.span("15..11 ohm")
    assert str(refused.value) == '"15..11 ohm" runs from high to low. Write the lower end first: "11..15 ohm".'


def test_two_equal_ends_are_refused_with_what_can_be_written():
    with pytest.raises(UnitsError) as refused:
        units.span("80..80 ohm")
    assert str(refused.value) == (
        '"80..80 ohm" has one value for both ends. Write two, such as "80..95 ohm", or how far it may be off: '
        '"80 ± 1 ohm".'
    )


def test_negative_half_width_is_refused():
    with pytest.raises(UnitsError) as refused:
        units.tolerance("48 ± -4 °C")
    assert str(refused.value) == '"48 ± -4 °C" is off by -4. Write what comes after ± above zero, such as "48 ± 4 °C".'


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(units.UNITS)), st.booleans())
def test_there_and_back(value, unit, difference):
    there = units.to_inside(value, unit, difference=difference)
    assert units.to_unit(there, unit, difference=difference) == pytest.approx(value, rel=1e-9, abs=1e-6)


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(units.UNITS)))
def test_differences_scale(value, unit):
    twice = units.to_inside(2 * value, unit, difference=True)
    assert twice == pytest.approx(2 * units.to_inside(value, unit, difference=True), rel=1e-12)
