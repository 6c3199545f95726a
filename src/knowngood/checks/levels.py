"""How a level is set: what it depends on must hold, what runs over the hand is known, and no filling is left unset."""

from collections.abc import Collection, Iterator

from knowngood.checks.walk import Stand, Walk, Way, fact_of, of_word, spelled
from knowngood.sheet.facts import Fact
from knowngood.sheet.model import Level, LevelBy
from knowngood.sheet.problem import Problem, Severity
from knowngood.sheet.standing import LOST_WITH


def level_depends(walk: Walk) -> Iterator[Problem]:
    """A level set while something that it depends on does not hold."""
    told: set[tuple[int, Fact]] = set()
    for way in walk.ways:
        for place, stand in enumerate(way.stands):
            level = _level(walk, stand.step.level)
            for fact in level.depends if level else ():
                if (stand.index, fact) not in told and not _holds(walk, way, place, fact):
                    told.add((stand.index, fact))
                    yield walk.problem(
                        "level reads falsely", Severity.STOP, ("steps", stand.index, "level"),
                        _falsely(walk, way, stand, fact),
                    )  # fmt: skip


def _level(walk: Walk, circuit: str | None) -> Level | None:
    return walk.sheet.circuits[circuit].level if circuit else None


def _holds(walk: Walk, way: Way, place: int, fact: Fact) -> bool:
    """Does it hold at some moment of the step?"""
    stand, text = way.stands[place], Fact(fact.word, fact.of).text
    if not fact.holds:
        return not (text in stand.before and text in stand.after)
    return text in stand.during and not _lost(walk, way, place, text)


def _lost(walk: Walk, way: Way, place: int, text: str) -> bool:
    """Was it made while the vehicle stood otherwise, or before the engine was last off?"""
    words = LOST_WITH.get(fact_of(text).word, ())
    first = way.stands[0].before
    made = {_state(first, words)} if text in first else set()
    for stand in way.stands[:place]:
        before, after = _state(stand.before, words), _state(stand.after, words)
        if before and after != before:  # back on the ground it stands as it stood there before
            made.discard(before)
        if text in walk.actions[stand.index].makes:
            made.add(after)
    here = way.stands[place]
    makes = text in walk.actions[here.index].makes
    return not makes and not made & {_state(here.before, words), _state(here.after, words)}


def _state(facts: Collection[str], words: Collection[str]) -> frozenset[str]:
    return frozenset(fact for fact in facts if fact_of(fact).word in words)


def _falsely(walk: Walk, way: Way, stand: Stand, fact: Fact) -> str:
    name = walk.sheet.circuits[stand.step.level or ""].name
    where = f" when {way.says}" if way.says else ""
    sets, only = f'sets the level of "{name}"', "Its level counts only then, as level: depends says."
    if not fact.holds:
        ended = fact.text.removeprefix("not ")
        return (
            f"{sets} while {spelled([ended])} holds{where}. Its level counts only without it, as level: depends says. "
            f'Need "{fact.text}" here, and write "ends: [{ended}]" in a step before.'
        )
    found = f"{sets} where {spelled([fact.text])} does not hold"
    if fact.text in stand.during:
        since = "started" if fact.word == "gears_selected" else "raised or lowered"
        what = "the engine" if fact.word == "gears_selected" else "the vehicle"
        return (
            f'{found} any more{where}: {what} was {since} since. {only} Write "makes: [{fact.text}]" in a step between.'
        )
    return f'{found}{where}. {only} Need "{fact.text}" here, and make it in a step before.'


def level_unknown(walk: Walk) -> Iterator[Problem]:
    """A step that sets or follows the level of a circuit that says nothing of one."""
    for index, step in walk.steps:
        if step.between and not step.window:
            yield walk.problem(
                "no level described", Severity.STOP, ("steps", index, "between"),
                f'"{step.id}" names temperatures, and no circuit followed to them. Add "window: …", the circuit.',
            )  # fmt: skip
        for key, circuit in (("window", step.window), ("level", step.level)):
            if not circuit or (key == "window" and step.between):
                continue
            name, level = walk.sheet.circuits[circuit].name, _level(walk, circuit)
            if level is None:
                yield walk.problem(
                    "no level described", Severity.STOP, ("steps", index, key),
                    f'{key} names "{name}", which has no level block. How a level is read and what it depends on '
                    f'stands with its circuit. Add "level: {{by: …}}" to the circuit "{circuit}".',
                )  # fmt: skip
            elif key == "window" and level.window is None:
                yield walk.problem(
                    "no level described", Severity.STOP, ("steps", index, key),
                    f'follows "{name}" to a window that its level does not name. A window is a span of temperatures, '
                    f'or a question to the manual. Add "window: {{ask: …}}" to the level of "{circuit}".',
                )  # fmt: skip


def scalded(walk: Walk) -> Iterator[Problem]:
    """An overflow plug opened with the engine running, and nobody is told how hot what comes out is."""
    told: set[int] = set()
    for _, stand in walk.stands():
        step = stand.step
        if step.touches or step.stand_aside or stand.index in told or "running(engine)" not in stand.during:
            continue
        for name, circuit in walk.sheet.circuits.items():
            level = circuit.level
            if level is None or level.by is not LevelBy.OVERFLOW_PLUG or not _overflows(walk, stand, name, level):
                continue
            told.add(stand.index)
            yield walk.problem(
                "hot overflow", Severity.STOP, ("steps", stand.index),
                f'opens the overflow of "{circuit.name}" with the engine running, and says nothing of hot fluid over '
                'the hand. Write how hot it can be, such as touches: "45 °C", or stand_aside: true.',
            )  # fmt: skip


def _overflows(walk: Walk, stand: Stand, circuit: str, level: Level) -> bool:
    opened = of_word(walk.actions[stand.index].makes, "open")
    return stand.step.level == circuit or level.port in opened


def level_never_set(walk: Walk) -> Iterator[Problem]:
    """A circuit filled whose level no later step sets."""
    told: set[str] = set()
    for way in walk.ways:
        for place, stand in enumerate(way.stands):
            fill = stand.step.fill
            if fill is None or fill.circuit in told or _level(walk, fill.circuit) is None:
                continue
            if any(walk.sheet.steps[index].level == fill.circuit for index in way.later(place)):
                continue
            told.add(fill.circuit)
            where = f" when {way.says}" if way.says else ""
            yield walk.problem(
                "level never set", Severity.STOP, ("steps", stand.index, "fill"),
                f'fills "{walk.sheet.circuits[fill.circuit].name}", whose level no later step sets{where}. The level '
                f'decides, not the jug. Add "level: {fill.circuit}" to the step that sets it.',
            )  # fmt: skip
