"""Timed temperatures out of a log's text, whatever its columns, separators and units; what was guessed is told."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from knowngood.acts.fluids.log_cells import (
    DAY_S,
    DEGREES,
    SECONDS,
    Clock,
    Number,
    clock,
    is_gap,
    number,
    numeral,
    unit_in,
)
from knowngood.acts.fluids.log_table import SEPARATORS, Line, Table, column, table, temperature_column, time_column
from knowngood.refusal import Refused, parsed
from knowngood.units.numerals import OPEN, decide

# Ours: no fluid of a vehicle that anyone works on is outside these. [°C]
COLDEST_C, HOTTEST_C = -60.0, 200.0
# Ours: no fluid warms faster than this over a whole log. [K/s]
FASTEST_K_S = 1.0
# Ours: fewer different values than this do not show whether a display counts in steps of 2 or 5.
VALUES_FOR_STEP = 8
# Ours: a leap this large, and this much faster than the rest, that all but vanishes when one of both is taken as °F.
LEAP_K, LEAPS, VANISHES_K = 15.0, 10.0, 6.0
# Ours: times beyond these are counted from 1970, in seconds or thousandths. [-]
EPOCH_MS = 1e11


@dataclass(frozen=True)
class TemperatureLog:
    """Timed temperatures.

    Args:
        times_s: From the first reading, each later than the one before. [s]
        celsius: As many. [°C]
        step_k: The display's step. [K]
        notes: What was assumed or left out, a sentence each.
    """

    times_s: tuple[float, ...]
    celsius: tuple[float, ...]
    step_k: float
    notes: tuple[str, ...]


def temperature_log(text: str, *, time: str = "", temperature: str = "", unit: str = "") -> TemperatureLog:
    """Return the timed temperatures in a log.

    Args:
        text: Of the file.
        time: Its column of times, by name or number; guessed when empty.
        temperature: Its column of temperatures, likewise.
        unit: "°C" or "°F"; by the file itself when empty, else °C.

    Raises:
        Refused: What cannot be used: the line, what was found, what is right.

    Example:
        >>> temperature_log("time;oil °F\\n0;68\\n60;77,0").celsius
        (20.0, 25.0)
    """
    of = table(text)
    notes: list[str] = []
    at_time = column(of, time, "time") if time else time_column(of)
    at_warm = column(of, temperature, "temperature") if temperature else temperature_column(of, at_time)
    if at_time == at_warm:
        raise Refused({"temperature": f'"{of.names[at_time]}" is the time already. Name another column.'})
    if not (time and temperature):
        notes.append(
            f'Time is taken from "{of.names[at_time]}", temperature from "{of.names[at_warm]}", '
            f"separated by {SEPARATORS[of.separator]}."
        )
    lines = _plain(_filled(of, at_time, at_warm, notes), at_warm)
    written = [_temperature(line, at_warm) for line in lines]
    scale = _degrees(of.names[at_warm], lines, written, unit, notes)
    celsius = [_celsius(one.value, scale) for one in written]
    _refuse_heat(lines, written, celsius, scale)
    times = _seconds(of.names[at_time], lines, at_time, celsius, notes)
    kept = _last_run(lines, times, notes)
    if not (unit or unit_in(of.names[at_warm], DEGREES) or written[0].unit):
        _refuse_two_units([(lines[at], times[at], celsius[at]) for at in kept])
    step = _step([written[at] for at in kept]) * (1.0 if scale == "°C" else 5.0 / 9.0)
    begun = times[kept[0]]
    return TemperatureLog(
        tuple(times[at] - begun for at in kept), tuple(celsius[at] for at in kept), step, tuple(notes)
    )


def _filled(of: Table, at_time: int, at_warm: int, notes: list[str]) -> list[Line]:
    """Lines with both values."""
    lines = [line for line in of.lines if not (is_gap(line.cell(at_time)) or is_gap(line.cell(at_warm)))]
    if not lines:
        raise Refused({"": "no line holds both a time and a temperature."})
    if gaps := len(of.lines) - len(lines):
        notes.append(f"{gaps} line{'s' * (gaps > 1)} without a time or temperature left out.")
    return lines


def _plain(lines: list[Line], at_warm: int) -> list[Line]:
    """The lines with the thousands of their numbers in one: all columns decide together what a comma is."""
    written = list(dict.fromkeys(text for line in lines for cell in line.cells if (text := numeral(cell))))
    unsure = [text for text in written if OPEN.fullmatch(text)]
    if not unsure:
        return lines
    hot = {_whole(text) for line in lines if OPEN.fullmatch(text := numeral(line.cell(at_warm)))}
    plain = {
        one.written: one.plain
        for one in parsed("", lambda: decide(written, unsure[0], beyond=hot.__contains__))
        if one.written in unsure
    }

    def instead(cell: str) -> str:
        text = numeral(cell)
        return cell.replace("−", "-").replace(text, plain[text], 1) if text in plain else cell

    return [replace(line, cells=tuple(instead(cell) for cell in line.cells)) for line in lines]


def _whole(text: str) -> float:
    """A number whose mark sets thousands apart: more than any fluid is warm, so that a temperature has none."""
    return float(text.replace(",", "").replace(".", ""))


def _temperature(line: Line, at: int) -> Number:
    found = number(line.cell(at))
    if found is None or found.unit in SECONDS:
        raise Refused(
            {"": f'line {line.number}: "{line.cell(at)}" is no temperature. Write a number, or leave it empty.'}
        )
    return found


def _degrees(name: str, lines: Sequence[Line], written: Sequence[Number], unit: str, notes: list[str]) -> str:
    """The one unit of all temperatures: as told, as written behind them, as in the header, or °C."""
    if unit and unit.lower() not in DEGREES:
        raise Refused({"unit": f'"{unit}" is no unit of temperature here. Write °C or °F.'})
    header = DEGREES.get(unit_in(name, DEGREES), "")
    found = [DEGREES.get(one.unit, "") or header for one in written]
    first = next((one for one in found if one), "")
    for line, one in zip(lines, found, strict=True):
        if one and one != first:
            raise Refused({
                "": f"line {line.number}: {one} in a column of {first}. One column has one unit: write all in {first}."
            })  # fmt: skip
    if unit:
        return DEGREES[unit.lower()]
    if not first:
        notes.append("No unit is given: temperatures are taken as °C.")
    return first or "°C"


def _celsius(value: float, scale: str) -> float:
    return value if scale == "°C" else (value - 32.0) / 1.8


def _refuse_heat(lines: Sequence[Line], written: Sequence[Number], celsius: Sequence[float], scale: str) -> None:
    for line, one, warm in zip(lines, written, celsius, strict=True):
        if not COLDEST_C <= warm <= HOTTEST_C:
            limits = [round(value if scale == "°C" else 1.8 * value + 32.0) for value in (COLDEST_C, HOTTEST_C)]
            raise Refused({
                "": f"line {line.number}: {one.value:g} {scale} is no temperature of a fluid in a vehicle; it is "
                f"between {limits[0]} and {limits[1]} {scale}. Correct it, or name the unit in the header."
            })  # fmt: skip


def _refuse_two_units(rows: Sequence[tuple[Line, float, float]]) -> None:
    """Where no unit is written, °C and °F in one column show as a leap that no fluid makes."""
    leaps, warmed_k, took_s = [], 0.0, 0.0
    for (_, before_s, before), (line, after_s, after) in pairwise(rows):
        low, high = sorted((before, after))
        if high - low > LEAP_K and abs(_celsius(high, "°F") - low) < VANISHES_K:
            leaps.append((line, before, after, (high - low) / (after_s - before_s)))
        else:
            warmed_k, took_s = warmed_k + high - low, took_s + after_s - before_s
    for line, before, after, rate in leaps:
        if took_s and rate > LEAPS * warmed_k / took_s:
            raise Refused({
                "": f"line {line.number}: {after:g} right after {before:g}, as if one were °C and the other °F. One "
                "column has one unit: write all in one, and name it in the header."
            })  # fmt: skip


def _seconds(name: str, lines: Sequence[Line], at: int, celsius: Sequence[float], notes: list[str]) -> list[float]:
    """Times in seconds, as they stand: numbers in the unit of header or cell, or moments on a clock."""
    found = [number(line.cell(at)) or clock(line.cell(at)) for line in lines]
    kind = Number if isinstance(found[0], Number) else Clock
    for line, one in zip(lines, found, strict=True):
        if not isinstance(one, kind) or (isinstance(one, Number) and one.unit in DEGREES):
            right = "seconds or minutes, as above" if kind is Number else "a clock time, as above"
            raise Refused({"": f'line {line.number}: "{line.cell(at)}" stands for a time. Write {right}.'})
    numbers = [one for one in found if isinstance(one, Number)]
    if numbers:
        return _counted(name, numbers, celsius, notes)
    return _clocked([one for one in found if isinstance(one, Clock)], notes)


def _counted(name: str, numbers: Sequence[Number], celsius: Sequence[float], notes: list[str]) -> list[float]:
    values = [one.value for one in numbers]
    default = unit_in(name, SECONDS)
    if default or all(one.unit for one in numbers):
        return [one.value * SECONDS[one.unit or default] for one in numbers]
    if values[0] > EPOCH_MS:
        notes.append("Times are taken as thousandths of a second.")
        return [1e-3 * value for value in values]
    span = max(values) - min(values)
    if span > 0.0 and (max(celsius) - min(celsius)) / span > FASTEST_K_S:
        notes.append("No unit of time is given: minutes, for in seconds no fluid warms as fast.")
        return [60.0 * value for value in values]
    notes.append("No unit of time is given: seconds.")
    return values


def _clocked(moments: Sequence[Clock], notes: list[str]) -> list[float]:
    if all(one.parts == 2 for one in moments):
        if moments[0].seconds < 3600.0:
            notes.append("Times are read as minutes and seconds.")
            return [one.seconds / 60.0 for one in moments]
        notes.append("Times are read as hours and minutes.")
    days, times = 0.0, [moments[0].seconds]
    for earlier, later in pairwise(moments):
        # Past midnight, or past twelve on a clock of twelve hours without a.m. and p.m.
        if not later.dated and earlier.seconds - later.seconds > 0.75 * DAY_S:
            days += DAY_S
        times.append(later.seconds + days)
    return times


def _last_run(lines: Sequence[Line], times: Sequence[float], notes: list[str]) -> list[int]:
    """Places of the last run in which time goes forward; one temperature for each moment."""
    begun = 0
    for at in range(1, len(times)):
        if times[at] >= times[at - 1]:
            continue
        # A clock starts anew after a while and is back where it began; one that is only back a little is out of order.
        if at - begun == 1 or times[at] - times[begun] > 0.1 * (times[at - 1] - times[begun]):
            raise Refused({
                "": f"line {lines[at].number}: its time is {times[at - 1] - times[at]:g} s before the line above. "
                "Put the lines in order of time."
            })  # fmt: skip
        begun = at
    if begun:
        notes.append(f"Time starts anew at line {lines[begun].number}: what stands above is left out.")
    kept = [at for at in range(begun, len(times)) if at + 1 == len(times) or times[at + 1] > times[at]]
    if twice := len(times) - begun - len(kept):
        notes.append(f"{twice} line{'s' * (twice > 1)} with the same time as the next left out.")
    return kept


def _step(written: Sequence[Number]) -> float:
    """The display's step: its last decimal, or a multiple that all of many values share. [unit as written]"""
    decimals = min(max(one.decimals for one in written), 3)
    values = sorted({round(one.value * 10**decimals) for one in written})
    steps = math.gcd(*(later - earlier for earlier, later in pairwise(values))) if len(values) > 1 else 0
    shared = steps if len(values) >= VALUES_FOR_STEP and steps else 1
    return float(shared) / 10.0**decimals
