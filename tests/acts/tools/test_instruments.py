"""A data sheet's line, to a meter and back to words."""

import math
import re

import pytest

from knowngood import units
from knowngood.acts.readings.judging import judge_typed
from knowngood.acts.tools.instruments import described_line, from_json, line_words, meter_json, read_line, taken_words
from knowngood.engine.measurement.meters.checking import allowed_error
from knowngood.engine.measurement.meters.instruments import Meter


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
    "the greater of 2 °C and 2 %, 0.1 °C": (2.0, 0.0, 2.0, 0.1, True),
    "max. of 2 °C or 2 %, 0.1 °C": (2.0, 0.0, 2.0, 0.1, True),
    "2 % or 2 °C": (2.0, 0.0, 2.0, 1.0, True),
    "± 2 °C / ± 2 %, whichever is greater, 0.1 °C": (2.0, 0.0, 2.0, 0.1, True),
    "± 1.5 % or 2 °C, whichever is larger, res. 0.1 °C": (1.5, 0.0, 2.0, 0.1, True),
    "Accuracy: ±2 °C or ±2 % of reading, whichever is greater. Resolution: 0.1 °C": (2.0, 0.0, 2.0, 0.1, True),
    "2 % or 2 digits, whichever is greater, 0.1 V": (2.0, 0.0, 0.2, 0.1, True),
    "± 0,2°, resolution 0,1°": (0.0, 0.0, 0.2, 0.1, False),
    "± 0.2 mm, res. 0.01": (0.0, 0.0, 0.2, 0.01, False),
    "accuracy 1 °C, resolution 0.1 °C": (0.0, 0.0, 1.0, 0.1, False),
    "resolution 0.1 °C, accuracy 1 °C": (0.0, 0.0, 1.0, 0.1, False),
    "0.1 mm accuracy": (0.0, 0.0, 0.1, 0.05, False),
    "accuracy ±(0.5 % + 3 digits), resolution 0.1 V": (0.5, 3.0, 0.0, 0.1, False),
    "±0.5 % of reading ± 3 dgt, 0.1 V": (0.5, 3.0, 0.0, 0.1, False),
    "0.8 % rdg + 5 counts, 0.1 ohm": (0.8, 5.0, 0.0, 0.1, False),
    "± 1 mm, scale division 0.5 mm": (0.0, 0.0, 1.0, 0.5, False),
}


@pytest.mark.parametrize(("line", "parts"), PRINTED.items())
def test_a_line_is_read_as_it_is_printed(line, parts):
    meter, _ = read_line(line, name="x")
    assert (meter.percent, meter.digits, meter.offset, meter.step, meter.greater) == pytest.approx(parts)
    assert not meter.assumed


# Of ± 2 °C or 2 %: they meet at 100 °C. By hand, the greater of the two and never their sum.
AT = {20.0: 2.0, 99.0: 2.0, 100.0: 2.0, 101.0: 2.02, 250.0: 5.0, -150.0: 3.0}


@pytest.mark.parametrize(("reading", "off"), AT.items())
def test_whichever_is_greater_is_the_greater_at_what_is_read(reading, off):
    meter, _ = read_line("±2 °C or 2 % whichever is greater, 0.1 °C", name="gun")
    assert allowed_error(meter, reading) == pytest.approx(off)


def test_a_verdict_by_such_an_instrument_has_the_greater_of_the_two_as_its_rectangle():
    """At 150 °C 2 % is 3 °C, a rectangle of 3/√3; the ± 2 °C beside it would add 2/√3."""
    typed = {"limits": "max 160 °C", "read": "150 °C", "meter": "±2 °C or 2 %, whichever is greater, 0.1 °C"}
    rows = judge_typed(typed, reading_id="x").estimate.rows
    by_meter = [abs(one.contribution) for one in rows if one.key.endswith(("/gain", "/digits")) and one.contribution]
    assert by_meter == pytest.approx([3.0 / math.sqrt(3.0)])


@pytest.mark.parametrize(
    ("step", "off"), [("0.5 mm", 0.5), ("0,01 mm", 0.05), ("1 mm", 1.0), ("resolution 0.5 mm", 0.5), ("1 mm div", 1.0)]
)
def test_of_a_rule_by_its_step_alone_what_it_may_be_off_is_assumed(step, off):
    meter, _ = read_line(step, name="rule")
    assert (meter.assumed, meter.absolute) == (True, pytest.approx(off))


@pytest.mark.parametrize(
    ("quantity", "limits", "read", "step"),
    [("runout", "max 0.3 mm", "0.1 mm", "0.2 mm"), ("tilt", "max 5 deg", "1 deg", "2 °")],
)
def test_a_coarse_step_is_never_finer_than_what_is_usual(quantity, limits, read, step):
    """What is usual of a dial or a level counts where nobody described it, but not below its own step."""
    typed = {"quantity": quantity, "limits": limits, "read": read}
    fine, coarse = (
        judge_typed({**typed, "meter": meter}, reading_id="x").estimate.standard_uncertainty for meter in ("", step)
    )
    own = float(step.split()[0])
    assert coarse > fine
    assert coarse >= own / math.sqrt(3.0) * 0.99


def test_an_own_instrument_of_unknown_figures_is_not_called_a_cheap_one():
    typed = {"limits": "max 15 mm", "read": "14.5 mm"}
    words = [judge_typed({**typed, "meter": meter}, reading_id="x").assumed[0] for meter in ("0.5 mm", "")]
    assert words == ["what your instrument may be off, ± (0.5 mm)", "a cheap instrument, ± (0.05 mm)"]


@pytest.mark.parametrize("line", ["- 0.5 mm", "0 mm", "0.5", "mm", "0.5 mm 1 mm"])
def test_what_is_no_step_is_refused(line):
    with pytest.raises(units.UnitsError):
        read_line(line, name="rule")


SAYS = {
    "lesser of 2 °C or 2 %, 0.1 °C": "takes the smaller of two",
    "2 °C or 2 %, whichever is smaller, 0.1 °C": "takes the smaller of two",
    "±2 °C, whichever is greater, 0.1 °C": 'has one. Write both, such as "± 2 °C or 2 %, 0.1 °C".',
    "2 % whichever is greater, 0.1 °C": 'has one. Write both, such as "± 2 °C or 2 %, 0.1 °C".',
    "1/64 in": "Write it with a point: 1/64 is 0.015625.",
    "±0.5 % of reading ± 3 dgt": "does not say how fine the display is. Add one step of it",
    "0.8 % rdg + 5 counts": "does not say how fine the display is. Add one step of it",
}


@pytest.mark.parametrize(("line", "says"), SAYS.items())
def test_a_refused_line_says_what_would_be_right(line, says):
    with pytest.raises(units.UnitsError, match=re.escape(says)):
        read_line(line, name="x")


TAKEN = {
    "res. 0.1 mm, accuracy 0.2 mm": "res. 0.1 mm, accuracy 0.2 mm, taken as ± (0.2 mm, 0.1 mm)",
    "2 % or 2 °C": "2 % or 2 °C, taken as ± (2 °C or 2 %, 1 °C), of which the greater counts",
    "0.5 mm": "0.5 mm, taken as its step: ± (0.5 mm, 0.5 mm) is assumed",
    "0.8 % + 3 digits, 0.1 ohm": "± (0.8 % + 3 digits, 0.1 ohm)",
    "± (0.8 % + 3 digits), 0.1 ohm": "± (0.8 % + 3 digits), 0.1 ohm",
    "class 1.6, 0..10 bar": "class 1.6, 0..10 bar",
}


@pytest.mark.parametrize(("line", "says"), TAKEN.items())
def test_the_way_a_line_was_taken_is_shown_back(line, says):
    meter, kind = read_line(line, name="x")
    assert taken_words(line, meter, kind.unit) == says
