"""At the open cover: what was typed and what the sheet says of a doubtful part, one advice, and where it flips."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from knowngood.acts.faults.cover_words import counted, sentence
from knowngood.acts.faults.doubtful_parts import Doubtful
from knowngood.acts.faults.part_typed import Typed
from knowngood.acts.faults.problem import HOUR_OURS
from knowngood.acts.prices import money_words
from knowngood.engine.troubleshooting.amounts import Chance, Price
from knowngood.engine.troubleshooting.cover_decision import Decision, Option, SafetyDecision, decide, safety_decision
from knowngood.engine.troubleshooting.doubtful import BAD_NEW, CheapTest, DoubtfulPart, Wear
from knowngood.gate import CAUTIONS
from knowngood.refusal import Refused, parsed

# Ours, wide on purpose, and told wherever they count: what nobody stated is thought of in hours of the person's own.
PART_HOURS, DAMAGE_HOURS, AGAIN_MINUTES, PART_MINUTES = 2.0, 2.0, 90.0, 10.0
# Ours: how far off each of those may be, either way.
WIDE = 2.0
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
class Weighed:
    """What to do about a doubtful part, and what that is made of.

    Args:
        part: Which one.
        decision: The engine's; for a safety part without arithmetic.
        sentence: The one advice, in words.
        counted: What went into it, in words.
        assumed: What nobody stated, in words.
        holds: The advice stays the same wherever what was assumed really lies.
        test: Name of the test that could be made now; None when there is none.
    """

    part: Doubtful
    decision: Decision | SafetyDecision
    sentence: str
    counted: str = ""
    assumed: tuple[str, ...] = ()
    holds: bool = True
    test: str | None = None

    @property
    def advice(self) -> Option:
        """The one advice."""
        return self.decision.advice

    @property
    def reason(self) -> str:
        """The advice as the reason of a decision."""
        return self.sentence


@dataclass(frozen=True)
class _Inputs:
    """What the engine is asked, with the names of what was assumed."""

    chance: Chance
    part: DoubtfulPart
    rate: float
    quote: Price | None
    test: CheapTest | None
    later_test: CheapTest | None
    test_name: str | None
    assumed: Mapping[str, str]

    def decide(self) -> Decision:
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


def weigh(known: Known, typed: Mapping[str, str], *, own_work: bool = True) -> Weighed:
    """Return what to do about a doubtful part within reach.

    Args:
        known: What the sheet, the garage and the findings say.
        typed: By field of `FIELDS`, as typed; what is empty is taken from `known`, else assumed and told.
        own_work: The person may do this work; when not, a safety part is handed over.

    Raises:
        Refused: A sentence at each field that cannot be used.
    """
    if known.part.kind is not None:
        found = safety_decision(known.part.kind, own_work=own_work and not known.part.handed_over)
        usual = f" {CAUTIONS[known.part.kind]}" if known.part.handed_over else ""
        return Weighed(known.part, found, found.says + usual)
    inputs = parsed("", lambda: _inputs(known, typed))
    decision = parsed("", inputs.decide)
    return Weighed(
        known.part,
        decision,
        sentence(decision, test=inputs.test_name, said=_said(known, typed)),
        counted(inputs.part, rate=inputs.rate, quote=inputs.quote),
        tuple(inputs.assumed.values()),
        _holds(inputs, decision.advice),
        inputs.test_name,
    )


def as_json(told: Weighed) -> dict[str, Any]:
    """Return the same as plain JSON; money is in the owner's own, probabilities are from 0 to 1."""
    row: dict[str, Any] = {"about": told.part.key, "name": told.part.name, "advice": told.advice.value}
    if isinstance(told.decision, SafetyDecision):
        return {**row, "safety": told.part.kind, "options": [], "flips_at": [], "sentence": told.sentence}
    one = told.decision
    return {
        **row,
        "probability": {"value": one.chance.value, "low": one.chance.lowest, "high": one.chance.highest},
        "failing": one.failing,
        "options": [
            {"option": cost.option.value, "money": cost.money, "minutes": cost.minutes, "expected_cost": cost.total}
            for cost in one.options
        ],
        "flips_at": list(one.flips_at),
        "break_even": one.break_even,
        "stretches": [{"option": part.plan.option.value, "low": part.low, "high": part.high} for part in one.stretches],
        "same_over_range": one.same_over_range,
        "sentence": told.sentence,
        "counted": told.counted,
        "assumed": list(told.assumed),
        "holds_whatever_was_assumed": told.holds,
    }


def _said(known: Known, typed: Mapping[str, str]) -> str:
    """Where the chance comes from."""
    if Typed(typed).has("probability"):
        return "you say"
    return "the tests so far say" if known.chance else "nobody knows, so it is taken as"


# --- what was typed ---------------------------------------------------------------------------------------------------


def _inputs(known: Known, typed: Mapping[str, str]) -> _Inputs:
    read, assumed = Typed(typed).sound(), dict[str, str]()
    rate = read.money("hour")
    if rate is None:
        rate = known.hour
    if rate is None:
        rate, assumed["hour"] = HOUR_OURS, f"an hour of yours is worth {HOUR_OURS:g}"
    chance = read.chance("probability") or known.chance
    if chance is None:
        chance, assumed["probability"] = EVEN, "as likely bad as good"
    replaced = read.price("part", known.part.replace)
    if replaced is None:
        guessed = _part_assumed(known.part, rate, assumed)
        replaced = read.price("part", guessed) or guessed
    again = read.price("again", known.part.again)
    if again is None:
        again = Price(minutes=read.minutes("again_minutes") or AGAIN_MINUTES)
        if not read.has("again_minutes"):
            assumed["again"] = f"getting to it again takes {AGAIN_MINUTES:g} min"
    damage = read.price("damage", None)
    if damage is None:
        damage = Price(DAMAGE_HOURS * rate, read.minutes("damage_minutes") or 0.0)
        assumed["damage"] = f"a tow or damage costs {money_words(damage.money)} if it fails first"
    later, new_bad = read.money("part_later"), read.chance("new_bad")
    if new_bad is None:
        assumed["new_bad"] = f"{100 * BAD_NEW:g} in 100 new parts, or their fitting, are bad"
    part = DoubtfulPart(
        replaced,
        again,
        damage,
        replace(replaced, money=later) if later is not None else None if read.has("part") else known.part.later,
        life_left=read.money("credit") or 0.0,
        bad_new=BAD_NEW if new_bad is None else new_bad.value,
        wear=_wear(read, known, assumed),
    )
    quote = read.money("quote")
    test = (None, found) if (found := read.test("test")) else known.part.test
    return _Inputs(
        chance,
        part,
        rate,
        known.quote if quote is None else Price(quote),
        test[1] if test else None,
        read.test("later_test"),
        test[0] if test else None,
        assumed,
    )


def _part_assumed(part: Doubtful, rate: float, assumed: dict[str, str]) -> Price:
    price = Price(PART_HOURS * rate, PART_MINUTES if part.minutes is None else part.minutes)
    assumed["part"] = f"the new part costs {money_words(price.money)}"
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
        assumed["age"] = f"it is the first one, with {age:,.0f} km behind it".replace(",", " ")
    if horizon is None:
        horizon, assumed["horizon"] = 0.2 * life, f"it is to hold for {0.2 * life:,.0f} km more".replace(",", " ")
    assumed["shape"] = "such parts wear out rather than break at random"
    return Wear(age, horizon, life, WEARS_OUT)


# --- how far it holds -------------------------------------------------------------------------------------------------


def _holds(inputs: _Inputs, advice: Option) -> bool:
    """Does the advice stay with each assumed price twice as high, and half as high?"""
    return all(one.decide().advice is advice for factor in (1.0 / WIDE, WIDE) for one in _others(inputs, factor))


def _others(inputs: _Inputs, factor: float) -> Iterator[_Inputs]:
    part = inputs.part
    if "part" in inputs.assumed:
        yield replace(inputs, part=replace(part, replace=_times(part.replace, factor)))
    if "again" in inputs.assumed:
        yield replace(inputs, part=replace(part, access=_times(part.access, factor)))
    if "damage" in inputs.assumed:
        yield replace(inputs, part=replace(part, damage=_times(part.damage, factor)))
    if "hour" in inputs.assumed:
        yield replace(inputs, rate=inputs.rate * factor)


def _times(price: Price, factor: float) -> Price:
    return Price(price.money * factor, price.minutes * factor)


def stretches(told: Decision, option: Option) -> Sequence[tuple[float, float]]:
    """Return where an option costs least: pairs of probabilities, neighbours in one."""
    found = [(one.low, one.high) for one in told.stretches if one.plan.option is option]
    joined: list[tuple[float, float]] = found[:1]
    for before, one in pairwise(found):
        if before[1] == one[0]:
            joined[-1] = (joined[-1][0], one[1])
        else:
            joined.append(one)
    return joined
