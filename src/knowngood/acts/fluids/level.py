"""How far off a circuit's level check is: by warmth, tilt and the eye; judged, and what to level before it counts."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from knowngood import units
from knowngood.acts.fluids.at_window import SAID_OPEN, set_at
from knowngood.acts.fluids.circuit_facts import liquid_of, total_of
from knowngood.acts.fluids.level_words import (
    UNKNOWN_C,
    UNKNOWN_HALF_K,
    compared,
    ends,
    outside,
    sentence,
    to_words,
    unread,
)
from knowngood.acts.fluids.warm_ups import window_of
from knowngood.acts.fluids.warming import READ_WITH
from knowngood.acts.job.garage import Job
from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.level import (
    DRIVEWAY_HALF_DEG,
    Check,
    LevelError,
    LevelTo,
    either_side,
    level_error,
    level_to,
    unlevelled,
)
from knowngood.engine.fluids.pan import Pan, Where, pan
from knowngood.engine.judgement import Band, Estimate, Settle, combine, judge
from knowngood.sheet.circuits import Fluid, Level, LevelBy
from knowngood.sheet.model import AskRef, Circuit
from knowngood.words import capital

WHERE = {
    LevelBy.OVERFLOW_PLUG: Where.OVERFLOW,
    LevelBy.DIPSTICK: Where.DIPSTICK,
    LevelBy.SIGHT_GLASS: Where.SIGHT_GLASS,
}
# Ours: two tenths of a litre either way lie well inside the marks of most sticks, which are half a litre or more apart.
TOLERANCE_L = 0.2
TOLERANCE_SAYS = (
    "± 0.2 L counts as near enough until your manual says otherwise; the marks of most sticks lie further apart"
)
# Ours: after this was done, the tilt or the warmth is off by so much at most. [K]
MIDDLE_HALF_K = 2.0
# Ours: what levelling it again, and waiting for it to warm or cool, take. [min]
LEVEL_MINUTES, WAIT_MINUTES = 15.0, 5.0
# Ours: how fast a fluid near its window may go on warming or cooling after it was read. Coolant at idle rose by 6 K/min
# near 70 °C in the logs that were looked at; oil takes some three times as long (from memory), and no log of it was
# found. [K/min]
DRIFT_K_PER_MIN = 2.0
# Ours: less than this share of the whole doubt is not told.
LITTLE = 0.05
# A remedy that makes it surer by less than this is not worth its minutes; none makes it surer than that. Ours.
WORTH_DOING, SUREST = 0.05, 0.99
# Fluids that stand in a wide pan. All others have a narrow tank with marks: without its size nothing follows.
IN_A_PAN = (Fluid.ENGINE_OIL, Fluid.GEARBOX_OIL, Fluid.GEAR_OIL)


@dataclass(frozen=True)
class LevelTold:
    """A level check as it is known.

    Args:
        error: Too much above zero, too little below.
        to: How level it must stand for the check to be within its tolerance; None where nothing is left for tilt.
        data: As of a reading that was judged, for the one component that draws it.
    """

    error: LevelError
    to: LevelTo | None
    data: Mapping[str, Any]


def level_told(job: Job, circuit: str) -> LevelTold | None:
    """Return how far off a level check of a circuit is; None where nobody reads a level, or its surface is unknown.

    Raises:
        ValueError: A temperature that the fluid's curve does not reach, or a place outside the pan.
    """
    one = job.sheet.circuits[circuit]
    if one.level is None or (one.level.pan is None and one.fluid not in IN_A_PAN):
        return None
    where, window = _pan(one.level), window_of(job, circuit)
    check = _check(job, circuit, one, one.level, window)
    error = level_error(check, where)
    tolerance = _tolerance(one.level)
    judged = error.litre if tolerance.unit == "L" else error.mm
    to, why = _level_to(tolerance, where, error)
    judgement = judge(judged, tolerance)
    if judgement.doubtful:
        judgement = replace(judgement, settle=_settle(judged, tolerance, to, window))
    found = sentence(judgement.verdict, judgement.probability_inside, judged, tolerance, check.where)
    warm = outside(check, error, window) if one.level.window else ""
    beside = compared(check, window, where, to)
    data = {
        "name": f"{one.name}: how far off its level check is",
        "unit": tolerance.unit,
        "raw": judged.value,
        "corrected": False,
        "estimate": judged.to_json(),
        "band": tolerance.to_json(),
        "judgement": judgement.to_json(),
        "assumed": [*_rows_assumed(judged), *_ours(one.level, where, window)],
        "sentence": " ".join(part for part in (found, warm, beside) if part),
        "further": [row for row in (why, _tape(one.level, tolerance, where, error, to), unread(check)) if row],
    }
    return LevelTold(error, to, data)


# --- what is known ----------------------------------------------------------------------------------------------------


def _pan(level: Level) -> Pan:
    sizes, places = level.pan, level.plug_to_middle
    return pan(
        length_mm=_mm(sizes.length if sizes else None),
        width_mm=_mm(sizes.width if sizes else None),
        along_mm=_mm(places.along if places else None),
        across_mm=_mm(places.across if places else None),
        read=WHERE[level.by],
    )


def _mm(length: units.Tolerance | AskRef | None) -> float | None:
    return length.value if isinstance(length, units.Tolerance) else None


def _check(job: Job, circuit: str, one: Circuit, level: Level, window: units.Span | None) -> Check:
    liquid = liquid_of(one)
    fluid, right_c = _warmth(job, circuit, level, window)
    return Check(
        volume_l=total_of(one), liquid=liquid, fluid_c=fluid, right_c=right_c, along=_tilt(job, level, "along"),
        across=_tilt(job, level, "across"), where=WHERE[level.by],
    )  # fmt: skip


def _warmth(job: Job, circuit: str, level: Level, window: units.Span | None) -> tuple[Estimate, float]:
    """The fluid at the check, and the temperature that the level is for."""
    if level.window is None:
        return Estimate(20.0, "°C"), 20.0
    if window is None:
        return _anywhere(UNKNOWN_C, UNKNOWN_HALF_K), UNKNOWN_C
    low, high = ends(window)
    middle = 0.5 * (low + high)
    counted = set_at(job, circuit)
    if counted is not None and counted.done and counted.event is None:
        return _anywhere(
            middle, UNKNOWN_HALF_K, "fluid at any warmth, for nobody read it when the level was set"
        ), middle
    last = [one.data for one in job.state.temperatures if one.data["circuit"] == circuit][-1:]
    if counted is not None and counted.event is not None and counted.said != SAID_OPEN:
        return _read(counted.event.data, counted.minutes), middle
    if counted is not None or not last or not low <= last[0]["celsius"] <= high:
        return _anywhere(middle, 0.5 * (high - low)), middle
    return _read(last[0], 0.0), middle


def _read(data: Mapping[str, Any], minutes: float) -> Estimate:
    """The fluid as it was read so many minutes before the level was set."""
    tool = READ_WITH[data["read_with"]]
    half = math.hypot(0.5 * data["step_k"], tool.own_k, tool.shared_k) + DRIFT_K_PER_MIN * minutes
    return stated("level/fluid", data["celsius"], half, unit="°C", name="temperature of the fluid, as read",
                  remedy="middle")  # fmt: skip


def _anywhere(middle_c: float, half_k: float, name: str = "fluid anywhere in the window") -> Estimate:
    return stated("level/fluid", middle_c, half_k, unit="°C", assumed=True, name=name, remedy="middle")


def _tilt(job: Job, level: Level, direction: str) -> Estimate:
    """The newest tilt that was read for this level; how far from level counts, not which end is low."""
    limit = getattr(level.tilt, direction) if level.tilt else None
    events = job.readings_of(limit) if limit else []
    if not events:
        return unlevelled(direction)
    return either_side(Estimate.from_json(events[-1].data["estimate"]), direction)


def _tolerance(level: Level) -> Band:
    stated_one = level.tolerance
    if stated_one is None or isinstance(stated_one, AskRef):
        return Band(-TOLERANCE_L, TOLERANCE_L, "L")
    return Band(-stated_one.value, stated_one.value, stated_one.kind.unit)


def _rows_assumed(judged: Estimate) -> list[str]:
    """What nobody stated and counts; sizes of the pan are told together."""
    least = LITTLE * judged.standard_uncertainty
    rows = [row for row in judged.budget if row.assumed and abs(row.contribution) > least]
    return list(dict.fromkeys(row.says for row in rows if not row.key.startswith("pan/")))


def _ours(level: Level, where: Pan, window: units.Span | None) -> list[str]:
    """What nobody stated and no row says."""
    rows = []
    if level.tolerance is None or isinstance(level.tolerance, AskRef):
        rows.append(TOLERANCE_SAYS)
    if level.window is not None and window is None:
        rows.append(f"a window about {UNKNOWN_C:g} °C, for the manual's was not looked up")
    if not _taped(where):
        size = f"{where.length.value:.0f} × {where.width.value:.0f} mm"
        rows.append(f"a pan of about {size}, read {where.distance_mm.value:.0f} mm from its middle")
    return rows


def _taped(where: Pan) -> bool:
    """Were the pan and the place on it measured?"""
    sizes = (where.length, where.width, where.along, where.across)
    return not any(row.assumed for one in sizes for row in one.budget)


# --- what would settle it ---------------------------------------------------------------------------------------------


def _level_to(tolerance: Band, where: Pan, error: LevelError) -> tuple[LevelTo | None, str]:
    """How level it must stand; or why no level is good enough."""
    try:
        return level_to(tolerance, where, others=_others(tolerance, error)), ""
    except ValueError as refused:
        return None, capital(str(refused))


def _others(tolerance: Band, error: LevelError) -> Estimate:
    """The error from all but tilt, in the unit of the tolerance."""
    litre = combine([(1.0, error.temperature_l), (1.0, error.reading_l)])
    if tolerance.unit == "L":
        return litre
    per_litre = error.mm.standard_uncertainty / error.litre.standard_uncertainty
    return combine([(per_litre, litre)], unit="mm")


def _settle(judged: Estimate, tolerance: Band, to: LevelTo | None, window: units.Span | None) -> tuple[Settle, ...]:
    """Levelling it, and waiting for the middle of the window: each with the chance that it is near enough then.

    Both change what is, not only what is known of it: the value stays at nothing off, and only its doubt becomes less.
    """
    ways = []
    if to is not None:
        ways.append(("level", f"Level it to within {to_words(to)}", LEVEL_MINUTES, "tilt/", to.deg / DRIVEWAY_HALF_DEG))
    if window is not None:
        low, high = ends(window)
        says = f"Check it in the middle of the window, at {units.show(0.5 * (low + high), window.unit)}"
        ways.append(("middle", says, WAIT_MINUTES, "level/fluid", MIDDLE_HALF_K / (0.5 * (high - low))))
    found = []
    for key, says, minutes, rows, share in ways:
        then = _with_less(judged, rows, share)
        chance = min(SUREST, judge(then, tolerance).probability_inside)
        if chance >= judge(judged, tolerance).probability_inside + WORTH_DOING:
            found.append(Settle(key, says, minutes, 0.0, chance, then.standard_uncertainty))
    return tuple(sorted(found, key=lambda one: -one.probability))


def _with_less(judged: Estimate, rows: str, share: float) -> Estimate:
    """The estimate with some rows smaller, and what they had moved it by left out."""
    rows_left = [
        replace(row, contribution=share * row.contribution) if row.key.startswith(rows) and share < 1.0 else row
        for row in judged.rows
    ]
    return replace(judged, rows=tuple(rows_left), quantiles=None, law=None)


def _tape(level: Level, tolerance: Band, where: Pan, error: LevelError, to: LevelTo | None) -> str:
    """What measuring the pan by tape would spare."""
    if _taped(where):
        return ""
    taped = pan(
        length_mm=where.length.value, width_mm=where.width.value, along_mm=where.along.value,
        across_mm=where.across.value, read=WHERE[level.by],
    )  # fmt: skip
    then, _ = _level_to(tolerance, taped, error)
    if then is None or (to is not None and then.deg < 1.2 * to.deg):
        return ""
    return (
        f"Pan and plug are taken wide. Measured by tape, and as large as thought, level to within {to_words(then)} "
        "would do."
    )
