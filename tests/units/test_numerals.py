"""Commas, points and spaces between digits: what decides, what is asked about, and that both remedies are then read."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood import units
from knowngood.units import Kind, Undecided, UnitsError


def thin(mm):
    """As of a brake disc."""
    return mm > 60.0


@pytest.mark.parametrize(
    ("text", "values"),
    [
        # Nothing to ask.
        ("100,9 101,2 ohm", (100.9, 101.2)),
        ("22,15 22,14 mm", (22.15, 22.14)),
        ("1,5 ohm", (1.5,)),
        ("10,00 ohm", (10.0,)),
        ("0,500 mm", (0.5,)),
        ("0,010 mm", (0.01,)),
        ("21.985 mm", (21.985,)),
        ("1234,500 ohm", (1234.5,)),
        ("-0,125 V", (-0.125,)),
        ("98 101 99 ohm", (98.0, 101.0, 99.0)),
        ("980,5 1010,2 kPa", (980.5, 1010.2)),
        # The number itself says it.
        ("1,000.5 mbar", (100.05,)),
        ("1.000,5 mbar", (100.05,)),
        ("1,000,000 ohm", (1e6,)),
        ("1.000.000 ohm", (1e6,)),
        ("1'000 kPa", (1000.0,)),
        ("1\u202f000 kPa", (1000.0,)),
        ("1 000 kPa", (1000.0,)),
        ("1 050 1 120 kPa", (1050.0, 1120.0)),
        # Another number of the field says it.
        ("1,000 1,250.5 kPa", (1000.0, 1250.5)),
        ("1,000 12.5 kPa", (1000.0, 12.5)),
        ("1,000 12,5 kPa", (1.0, 12.5)),
        ("1.000 1.250,5 kPa", (1000.0, 1250.5)),
        ("1,250 1,000,000 ohm", (1250.0, 1e6)),
        ("1,250 0,5 ohm", (1.25, 0.5)),
        ("21.985 22.5 22,15 mm", (21.985, 22.5, 22.15)),
        # The thousand goes further than anything of its kind.
        ("12,500 N·m", (12.5,)),
        ("41,500 °C", (41.5,)),
        ("1,265 kg/L", (1.265,)),
        ("12,612 V", (12.612,)),
    ],
)
def test_decided(text, values):
    read = units.readings(text)
    assert read.values == pytest.approx(values)
    if len(values) == 1:
        assert units.quantity(text).value == units.tolerance(text).value == pytest.approx(values[0])


@pytest.mark.parametrize(
    ("text", "whole", "fraction"),
    [
        ("1,000 kPa", "1000 kPa", "1.000 kPa"),
        ("-1,000 kPa", "-1000 kPa", "-1.000 kPa"),
        ("1,090 ohm", "1090 ohm", "1.090 ohm"),
        ("9,500 13,500 ohm", "9500 13500 ohm", "9.500 13.500 ohm"),
        ("1,250 21.985 ohm", "1250 21.985 ohm", "1.250 21.985 ohm"),
        ("1,250 22.5 22,15 ohm", "1250 22.5 22,15 ohm", "1.250 22.5 22,15 ohm"),
        ("21.985 22,15 ohm", "21985 22,15 ohm", "21.985 22,15 ohm"),
        ("100,000 km", "100000 km", "100.0 km"),
        ("101.500 km", "101500 km", "101.5 km"),
        ("1,000 N·m", "1000 N·m", "1.000 N·m"),
    ],
)
def test_asked_about_with_both_readings(text, whole, fraction):
    with pytest.raises(Undecided) as refused:
        units.readings(text)
    assert str(refused.value) == f'"{text}" may mean thousands or a fraction. Write "{whole}" or "{fraction}".'


@pytest.mark.parametrize(
    ("text", "two"),
    [
        ("min 1,000 kPa", '"1000 kPa" or "1.000 kPa"'),
        ("max 1,300 ohm", '"1300 ohm" or "1.300 ohm"'),
        ("2,200..2,800 ohm", '"2200..2800 ohm" or "2.200..2.800 ohm"'),
        ("9,500–13,500 ohm", '"9500–13500 ohm" or "9.500–13.500 ohm"'),
        ("3,500 to 4,200 mbar", '"3500 to 4200 mbar" or "3.500 to 4.200 mbar"'),
        ("3,500-4,200 mbar", '"3500-4200 mbar" or "3.500-4.200 mbar"'),
        ("1,000 kPa ± 50", '"1000 kPa ± 50" or "1.000 kPa ± 50"'),
    ],
)
def test_limits_are_asked_about(text, two):
    with pytest.raises(Undecided) as refused:
        units.span(text)
    assert str(refused.value).endswith(f" may mean thousands or a fraction. Write {two}.")


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("1,000..1,250.5 kPa", (1000.0, 1250.5)),
        ("950.5..1,050 kPa", (950.5, 1050.0)),
        ("9,5..13,250 ohm", (9.5, 13.25)),
        ("0,500..1,250 mm", (0.5, 1.25)),
        ("min 1 000 kPa", (1000.0, None)),
        ("min 1'000 kPa", (1000.0, None)),
        ("max. 1 000 kPa", (None, 1000.0)),
        ("1.000,0 kPa ± 50", (950.0, 1050.0)),
    ],
)
def test_limits_that_say_it_themselves(text, ends):
    span = units.span(text)
    assert (span.lower, span.upper) == pytest.approx(ends)


def test_a_thousand_that_cannot_be_is_a_fraction_and_decides_its_whole_field():
    assert units.span("min 21,985 mm", beyond=thin).lower == 21.985
    assert units.readings("21,985 22,004 mm", beyond=thin).values == (21.985, 22.004)
    assert units.span("1,500..22,500 mm", beyond=lambda mm: mm > 2000.0).lower == 1.5
    assert units.readings("22.1 21,985 mm", beyond=thin).values == (22.1, 21.985)
    with pytest.raises(Undecided):
        units.span("min 1,500 mm", beyond=lambda mm: mm > 2000.0)


def test_plain_words_of_a_field_and_what_was_taken_for_what():
    assert units.decided("min 21,985 mm", beyond=thin) == ("min 21.985 mm", ("21,985 as 21.985",))
    assert units.decided("1,000-1,250.5 kPa") == ("1000-1250.5 kPa", ("1,000 as 1000",))
    assert units.decided("22,15 ± 0,02 mm") == ("22.15 ± 0.02 mm", ())
    assert units.decided("1 050 1 120 kPa", many=True) == ("1050 1120 kPa", ())
    assert units.decided("-0,5..−0,25 V") == ("-0.5..-0.25 V", ())


@pytest.mark.parametrize("text", ["1 120 kPa", "12 500 ohm"])
def test_one_number_or_several_is_asked_about(text):
    with pytest.raises(Undecided) as refused:
        units.readings(text)
    one, several = re.findall('"([^"]*)"', str(refused.value))[1:]
    assert len(units.readings(one).values) == 1
    assert len(units.readings(several).values) == 2


def test_readings_far_apart_are_several_where_the_thousand_cannot_be():
    assert units.readings("60 620 kPa", beyond=lambda kpa: kpa > 8000.0).values == (60.0, 620.0)


@pytest.mark.parametrize("text", [". . . .8 N·m", "....8 N·m", "…8 N·m", ". . . . 8 N·m", "Drain plug . . . .8 N·m"])
@pytest.mark.parametrize("read", [units.tolerance, units.quantity, units.readings])
def test_leader_dots_are_asked_about(text, read):
    with pytest.raises(UnitsError) as refused:
        read(text, Kind.TORQUE)
    assert str(refused.value).endswith('has dots before its number. Write "8 N·m" or "0.8 N·m".')


def test_a_single_point_before_a_number_is_no_leader():
    assert units.quantity(".8 N·m").value == 0.8


@pytest.mark.parametrize("text", ["1,2,3 V", "12.34,5 V", "1,00,000 V", "0,100.5 V", "1000,000.5 V", "1.2.3 V"])
def test_marks_that_mean_nothing(text):
    with pytest.raises(UnitsError, match="two separators in one number"):
        units.quantity(text)


@given(st.integers(1, 400), st.integers(0, 999), st.sampled_from(["kPa", "ohm", "mm", "km", "mL"]))
def test_both_remedies_are_read_and_are_a_thousand_apart(whole, rest, unit):
    text = f"{whole},{rest:03d} {unit}"
    try:
        units.quantity(text)
    except Undecided as refused:
        many, few = (units.quantity(one).value for one in re.findall('"([^"]*)"', str(refused))[1:])
        assert many == pytest.approx(1000.0 * few)
    else:
        assert (unit, whole >= 20) == ("mm", True)  # no vehicle is longer


@pytest.mark.parametrize(
    "text", ["1e300 L", "-1e300 V", "3000 L", "-300 °C", "1e12 ohm", "5e7 km", "1e8 min", "9000 N·m", "1e300 mm"]
)
@pytest.mark.parametrize("read", [units.tolerance, units.quantity, units.readings])
def test_what_no_vehicle_has_is_refused_with_what_can_be(text, read):
    with pytest.raises(UnitsError, match=r"is (more|less) than .*: .*\. Check the number and its unit\."):
        read(text)


def test_a_half_width_out_of_reach_is_refused_too():
    with pytest.raises(UnitsError, match="no vehicle holds more"):
        units.tolerance("4 ± 1e300 L")


@pytest.mark.parametrize("text", ["１,000 L", "١,٠٠٠ L", "१,000 L"])
def test_digits_of_another_script_are_asked_about_like_ours(text):
    with pytest.raises(Undecided) as refused:
        units.quantity(text)
    assert 'Write "1000 L" or "1.000 L"' in str(refused.value)
