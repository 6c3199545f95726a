"""How often a test shows something, or a repair mends it, as the person said when a plan asked for that one word."""

from collections.abc import Iterable

from knowngood.acts.job.garage import Job
from knowngood.engine.troubleshooting.model.likely import clipped
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.ranges.numbers import Kind, Number, words
from knowngood.store.event import Event

# What a person can say better than a sheet's word; how likely a suspect is, they are not asked.
SAYABLE = (Kind.SHOWS, Kind.FIXES)
TEN = 10.0  # ours: chances are asked for as so many of 10 vehicles


def sayable(problem: Problem) -> list[Number]:
    """Return the words of a problem that leave a range and that a person can say better."""
    return [one for one in words(problem) if one.kind in SAYABLE]


def mark(number: Number) -> str:
    """Return what tells a word from the others of its problem.

    Example:
        >>> from knowngood.engine.troubleshooting.model.amounts import Chance
        >>> from knowngood.engine.troubleshooting.model.parts import Test
        >>> from knowngood.engine.troubleshooting.model.problem import suspects
        >>> click = Test.shows("click", "clicks", {"relay": Chance(0.8, 0.6, 0.9)}, Chance(0.1))
        >>> [mark(one) for one in sayable(Problem(suspects({"relay": 1}), (click,)))]
        ['click/relay']
    """
    return f"{number.key}/{number.cause}"


def with_said(problem: Problem, said: Iterable[Event]) -> Problem:
    """Return a problem with what the person said in place of the sheet's words; such a word leaves no range to ask of.

    Args:
        problem: As the sheet states it.
        said: Events of that kind, the newest for each word; one about what a revised sheet lacks counts no longer.
    """
    for event in said:
        number = next((one for one in sayable(problem) if mark(one) == event.data["word"]), None)
        if number is not None:
            problem = number.changed(clipped(event.data["of_10"] / TEN))
    return problem


def said_in(job: Job) -> list[Event]:
    """Return the words that the person said in a job, the newest for each."""
    return list(job.state.newest("word_said", "word").values())
