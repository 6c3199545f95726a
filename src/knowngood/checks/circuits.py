"""What is drained, filled, run empty, or hot."""

from collections.abc import Iterator, Mapping

from knowngood.checks.walk import Stand, Walk, of_word
from knowngood.sheet.facts import Fact
from knowngood.sheet.model import AskFor, Fluid, LevelBy, Step
from knowngood.sheet.problem import Problem, Severity

# Policy, ours, from the lists for hot metal: above this, wait or stand aside. They say nothing of hot liquid, which is
# worse, and a thin glove holds it against the skin.
BURN_C = 48.0
# What an engine runs on or drives, and what follows without it. Brake fluid and fuel are not: without them it idles, or
# does not run at all. Gear oil may be a differential's, which stands still while the engine idles.
RUN_WITH: Mapping[Fluid, str] = {
    Fluid.COOLANT: "An engine without coolant overheats within minutes, and its gauge may not show it.",
    Fluid.ENGINE_OIL: "An engine without oil is damaged within a minute.",
    Fluid.GEARBOX_OIL: "Its pump turns with the engine, draws air, and what it should press and cool burns.",
    Fluid.STEERING_FLUID: "Its pump runs dry and is scored.",
    Fluid.GEAR_OIL: "A manual gearbox turns with the engine, in neutral too.",
}


def _drained(walk: Walk, stand: Stand) -> set[str]:
    """Circuits that a step drains."""
    made = of_word(walk.actions[stand.index].makes, "drained")
    return made | ({stand.step.drain} if stand.step.drain else set())


def drained_unproven(walk: Walk) -> Iterator[Problem]:
    """A circuit drained before its refill port is proven to open."""
    told: set[str] = set()
    for _, stand in walk.stands():
        for name in sorted(_drained(walk, stand) & set(walk.sheet.circuits) - told):
            circuit = walk.sheet.circuits[name]
            if f"proven({circuit.refill})" in stand.before:
                continue
            told.add(name)
            yield walk.problem(
                "refill not proven", Severity.STOP, ("steps", stand.index),
                f'drains "{circuit.name}" before its refill is proven to open. A seized refill strands the vehicle. '
                f'Add a step before it with "makes: [proven({circuit.refill})]", and need that here.',
            )  # fmt: skip


def run_empty(walk: Walk) -> Iterator[Problem]:
    """The engine run while a circuit that it needs is drained."""
    told: set[str] = set()
    for _, stand in walk.stands():
        empty = of_word(stand.before, "drained") & of_word(stand.after, "drained") | _drained(walk, stand)
        if not _running(stand):
            continue
        for name in sorted(empty - told):
            circuit = walk.sheet.circuits.get(name)
            if circuit and circuit.fluid not in RUN_WITH:
                continue
            told.add(name)
            follows = RUN_WITH[circuit.fluid] if circuit else "What runs empty is damaged within minutes."
            still = circuit is not None and circuit.fluid is Fluid.GEAR_OIL and "in_gear" not in stand.during
            yield walk.problem(
                "run empty", Severity.CAUTION if still else Severity.STOP, ("steps", stand.index),
                f'the engine runs while "{circuit.name if circuit else name}" is drained. {follows} '
                f'Fill it first, with "ends: [drained({name})]" in that step.',
            )  # fmt: skip


def _running(stand: Stand) -> bool:
    return "running(engine)" in stand.during


def burns(walk: Walk) -> Iterator[Problem]:
    """Hot fluid where nobody is told to wait or to stand aside."""
    told: set[int] = set()
    for _, stand in walk.stands():
        step = stand.step
        if step.wait or step.stand_aside or stand.index in told:
            continue
        found = _touched(step) or _set_hot(walk, step) or _opened_hot(walk, stand)
        if found:
            told.add(stand.index)
            yield walk.problem(
                "hot fluid", Severity.STOP, ("steps", stand.index),
                f"{found}. Above {BURN_C:g} °C it burns, and thin gloves are no protection. "
                "Let it cool first (wait), or write stand_aside: true.",
            )  # fmt: skip


def _touched(step: Step) -> str | None:
    if step.touches is None or step.touches.value <= BURN_C:
        return None
    return f"fluid of {step.touches.text} can run over the hands"


def _set_hot(walk: Walk, step: Step) -> str | None:
    """The level set at an overflow plug in a window that reaches above what the hands bear."""
    level = walk.sheet.circuits[step.level].level if step.level else None
    window = walk.value(level.window, AskFor.TEMPERATURES) if level else None
    if level is None or level.by is not LevelBy.OVERFLOW_PLUG or window is None:
        return None
    if window.upper is not None and window.upper <= BURN_C:
        return None
    return f"fluid in its window of {window.text} can run over the hands"


def _opened_hot(walk: Walk, stand: Stand) -> str | None:
    """Circuits that are hot while they are drained or their refill is opened."""
    hot = of_word(stand.before, "hot")
    if drained := sorted(_drained(walk, stand) & hot):
        return f'drains "{_name(walk, drained[0])}" while it is hot'
    opened = {Fact.read(text).of for text in walk.actions[stand.index].makes if text.startswith(("open(", "proven("))}
    under_heat = sorted(name for name in hot & set(walk.sheet.circuits) if walk.sheet.circuits[name].refill in opened)
    return f'opens "{_name(walk, under_heat[0])}" while it is hot' if under_heat else None


def _name(walk: Walk, circuit: str) -> str:
    known = walk.sheet.circuits.get(circuit)
    return known.name if known else circuit
