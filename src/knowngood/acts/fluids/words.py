"""The ledger in words: what is owed, what litre for litre would do, what to have at hand."""

from knowngood import units
from knowngood.acts.fluids.at_hand import AtHand
from knowngood.acts.fluids.ledger import WAYS, Entry, Told, ledger
from knowngood.acts.job.garage import Job
from knowngood.acts.readings.values import decimals_for
from knowngood.acts.tools.prices import money_words
from knowngood.engine.fluids.ledger import Way
from knowngood.engine.judgement import Estimate
from knowngood.sheet.circuits import Circuit, Fluid
from knowngood.sheet.model import Step

HOW_MUCH = {Way.OUT: "came out", Way.IN: "went in"}
LEVEL = "The level decides, not the jug."
# Ours: less than this cannot be seen in a jug. [L]
LEAST_SEEN_L = 0.005
# What no engine runs without. Ours: what is short of more than this does not only wait to be bled. [L]
RUN_ON, SHORT_L = (Fluid.COOLANT, Fluid.ENGINE_OIL), 1.0


def litres(estimate: Estimate, *, sign: bool = False) -> str:
    """A volume with half of its 95 % interval.

    Example:
        >>> from knowngood.engine.judgement import Row
        >>> litres(Estimate(4.5571, "L", (Row("jug", 0.083),)))
        '4.56 ± 0.16 L'
    """
    half = half_of(estimate)
    places = min(3, max(2, decimals_for(half))) if half else 2
    value = units.signed(f"{estimate.value:{'+' if sign else ''}.{places}f}")
    return f"{value} ± {half:.{places}f} L"


def circuit_words(one: Circuit) -> str:
    """A circuit and what it holds, said once where both are one word."""
    return one.name if one.name.lower() == one.fluid.value else f"{one.name}, {one.fluid.value}"


def way_words(job: Job, one: Entry) -> str:
    """Where a pouring went; a part by its name."""
    return f"left in the old {job.sheet.parts[one.part].name}" if one.part in job.sheet.parts else WAYS[one.moved.way]


def typed_words(one: Entry) -> str:
    """A pouring as it was read, with the vessel where one was named."""
    if one.assumed:
        return f"{one.typed}, assumed from the sheet"
    return f"{one.typed}, {one.moved.vessel.name}" if one.moved.vessel else one.typed


def half_of(estimate: Estimate) -> float:
    """Half of the 95 % interval."""
    low, high = estimate.interval(0.95)
    return 0.5 * (high - low)


def owed_words(told: Told) -> str:
    """What is still owed to a circuit, brought to 20 °C, with its doubt."""
    if told.unwritten:
        return unwritten_words(told)
    if not told.entries:
        return "Nothing is owed."
    low, high = told.owed.interval(0.95)
    off = f" The level may be off by {told.allowed.upper:g} L." if told.allowed and told.allowed.upper else ""
    if low <= 0.0 <= high:
        return f"In and out agree as far as can be told: {litres(told.owed, sign=True)} at 20 °C.{off}"
    size = f"{abs(told.owed.value):.2f} ± {half_of(told.owed):.2f} L"
    if told.owed.value < 0.0:
        return f"{size} more went in than is gone, brought to 20 °C.{off} {LEVEL}"
    if told.beyond and told.total:
        return (
            f"{size} are gone, brought to 20 °C, and it holds {told.total.value:.3g} L in all. A filling is missing "
            "here, or a pouring stands twice or was misread: correct that first."
        )
    what = "less went in than is gone" if told.filled else "are still owed"
    return f"{size} {what}, brought to 20 °C.{off} {LEVEL}"


def short_words(job: Job, step: Step) -> list[str]:
    """Return a caution for each circuit that is clearly short of what went out of it, where the engine is started."""
    if "running(engine)" not in (fact.text for fact in step.makes):
        return []
    found = (ledger(job, circuit) for circuit, one in job.sheet.circuits.items() if one.fluid in RUN_ON)
    return [
        f"{told.name}: {told.owed.value:.2f} ± {half_of(told.owed):.2f} L less went in than is gone. "
        "See that it is full to its mark before the engine runs: without it the engine is ruined in minutes."
        for told in found
        if told.entries and not told.unwritten and told.owed.interval(0.95)[0] > SHORT_L
    ]


def unwritten_words(told: Told) -> str:
    """That nobody wrote down how much came out or went in, and what follows from that."""
    each = [f"{HOW_MUCH[one.way]} at step {one.number}" for one in told.unwritten]
    return f"You did not write down how much {', nor how much '.join(each)}, so nobody can tell what is owed. {LEVEL}"


def pour_words(told: Told) -> str:
    """The one amount to pour in by what is gone; empty where that cannot be told."""
    if told.against is None or told.filled or told.beyond or told.unwritten or told.against.pour.value <= 0.0:
        return ""
    return f"pour in {told.against.pour.value:.2f} L, as much as is gone. {LEVEL}"


def title(told: Told) -> str:
    """What the volumes are held against."""
    return "Out against in" if told.filled else "Still owed"


def ends_with(told: Told) -> tuple[str, str]:
    """Where a ledger ends, for a table: a word, and the volume at 20 °C."""
    if told.unwritten:
        return "not all was written down", "–"
    low, high = told.owed.interval(0.95)
    short = "less in than gone" if told.filled else "still owed"
    word = "in and out agree" if low <= 0.0 <= high else short if low > 0.0 else "more in than gone"
    return word, litres(told.owed, sign=True)


def litre_words(told: Told) -> str | None:
    """What pouring back litre for litre would do; None before anything is gone, once filled, or when that cannot be."""
    if told.against is None or told.filled or told.beyond or told.unwritten:
        return None
    pour, over = told.against.pour, told.against.over
    if pour.value <= 0.0:
        plain = told.against.plain_l
        even = "it looks even" if abs(plain) < LEAST_SEEN_L else f"it is {abs(plain):.2f} L {_side(-plain)}"
        return f"Litre for litre {even}; brought to {told.pour_c:g} °C it is {-pour.value:.2f} L too much."
    return f"{_gone_words(told)}: pour {_back(told)} {pour.value:.2f} L at {told.pour_c:g} °C; {_over_words(over)}."


def _back(told: Told) -> str:
    return "in" if told.came_in_l else "back"


def _gone_words(told: Told) -> str:
    gone = [one for one in told.entries if one.moved.way is not Way.IN]
    if len(gone) > 1 or told.came_in_l:
        went = f", {told.came_in_l:.2f} L went in" if told.came_in_l else ""
        return f"As read, {told.gone_l:.2f} L are gone{went}"
    warm = gone[0].moved.celsius
    at = "its temperature not taken" if warm is None else units.signed(f"at {warm:g} °C")
    took = "You took out" if gone[0].moved.way is Way.OUT else "Gone is"
    return f"{took} {gone[0].moved.litre:g} L{', ' if warm is None else ' '}{at}"


def _over_words(over: Estimate) -> str:
    if abs(over.value) < LEAST_SEEN_L:
        return "litre for litre comes to the same"
    low, high = over.interval(0.95)
    size = f"{abs(over.value):.2f} L {_side(over.value)}"
    return f"litre for litre {'may' if low <= 0.0 <= high else 'would'} be {size}"


def _side(over: float) -> str:
    return "too much" if over > 0.0 else "too little"


def hand_words(found: AtHand) -> str:
    """How much to have at hand."""
    if not found.litres.nearly_sure_l:
        return "No more has to be at hand: what went in is enough."
    likely, nearly = found.litres.likely_l, found.litres.nearly_sure_l
    have = "By what is still owed, have" if found.measured else "Have"
    return (
        f"{have} {likely:.1f} L at hand, which is enough 4 times out of 5; {nearly:.1f} L is enough 19 times out of 20."
    )


def cans_words(found: AtHand) -> str | None:
    """The cheapest cans, their price and what is left over; None where nobody stated what a can holds."""
    bought = found.bought
    if bought is None:
        return None
    sizes = [(count, litre) for count, (litre, _) in zip(bought.counts, found.cans, strict=True) if count]
    cans = " + ".join(f"{count} × {litre:g} L" for count, litre in reversed(sizes))
    price = "" if bought.price is None else f" for {money_words(bought.price)}"
    left = bought.left_over.value
    return f"Cheapest: {cans}{price}; about {left:.1f} L is left over." if cans else "Nothing needs to be bought."
