"""What could be done about an estimate: which rows it moves, how far, and how long it takes. The times are ours."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from knowngood.engine.judgement import Estimate, Remedy, Row
from knowngood.engine.judgement.remedy import Shown
from knowngood.engine.measurement.electrical.resistance import CONDUCTORS, REFERENCE_C, Part
from knowngood.engine.measurement.meters.checking import resolved
from knowngood.engine.measurement.meters.classes import Preset, meter_of
from knowngood.engine.measurement.meters.instruments import SCATTER, Meter, finer
from knowngood.engine.measurement.warmth.cooling import typical_minutes

# The remedy of any finer instrument, where no kind of instrument is known that would suit.
BORROW = "meter"
DATA_SHEET = "data_sheet"
# Ours: a described meter or sensor is about half as doubtful as the wide typical one, from a quarter to three quarters.
LOOKED_UP = (0.25, 0.75)
# Ours: how many readings are worth proposing; how far a cheap contact thermometer may be off, and how far a part that
# lay in the garage overnight lies from its air. [K]
MORE_READINGS = 5
CONTACT_THERMOMETER_K, COOLED_K = 2.0, 1.5
# Ours: fetching another instrument, getting one that is not there, with a second reading each.
OWN_MINUTES, GET_MINUTES = 5.0, 30.0
# Ours: how far good parts of one kind lie apart, as a standard deviation.
TWIN_SHARE = 0.03
# Scales of gauges end at these times a power of ten, and steady pressures are read up to three quarters: EN 837-1 and
# EN 837-2, from memory.
SCALE_ENDS, SCALE_FILLED = (1.0, 1.6, 2.5, 4.0, 6.0, 10.0), 0.75
# Ours: a scale is no smaller than for this.
LEAST_READ = 1.0
# Ours: how far the air of a garage lies from the 20 °C of most limits.
COOL_AIR_AWAY_K = 5.0


def remedies(
    estimate: Estimate, *, meter: Meter, readings: int, part: Part | None = None, shows: str = ""
) -> list[Remedy]:
    """Return what could be done about an estimate of this engine; only what would make some row smaller.

    Args:
        estimate: From winding_resistance or plain_quantity.
        meter: What was read with.
        readings: How many there were.
        part: Temperature of the part, as it was used; None when nothing was corrected.
        shows: Unit inside of the meter's display; empty when it is that of the estimate.

    Returns:
        Remedies; each row's contribution afterwards follows from the same error made smaller.
    """
    borrowed = finer(meter)
    rows = {row.key: row for row in estimate.rows}
    better = {
        "gain": _share(borrowed.percent, meter.percent),
        "digits": _share(borrowed.absolute, meter.absolute),
        "step": 0.1,
    }
    thermometer = _share(CONTACT_THERMOMETER_K, part.half_width_k) if part else 1.0
    spread, steps = math.sqrt(readings / (readings + MORE_READINGS)), f"{borrowed.step:g} {shows or estimate.unit}"
    table: Sequence[tuple[str, str, float, Callable[[Row], float | None]]] = (
        ("zero", "Read the probes touching", 2, _leads(meter)),
        ("part", "Measure the part's temperature with a contact thermometer", 5, _scaled("/part", thermometer)),
        ("cool", "Let it cool to the air's temperature", _cooling_minutes(part), _cooled(part)),
        ("repeat", f"Read it {MORE_READINGS} times more, starting anew each time", 3, _scaled(SCATTER, spread)),
        (DATA_SHEET, "Look up your meter's line in its data sheet", 5, _looked_up),
        ("conductor", "Find out what it is wound of", 10, _conductor),
        (BORROW, f"Borrow or buy a meter with {steps} steps", GET_MINUTES, _by_ending(better)),
    )
    found = [
        Remedy(
            key, says, minutes, _after(rows, change), None if key == BORROW else 0.0,
            eased=_eased(rows, meter, borrowed) if key == BORROW else {},
            looked_up=_all_looked_up(estimate.rows) if key == DATA_SHEET else {},
            repeats=(readings, MORE_READINGS) if key == "repeat" else None,
        )
        for key, says, minutes, change in table
    ]  # fmt: skip
    found = [one for one in found if one.after or one.eased]
    return [*found, *_stated(found)]


@dataclass(frozen=True)
class Way:
    """Something that could be done about rows that name it; minutes and share are ours, as a home mechanic meets them.

    Args:
        key: What those rows name among their remedies.
        says: What to do, for the mechanic.
        minutes: Working time. [min]
        share: What is left of each such row.
        read_anew: The instrument's display is read for it, and shows no more than its steps.
        looked_up: Nothing is read anew: how large the same error can be is looked up.
        shown: Readings beside show how large the same errors are.
    """

    key: str
    says: str
    minutes: float
    share: float
    read_anew: bool = False
    looked_up: bool = False
    shown: Shown | None = None


def by_ways(estimate: Estimate, ways: Sequence[Way], *, assumed_only: bool = False, step: float = 0.0) -> list[Remedy]:
    """Return a remedy for each way that some row with a size names.

    Args:
        estimate: With its rows.
        ways: What could be done.
        assumed_only: What was stated already is not worth stating again, so only rows that nobody stated count.
        step: Of the display that is read anew for a way that says so. [unit]

    Example:
        >>> found = Estimate(2.1, "mm", (Row("leads", 0.2, remedies=("zero",)),))
        >>> by_ways(found, [Way("zero", "Close it and read it", 2, 0.25), Way("turn", "Turn it", 2, 0.1)])[0].after
        {'leads': 0.05}
    """
    found = []
    for way in ways:
        rows = [row for row in estimate.rows if way.key in row.remedies and (row.assumed or not assumed_only)]
        after = {row.key: way.share * abs(row.contribution) for row in rows if row.contribution}
        grid = step if way.read_anew else 0.0
        looked_up = dict.fromkeys(after, LOOKED_UP) if way.looked_up else {}
        one = Remedy(way.key, way.says, way.minutes, after, grid=grid, looked_up=looked_up, shown=way.shown)
        found += [one] if after else []
    return found


def done_again(way: Way, now: Estimate, then: Estimate, *, grid: float) -> Remedy:
    """Return a remedy after which the reading is worked out in another way, such as turned round or asleep.

    Args:
        way: What is done.
        now: What is known.
        then: What would be known with the same value; errors of the same key are the same, as much as they count then.
        grid: In which steps the value can move, for a display shows no more. [unit]
    """
    before = {row.key: abs(row.contribution) for row in now.rows if row.contribution}
    later = {row.key: abs(row.contribution) for row in then.rows if row.contribution}
    after = {key: 0.0 for key in before if key not in later}
    after |= {key: size for key, size in later.items() if key not in before}
    scaled = {key: later[key] / before[key] for key in before if key in later}
    return Remedy(way.key, way.says, way.minutes, after, scaled=scaled, grid=grid)


@dataclass(frozen=True)
class Other:
    """Another instrument that could be read in place of the one that was.

    Args:
        key: Of the remedy.
        says: What to do, for the mechanic.
        minutes: Working time. [min]
        then: What would be known, had it shown the same.
        money: What it costs; None when nobody stated it.
    """

    key: str
    says: str
    minutes: float
    then: Estimate
    money: float | None = 0.0


def by_instrument(estimate: Estimate, others: Sequence[Other]) -> list[Remedy]:
    """Return a remedy for each other instrument: its errors instead of those of the one that was read.

    Args:
        estimate: From what was read.
        others: Each with the estimate that the same readings would give by it.

    Example:
        >>> def rows(**sizes): return tuple(Row(key, size, remedies=("meter",)) for key, size in sizes.items())
        >>> found = by_instrument(
        ...     Estimate(9.0, "V", rows(digits=0.2)), [Other("own:red", "", 5, Estimate(9.0, "V", rows(gain=0.1)))]
        ... )
        >>> found[0].after
        {'digits': 0.0, 'gain': 0.1}
    """
    return [
        Remedy(
            one.key, one.says, one.minutes, _exchanged(estimate, one.then), one.money,
            eased=_less_scatter(estimate, one.then),
        )
        for one in others
    ]  # fmt: skip


def _exchanged(now: Estimate, then: Estimate) -> dict[str, float]:
    """Errors of the instrument that was read go; all those of the other come, such as a gain that the one lacks."""
    gone = {row.key: 0.0 for row in now.rows if of_instrument(row)}
    come = {row.key: abs(row.contribution) for row in then.rows if of_instrument(row) and row.contribution}
    return {**gone, **come}


def _less_scatter(now: Estimate, then: Estimate) -> dict[str, float]:
    """Shares of the scatter that a finer display leaves, of whose steps it is in part."""
    before = {row.key: abs(row.contribution) for row in now.rows if row.key.endswith(SCATTER)}
    after = {row.key: abs(row.contribution) for row in then.rows}
    return {key: after[key] / size for key, size in before.items() if after.get(key, size) < size}


def of_instrument(row: Row) -> bool:
    """Does an error go when another instrument is read instead: its own, such as its zero, or that of its display?"""
    return "meter" in row.remedies or row.key.startswith("meter:")


def of_kind(preset: Preset, unit: str, values: Sequence[float]) -> Meter | None:
    """Return the instrument of a kind that one would borrow for some readings, as its usual figures describe it.

    Args:
        preset: The kind.
        unit: Unit inside of the readings.
        values: Readings, at least one. [unit]

    Returns:
        The finest range that reaches the readings, of a gauge the smallest usual scale; None when none does.

    Example:
        >>> from knowngood.engine.measurement.meters.classes import PRESETS
        >>> of_kind(PRESETS["pressure_gauge"], "kPa", [240.0, 235.0]).absolute
        10.0
    """
    most = max(values, key=abs)
    lines = [one for one in preset.lines if one.unit == unit and (one.upper is None or one.upper >= abs(most))]
    if not lines:
        return None
    line = min(lines, key=lambda one: math.inf if one.upper is None else one.upper)
    span = scale_end(abs(most)) if line.percent_of_span else None
    return resolved(meter_of(line, name=preset.title.lower(), assumed=False, span=span), most)


def scale_end(most: float) -> float:
    """Return where the scale of a gauge should end, so that the highest reading lies in its lower three quarters.

    Args:
        most: Highest reading. [any unit that gauges are printed in, 1 or a power of ten of it]

    Example:
        >>> scale_end(240.0), scale_end(75.0), scale_end(80.0)
        (400.0, 100.0, 160.0)
    """
    least = max(most, LEAST_READ) / SCALE_FILLED
    decade = 10.0 ** math.floor(math.log10(least))
    return next(decade * one for one in SCALE_ENDS if decade * one >= least * (1.0 - 1e-9))


def instrument_needed(estimate: Estimate, uncertainty: float) -> float | None:
    """Return how far off an instrument may be so that, all else as it is, the estimate is known this well.

    Args:
        estimate: What is known.
        uncertainty: Standard uncertainty that would be enough. [unit]

    Returns:
        Half-width of a rectangle; None when what stays is too much already. [unit]
    """
    stays = math.hypot(*(row.contribution for row in estimate.rows if not of_instrument(row)))
    return math.sqrt(3.0 * (uncertainty**2 - stays**2)) if stays < uncertainty else None


def twin(estimate: Estimate) -> list[Remedy]:
    """Return the remedy of reading a known good part of the same kind the same way.

    What both readings share drops out: leads, warmth, winding, the meter's percent. How far two good parts differ
    comes in instead; that the good one is what the limits mean to describe is taken for granted.
    """
    shared = {row.key: 0.0 for row in estimate.rows if row.key.endswith(("/gain", "/part")) or _of_kind(row)}
    after = {**shared, "twin": TWIN_SHARE * abs(estimate.value)}
    return [Remedy("twin", "Read a known good one of the same kind, as warm and with the same leads", 10, after)]


def _of_kind(row: Row) -> bool:
    return row.key == "leads" or row.key.startswith("conductor:")


def _stated(found: Sequence[Remedy]) -> list[Remedy]:
    """All that was assumed, found out together: alone none of it may be enough."""
    parts = [one for one in found if one.key in ("zero", "part", "data_sheet", "conductor")]
    if len(parts) < 2:
        return []
    after = {key: left for one in parts for key, left in one.after.items()}
    looked_up = {key: shares for one in parts for key, shares in one.looked_up.items()}
    minutes, says = (
        sum(one.minutes for one in parts),
        "Find out all that was assumed: leads, temperature, winding, meter",
    )
    return [Remedy("stated", says, minutes, after, looked_up=looked_up)]


def _after(rows: Mapping[str, Row], change: Callable[[Row], float | None]) -> dict[str, float]:
    """Rows that a change makes smaller, with what is left of them."""
    left = {key: (share, abs(row.contribution)) for key, row in rows.items() if (share := change(row)) is not None}
    return {key: share * now for key, (share, now) in left.items() if share < 1.0 and now > 0.0}


def _share(after: float, now: float) -> float:
    return after / now if now > 0.0 else 1.0


def _scaled(ending: str, share: float) -> Callable[[Row], float | None]:
    return lambda row: share if row.key.endswith(ending) else None


def _cooling_minutes(part: Part | None) -> float:
    """Waiting for a small part, such as a relay, in whole minutes."""
    away = abs(part.celsius - REFERENCE_C) if part else 0.0
    return float(round(typical_minutes(away, COOLED_K, body="small")))


def _cooled(part: Part | None) -> Callable[[Row], float | None]:
    """Near the reference, neither the part's temperature nor the conductor matters much."""
    if part is None:
        return lambda _: None
    away = abs(part.celsius - REFERENCE_C)
    shares = {"part": _share(COOLED_K, part.half_width_k), "conductor": _share(COOL_AIR_AWAY_K, away)}

    def share(row: Row) -> float | None:
        if row.key.endswith("/part"):
            return shares["part"]
        return shares["conductor"] if row.key.startswith("conductor:") else None

    return share


def _leads(meter: Meter) -> Callable[[Row], float | None]:
    """Assumed leads become leads that the meter has read."""
    read = meter.absolute / math.sqrt(3.0)
    return lambda row: _share(read, row.input_uncertainty or 0.0) if row.key == "leads" else None


def _all_looked_up(rows: Sequence[Row]) -> dict[str, tuple[float, float]]:
    return {row.key: LOOKED_UP for row in rows if row.contribution and _looked_up(row)}


def _looked_up(row: Row) -> float | None:
    return fmean(LOOKED_UP) if "data_sheet" in row.remedies else None


def _eased(rows: Mapping[str, Row], meter: Meter, borrowed: Meter) -> dict[str, float]:
    """What is usual of readings is in part steps of the display; with finer ones less is pooled with what showed."""
    usual = meter.repeat
    if usual is None:
        return {}
    known = usual.degrees_of_freedom
    less = known * usual.steps**2 * (meter.step**2 - borrowed.step**2)
    shares = {}
    for key, row in rows.items():
        if key.endswith(SCATTER) and row.input_uncertainty:
            readings = row.degrees_of_freedom - known + 1.0
            squares = row.degrees_of_freedom * readings * row.input_uncertainty**2
            shares[key] = math.sqrt(max(0.0, 1.0 - less / squares))
    return shares


def _conductor(row: Row) -> float | None:
    known, unknown = CONDUCTORS["copper"].half_width, CONDUCTORS["unknown"].half_width
    return known / unknown if row.key == "conductor:unknown" else None


def _by_ending(shares: Mapping[str, float]) -> Callable[[Row], float | None]:
    return lambda row: shares.get(row.key.rpartition("/")[2]) if "meter" in row.remedies else None
