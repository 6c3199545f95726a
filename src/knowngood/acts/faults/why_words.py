"""What is said of suspects, tests, repairs and plans, in the words of a page."""

from collections.abc import Mapping

from knowngood.acts.faults.before import HELPED, SHOWED
from knowngood.acts.faults.checked_again import GONE
from knowngood.acts.faults.found import STILL_THERE
from knowngood.acts.faults.plan import Next, Plan
from knowngood.acts.tools.prices import expected_words
from knowngood.engine.troubleshooting.belief.posterior import Moved
from knowngood.engine.troubleshooting.model.amounts import Price
from knowngood.engine.troubleshooting.model.parts import NO, YES
from knowngood.engine.troubleshooting.policy.moves import Kind
from knowngood.sheet.model import Sheet
from knowngood.words import capital

SHOWS = {YES: "yes", NO: "no", STILL_THERE: "still there", GONE: "the fault is gone"}
# Ours: from here on minutes are told as hours.
HOURS_FROM_MIN = 120.0
# Ours: a chance that moved by less than 1 part in 20 is told as hardly moved.
HARDLY = 1.05
# Ours: beyond this the number says no more.
MOST_TIMES = 100.0


def takes_words(price: Price) -> str:
    """Return money and minutes apart.

    Example:
        >>> takes_words(Price(140.0, 30.0)), takes_words(Price(0.0, 150.0)), takes_words(Price())
        ('140 and 30 min', '2.5 h', 'nothing')
    """
    parts = [expected_words(price.money)] if round(price.money, 1) else []
    if round(price.minutes):
        parts.append(time_words(price.minutes))
    return " and ".join(parts) or "nothing"


def time_words(minutes: float) -> str:
    """Return a time as it is said.

    Example:
        >>> time_words(45.2), time_words(185.0)
        ('45 min', '3.1 h')
    """
    return f"{minutes:.0f} min" if minutes < HOURS_FROM_MIN else f"{minutes / 60.0:.1f} h"


def likelier_words(one: Moved) -> str:
    """Return what a finding did to a suspect.

    Example:
        >>> from knowngood.engine.troubleshooting.belief.posterior import Shown
        >>> likelier_words(Moved("relay", Shown("click", "yes"), 0.2, 0.6, 0.3, 7.8))
        '3 times likelier'
    """
    if one.after == 0.0 or one.before == 0.0:
        return "excluded"
    times = one.after / one.before
    if 1.0 / HARDLY < times < HARDLY:
        return "hardly moved"
    if times > 1.0:
        return f"{_times(times)} times likelier"
    return f"{_times(1.0 / times)} times less likely"


def _times(times: float) -> str:
    if times > MOST_TIMES:
        return f"more than {MOST_TIMES:.0f}"
    return f"{times:.0f}" if times >= 10.0 or abs(times - round(times)) < 0.05 else f"{times:.1f}"


def shows_words(sheet: Sheet, key: str, outcome: str) -> str:
    """Return what a test showed, as the sheet calls it; of a reading its verdict."""
    test = sheet.tests.get(key)
    if test is not None and outcome in test.outcomes:
        return test.outcomes[outcome].name or outcome.replace("_", " ")
    return SHOWS.get(outcome, outcome)


def what_words(next_: Next) -> str:
    """Return what to do next, without what it takes."""
    named = " and ".join(f"“{name}”" for name in next_.names)
    return {Kind.TEST: f"the test {named}", Kind.REPAIR: named, Kind.SHOP: "hand it over to the shop"}[next_.kind]


def next_words(next_: Next) -> str:
    """Return what the best next thing takes and pays.

    Example:
        >>> from knowngood.engine.troubleshooting.model.amounts import Price
        >>> next_words(Next(Kind.REPAIR, ("clip",), ("Press the clip home",), Price(), 90.0))[:22]
        'It takes nothing more.'
    """
    if next_.kind is Kind.SHOP:
        return f"That takes {takes_words(next_.price)}; no plan found with work of your own costs less in the end."
    takes = takes_words(next_.price)
    first = "It takes nothing more." if takes == "nothing" else f"It takes {takes}."
    pays = expected_words(next_.pays)
    return f"{first} Begun with it, mending costs {pays} less on average than handing over at once, your time counted."


def before_words(before: Mapping[str, str], next_: Next) -> str:
    """Return what comes before the next thing where it cannot be done yet; empty where it can.

    Of repairs that share a check it is asked whether the fault is gone once all their steps are done.
    """
    words = list(dict.fromkeys(before.get(key, "") for key in next_.keys))
    return " ".join(one for one in words if one and (one not in (SHOWED, HELPED) or words == [one]))


def proved_words(plan: Plan, *, looking: bool) -> str:
    """Return how good a plan is, and whether a better one is looked for."""
    if looking and not plan.settled:
        return f"Still looking: {plan.label}."
    if plan.exact:
        return "Exact: no other order of tests and repairs costs less on average."
    return f"{capital(plan.label)}."


def outlook_words(plan: Plan) -> list[str]:
    """Return what to expect of the whole plan, money and minutes apart."""
    return [
        f"On average {takes_words(plan.expected)} until it is mended.",
        f"At worst {takes_words(plan.worst)}.",
        f"It ends at the shop's quote in {round(100.0 * plan.shop_chance)} of 100 cases.",
    ]
