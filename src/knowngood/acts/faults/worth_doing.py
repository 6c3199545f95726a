"""Worth doing oneself: the scopes of a sheet against the quote, with what is known of prices, times and chances."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from knowngood.acts.faults.cover_words import exactly
from knowngood.acts.faults.part_price import WIDE, unpriced_part, unpriced_words
from knowngood.acts.faults.part_typed import Typed, still_read
from knowngood.acts.faults.problem import HOUR_OURS
from knowngood.acts.faults.suspects import Suspected, suspected_here
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.run import in_scope
from knowngood.acts.job.spent import paid_for_parts
from knowngood.acts.tools.prices import cans_of, expected_words, money_words, prices_of
from knowngood.checks.chances import chance
from knowngood.engine.judgement import Estimate, Row, Shape
from knowngood.engine.judgement.inputs import PER_HALF_WIDTH
from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.worth.scopes import QUOTE, Scope, Tool, Way, Worth, compare
from knowngood.refusal import parsed
from knowngood.sheet.model import Step
from knowngood.sheet.suspects import Repair
from knowngood.words import small

WHOLE, WHOLE_NAME = "all of it", "the whole job"
# Ours, wide on purpose, when nothing says how likely it is right afterwards.
USUALLY = Chance(0.7, 0.5, 0.9)
# Ours: how often a step comes to be done that hangs on a finding, where no repair with known suspects says it.
PERHAPS = 0.5
# A step, and how likely it comes to be done.
Likely = tuple[Step, float]
FIELDS = ("parts", "fluids", "tools", "later_uses", "fixes", "hour", "quote")


@dataclass(frozen=True)
class Told:
    """What is worth doing, in words.

    Args:
        worth: The engine's.
        names: What each scope is called, by its key.
        sentence: The one advice, and where it flips.
        counted: For each way what goes into it, in words.
        assumed: What nobody stated, in words.
    """

    worth: Worth
    names: Mapping[str, str]
    sentence: str
    counted: Mapping[str, str]
    assumed: tuple[str, ...]


def comparable(garage: Garage, job: Job, scope: str, typed: Mapping[str, str]) -> None:
    """See that what was typed of a scope can be used.

    Raises:
        Refused: A sentence at each field that cannot.
    """
    quote = _quote(job, [dict(typed)]) or 0.0
    _scope(garage, job, scope, Typed(typed).sound(), [], quote, suspected_here(garage, job))


def scopes_of(job: Job) -> dict[str, str]:
    """Return the scopes that are compared, with their names: those of the sheet, or all of it."""
    return dict(job.sheet.scopes) or {WHOLE: WHOLE_NAME}


def typed_of(job: Job, scope: str) -> dict[str, str]:
    """Return what was typed last of a scope, by field."""
    event = job.state.newest("worth_stated", "scope").get(scope)
    return still_read(event.data["typed"]) if event else {}


def worth_doing(garage: Garage, job: Job) -> Told | None:
    """Return what each scope costs against the quote; None when nobody asked for one.

    Raises:
        Refused: What was typed makes no comparison.
    """
    names = scopes_of(job)
    typed = {key: typed_of(job, key) for key in names}
    quote = _quote(job, list(typed.values()))
    if not quote:
        return None
    assumed: list[str] = []
    hour = _hour(garage, job, list(typed.values()), assumed)
    known = suspected_here(garage, job)
    scopes = [_scope(garage, job, key, Typed(one), assumed, quote, known) for key, one in typed.items()]
    minutes = job.sheet.quote.minutes.value if job.sheet.quote and job.sheet.quote.minutes else 0.0
    priced, took = Estimate(quote, "money"), Estimate(minutes, "min")
    worth = parsed("", lambda: compare(scopes, priced, rate_per_hour=hour, quote_minutes=took))
    counted = {one.key: _counted(one) for one in scopes}
    return Told(worth, names, _sentence(worth, names), counted, tuple(dict.fromkeys(assumed)))


def as_json(told: Told) -> dict[str, Any]:
    """Return the same as plain JSON; money is in the owner's own."""
    return {
        "advice": told.worth.advice,
        "surely": told.worth.surely,
        "sentence": told.sentence,
        "ways": [
            {
                "scope": way.key, "expected_cost": way.expected.value, "money": way.money.value,
                "paid_now": way.paid_now.value, "minutes": way.minutes.value, "fixes": way.fixes, "pays": way.pays,
                "low": way.low, "high": way.high,
            }
            for way in told.worth.ways
        ],
        "by_hour": [{"scope": one.key, "low": one.low, "high": one.high} for one in told.worth.by_rate],
        "assumed": list(told.assumed),
    }  # fmt: skip


# --- what one scope takes ---------------------------------------------------------------------------------------------


def _quote(job: Job, typed: list[dict[str, str]]) -> float | None:
    """What the shop asks: as typed here, else of the job, else the sheet's typical one."""
    said = next((found for one in typed if (found := Typed(one).money("quote")) is not None), job.quote)
    return job.sheet.quote.money if said is None and job.sheet.quote else said


def _hour(garage: Garage, job: Job, typed: list[dict[str, str]], assumed: list[str]) -> float:
    said = next((found for one in typed if (found := Typed(one).money("hour")) is not None), None)
    if said is None:
        said = prices_of(garage.toolbox(), job.sheet).hour
    if said is None:
        assumed.append(f"an hour of yours is worth {money_words(HOUR_OURS)}")
        return HOUR_OURS
    return said


def _scope(
    garage: Garage, job: Job, key: str, typed: Typed, assumed: list[str], quote: float, found: Suspected | None
) -> Scope:
    chosen = () if key == WHOLE else (key,)
    steps = [(step, _comes(job, step, found)) for step in job.sheet.steps if in_scope(step, chosen)]
    if any(step.when is not None and share == PERHAPS for step, share in steps):
        assumed.append("of the steps that hang on what is found, half are done")
    bought = {
        "parts": _parts(garage, job, steps, typed, assumed, quote),
        "fluids": _fluids(garage, job, steps, typed, assumed),
    }
    tools, uses = typed.money("tools"), typed.money("later_uses")
    tool = (Tool("tools", Estimate(tools, "money"), uses or 0.0),) if tools else ()
    return Scope(key, bought, _minutes(steps), _fixes(job, steps, typed, assumed, found), tool)


def _comes(job: Job, step: Step, found: Suspected | None) -> float:
    """How likely a step comes to be done: for one of a repair, how likely what it mends is the fault."""
    if step.when is None:
        return 1.0
    mended = {cause for one in job.sheet.repairs.values() if step.id in one.step for cause in one.fixes}
    if found is None or not mended:
        return PERHAPS
    return min(1.0, sum(one.after for one in found.suspects if one.key in mended))


def _parts(garage: Garage, job: Job, steps: list[Likely], typed: Typed, assumed: list[str], quote: float) -> Estimate:
    """As typed, else what the garage knows of the parts, each as likely as it is fitted; a can counts as a fluid.

    A part that only the sheet prices costs what its repair does.
    """
    stated = typed.money("parts")
    if stated is not None:
        return Estimate(stated, "money")
    alone = [one for one in job.sheet.repairs.values() if one.money is not None and len(one.part) == 1]
    prices = {**{one.part[0]: one.money or 0.0 for one in alone}, **prices_of(garage.toolbox(), job.sheet).parts}
    fitted: dict[str, float] = {}
    for step, share in steps:
        fitted |= {part: max(share, fitted.get(part, 0.0)) for part in step.fit}
    paid = paid_for_parts(job)
    known = sum(
        paid.get(part, share * prices.get(part, 0.0) * job.sheet.parts[part].count) for part, share in fitted.items()
    )
    cans = {part for step, _ in steps if step.fill and _cans(garage, job, step.fill.circuit) for part in step.fit}
    silent = [part for part in fitted if part not in (prices | paid) and part not in cans]
    guessed = unpriced_part(quote) * sum(fitted[part] for part in silent)
    if words := unpriced_words([job.sheet.parts[part].name for part in silent], quote):
        assumed.append(small(words).removesuffix("."))
    return _about(known + guessed, WIDE * guessed, "parts")


def _fluids(garage: Garage, job: Job, steps: list[Likely], typed: Typed, assumed: list[str]) -> Estimate:
    stated = typed.money("fluids")
    if stated is not None:
        return Estimate(stated, "money")
    total = 0.0
    for circuit in dict.fromkeys(step.fill.circuit for step, _ in steps if step.fill):
        if cans := _cans(garage, job, circuit):
            total += min(price for _, price in cans)
        else:
            assumed.append(f"{job.sheet.circuits[circuit].name.casefold()} costs nothing, for nobody priced it")
    return Estimate(total, "money")


def _cans(garage: Garage, job: Job, circuit: str) -> tuple[tuple[float, float], ...]:
    return cans_of(garage.toolbox(), job.sheet.circuits[circuit].fluid.value)


def _minutes(steps: list[Likely]) -> Estimate:
    """The usual times; a person who is slow at one step is slow at all of them."""
    low, usual, high = (sum(share * step.time.values[at] * step.repeat for step, share in steps) for at in range(3))
    half = 0.5 * (high - low)
    row = Row("pace", half * PER_HALF_WIDTH[Shape.TRIANGULAR], shape=Shape.TRIANGULAR, name="how fast you work")
    return Estimate(usual, "min", (row,) if half else ())


def _about(value: float, half: float, key: str) -> Estimate:
    row = Row(key, half * PER_HALF_WIDTH[Shape.RECTANGULAR], shape=Shape.RECTANGULAR, name=f"what {key} cost")
    return Estimate(value, "money", (row,) if half else ())


def _fixes(job: Job, steps: list[Likely], typed: Typed, assumed: list[str], found: Suspected | None) -> Chance:
    """As typed, else by the suspects: how likely each is, and how surely a repair of this scope fixes it."""
    stated = typed.chance("fixes")
    if stated is not None:
        return stated
    repairs, nowhere = _repairs_in(job, [step for step, _ in steps])
    if nowhere:
        names = ", ".join(one.name for one in nowhere)
        assumed.append(f"no step or part says which scope does: {names}; it counts in none")
    if not repairs and job.sheet.scopes and not any(step.fit or step.fill for step, _ in steps):
        assumed.append("a scope that renews nothing and does no repair mends nothing")
        return Chance(0.0)
    if not repairs and job.sheet.repairs and not nowhere:
        return Chance(0.0)  # what it does is no repair
    if found is None or not repairs:
        assumed.append(f"it is right afterwards with {exactly(USUALLY.value)}")
        return USUALLY
    ends = [0.0, 0.0, 0.0]
    for one in found.suspects:
        sure = [chance(repair.fixes[one.key]) for repair in repairs if one.key in repair.fixes]
        best = max(sure, key=lambda each: each.value, default=None)
        for at, share in enumerate((best.lowest, best.value, best.highest) if best else ()):
            ends[at] += one.after * share
    low, value, high = (min(1.0, one) for one in ends)
    return Chance(value, min(low, value), max(high, value))


def _repairs_in(job: Job, steps: list[Step]) -> tuple[list[Repair], list[Repair]]:
    """The repairs that some steps do, by the steps that they name or the parts that they take; and those of no scope.

    In a sheet without scopes all that names neither is done by its steps.
    """
    ids, fitted = {step.id for step in steps}, {part for step in steps for part in step.fit}
    anywhere = {part for step in job.sheet.steps for part in step.fit}
    silent = [one for one in job.sheet.repairs.values() if not one.step and not anywhere.intersection(one.part)]
    said = [one for one in job.sheet.repairs.values() if one not in silent]
    done = [one for one in said if (ids.issuperset(one.step) if one.step else fitted.issuperset(one.part))]
    return (done, silent) if job.sheet.scopes else (done + silent, [])


# --- in words ---------------------------------------------------------------------------------------------------------


def _counted(scope: Scope) -> str:
    rows = [f"{what} {expected_words(one.value)}" for what, one in scope.bought.items() if one.value]
    rows += [f"tools {money_words(tool.price.value)}, {exactly(tool.share)} of it for this job" for tool in scope.tools]
    return ", ".join([*rows, f"{scope.minutes.value / 60:.1f} h", f"right afterwards {exactly(scope.fixes.value)}"])


def _sentence(worth: Worth, names: Mapping[str, str]) -> str:
    """The cheapest on average against the quote, and where that flips."""
    first, quote = worth.ways[0], next(way for way in worth.ways if way.key == QUOTE)
    if first.key == QUOTE:
        other = worth.ways[1]
        words = f"Hand it over: {_money(first)} against {_money(other)} on average for doing it yourself"
    else:
        words = f"Do it yourself ({names[first.key]}): {_money(first)} on average against {_money(quote)} for the quote"
    return f"{words}. {_flip(worth)}"


def _money(way: Way) -> str:
    return expected_words(way.expected.value)


def _flip(worth: Worth) -> str:
    """The nearest quote at which another way wins."""
    now = next(one for one in worth.by_quote if one.key == worth.advice)
    ends = [f"below a quote of {expected_words(now.low)}"] if now.low > 0.0 else []
    ends += [f"above a quote of {expected_words(now.high)}"] if now.high != float("inf") else []
    return f"The answer flips {' and '.join(ends)}." if ends else "No quote would change that."
