"""Limits that the toolbox cannot decide, however well the reading is taken."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from knowngood import units
from knowngood.checks.best import best_reading, readings_of
from knowngood.checks.toolbox import ToolMeter
from knowngood.checks.walk import Walk
from knowngood.engine.judgement import Band, Confidence, Estimate, Rule, Safety, Verdict, combine, judge
from knowngood.engine.measurement.meters.bounds import bound_judged
from knowngood.engine.measurement.meters.instruments import Meter, finer
from knowngood.quantities.basic import as_shown
from knowngood.quantities.known import quantity_for
from knowngood.quantities.model import Quantity
from knowngood.sheet.model import AskFor, Costs, Limit
from knowngood.sheet.problem import Problem, Severity

# Ours: how finely a band is looked through, and from which doubtful share on it is worth a note.
PLACES, LARGE_SHARE = 41, 0.5
WHOLE_PERCENT = 100.0
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
    quantity = judged_as(limit, span.kind)
    if quantity is None or quantity.judged is not span.kind:
        return  # the rule on quantities tells of it
    path = ("limits", name)
    fitting = [one for one in walk.toolbox.meters if _fits(one, quantity, span)]
    if not fitting:
        yield walk.problem("no meter", Severity.CAUTION, path, _no_meter(limit, quantity, span))
        return
    band = Band(span.lower, span.upper, span.kind.unit, rule=_rule(limit))
    if _width(quantity, band) is None:
        return  # far enough from a single end everything is clear
    known = [(best, one) for one in fitting if (best := _best(one, quantity, limit, band))]
    if not known:
        return  # no such reading can be
    best, tool = min(known, key=lambda pair: pair[0].standard_uncertainty)
    share = doubtful_share(tool, quantity, limit, band)
    if share == 1.0:
        severity = Severity.STOP if isinstance(band.rule, Safety) else Severity.CAUTION
        found = _never_clear(best, tool, quantity, limit, span)
        yield walk.problem("undecidable limit", severity, path, found + _remedy(tool, quantity, limit, span, band))
    elif share > LARGE_SHARE:
        yield walk.problem("doubtful limit", Severity.NOTE, path, _often_open(tool, quantity, limit, span, share))


def judged_as(limit: Limit, kind: units.Kind) -> Quantity | None:
    """The quantity that a limit goes through; a resistance that says nothing of a winding is read as it is shown."""
    if limit.quantity is None and limit.conductor is None and limit.at is None:
        return as_shown(kind)
    return quantity_for(limit.quantity or "", kind)


def _fits(tool: ToolMeter, quantity: Quantity, span: units.Span) -> bool:
    """Does a line read the unit, and, when the limits are of what is read, as far as they reach?"""
    ends = [end for end in (span.lower, span.upper) if end is not None]
    reached = [read for end in ends for read in readings_of(quantity, end, tool.meter)]
    return tool.unit == quantity.reads.unit and (quantity.reads is not span.kind or tool.holds(reached))


def _no_meter(limit: Limit, quantity: Quantity, span: units.Span) -> str:
    alike = quantity.reads is span.kind
    unit, reach = (span.unit, f" around {span.text}") if alike else (quantity.reads.unit, "")
    return (
        f'"{limit.name}" is read in {unit}{reach}; the toolbox has nothing that does. A limit needs an instrument '
        "that reads its unit, in a range that reaches there. Borrow one, or add yours to the toolbox."
    )


def doubtful_share(tool: ToolMeter, quantity: Quantity, limit: Limit, band: Band) -> float:
    """Return the share of what is allowed in which even the best reading is not clearly within; 1.0 is all of it.

    Args:
        tool: What it would be read with.
        quantity: What is judged.
        limit: States some of what the quantity asks.
        band: What is allowed.

    Returns:
        From 0 to 1; 0 when no reading stands for a value inside.
    """
    ends = _width(quantity, band)
    assert ends is not None  # what has a single end only is not looked at
    marks = [found for at in (0.0, 0.5, 1.0) if (found := _best(tool, quantity, limit, band, at))]
    if not marks:
        return 0.0
    clear = 0
    for place in range(PLACES):
        value = ends[0] + place / (PLACES - 1) * (ends[1] - ends[0])
        near = min(marks, key=lambda one: abs(one.value - value))
        shifted = combine([(1.0, near)], offset=value - near.value)
        clear += judge(shifted, band).verdict is Verdict.WITHIN
    return 1.0 - clear / PLACES


def _best(tool: ToolMeter, quantity: Quantity, limit: Limit, band: Band, at: float = 0.5) -> Estimate | None:
    """The best reading of a true value this far up the band."""
    ends = _width(quantity, band)
    assert ends is not None
    return best_reading(tool, quantity, limit, ends[0] + at * (ends[1] - ends[0]))


def _width(quantity: Quantity, band: Band) -> tuple[float, float] | None:
    """Both ends of what is allowed; where the limit has one, the other is the thing's own: no size is below nothing."""
    own = bound_judged(quantity.name)
    lower, upper = band.lower, band.upper
    if lower is None and own and own.least == 0.0 and not own.signed:
        lower = 0.0
    if upper is None and own and own.most == WHOLE_PERCENT and quantity.judged is units.Kind.SHARE:
        upper = WHOLE_PERCENT
    return None if lower is None or upper is None else (lower, upper)


def _rule(limit: Limit) -> Rule:
    return Safety() if limit.rule == "safety" or limit.safety else Confidence()


def _never_clear(best: Estimate, tool: ToolMeter, quantity: Quantity, limit: Limit, span: units.Span) -> str:
    low, high = best.interval()
    half = units.to_unit(0.5 * (high - low), span.unit, difference=True)
    named = f"{tool.meter.name} ({_figures(tool.meter, quantity, span)})"
    return (
        f'"{limit.name}", {span.text}, cannot be decided with {named}: the best reading is good to '
        f"± {half:.2g} {span.unit}, and no value is clearly within. A clear answer is right 19 times out of 20. "
    )


def _remedy(tool: ToolMeter, quantity: Quantity, limit: Limit, span: units.Span, band: Band) -> str:
    for one in _finer_ones(tool):
        if doubtful_share(one, quantity, limit, band) < LARGE_SHARE:
            return f"Borrow a meter of {_figures(one.meter, quantity, span)}."
    return "A finer meter alone does not decide it: have the part tested, or judge it by exchange."


def _finer_ones(tool: ToolMeter) -> Sequence[ToolMeter]:
    """What can be borrowed: nobody has checked it."""
    found = [tool.meter]
    for _ in range(TRIES):
        found.append(finer(found[-1]))
    return [replace(tool, meter=one, checked=None) for one in found[1:]]


def _often_open(tool: ToolMeter, quantity: Quantity, limit: Limit, span: units.Span, share: float) -> str:
    named = f"{tool.meter.name} ({_figures(tool.meter, quantity, span)})"
    return (
        f'"{limit.name}", {span.text}, stays open in {share:.0%} of its width with {named}. '
        "A clear answer is right 19 times out of 20. A finer meter answers more often; nothing else need change."
    )


def _figures(meter: Meter, quantity: Quantity, span: units.Span) -> str:
    unit = span.unit if quantity.reads is span.kind else quantity.reads.unit
    step = units.to_unit(meter.step, unit, difference=True)
    offset = f" + {units.to_unit(meter.offset, unit, difference=True):g} {unit}" if meter.offset else ""
    return f"{meter.percent:g} % + {meter.digits:g} digits of {step:g} {unit}{offset}"
