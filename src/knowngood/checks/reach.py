"""Can every step be reached, and is the vehicle whole at the end?"""

from collections.abc import Iterator, Mapping

from knowngood.checks.walk import Walk, Way, spelled
from knowngood.engine.planning.order import missing
from knowngood.sheet.facts import WORDS, Fact, texts
from knowngood.sheet.problem import Problem, Severity


def need_nothing_makes(walk: Walk) -> Iterator[Problem]:
    """A need that neither the start nor any step makes, or that nothing ends."""
    start = set(texts(walk.sheet.start))
    made = start | {fact for action in walk.actions.values() for fact in action.makes}
    ended = {fact for action in walk.actions.values() for fact in action.ends}
    for index, step in walk.steps:
        for place, need in enumerate(step.needs):
            path = ("steps", index, "needs", place)
            if need.holds and need.text not in made:
                words = f"{_never_made(walk, need)}{_after_it(_held_up(walk, index))}"
                yield walk.problem("need never made", Severity.STOP, path, words)
            if not need.holds and need.text.removeprefix("not ") in start - ended:
                yield walk.problem(
                    "need never made", Severity.STOP, path,
                    f'needs "{need.text}", which holds from the start and nothing ends. A need must come true before '
                    f'its step. Write "ends: [{need.text.removeprefix("not ")}]" in the step that does it.'
                    f"{_after_it(_held_up(walk, index))}",
                )  # fmt: skip


def _never_made(walk: Walk, need: Fact) -> str:
    elsewhere = [step.id for step in walk.sheet.steps if need.text in texts(step.makes)]
    if elsewhere:
        return (
            f'needs "{need.text}", which only step "{elsewhere[0]}" makes, and that one is not in the chosen scope. '
            f'A need must come true before its step. Choose its scope as well, or take "scope" off that step.'
        )
    return (
        f'needs "{need.text}", which no step makes and which does not hold at the start. A need must come true before '
        f'its step. Write "makes: [{need.text}]" in the step that does it, or add it to start.'
    )


def unreachable(walk: Walk) -> Iterator[Problem]:
    """A step that some way of the job never lets come, though its needs can be made; those that wait for it count."""
    hopeless = {problem.step for problem in need_nothing_makes(walk)}
    for index in walk.never_runs():
        yield walk.problem(
            "unreachable step", Severity.STOP, ("steps", index, "when"),
            "waits for a finding that no step before it makes. A step with when needs a step that reads the limit or "
            "takes the decision. Add it, or take when off.",
        )  # fmt: skip
    told: set[int] = set()
    for way in walk.ways:
        for index, waiting in _causes(walk, way).items():
            if index not in told and walk.sheet.steps[index].id not in hopeless:
                told.add(index)
                words = f"{_stuck(walk, way, index)}{_after_it(len(waiting))}"
                yield walk.problem("unreachable step", Severity.STOP, ("steps", index), words)


def _causes(walk: Walk, way: Way) -> dict[int, set[int]]:
    """Steps that are stuck by themselves on a way, each with those that are stuck because they wait for it."""
    waits = {index: _waits_for(walk, way, index) for index in way.stuck}
    causes = {index for index, others in waits.items() if None in others or not others}
    held = {index for cause in causes for index in _held_by(cause, waits)}
    # What nothing else holds up waits for itself: a ring, of which each step is told.
    causes |= {index for index in set(waits) - causes - held if index in _held_by(index, waits)}
    return {cause: _held_by(cause, waits) - causes for cause in sorted(causes)}


def _held_by(cause: int, waits: Mapping[int, set[int | None]]) -> set[int]:
    """Steps that wait for this one, or for one that does."""
    held: set[int] = set()
    while more := {one for one, others in waits.items() if one not in held and others & {cause, *held}}:
        held |= more
    return held


def _waits_for(walk: Walk, way: Way, index: int) -> set[int | None]:
    """Which stuck steps would let this one come; None among them where something is lacking that none of them gives."""
    done, rest = {stand.step.id for stand in way.stands}, [one for one in way.stuck if one != index]
    stuck = {walk.sheet.steps[one].id: one for one in rest}
    givers: set[int | None] = set()
    for lacking in missing(walk.actions[index], way.reached, done):
        if lacking.startswith("step "):
            givers |= {stuck[name] for name in [lacking.removeprefix("step ")] if name in stuck}
            continue
        gives = "ends" if lacking.startswith("not ") else "makes"
        fact = lacking.removeprefix("not ")
        givers |= {one for one in rest if fact in getattr(walk.actions[one], gives)} or {None}
    return givers


def _after_it(count: int) -> str:
    return f" {count} step{'' if count == 1 else 's'} after it cannot come either." if count else ""


def _held_up(walk: Walk, index: int) -> int:
    """How many steps cannot come because this one never does, where it is worst."""
    return max((len(_causes(walk, way).get(index, ())) for way in walk.ways), default=0)


def _stuck(walk: Walk, way: Way, index: int) -> str:
    on_way = {walk.sheet.steps[one].id for one in way.stuck} | {stand.step.id for stand in way.stands}
    done = {stand.step.id for stand in way.stands}
    absent = [one for one in missing(walk.actions[index], way.reached, done) if not one.startswith("step ")]
    waits = [one for one in walk.sheet.steps[index].after if one in on_way - done]
    lacks = [f"{spelled(absent)} does not hold"] if absent else []
    lacks += [f'step "{one}" cannot come before it' for one in waits]
    where = f" when {way.says}" if way.says else ""
    return (
        f"cannot be reached{where}: {' and '.join(lacks)}. Every step must be able to come. "
        "Look at what it needs and at what the steps before it make and end."
    )


def left_standing(walk: Walk) -> Iterator[Problem]:
    """A fact that holds at the end and must not, or that must and does not."""
    told: set[str] = set()
    forgotten = _never_tightened(walk)
    for way in walk.ways:
        where = f" when {way.says}" if way.says else ""
        for text in sorted(way.end - told):
            fact = Fact.read(text)
            word = WORDS.get(fact.word)
            if word is None or word.stands_at_end or (fact.word == "loose" and fact.of in forgotten):
                continue
            told.add(text)
            yield walk.problem(
                "left standing", Severity.STOP, _maker(walk, text),
                f'"{fact.says}" still holds at the end{where}. A vehicle is handed back without it. '
                f'Add a step with "ends: [{text}]".',
            )  # fmt: skip
        for place, need in enumerate(walk.sheet.end):
            holds = need.text.removeprefix("not ") in way.end
            if holds is not need.holds and need.text not in told:
                told.add(need.text)
                yield walk.problem(
                    "left standing", Severity.STOP, ("end", place),
                    f'the sheet ends with "{need.says}", which is not so after the last step{where}. '
                    "What end names must be true then. Add the step that does it, or take it off end.",
                )  # fmt: skip


def _never_tightened(walk: Walk) -> set[str]:
    """Fasteners that the rule on bolts already tells of."""
    loosened = {name for _, step in walk.steps for name in step.loosen}
    return loosened - {name for _, step in walk.steps for name in step.tighten}


def _maker(walk: Walk, text: str) -> tuple[str | int, ...]:
    """The last step that makes a fact, or the start."""
    makers = [index for index, _ in walk.steps if text in walk.actions[index].makes]
    return ("steps", makers[-1]) if makers else ("start",)


def not_all_walked(walk: Walk) -> Iterator[Problem]:
    """Too many findings to follow each combination of them."""
    if not walk.all_ways_walked:
        yield walk.problem(
            "not every way walked", Severity.NOTE, ("steps",),
            "the findings of this job combine in more ways than are followed here; each was varied alone. "
            "Up to 256 ways are followed. Split the job in two sheets to have every way looked at.",
        )  # fmt: skip
