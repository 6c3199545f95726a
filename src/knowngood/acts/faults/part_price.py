"""What a part counts as while nobody has stated its price: the same on every page and in the terminal, and told."""

from collections.abc import Sequence

from knowngood.acts.tools.prices import expected_words

# Ours: of what a shop asks, fitting and finding included, the part itself is about a quarter; from a twentieth to
# nearly half of it. Nothing, as a price, would put every new part before a look that takes eight minutes.
SHARE, OFF = 0.25, 0.20
# How far off that may be, as a part of it.
WIDE = OFF / SHARE
# Ours, in the owner's own money, where no shop was asked either.
OTHERWISE = 60.0


def unpriced_part(quote: float | None) -> float:
    """Return what one part without a price counts as. [money]

    Args:
        quote: What the shop asks: the garage's, else the sheet's typical one; None with neither. [money]
    """
    return SHARE * quote if quote else OTHERWISE


def unpriced_words(names: Sequence[str], quote: float | None) -> str:
    """Return what parts without a price count as, in words; empty when there is none.

    Example:
        >>> unpriced_words(["relay"], 200.0)
        'Nobody stated a price for relay: counted as 50, a quarter of the quote; it may be from 10 to 90.'
    """
    if not names:
        return ""
    amount, each = unpriced_part(quote), " each" if len(names) > 1 else ""
    low, high = (expected_words(amount * (1.0 + end * WIDE)) for end in (-1, 1))
    said = f"{expected_words(amount)}{each}, {'a quarter of the quote' if quote else 'which is our guess'}"
    return f"Nobody stated a price for {', '.join(names)}: counted as {said}; it may be from {low} to {high}."
