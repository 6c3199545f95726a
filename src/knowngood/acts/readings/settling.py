"""What could be done about a doubt: with what is there, or with an instrument that one would have to get."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import fmean
from typing import Any

from knowngood import units
from knowngood.acts.tools.prices import money_words, price_of_instrument
from knowngood.acts.tools.toolbox import in_air
from knowngood.engine.judgement import Band, Estimate, Judgement, Remedy, judge
from knowngood.engine.judgement.decide import WORTH_TRYING
from knowngood.engine.measurement.meters.checking import allowed_error
from knowngood.engine.measurement.meters.classes import MULTIMETER, Preset
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.readings.remedies import (
    BORROW,
    GET_MINUTES,
    OWN_MINUTES,
    Other,
    by_instrument,
    instrument_needed,
    of_instrument,
    of_kind,
    scale_end,
)
from knowngood.quantities.kinds import suiting
from knowngood.quantities.model import Given, Quantity
from knowngood.store.folds import ToolboxState
from knowngood.words import capital, small

# Begins the keys of remedies that take an instrument which is not there.
GET = "get:"


@dataclass(frozen=True)
class Kind:
    """A kind of instrument that is not at hand, and what it would show.

    Args:
        key: Of the kind.
        words: What one would get, within a sentence.
        off: What it may be off where it was read, in the unit of the limits where that reads alike.
        then: What would be known, had it shown the same.
        money: Its price; None when nobody stated it.
    """

    key: str
    words: str
    off: str
    then: Estimate
    money: float | None


def settled(
    quantity: Quantity,
    given: Given,
    estimate: Estimate,
    band: Band,
    *,
    toolbox: ToolboxState,
    others: Sequence[Meter],
    unit: str,
) -> tuple[Judgement, str | None]:
    """Return the judgement with what would settle it, and a sentence where nothing at hand does.

    What could be done is looked for only where there is a doubt.

    Args:
        quantity: What was read.
        given: With the instrument that it was read with.
        estimate: What is known.
        band: What is allowed.
        toolbox: With what is there, and what things cost.
        others: What else of the toolbox reads this.
        unit: The unit that is printed.
    """
    plain = judge(estimate, band)
    if not plain.doubtful:
        return plain, None
    kinds = kinds_to_get(quantity, given, toolbox, quantity.read_in(unit))
    ways = ways_for(quantity, given, estimate, others=others, kinds=kinds)
    judgement = judge(estimate, band, remedies=[_with_price(one, quantity, toolbox) for one in ways])
    return judgement, unsettled_words(estimate, judgement, unit, kinds)


def _with_price(way: Remedy, quantity: Quantity, toolbox: ToolboxState) -> Remedy:
    """A finer meter has the price of a multimeter, where one reads this."""
    if way.key != BORROW or all(one.unit != quantity.reads.unit for one in MULTIMETER):
        return way
    return replace(way, money=price_of_instrument(toolbox, "multimeter"))


def kinds_to_get(quantity: Quantity, given: Given, toolbox: ToolboxState, unit: str) -> tuple[Kind, ...]:
    """Return the kinds of instrument that would read this, and that the toolbox does not hold.

    Args:
        quantity: What was read.
        given: With the instrument that it was read with.
        toolbox: With what is there, and what things cost.
        unit: In which what they are off is told.
    """
    held = {one.data.get("kind") for one in toolbox.instruments}
    found = []
    for preset in suiting(quantity):
        meter = None if preset.key in held else of_kind(preset, quantity.reads.unit, given.read.values)
        then = _read_by(quantity, given, meter) if meter else None
        if meter and then:
            off = units.show(allowed_error(meter, fmean(given.read.values)), unit, difference=True)
            price = price_of_instrument(toolbox, preset.key)
            found.append(Kind(preset.key, _with_scale(preset, given.read, unit), f"± {off}", then, price))
    return tuple(found)


def _with_scale(preset: Preset, read: units.Readings, unit: str) -> str:
    """A kind of instrument; of a gauge with the scale that its class is a share of."""
    if not preset.asks_span:
        return named(preset)
    end = scale_end(max(abs(one) for one in read.values))
    return f"{named(preset)}, with a scale to {units.show(end, unit)}"


def ways_for(
    quantity: Quantity, given: Given, estimate: Estimate, *, others: Sequence[Meter], kinds: Sequence[Kind]
) -> list[Remedy]:
    """Return all that could be done: about the reading, by another instrument of one's own, by one to be got.

    Args:
        quantity: What was read.
        given: With the instrument that it was read with.
        estimate: What is known.
        others: What else of the toolbox reads this.
        kinds: What the toolbox does not hold.
    """
    usual = [one for one in quantity.what_helps(given, estimate) if one.key != BORROW or not suiting(quantity)]
    own = [
        Other(f"own:{one.name}", f"Read it with your {one.name}", OWN_MINUTES, then)
        for one in others
        if (then := _read_by(quantity, given, one))
    ]
    got = [Other(f"{GET}{one.key}", f"Borrow or buy {one.words}", GET_MINUTES, one.then, one.money) for one in kinds]
    return [*usual, *by_instrument(estimate, [*own, *got])]


def _read_by(quantity: Quantity, given: Given, meter: Meter) -> Estimate | None:
    """What the same readings would say by another instrument; None where it is too coarse for them to say anything."""
    try:
        return quantity.estimated(replace(given, meter=in_air(meter, given.typed["ambient"])))
    except ValueError:
        return None


def named(preset: Preset) -> str:
    """A kind of instrument within a sentence.

    Example:
        >>> from knowngood.engine.measurement.meters.classes import PRESETS
        >>> [named(PRESETS[key]) for key in ("micrometer", "infrared", "feeler")]
        ['a micrometer', 'an infrared thermometer', 'feeler gauges']
    """
    words = small(preset.title)
    if words.endswith("s"):
        return words
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"


def unsettled_words(estimate: Estimate, judgement: Judgement, unit: str, kinds: Sequence[Kind]) -> str | None:
    """Return that nothing at hand settles it, and which kind of instrument would; None where something may.

    Args:
        estimate: What is known.
        judgement: With all that could be done.
        unit: The unit that is printed.
        kinds: Kinds of instrument that would read this, and are not at hand.
    """
    got = [one for one in judgement.settle if one.key == BORROW or one.key.startswith(GET)]
    at_hand = [one for one in judgement.settle if one not in got]
    if not judgement.doubtful or any(one.probability >= WORTH_TRYING for one in at_hand):
        return None
    nothing, needed = "Nothing you have settles it", judgement.needed_uncertainty
    other_may = any(one.probability >= WORTH_TRYING for one in got)
    off = instrument_needed(estimate, needed)
    if off is not None:
        would = f"{nothing}: it would take an instrument that is off by {_floored(off, unit)} at most where you read."
        return f"{would} {_which_would(needed, kinds, other_may=other_may)}".rstrip()
    if other_may:
        return f"{nothing}. Another instrument does only if it reads further from the limit."
    stay = [row for row in estimate.budget if not of_instrument(row)]
    why = f"{stay[0].says} leaves too much open" if stay and needed else "it lies right at the limit"
    return f"{nothing}, and no finer instrument alone would: {why}."


def _floored(off: float, unit: str) -> str:
    """What an instrument may be off, with two figures and never more than that."""
    written = units.to_unit(off, unit, difference=True)
    last = math.floor(math.log10(written)) - 1
    return f"{math.floor(written / 10.0**last + 1e-6) * 10.0**last:.{max(0, -last)}f} {unit}"


def _which_would(needed: float, kinds: Sequence[Kind], *, other_may: bool) -> str:
    """The kinds whose usual figures are good enough, with their prices."""
    good = [one for one in kinds if one.then.standard_uncertainty <= needed]
    if not good:
        none = "No kind of instrument known here is that good"
        return (f"{none}, if it reads the same." if other_may else f"{none}.") if kinds else ""
    words = " or ".join(f"{one.words} ({'; '.join(_figures(one))})" for one in good)
    return f"{capital(words)} is."


def _figures(kind: Kind) -> list[str]:
    return [one for one in (kind.off, _price(kind.money)) if one]


def worth_showing(settle: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Return what has a chance worth the work, of what would settle it; none when nothing has."""
    return [one for one in settle if one["probability"] >= WORTH_TRYING]


def price_words(settle: Mapping[str, Any]) -> str:
    """What a remedy costs; nothing where nothing is to be paid.

    Example:
        >>> price_words({"key": "get:dial", "money": 25.0}), price_words({"key": "get:dial", "money": None})
        ('price 25', 'price not stated')
        >>> price_words({"key": "zero", "money": 0.0}), price_words({"key": "zero", "money": None})
        ('', '')
    """
    if settle["money"] is None and settle["key"].startswith(GET):
        return "price not stated"
    return _price(settle["money"])


def _price(money: float | None) -> str:
    return f"price {money_words(money)}" if money else ""
