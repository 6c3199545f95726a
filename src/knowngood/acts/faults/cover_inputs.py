"""What is asked at the open cover: what was typed, what sheet, garage and findings say, and what was assumed."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from knowngood.acts.faults.doubtful_parts import Doubtful
from knowngood.acts.faults.part_price import unpriced_part
from knowngood.acts.faults.part_typed import Typed
from knowngood.acts.faults.problem import HOUR_OURS
from knowngood.acts.tools.prices import money_words
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.worth.cover_decision import Decision, Option, cheapest, decide
from knowngood.engine.troubleshooting.worth.doubtful import BAD_NEW, CheapTest, DoubtfulPart, Wear
from knowngood.refusal import Refused
from knowngood.words import km_words

# Ours, wide on purpose, and told wherever they count: what nobody stated is thought of in hours of the person's own.
DAMAGE_HOURS, AGAIN_MINUTES, PART_MINUTES = 2.0, 90.0, 10.0
EVEN = Chance(0.5, 0.2, 0.8)
# Ours: parts that wear out do so about this sharply; 1 would be at random.
WEARS_OUT = 3.0


@dataclass(frozen=True)
class Known:
    """What is known of a doubtful part besides what is typed.

    Args:
        part: What the sheet says.
        chance: That it is bad, after all findings; None when no suspect says.
        hour: What an hour of the person is worth; None when nobody said. [money/h]
        quote: What the shop asks to take over, with your own time of bringing it; None when nobody asked.
        odometer_km: What the part has behind it at most, when nobody says when it was renewed. [km]
    """

    part: Doubtful
    chance: Chance | None = None
    hour: float | None = None
    quote: Price | None = None
    odometer_km: float | None = None


@dataclass(frozen=True)
class Inputs:
    """What the engine is asked, with the names of what was assumed."""

    chance: Chance
    part: DoubtfulPart
    rate: float
    quote: Price | None
    test: CheapTest | None
    later_test: CheapTest | None
    test_name: str | None
    assumed: Mapping[str, str]

    def cheapest(self) -> Option:
        """The option of the plan that costs least."""
        return cheapest(
            self.part, self.chance.value, rate_per_hour=self.rate, test=self.test, later_test=self.later_test,
            quote=self.quote,
        )  # fmt: skip

    def decide(self) -> Decision:
        """The engine's decision."""
        found = decide(
            self.part,
            self.chance,
            rate_per_hour=self.rate,
            test=self.test,
            later_test=self.later_test,
            quote=self.quote,
        )
        assert isinstance(found, Decision)  # safety parts never come here
        return found


def inputs_of(known: Known, typed: Mapping[str, str]) -> Inputs:
    """Return what is asked: as typed, else as the sheet, the garage and the findings say, else assumed and told.

    Raises:
        Refused: A sentence at each field that cannot be used.
    """
    read, assumed = Typed(typed).sound(), dict[str, str]()
    rate, chance = _rate(read, known, assumed), _bad(read, known, assumed)
    quote, test = read.money("quote"), (None, found) if (found := read.test("test")) else known.part.test
    return Inputs(
        chance, _doubtful(read, known, rate, assumed), rate, known.quote if quote is None else Price(quote),
        test[1] if test else None, read.test("later_test"), test[0] if test else None, assumed,
    )  # fmt: skip


def _rate(read: Typed, known: Known, assumed: dict[str, str]) -> float:
    rate = read.money("hour")
    rate = known.hour if rate is None else rate
    if rate is None:
        assumed["hour"] = f"an hour of yours is worth {HOUR_OURS:g}"
    return HOUR_OURS if rate is None else rate


def _bad(read: Typed, known: Known, assumed: dict[str, str]) -> Chance:
    chance = read.chance("probability") or known.chance
    if chance is None:
        assumed["probability"] = "as likely bad as good"
    return chance or EVEN


def _doubtful(read: Typed, known: Known, rate: float, assumed: dict[str, str]) -> DoubtfulPart:
    replaced = read.price("part", known.part.replace)
    if replaced is None:
        guessed = _part_assumed(known, read.money("quote"), assumed)
        replaced = read.price("part", guessed) or guessed
    later, new_bad = read.money("part_later"), read.chance("new_bad")
    again, damage = _again(read, known, assumed), _damage(read, rate, assumed)
    if new_bad is None:
        assumed["new_bad"] = f"{100 * BAD_NEW:g} in 100 new parts, or their fitting, are bad"
    return DoubtfulPart(
        replaced, again, damage,
        replace(replaced, money=later) if later is not None else None if read.has("part") else known.part.later,
        life_left=read.money("credit") or 0.0, bad_new=BAD_NEW if new_bad is None else new_bad.value,
        wear=_wear(read, known, assumed),
    )  # fmt: skip


def _again(read: Typed, known: Known, assumed: dict[str, str]) -> Price:
    again = read.price("again", known.part.again)
    if again is not None:
        return again
    if not read.has("again_minutes"):
        assumed["again"] = f"getting to it again takes {AGAIN_MINUTES:g} min"
    return Price(minutes=read.minutes("again_minutes") or AGAIN_MINUTES)


def _damage(read: Typed, rate: float, assumed: dict[str, str]) -> Price:
    stated = read.price("damage", None)
    if stated is not None:
        return stated
    damage = Price(DAMAGE_HOURS * rate, read.minutes("damage_minutes") or 0.0)
    assumed["damage"] = f"a tow or damage costs {money_words(damage.money)} if it fails first"
    return damage


def _part_assumed(known: Known, quote: float | None, assumed: dict[str, str]) -> Price:
    part, asked = known.part, known.quote.money if quote is None and known.quote else quote
    price = Price(unpriced_part(asked), PART_MINUTES if part.minutes is None else part.minutes)
    assumed["part"] = f"the new part costs {money_words(price.money)}{', a quarter of the quote' if asked else ''}"
    if part.minutes is None:
        assumed["part"] += f" and {PART_MINUTES:g} min"
    return price


def _wear(read: Typed, known: Known, assumed: dict[str, str]) -> Wear | None:
    """How it wears out, once somebody says how long such a part lives."""
    life, age, horizon = (read.km(name) for name in ("life", "age", "horizon"))
    if life is None:
        return None
    if age is None:
        age = known.odometer_km
        if age is None:
            raise Refused({"age": "Nothing is written here. Write what the part has behind it, such as 90000 km."})
        assumed["age"] = f"it is the first one, with {km_words(age)} behind it"
    if horizon is None:
        horizon, assumed["horizon"] = 0.2 * life, f"it is to hold for {km_words(0.2 * life)} more"
    assumed["shape"] = "such parts wear out rather than break at random"
    return Wear(age, horizon, life, WEARS_OUT)
