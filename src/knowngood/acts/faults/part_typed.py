"""What is typed about a doubtful part: chances, prices, distances and tests, each read at its field."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Self

from knowngood import units
from knowngood.acts.tools.prices import amount_of
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.likely import of_ten
from knowngood.engine.troubleshooting.worth.doubtful import CheapTest
from knowngood.refusal import Refused, parsed
from knowngood.units.bare import number
from knowngood.units.numerals import clean

FIELDS = (
    "probability", "part", "part_minutes", "part_later", "again", "again_minutes", "damage", "damage_minutes", "credit",
    "new_bad", "hour", "quote", "age", "horizon", "life", "test", "later_test",
)  # fmt: skip
# A percent sign with the spaces around it; and a number below 1 without one.
TEN = 10.0  # ours: chances are asked for as so many of 10 vehicles
SIGN_APART, FRACTION = re.compile(" ?% ?"), re.compile(r"0?[.,][0-9]+")


@dataclass(frozen=True)
class Typed:
    """The words as typed; reading one may refuse, at its field."""

    words: Mapping[str, str]

    def sound(self) -> Self:
        """Return the same once every field has been read.

        Raises:
            Refused: A sentence at each field that cannot be used.
        """
        problems: dict[str, str] = {}
        for name in self.words:
            try:
                READ_BY[name](self, name)
            except Refused as refused:
                problems |= refused.problems
        if problems:
            raise Refused(problems)
        return self

    def has(self, name: str) -> bool:
        """Is something written in a field?"""
        return bool(self.words.get(name, "").strip())

    def money(self, name: str) -> float | None:
        """An amount, or None when the field is empty."""
        text = self.words.get(name, "").strip()
        return amount_of(name, text) if text else None

    def price(self, name: str, otherwise: Price | None) -> Price | None:
        """A typed price stands as a whole: minutes that are not written beside it are none.

        Args:
            name: Of its field; its minutes stand in the field of that name with `_minutes`.
            otherwise: What is known when no money is typed; typed minutes then replace its own.
        """
        money, minutes = self.money(name), self.minutes(f"{name}_minutes")
        if money is not None:
            return Price(money, minutes or 0.0)
        return otherwise if otherwise is None or minutes is None else Price(otherwise.money, minutes)

    def minutes(self, name: str) -> float | None:
        """A time. [min]"""
        text = units.completed(self.words.get(name, "").strip(), "min")
        found = parsed(name, lambda: units.quantity(text, units.Kind.DURATION, unit="min").value) if text else None
        if found is not None and found < 0.0:
            raise Refused({name: f'"{text}" is below zero. Write how long it takes, such as 20 min.'})
        return found

    def km(self, name: str) -> float | None:
        """A distance; only an age may be nothing. [km]"""
        text = self.words.get(name, "").strip()
        found = parsed(name, lambda: units.quantity(text, units.Kind.DISTANCE, unit="km").value) if text else None
        if found is not None and (found < 0.0 or (found == 0.0 and name != "age")):
            least = "0 or more" if name == "age" else "more than 0"
            raise Refused({name: f'"{text}" cannot be; it is {least}. Write it such as 90000 km.'})
        return found

    def chance(self, name: str) -> Chance | None:
        """How likely something is."""
        text = self.words.get(name, "").strip()
        return chance_of(name, text) if text else None

    def test(self, name: str) -> CheapTest | None:
        """In this order: it shows a bad part, it shows a good one, what it costs."""
        words = SIGN_APART.sub("% ", clean(self.words.get(name, ""))).split()
        if not words:
            return None
        if len(words) != 3:
            example = "80 % 10 % 5: it shows a bad part 80 times in 100, a good one 10 times, and costs 5"
            raise Refused({name: f'"{self.words[name]}" is not a test. Write three numbers, such as {example}.'})
        shows, without = (chance_of(name, one).value for one in words[:2])
        return CheapTest(Price(amount_of(name, words[2])), shows, 1.0 - without)


def still_read(words: Mapping[str, str]) -> dict[str, str]:
    """Return what was kept of a part without what would be asked about today: it counts as not typed.

    Example:
        >>> still_read({"part": "46", "part_minutes": "1,500 min"})
        {'part': '46'}
    """
    return {name: text for name, text in words.items() if name not in READ_BY or _reads(name, text)}


def _reads(name: str, text: str) -> bool:
    try:
        READ_BY[name](Typed({name: text}), name)
    except Refused:
        return False
    return True


# How each field is read, of a doubtful part and of a size of the job.
READ_BY: Mapping[str, Callable[[Typed, str], object]] = {
    **dict.fromkeys(("probability", "new_bad", "fixes"), Typed.chance),
    **dict.fromkeys(("part", "part_later", "again", "damage", "credit", "hour", "quote"), Typed.money),
    **dict.fromkeys(("parts", "fluids", "tools", "later_uses"), Typed.money),
    **dict.fromkeys(("part_minutes", "again_minutes", "damage_minutes"), Typed.minutes),
    **dict.fromkeys(("age", "horizon", "life"), Typed.km),
    **dict.fromkeys(("test", "later_test"), Typed.test),
}


def chance_of(name: str, text: str) -> Chance:
    """Read how likely something is: "40 %", "30..50 %", "4 of 10".

    Raises:
        Refused: It cannot be used; the sentence stands at the field of that name.

    Example:
        >>> chance_of("probability", "4 of 10").low, chance_of("probability", "30..50 %").value
        (0.3, 0.4)
    """
    count, of, ten = text.partition(" of 10")
    if of and not ten.strip():
        try:
            return of_ten(number(count, beyond=lambda value: value > TEN))
        except ValueError as refused:
            raise Refused({name: f'"{text}" does not say how likely. Write 4 of 10, or 40 %.'}) from refused
    _clear(name, text)
    whole = units.completed(text, "%")
    span = parsed(name, lambda: units.span(whole, units.Kind.SHARE, unit="%")) if ".." in whole else None
    if span is not None and span.lower is not None and span.upper is not None:
        ends = span.lower, span.upper
    else:
        value = parsed(name, lambda: units.quantity(whole, units.Kind.SHARE, unit="%").value)
        ends = value, value
    low, high = (one / 100.0 for one in ends)
    if not 0.0 <= low <= high <= 1.0:
        raise Refused({name: f'"{text}" is no chance; it lies between 0 and 100 %. Write such as 40 %, or 30..50 %.'})
    return Chance(low) if low == high else Chance(round(0.5 * (low + high), 12), low, high)


def _clear(name: str, text: str) -> None:
    """Refuse a bare share of one, which a percent sign would make a hundred times smaller."""
    fractions = [one for one in text.split("..") if FRACTION.fullmatch(one.strip()) and float(one.replace(",", "."))]
    if fractions:
        share = float(fractions[0].replace(",", "."))
        raise Refused(
            {name: f'"{text}" can be {share:g} % or {100.0 * share:g} %. Write the sign: {100.0 * share:g} %.'}
        )
