"""Limits that the toolbox cannot decide, however well the reading is taken."""

from collections.abc import Iterator, Sequence
from functools import lru_cache

from knowngood import units
from knowngood.checks.walk import Walk
from knowngood.engine.judgement import Band, Confidence, Estimate, Rule, Safety, Verdict, combine, judge
from knowngood.engine.measurement.instruments import Meter, finer
from knowngood.engine.measurement.plain import plain_quantity
from knowngood.engine.measurement.resistance import LEADS_OHM, REFERENCE_C, THERMOMETER_HALF_K, Part, winding_resistance
from knowngood.sheet.model import AskFor, Costs, Limit
from knowngood.sheet.problem import Problem, Severity

# Ours: five readings, leads read three times, the part cold and its temperature taken.
READINGS, LEAD_READINGS = 5, 3
# Ours: how finely a band is looked through, and from which doubtful share on it is worth a note.
PLACES, LARGE_SHARE = 41, 0.5
# Ours: twice finer is what can be borrowed.
TRIES = 2


def undecidable(walk: Walk) -> Iterator[Problem]:
    """Limits that are read in this job and for which no reading, or hardly any, gives a clear answer."""
    if walk.toolbox is None:
        return
    told: set[str] = set()
    for _, step in walk.steps:
        for name in step.read:
            limit = walk.sheet.limits[name]
            span = walk.value(limit.band, AskFor.LIMITS)
            if name in told or span is None or isinstance(limit.rule, Costs):
                continue
            told.add(name)
            yield from _looked_at(walk, name, limit, span)


def _looked_at(walk: Walk, name: str, limit: Limit, span: units.Span) -> Iterator[Problem]:
    assert walk.toolbox is not None  # undecidable has looked
    path = ("limits", name)
    fitting = [one for one in walk.toolbox.meters if one.unit == span.kind.unit]
    if not fitting:
        yield walk.problem(
            "no meter", Severity.CAUTION, path,
            f'"{limit.name}" is read in {span.unit}; the toolbox has nothing that does. A limit needs an instrument '
            "that reads its unit. Borrow one, or add yours to the toolbox.",
        )  # fmt: skip
        return
    if span.lower is None or span.upper is None:
        return  # far enough from a single end everything is clear
    band = Band(span.lower, span.upper, span.kind.unit, rule=_rule(limit))
    meter = min((one.meter for one in fitting), key=lambda one: _best(one, limit, band).standard_uncertainty)
    share = doubtful_share(meter, limit, band)
    if share == 1.0:
        severity = Severity.STOP if isinstance(band.rule, Safety) else Severity.CAUTION
        yield walk.problem("undecidable limit", severity, path, _never_clear(meter, limit, span, band))
    elif share > LARGE_SHARE:
        yield walk.problem("doubtful limit", Severity.NOTE, path, _often_open(meter, limit, span, share))


def doubtful_share(meter: Meter, limit: Limit, band: Band) -> float:
    """Return the share of a two-sided band in which even the best reading is not clearly within; 1.0 is all of it.

    Args:
        meter: What it would be read with.
        limit: Says at which temperature, and of what the part is made.
        band: What is allowed.
    """
    assert band.lower is not None
    assert band.upper is not None
    marks = [_best(meter, limit, band, at) for at in (0.0, 0.5, 1.0)]
    clear = 0
    for place in range(PLACES):
        at = place / (PLACES - 1)
        value = band.lower + at * (band.upper - band.lower)
        near = min(marks, key=lambda one: abs(one.value - value))
        shifted = combine([(1.0, near)], offset=value - near.value)
        clear += judge(shifted, band).verdict is Verdict.WITHIN
    return 1.0 - clear / PLACES


def _best(meter: Meter, limit: Limit, band: Band, at: float = 0.5) -> Estimate:
    """The best reading of a true value this far up the band: cold part, leads read, five readings."""
    assert band.lower is not None
    assert band.upper is not None
    value = band.lower + at * (band.upper - band.lower)
    reference_c = REFERENCE_C if limit.at is None else limit.at.value
    winding = band.unit == units.Kind.RESISTANCE.unit and (limit.conductor is not None or limit.at is not None)
    return _reading(meter, value, band.unit, limit.conductor or "unknown" if winding else None, reference_c)


@lru_cache(maxsize=256)
def _reading(meter: Meter, value: float, unit: str, conductor: str | None, reference_c: float) -> Estimate:
    if conductor is None:
        return plain_quantity([value] * READINGS, unit=unit, meter=meter)
    return winding_resistance(
        [LEADS_OHM + max(value, meter.step or LEADS_OHM)] * READINGS,
        meter=meter,
        zero_ohm=[LEADS_OHM] * LEAD_READINGS,
        part=Part(reference_c, THERMOMETER_HALF_K, assumed=False),
        conductor=str(conductor),
        reference_c=reference_c,
    )


def _rule(limit: Limit) -> Rule:
    return Safety() if limit.rule == "safety" else Confidence()


def _never_clear(meter: Meter, limit: Limit, span: units.Span, band: Band) -> str:
    low, high = _best(meter, limit, band).interval()
    half = units.to_unit(0.5 * (high - low), span.unit, difference=True)
    return (
        f'"{limit.name}", {span.text}, cannot be decided with {_class(meter, span)}: the best reading is good to '
        f"± {half:.2g} {span.unit}, and no value is clearly within. A clear answer is right 19 times out of 20. "
        + _remedy(meter, limit, span, band)
    )


def _remedy(meter: Meter, limit: Limit, span: units.Span, band: Band) -> str:
    for one in _finer_ones(meter):
        if doubtful_share(one, limit, band) < LARGE_SHARE:
            return f"Borrow a meter of {_figures(one, span)}."
    return "A finer meter alone does not decide it: have the part tested, or judge it by exchange."


def _finer_ones(meter: Meter) -> Sequence[Meter]:
    found = [meter]
    for _ in range(TRIES):
        found.append(finer(found[-1]))
    return found[1:]


def _often_open(meter: Meter, limit: Limit, span: units.Span, share: float) -> str:
    return (
        f'"{limit.name}", {span.text}, stays open in {share:.0%} of its width with {_class(meter, span)}. '
        "A clear answer is right 19 times out of 20. A finer meter answers more often; nothing else need change."
    )


def _class(meter: Meter, span: units.Span) -> str:
    return f"{meter.name} ({_figures(meter, span)})"


def _figures(meter: Meter, span: units.Span) -> str:
    step = units.to_unit(meter.step, span.unit, difference=True)
    offset = f" + {units.to_unit(meter.offset, span.unit, difference=True):g} {span.unit}" if meter.offset else ""
    return f"{meter.percent:g} % + {meter.digits:g} digits of {step:g} {span.unit}{offset}"
