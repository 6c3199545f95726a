"""How often a test shows something, from words or from "of 10 vehicles" to a chance with its range."""

from collections.abc import Mapping
from types import MappingProxyType

from knowngood.engine.troubleshooting.model.amounts import Chance

# Ours: nobody at home knows a test better than 1 in 100, either way.
SUREST = 0.99
# Ours. The published tables of verbal probabilities differ (very likely: 80-95 % or 90-99 %; likely: 55-80 % or
# 66-90 %), and they are about other things than tests, so a word keeps a range wider than either.
# Source: ICD_203; IPCC_UNCERTAINTY
WORDS: Mapping[str, Chance] = MappingProxyType({
    "nearly always": Chance(0.95, 0.90, SUREST),
    "usually": Chance(0.80, 0.60, 0.90),
    "sometimes": Chance(0.40, 0.20, 0.60),
    "rarely": Chance(0.10, 0.02, 0.20),
})  # fmt: skip
# What stands when the person says nothing: with the fault, and without it.
SHOWN, WITHOUT = "usually", "rarely"


def in_words(word: str) -> Chance:
    """Return the chance that a word stands for.

    Raises:
        ValueError: Not one of our words.

    Example:
        >>> in_words("usually")
        Chance(value=0.8, low=0.6, high=0.9)
    """
    if word not in WORDS:
        raise ValueError(f'"{word}" is not a word for how often; write {", ".join(WORDS)}, or a number of 10 vehicles.')
    return WORDS[word]


def of_ten(count: float) -> Chance:
    """Return the chance from "of 10 vehicles, in so many".

    Its range is one vehicle more or less; it stays between 1 and 99 %.

    Args:
        count: Vehicles of ten.

    Raises:
        ValueError: Not between 0 and 10.

    Example:
        >>> of_ten(10), of_ten(3)
        (Chance(value=0.99, low=0.9, high=0.99), Chance(value=0.3, low=0.2, high=0.4))
    """
    if not 0.0 <= count <= 10.0:
        raise ValueError(f"{count:g} of 10 vehicles; it is 0 to 10. Write 8 for 80 %.")
    value, low, high = (clipped(one / 10.0) for one in (count, count - 1.0, count + 1.0))
    return Chance(value, low, high)


def clipped(chance: float) -> float:
    """Return a stated chance, kept between 1 and 99 %."""
    return min(SUREST, max(round(1.0 - SUREST, 15), chance))
