"""Instruments as people describe them: a data sheet's line or a kind of instrument, to a meter and back."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from knowngood import units
from knowngood.engine.measurement.meters.classes import PRESETS, SPAN_STEPS, Figures, Preset, meter_of
from knowngood.engine.measurement.meters.instruments import Meter, typical
from knowngood.units.numerals import UNSIGNED, clean, decide
from knowngood.words import capital

EXAMPLE = "0.8 % + 3 digits, 0.1 ohm"
SPAN_EXAMPLE = "class 1.6, 0..10 bar"
GREATER_EXAMPLE = "± 2 °C or 2 %, 0.1 °C"
PERCENT_EXAMPLE = "± 5 points, 1 %"
# What follows is matched in a line with single spaces and plain digits: each pattern then takes a time that grows with
# the line and no faster, for a number begins where none stands before it.
N = r"(?<![\d.])(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][-+]?\d+)?"
PERCENT = re.compile(rf"({N}) ?%")
DIGITS = re.compile(rf"\+? ?({N}) ?(?:digits?|dgts?|d|counts?|lsd)\b\.?", re.IGNORECASE)
OF_SPAN = re.compile(
    rf"(?:\b(?:class|cl\.?) ?({N})(?: ?%)?|({N}) ?% ?(?:of (?:span|full scale|range)\b|f\.? ?s\b\.?|of(?= ?[\d.])))",
    re.IGNORECASE,
)
OFFSET = re.compile(
    rf"(?:±|\+ ?/? ?-|\+|\bor\b|^(?=[^,;]*\bor\b)) ?\(? ?({N} ?[^\d\s,;+%()][^\d,;+%()]*?)(?= ?(?:[,;+()]|\bor\b|$))"
)
# A display in percent: what it is off is said in its own points or of the reading, and its step ends the line.
POINTS = re.compile(rf"({N}) ?(?:%|percent(?:age)?)? ?(?:points?|pp)\b", re.IGNORECASE)
OF_READING = re.compile(r"(?<=%) ?(?:of )?(?:the )?(?:reading|rdg)\b\.?", re.IGNORECASE)
PERCENT_STEP = re.compile(rf"[,;] ?({N}) ?% ?\)?$")
OR = re.compile(r"\bor\b|whichever(?: is)?(?: the)?(?: (?:greater|larger|higher|bigger)\b)?", re.IGNORECASE)
WHICHEVER = re.compile(r"\bwhichever\b", re.IGNORECASE)
GREATER_OF = re.compile(r"\b(?:the )?(?:greater|larger|higher|bigger|max\.?|maximum) of\b", re.IGNORECASE)
SMALLER = re.compile(
    r"\b(?:lesser|smaller|lower|min\.?|minimum) of\b|\bwhichever(?: is)?(?: the)? (?:less|lesser|smaller|lower)\b",
    re.IGNORECASE,
)
# "± 2 °C / ± 2 %" has two ways; the unit "mm/m" and the sign "+/-" have none.
SLASH_OR = re.compile(r"(?<=[^\d\s+/]) ?/ ?(?=[±\d])")
# What a data sheet calls its two parts; each word ends what stood before it.
STEP_NAMED = re.compile(
    r"(?:[.;,] ?)?\b(?:resolution|res|display|readout|graduations?|(?:scale )?divisions?|div|step)\b[.:=]? ?(?:of\b)?",
    re.IGNORECASE,
)
OFF_NAMED = re.compile(r"\b(?:accuracy|acc|tolerance)\b[.:=]? ?(?:of\b)? ?", re.IGNORECASE)
FRACTION = re.compile(r"(?<![\d.,/])(\d{1,6}) ?/ ?([1-9]\d{0,5})(?![\d.,/])")
# A comma between a word and a number only separates.
COMMA_BEHIND_WORD = re.compile(r"(?<=[^\d\s]),(?=\d)")
STEP_ALONE = re.compile(rf"{N} ?[^\d\s,;+%()±][^\d,;+%()±]*")
# What is left of "-0.8 %" or "- 3 digits" once the number is taken out.
SIGN_ALONE = re.compile(r"- ?(?:[,;]|$)")
# Ours: an instrument that is off by more shows nothing at all.
MOST_PERCENT, MOST_DIGITS = 100.0, 10_000.0
# Ours: a display is rarely coarser than half of what its instrument may be off.
STEP_OF_OFFSET = 0.5
# Ours: gauges, levels and scales are closed, laid flat or emptied, and what they show then belongs to all readings. Of
# what is plugged in, screwed on or dipped, an error at zero says less of one far from it.
SET_RIGHT_AT_ZERO = (units.Kind.LENGTH.unit, units.Kind.ANGLE.unit, units.Kind.MASS.unit)


@dataclass(frozen=True)
class Line:
    """One line of an instrument, as it is kept: in words, and for which readings it holds. [unit inside]"""

    meter: Meter
    unit: str
    words: str
    lower: float | None = None
    upper: float | None = None


def read_line(text: str, *, name: str) -> tuple[Meter, units.Kind]:
    """Read a data sheet's line such as "± (0.8 % + 3 digits), 0.1 ohm".

    Also "± 0.02 mm", "± 2 °C or 2 %", "± 2 % of 10 bar" and "class 1.6, 0..10 bar"; of a display in percent
    "± 5 points, 1 %", "3 % of reading + 1 digit, 1 %" and "class 5, 0..100 %".

    Args:
        text: Percent of reading, digits, and the display's step with its unit; digits may be left out.
        name: What the owner calls the instrument.

    Returns:
        The meter, its step in the kind's unit inside; and the kind that it reads.

    Raises:
        UnitsError: No percent, digits or absolute part; digits without a step; a class without its scale; a percent
            of a display in percent that may be of the reading or of the scale.

    Example:
        >>> read_line("± (0.8 % + 3 digits), 0.1 ohm", name="blue")[0]
        Meter(name='blue', percent=0.8, digits=3.0, step=0.1, offset=0.0, assumed=False)
        >>> read_line("class 1.6, 0..10 bar", name="gauge")[0].absolute
        16.0
    """
    line = described_line(text, name=name)
    return line.meter, units.kind_of(line.unit)


def described_line(text: str, *, name: str, scale: str = "") -> Line:
    """Read a data sheet's line, with the range that it holds for.

    Args:
        text: The line.
        name: What the owner calls the instrument.
        scale: Lowest and highest mark or reading, as typed; a class may state it in its line instead.

    Raises:
        UnitsError: As for `read_line`; a scale that cannot be read or is of another kind.
    """
    _refuse_unlike(clean(text))
    plain = _plain(text)
    try:
        found = OF_SPAN.search(plain)
        if found:
            line = _share_of_span(plain, found, text, name, scale)
        else:
            in_percent = POINTS.search(plain) or PERCENT_STEP.search(plain)
            line = (_in_percent if in_percent else _of_reading)(plain, text, name)
    except units.UnitsError:
        raise
    except ValueError as refused:  # of the meter itself
        raise units.UnitsError(str(refused)) from refused
    _refuse_useless(line.meter, text)
    if found or not scale:
        return line
    lower, upper, unit = _scale(units.completed(scale, line.unit))
    if unit != line.unit:
        raise units.UnitsError(f'"{scale}" is in {unit}; the line is in {line.unit}. Write both for the same range.')
    return replace(line, lower=lower, upper=upper)


def _plain(text: str) -> str:
    """A line with single spaces and plain digits; its numbers decide together where thousands stand."""
    line = COMMA_BEHIND_WORD.sub(", ", clean(text))
    if GREATER_OF.search(line):
        line = GREATER_OF.sub("±", line).replace(" and ", " or ", 1) + " whichever"
    line = OFF_NAMED.sub(_off, SLASH_OR.sub(" or ", line))
    line = clean(STEP_NAMED.sub(", ", line))
    numbers = decide(re.findall(UNSIGNED, line), text, beyond=units.nothing_is_beyond)
    if any(math.isinf(float(one.plain)) for one in numbers):
        raise units.UnitsError(f'"{text}" holds a number beyond any data sheet. Copy its line, such as "{EXAMPLE}".')
    found = iter(numbers)
    return re.sub(UNSIGNED, lambda _: next(found).plain, line)


def _off(named: re.Match[str]) -> str:
    """The ± that "accuracy 1 °C" leaves out; where it stands, or nothing follows, the word alone goes."""
    after = named.string[named.end() : named.end() + 1]
    return " ± " if after.isdigit() or after == "." else " "


def _refuse_unlike(text: str) -> None:
    """Refuse what reads like a line and says something else."""
    if SMALLER.search(text):
        raise units.UnitsError(
            f'"{text}" takes the smaller of two, so it is off by the one that is smaller where you read. '
            'Write that one alone, such as "± 2 °C, 0.1 °C".'
        )
    if fraction := FRACTION.search(text):
        share = float(fraction[1]) / float(fraction[2])
        raise units.UnitsError(f'"{text}" has a fraction. Write it with a point: {fraction[0]} is {share:.6g}.')


def _refuse_useless(meter: Meter, text: str) -> None:
    if meter.percent > MOST_PERCENT or meter.digits > MOST_DIGITS:
        raise units.UnitsError(
            f'"{text}" may be off by more than all that it shows. Copy its data sheet\'s line, such as "{EXAMPLE}".'
        )


def _share_of_span(plain: str, found: re.Match[str], text: str, name: str, scale: str) -> Line:
    percent = float(found[1] or found[2])
    if percent > MOST_PERCENT:
        raise units.UnitsError(
            f'"{text}" may be off by more than its scale. Look at the class on its face, such as 1.6.'
        )
    stated = _bare(plain.replace(found[0], " ", 1))
    text, scale = (text, stated) if stated else (f"{text}, {scale}" if scale else text, scale)
    if not scale:
        raise units.UnitsError(f'"{text}" does not say how far the scale goes. Add it, such as "{SPAN_EXAMPLE}".')
    lower, upper, unit = _scale(scale)
    span = upper - lower
    meter = Meter(name, 0.0, 0.0, span / SPAN_STEPS, percent / 100.0 * span)
    return Line(meter, unit, text.strip(), lower, upper)


def _of_reading(plain: str, text: str, name: str) -> Line:
    percent, digits = PERCENT.search(plain), DIGITS.search(plain)
    rest = clean(DIGITS.sub(" ", PERCENT.sub(" ", OF_READING.sub("", plain))))
    offset = OFFSET.search(rest)
    rest = _bare(OR.sub(" ", rest.replace(offset[0], " ", 1) if offset else rest))
    if not percent and not digits and not offset and STEP_ALONE.fullmatch(rest):
        return _of_reading(f"± {rest}", text, name) if OFF_NAMED.search(text) else _by_its_step(rest, text, name)
    if WHICHEVER.search(plain) and not (percent and (offset or digits)):
        raise units.UnitsError(
            f'"{text}" says that the greater of two counts, and has one. Write both, such as "{GREATER_EXAMPLE}".'
        )
    if not percent and not digits and not offset:
        raise units.UnitsError(
            f'"{text}" is not a data sheet\'s line. Write percent, digits and step, such as "{EXAMPLE}".'
        )
    if SIGN_ALONE.match(rest):
        raise units.UnitsError(f'"{text}" has a minus. Write without it how far off it may be, such as "{EXAMPLE}".')
    if not rest and (digits or not offset):
        raise units.UnitsError(
            f'"{text}" does not say how fine the display is. Add one step of it, such as "{EXAMPLE}".'
        )
    absolute = _difference(offset[1]) if offset else None
    step = _difference(units.completed(rest, units.apart(offset[1])[1] if offset else "")) if rest else None
    if step and step[0] <= 0.0:
        raise units.UnitsError(f'"{rest}" is no step of a display. Write one above zero, such as "{EXAMPLE}".')
    if absolute and step and absolute[1] != step[1]:
        raise units.UnitsError(f'"{text}" is in {absolute[1]} and in {step[1]}. Write one line for each unit.')
    off = absolute[0] if absolute else 0.0
    fine, unit = step or (STEP_OF_OFFSET * off, absolute[1] if absolute else "")
    greater, counts = bool(percent and (offset or digits) and OR.search(plain)), _number(digits)
    if greater and not offset:  # "2 % or 2 digits": what the digits make is the part that does not grow
        off, counts = counts * fine, 0.0
    meter = Meter(name, _number(percent), counts, fine, off, greater=greater)
    return Line(meter, unit, text.strip())


def _by_its_step(step: str, text: str, name: str) -> Line:
    """An instrument of which only the step is printed, such as a rule: what it may be off is assumed from that."""
    fine, unit = _difference(step)
    if fine <= 0.0:
        raise units.UnitsError(f'"{step}" is no step of a display. Write one above zero, such as "{EXAMPLE}".')
    usual = typical(unit, fine)
    offset = usual.offset + max(0.0, fine - usual.absolute)
    return Line(replace(usual, name=name, offset=offset), unit, text.strip())


def _in_percent(plain: str, text: str, name: str) -> Line:
    """The line of a display in percent, whose percent must be told from percent of the reading."""
    step = PERCENT_STEP.search(plain)
    rest = PERCENT_STEP.sub(" ", plain)
    points, digits = POINTS.search(rest), DIGITS.search(rest)
    rest = DIGITS.sub(" ", POINTS.sub(" ", rest))
    percent, of_reading = PERCENT.search(rest), OF_READING.search(rest)
    left = _bare(OR.sub(" ", PERCENT.sub(" ", OF_READING.sub("", rest))))
    if left:
        raise units.UnitsError(f'"{left}" is not of a display in percent. Write it such as "{PERCENT_EXAMPLE}".')
    if percent and not (points or digits or of_reading):
        off = f"{_number(percent):g}"
        raise units.UnitsError(
            f'"{text}" may be {off} % of what is read or {off} points of the scale. '
            f'Write "{off} % of reading" or "{off} points", and the step after it, such as "{PERCENT_EXAMPLE}".'
        )
    if not step and (digits or not points):
        raise units.UnitsError(
            f'"{text}" does not say how fine the display is. Add one step of it, such as "{PERCENT_EXAMPLE}".'
        )
    fine = _number(step) if step else STEP_OF_OFFSET * _number(points)
    if fine <= 0.0:
        raise units.UnitsError(f'"{text}" has no step of a display. Write one above zero, such as "{PERCENT_EXAMPLE}".')
    greater = bool(percent and points and OR.search(plain))
    meter = Meter(name, _number(percent), _number(digits), fine, _number(points), greater=greater)
    return Line(meter, units.Kind.SHARE.unit, text.strip())


def _bare(text: str) -> str:
    return clean(re.sub(r"[±()]|\+ ?/? ?-", " ", text)).strip(" ,;+")


def _difference(text: str) -> tuple[float, str]:
    """A width, such as a step: no zero point counts, and its unit inside."""
    one = units.quantity(text)
    number = units.to_unit(one.value, one.unit)
    return units.to_inside(number, one.unit, difference=True), one.kind.unit


def _scale(text: str) -> tuple[float, float, str]:
    """Both ends of a scale; one number is the upper end of one that begins at zero."""
    if len(units.apart(units.grouped(text))[0]) == 1:
        one = units.quantity(re.sub(r"^\s*(?:max|up to)\s*", "", text, flags=re.IGNORECASE))
        lower, upper, kind = (0.0, one.value, one.kind) if one.value > 0.0 else (one.value, 0.0, one.kind)
    else:
        span = units.span(text)
        lower, upper, kind = span.lower or 0.0, span.upper or 0.0, span.kind
    if upper <= lower:
        raise units.UnitsError(f'"{text}" is no scale. Write its lowest and highest mark, such as 0..10 bar.')
    return lower, upper, kind.unit


def _number(found: re.Match[str] | None) -> float:
    return float(found.group(1)) if found else 0.0


def preset_lines(preset: Preset, *, name: str, scale: str = "") -> list[Line]:
    """Return the lines of a kind of instrument whose data sheet is not at hand.

    Args:
        preset: From PRESETS.
        name: What the owner calls it.
        scale: Lowest and highest mark, as typed; needed where the class is a share of the scale.

    Raises:
        UnitsError: The scale cannot be read, is not stated, or is of another kind.
    """
    if len(preset.lines) > 1:
        scale = ""  # its ranges are stated
    if scale and (unit := _scale(scale)[2]) != preset.lines[0].unit:
        raise units.UnitsError(f'"{scale}" is in {unit}; this instrument is read in {preset.lines[0].unit}.')
    try:
        return [_preset_line(preset, figures, name, scale) for figures in preset.lines]
    except ValueError as refused:
        raise units.UnitsError(capital(str(refused))) from refused


def _preset_line(preset: Preset, figures: Figures, name: str, scale: str) -> Line:
    ends = _scale(scale) if scale else None
    span = ends[1] - ends[0] if ends else None
    meter = meter_of(figures, name=name, assumed=preset.ours, span=span)
    lower, upper = ends[:2] if ends else (None, figures.upper)
    if figures.percent_of_span and ends:
        words = f"class {figures.percent_of_span:g}, {scale}"
        return Line(meter, figures.unit, words, lower, upper)
    return Line(meter, figures.unit, line_words(meter, figures.unit), lower, upper)


def line_words(meter: Meter, unit: str) -> str:
    """Return what an instrument may be off, as a data sheet writes it.

    Example:
        >>> line_words(Meter("blue", 0.8, 3, 0.1), "ohm"), line_words(Meter("gun", 2, 0, 0.1, 2, greater=True), "°C")
        ('0.8 % + 3 digits, 0.1 ohm', '2 °C or 2 %, 0.1 °C')
    """
    in_percent = unit == units.Kind.SHARE.unit
    percent = f"{meter.percent:g} %{' of reading' if in_percent else ''}" if meter.percent else ""
    digits = f"{meter.digits:g} {'digit' if meter.digits == 1 else 'digits'}" if meter.digits else ""
    offset = f"{meter.offset:g} {'points' if in_percent else unit}" if meter.offset else ""
    first = f"{offset} or {percent}" if meter.greater else " + ".join(one for one in (percent, offset) if one)
    parts = " + ".join(one for one in (first, digits) if one)
    return ", ".join(one for one in (parts, f"{meter.step:g} {unit}" if meter.step else "") if one)


def taken_words(words: str, meter: Meter, unit: str) -> str:
    """Return a line as it was typed, and how it was taken where that is not plain from its words.

    Example:
        >>> taken_words("res. 0.1 mm, accuracy 0.2 mm", Meter("rule", 0, 0, 0.1, 0.2), "mm")
        'res. 0.1 mm, accuracy 0.2 mm, taken as ± (0.2 mm, 0.1 mm)'
        >>> taken_words("0.5 mm", Meter("rule", 0, 0, 0.5, 0.5, assumed=True), "mm")
        '0.5 mm, taken as its step: ± (0.5 mm, 0.5 mm) is assumed'
    """
    plain = line_words(meter, unit)
    if meter.assumed and plain != words:
        return f"{words}, taken as its step: ± ({plain}) is assumed"
    if meter.greater and plain != words:
        return f"{words}, taken as ± ({plain}), of which the greater counts"
    if OFF_NAMED.search(words) or STEP_NAMED.search(words):
        return f"{words}, taken as ± ({plain})"
    return words if "±" in words or OF_SPAN.search(words) else f"± ({words})"


def meter_json(meter: Meter) -> dict[str, Any]:
    """The instrument as an event keeps it."""
    return {name: value for name, value in vars(meter).items() if name != "repeat"}


def line_json(line: Line, *, kind: str) -> dict[str, Any]:
    """What the toolbox's event keeps of one line of an instrument."""
    kept = {"kind": kind, "line": line.words, "unit": line.unit, "lower": line.lower, "upper": line.upper}
    return {**meter_json(line.meter), **kept}


def from_json(data: Mapping[str, Any]) -> Meter:
    """The instrument from the toolbox's event; what an older event does not have counts as not known."""
    meter = Meter(data["name"], data["percent"], data["digits"], data["step"], data.get("offset", 0.0))
    newer = ("assumed", "digits_cancel", "greater", "known")
    return replace(meter, **{key: data[key] for key in newer if key in data})


def sets_zero(data: Mapping[str, Any]) -> bool:
    """Does the class of the instrument in this event hold from a zero that is set right?

    Of one that is none of the kinds known here, its unit tells.
    """
    preset, unit = PRESETS.get(data.get("kind", "")), data.get("unit")
    if preset is None or all(one.unit != unit for one in preset.lines):
        return unit in SET_RIGHT_AT_ZERO or (preset is not None and preset.sets_zero)
    return preset.sets_zero
