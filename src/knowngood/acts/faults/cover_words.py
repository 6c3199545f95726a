"""A decision at the open cover in words: the advice, where it flips, and what was counted."""

from collections.abc import Sequence

from knowngood.acts.tools.prices import expected_words, money_words
from knowngood.engine.troubleshooting.model.amounts import Price
from knowngood.engine.troubleshooting.worth.cover_decision import Decision, Option
from knowngood.engine.troubleshooting.worth.doubtful import DoubtfulPart

# How each option is told: what to do, and beside the others.
DO = {
    Option.REPLACE: "Replace it now",
    Option.TEST: "Test more first",
    Option.WATCH: "Close and watch",
    Option.HAND_OVER: "Hand it over",
}


def sentence(told: Decision, *, test: str | None, said: str) -> str:
    """The advice against the next best, where it flips, and whether the doubt about the chance matters."""
    first, *others = told.options
    against = f": {expected_words(first.total)} against {expected_words(others[0].total)} expected" if others else ""
    if others and others[0].option is Option.WATCH:
        against += " later"
    parts = [f"{DO[first.option]}{against}.", flips_words(told, said)]
    if first.option is Option.TEST and test:
        parts.insert(1, f"The test: {test}.")
    if not told.same_over_range:
        ways = " to ".join(one.value for one in told.advices_in_range)
        low, high = exactly(told.chance.lowest), exactly(told.chance.highest)
        parts.append(f"That is not settled: between {low} and {high} it goes from {ways}.")
    return " ".join(parts)


def flips_words(told: Decision, said: str) -> str:
    """Return where the answer becomes another, and what is said of the chance now."""
    now = f"{said} {exactly(told.chance.value)}"
    below = [one for one in told.flips_at if one <= told.chance.value]
    above = [one for one in told.flips_at if one > told.chance.value]
    ends = [*(f"below {exactly(one)}" for one in below[-1:]), *(f"above {exactly(one)}" for one in above[:1])]
    if not ends:
        return f"However likely it is to be bad, that stays the cheapest; {now}."
    further = [one for one in told.flips_at if one not in (below[-1:] + above[:1])]
    more = f" It flips again at {', '.join(exactly(one) for one in further)}." if further else ""
    return f"The answer flips {' and '.join(ends)}; {now}.{more}"


def hangs_words(hangs_on: Sequence[str]) -> str:
    """Return what of the assumptions may make the advice another, each alone or only together."""
    if not hangs_on:
        return "If several of them are off together, the advice may be another."
    return f"The advice hangs on this: {'; '.join(hangs_on)}. State what you know of it."


def exactly(chance: float) -> str:
    """Return in percent a chance that was stated, or worked out from what was, with the figures that say something.

    What is believed after tests or readings is never that sure; `judgement.percent` says that.

    Example:
        >>> exactly(0.9), exactly(0.0523), exactly(0.0), exactly(0.9996)
        ('90 %', '5.2 %', '0 %', '99.96 %')
    """
    least = round(min(chance, 1.0 - chance), 9)
    places = 0 if least >= 0.1 or least <= 0.0 else 1 if least >= 0.001 else 2
    return f"{100.0 * chance:.{places}f} %"


def counted(part: DoubtfulPart, *, rate: float, quote: Price | None) -> str:
    """Return what went into a decision, money and minutes apart."""
    rows = [f"part {price_words(part.replace)}", f"getting to it again {price_words(part.access)}"]
    rows.append(f"tow or damage {price_words(part.damage)}")
    if part.wear:
        rows.append(f"chance that it wears out in that time {exactly(part.wear.chance)}")
    if part.life_left:
        rows.append(f"life left in the old one {money_words(part.life_left)}")
    if quote is not None:
        rows.append(f"the quote {price_words(quote)}")
    return f"Counted: {', '.join(rows)}. Your hour: {money_words(rate)}."


def price_words(price: Price) -> str:
    """Return money and minutes apart.

    Example:
        >>> price_words(Price(46.0, 12.0)), price_words(Price(minutes=90.0)), price_words(Price())
        ('46, 12 min', '90 min', '0')
    """
    rows = [money_words(price.money)] if price.money or not price.minutes else []
    return ", ".join([*rows, *([f"{price.minutes:.0f} min"] if price.minutes else [])])
