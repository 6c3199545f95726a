"""What cannot be of what was typed for a quantity: a sentence at each field, before any engine is asked."""

import math
from collections.abc import Sequence

from knowngood import units
from knowngood.engine.measurement.meters.bounds import FURTHER, LOOK, READ, Bound, bound_asked, bound_judged
from knowngood.quantities.model import Ask, Given, Quantity
from knowngood.refusal import Refused
from knowngood.words import capital

# What may say how far off it is, after ±.
DOUBTFUL = frozenset(
    {"part", "load_a", "at_load", "temperature", "acid", "warmer", "surroundings", "r25"}
)  # fmt: skip

# Read from a display; between two marks of a scale one can read.
DISPLAYED = frozenset({units.Kind.RESISTANCE, units.Kind.VOLTAGE, units.Kind.CURRENT})


def refuse_typed(given: Given, quantity: Quantity) -> None:
    """Refuse all that cannot be read or cannot be, each at its field.

    Zero and less are left to the engine, which says in words of its own what that means.

    Raises:
        Refused: A sentence at each field.
    """
    problems: dict[str, str] = {}
    for ask in quantity.asks:
        problems |= _found(given, quantity, ask, above_zero=True)
    bound = READ.get(quantity.name)
    if why := _outside(bound, given.read.values, given.read.unit, above_zero=True) or _below_a_step(given):
        problems["read"] = why
    if problems:
        raise Refused(problems)


def refused_ask(given: Given, quantity: Quantity, ask: Ask) -> str | None:
    """Why what was typed for an ask cannot be read the way it is asked, or cannot be at all; None when it can."""
    return _found(given, quantity, ask).get(ask.name)


def _found(given: Given, quantity: Quantity, ask: Ask, *, above_zero: bool = False) -> dict[str, str]:
    try:
        values = _values(given, ask)
    except Refused as refused:
        return refused.problems
    bound = bound_asked(quantity.name, ask.name)
    why = _outside(bound, values, _unit(given, ask), above_zero=above_zero) if values else None
    return {ask.name: why} if why else {}


def _outside(bound: Bound | None, values: Sequence[float], unit: str, *, above_zero: bool) -> str | None:
    """What is said to the first value that cannot be; None when all can."""
    if bound is None:
        return None
    looked_at = [one for one in values if one > 0.0 or bound.signed or bound.least < 0.0 or not above_zero]
    found = next((one for one in looked_at if not bound.holds(one)), None)
    if found is None:
        return None
    less = found < bound.least and not bound.signed
    end = bound.least if less else math.copysign(bound.most, found)
    what = capital(bound.what)
    compared = "less" if less else "more"
    return f"{what} of {_shown(found, unit, figures=6)} is {compared} than {_shown(end, unit)}: {bound.why}. {bound.do}"


def _below_a_step(given: Given) -> str | None:
    """What is said to a reading that its display cannot show; None when it can show all."""
    step, unit = given.meter.step, given.read.unit
    if given.meter.assumed or given.read.kind not in DISPLAYED:
        return None
    shown = given.displayed or given.read.values
    found = next((one for one in shown if 0.0 < abs(one) < step and not math.isclose(abs(one), step)), None)
    if found is None:
        return None
    return (
        f"A reading of {_shown(found, unit, figures=6)} is below one step of the display, {_shown(step, unit)}: it "
        "cannot show that. Look at the display's unit and point, or name the finer range that it was read in."
    )


def refused_limits(quantity: Quantity, allowed: units.Span) -> str | None:
    """Why nothing can be judged against limits; None when it can.

    Example:
        >>> from knowngood.quantities.known import QUANTITIES
        >>> refused_limits(QUANTITIES["vacuum"], units.span("-60..-50 kPa")).split(". ")[1]
        'Write them without the minus, such as "50..60 kPa".'
    """
    bound = bound_judged(quantity.name)
    if bound is None or _can_be(bound, allowed):
        return None
    lies = f"{bound.what} lies from {_ends(bound, allowed.unit)}: {bound.why}"
    return f'"{allowed.text}" cannot be; {lies}. {_without_minus(allowed, bound) or LOOK}'


def _can_be(bound: Bound, allowed: units.Span) -> bool:
    """Can limits be, each of their ends?

    A lower end of nothing says no more than none, and so does any end a little further than anything can be; one far
    out is a slip, and so is one far below the least that can be.
    """
    ends = [one for one in (allowed.lower, allowed.upper) if one is not None]
    return all(bound.holds(one) or _nearly(bound, one) or (one == 0.0 and one is allowed.lower) for one in ends)


def _nearly(bound: Bound, end: float) -> bool:
    return bound.least / FURTHER <= end < bound.least or bound.most < end <= FURTHER * bound.most


def _values(given: Given, ask: Ask) -> tuple[float, ...]:
    """What was typed for an ask, read the way it is asked; none when it is empty or no number."""
    if not given.typed.get(ask.name):
        return ()
    if ask.choices:
        given.choice(ask)
        return ()
    if ask.timed:
        given.moments(ask)
        return ()
    if ask.many:
        return given.values(ask) or ()
    one = (given.tolerance(ask) or (None,))[0] if ask.name in DOUBTFUL else given.value(ask)
    return () if one is None else (one,)


def _unit(given: Given, ask: Ask) -> str:
    """The unit that was written for an ask; "" for a plain number."""
    written = units.apart(given.typed[ask.name])[1]
    if ask.kind is None:
        return ""
    return written if written in units.UNITS and units.kind_of(written) is ask.kind else ask.kind.unit


def _ends(bound: Bound, unit: str) -> str:
    least = -bound.most if bound.signed else bound.least
    return f"{_shown(least, unit).removesuffix(unit).strip()} to {_shown(bound.most, unit)}"


def _shown(value: float, unit: str, *, figures: int = 3) -> str:
    """In the unit that was written, without powers of ten; a bound needs no more than three figures."""
    number = units.to_unit(value, unit) if unit else value
    return f"{float(f'{number:.{figures}g}'):.12g} {unit}".strip()


def _without_minus(allowed: units.Span, bound: Bound) -> str:
    """What limits with a minus would be without it; "" when they would still not do."""
    ends = [one for one in (allowed.lower, allowed.upper) if one is not None]
    if not all(one <= 0.0 and bound.holds(-one) for one in ends):
        return ""
    shown = [_shown(-one, allowed.unit).removesuffix(allowed.unit).strip() for one in reversed(ends)]
    alone = "min" if allowed.lower is None else "max"
    words = "..".join(shown) if len(shown) == 2 else f"{alone} {shown[0]}"
    return f'Write them without the minus, such as "{words} {allowed.unit}".'
