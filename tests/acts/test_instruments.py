"""A data sheet's line, to a meter and back to words."""

import pytest

from knowngood import units
from knowngood.acts.instruments import described_line, from_json, line_words, meter_json, read_line
from knowngood.engine.measurement.instruments import Meter


@pytest.mark.parametrize(
    ("text", "unit", "percent", "digits", "step", "offset"),
    [
        ("± (0.8 % + 3 digits), 0.1 ohm", "ohm", 0.8, 3, 0.1, 0.0),
        ("0,8%+5d, 0,1 ohm", "ohm", 0.8, 5, 0.1, 0.0),
        ("±(0.8% of reading + 3 counts), 0.1Ω", "ohm", 0.8, 3, 0.1, 0.0),
        ("±0.8% rdg ± 3 dgt., 0.1 ohm", "ohm", 0.8, 3, 0.1, 0.0),
        ("± 1.5 %, 1 mA", "A", 1.5, 0, 0.001, 0.0),
        ("3 digits, 0.01 V", "V", 0, 3, 0.01, 0.0),
        ("± (0.5 % + 0.2 V), 0.1 V", "V", 0.5, 0, 0.1, 0.2),
        ("± 0.02 mm", "mm", 0, 0, 0.01, 0.02),
        ("+/- 0.02 mm, 0.01 mm", "mm", 0, 0, 0.01, 0.02),
        ("± 3.6 °F", "°C", 0, 0, 1.0, 2.0),
        ("± 2 °C or 2 %", "°C", 2, 0, 1.0, 2.0),
        ("2 % or 2 °C, 0.1 °C", "°C", 2, 0, 0.1, 2.0),
        ("± 2 % of 10 bar", "kPa", 0, 0, 10.0, 20.0),
        ("2 % FS, 10 bar", "kPa", 0, 0, 10.0, 20.0),
        ("class 1.6, 0..10 bar", "kPa", 0, 0, 10.0, 16.0),
        ("cl. 1.6, 0-10 bar", "kPa", 0, 0, 10.0, 16.0),
        ("class 2.5, -1..0 bar", "kPa", 0, 0, 1.0, 2.5),
        ("± 5 points, 1 %", "%", 0, 0, 1.0, 5.0),
        ("± 5 % points, 1 %", "%", 0, 0, 1.0, 5.0),
        ("± 5 percentage points", "%", 0, 0, 2.5, 5.0),
        ("class 5, 0..100 %", "%", 0, 0, 1.0, 5.0),
        ("± 2 % FS, 0..100 %", "%", 0, 0, 1.0, 2.0),
        ("± (3 % + 1 digit), 1 %", "%", 3, 1, 1.0, 0.0),
        ("3 % of reading, 0,5 %", "%", 3, 0, 0.5, 0.0),
        ("5 points or 3 % of reading, 1 %", "%", 3, 0, 1.0, 5.0),
        ("± 0,2°, resolution 0,1°", "deg", 0, 0, 0.1, 0.2),
        ("0,8 % + 3 digits, 1,250 ohm", "ohm", 0.8, 3, 1.25, 0.0),
        ("0.8 % + 3 digits, 1,250 ohm", "ohm", 0.8, 3, 1250.0, 0.0),
        ("0,8 % +3digits,0,1 ohm", "ohm", 0.8, 3, 0.1, 0.0),
    ],
)
def test_lines_as_data_sheets_print_them(text, unit, percent, digits, step, offset):
    line = described_line(text, name="it")
    meter = line.meter
    assert (meter.percent, meter.digits, meter.step, meter.offset) == pytest.approx((percent, digits, step, offset))
    assert (line.unit, line.words, meter.assumed) == (unit, text, False)
    assert meter.greater is (" or " in text)
    assert read_line(text, name="it") == (meter, units.kind_of(unit))


def test_the_greater_of_two_as_data_sheets_print_it():
    meter, kind = read_line("±2 °C or 2 % whichever is greater, 0,1 °C", name="gun")
    assert (meter.percent, meter.offset, meter.step, meter.greater) == (2.0, 2.0, 0.1, True)
    assert kind is units.Kind.TEMPERATURE


@pytest.mark.parametrize(
    ("text", "scale", "ends"),
    [
        ("class 1.6, 0..10 bar", "", (0.0, 1000.0)),
        ("class 1.6", "-1..3 bar", (-100.0, 300.0)),
        ("0.8 % + 3 digits, 0.1 ohm", "400", (0.0, 400.0)),
        ("0.8 % + 3 digits, 0.1 ohm", "", (None, None)),
    ],
)
def test_the_range_that_a_line_holds_for(text, scale, ends):
    line = described_line(text, name="it", scale=scale)
    assert (line.lower, line.upper) == pytest.approx(ends)


@pytest.mark.parametrize("text", ["3 % of reading + 1 digit, 1 %", "5 points, 1 %", "5 points or 3 % of reading, 1 %"])
def test_a_display_in_percent_there_and_back(text):
    meter, kind = read_line(text, name="tester")
    assert line_words(meter, kind.unit) == text


EXAMPLE = '"0.8 % + 3 digits, 0.1 ohm".'


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("good", f'"good" is not a data sheet\'s line. Write percent, digits and step, such as {EXAMPLE}'),
        (
            "-0.8 % + 3 digits, 0.1 ohm",
            f'"-0.8 % + 3 digits, 0.1 ohm" has a minus. Write without it how far off it may be, such as {EXAMPLE}',
        ),
        ("3 digits", f'"3 digits" does not say how fine the display is. Add one step of it, such as {EXAMPLE}'),
        (
            "± 5 %, 1 %",
            '"± 5 %, 1 %" may be 5 % of what is read or 5 points of the scale. Write "5 % of reading" or "5 points", '
            'and the step after it, such as "± 5 points, 1 %".',
        ),
        (
            "5 points + 1 digit",
            '"5 points + 1 digit" does not say how fine the display is. Add one step of it, such as "± 5 points, 1 %".',
        ),
        ("5 points, 0 %", '"5 points, 0 %" has no step of a display. Write one above zero, such as "± 5 points, 1 %".'),
        ("5 points, 0.1 bar", '"0.1 bar" is not of a display in percent. Write it such as "± 5 points, 1 %".'),
        ("1 %, 0 V", f'"0 V" is no step of a display. Write one above zero, such as {EXAMPLE}'),
        ("class 1.6", '"class 1.6" does not say how far the scale goes. Add it, such as "class 1.6, 0..10 bar".'),
        (
            "± (0.8 % + 2 °C), 1 ohm",
            '"± (0.8 % + 2 °C), 1 ohm" is in °C and in ohm. Write one line for each unit.',
        ),
        (
            "1e9 %, 0.1 ohm",
            '"1e9 %, 0.1 ohm" may be off by more than all that it shows. Copy its data sheet\'s line, such as '
            f"{EXAMPLE}",
        ),
        (
            "1e400 %, 0.1 ohm",
            f'"1e400 %, 0.1 ohm" holds a number beyond any data sheet. Copy its line, such as {EXAMPLE}',
        ),
        ("1e9 %", f'"1e9 %" does not say how fine the display is. Add one step of it, such as {EXAMPLE}'),
        (
            "class 1e9, 0..10 bar",
            '"class 1e9, 0..10 bar" may be off by more than its scale. Look at the class on its face, such as 1.6.',
        ),
        (
            "3 digits, 1,000 ohm",
            '"3 digits, 1,000 ohm" may mean thousands or a fraction. Write "3 digits, 1000 ohm" or '
            '"3 digits, 1.000 ohm".',
        ),
        ("class 1.6, 0 bar", '"0 bar" is no scale. Write its lowest and highest mark, such as 0..10 bar.'),
    ],
)
def test_lines_that_cannot_be_used(text, words):
    with pytest.raises(units.UnitsError) as refused:
        read_line(text, name="it")
    assert str(refused.value) == words


@pytest.mark.parametrize(
    "text", ["9" * 400 + " %, 0.1 ohm", "1.2.3 %, 0.1 ohm", "class 1e9, 1e300 bar", "±", "% %", "or"]
)
def test_odd_lines_are_refused_in_words(text):
    with pytest.raises(units.UnitsError):
        read_line(text, name="it")


@pytest.mark.parametrize(
    "meter",
    [
        Meter("m", 0.8, 3, 0.1),
        Meter("m", 2.0, 1, 0.1, 2.0, assumed=True, greater=True),
        Meter("m", 0.5, 0, 0.1, 0.2, known=True, digits_cancel=True),
    ],
)
def test_an_event_gives_the_instrument_back(meter):
    assert from_json(meter_json(meter)) == meter


@pytest.mark.parametrize("text", ["0.8 % + 3 digits, 0.1 ohm", "2 °C or 2 %, 0.1 °C", "1 % + 1 digit, 0.1 kg"])
def test_words_of_a_line_are_a_line(text):
    line = described_line(text, name="it")
    assert line_words(line.meter, line.unit) == text


# As data sheets and scales print them; percent, digits, absolute part, step, and whether the greater counts, by hand.
PRINTED = {
    "±2 °C or 2 % whichever is greater, 0,1 °C": (2.0, 0.0, 2.0, 0.1, True),
    "the greater of 2 °C or 2 %, 0.1 °C": (2.0, 0.0, 2.0, 0.1, True),
    "± 1.5 % or 2 °C, whichever is larger, res. 0.1 °C": (1.5, 0.0, 2.0, 0.1, True),
    "± 0,2°, resolution 0,1°": (0.0, 0.0, 0.2, 0.1, False),
    "accuracy ±(0.5 % + 3 digits), resolution 0.1 V": (0.5, 3.0, 0.0, 0.1, False),
    "±0.5 % of reading ± 3 dgt, 0.1 V": (0.5, 3.0, 0.0, 0.1, False),
    "0.8 % rdg + 5 counts, 0.1 ohm": (0.8, 5.0, 0.0, 0.1, False),
}


@pytest.mark.parametrize(("line", "parts"), PRINTED.items())
def test_a_line_is_read_as_it_is_printed(line, parts):
    meter, _ = read_line(line, name="x")
    assert (meter.percent, meter.digits, meter.offset, meter.step, meter.greater) == pytest.approx(parts)


@pytest.mark.parametrize(("step", "off"), [("0.5 mm", 0.5), ("0,01 mm", 0.05), ("1 mm", 1.0)])
def test_of_a_rule_by_its_step_alone_what_it_may_be_off_is_assumed(step, off):
    meter, _ = read_line(step, name="rule")
    assert (meter.assumed, meter.absolute) == (True, pytest.approx(off))


@pytest.mark.parametrize("line", ["- 0.5 mm", "0 mm", "0.5", "mm", "0.5 mm 1 mm"])
def test_what_is_no_step_is_refused(line):
    with pytest.raises(units.UnitsError):
        read_line(line, name="rule")
