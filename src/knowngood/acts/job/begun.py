"""Stops that stand against a job that is under way: it goes on, and its steps say them as cautions."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from knowngood.acts.job.overruled import overrules
from knowngood.acts.job.planning import declared, kept_sheet
from knowngood.checks import check
from knowngood.gate import Declared
from knowngood.sheet.problem import Problem, Severity
from knowngood.words import capital

Pairs = tuple[tuple[str, str | None], ...]


def stops_said(
    text: str,
    file: str,
    *,
    parts_are: Mapping[str, Declared],
    answers: Mapping[str, str | None],
    scope: Sequence[str],
    driven: str | None,
    overrulings: Sequence[Mapping[str, Any]],
) -> dict[str, tuple[str, ...]]:
    """Return what stands against each step of a job that has begun, as a caution to say there.

    Such as a danger that the program did not know when the job was started, or that a revised sheet brought in.

    Args:
        text: The sheet as written.
        file: What it is called.
        parts_are: What the person said that parts are, by name.
        answers: What the manual says.
        scope: The chosen sizes of the job.
        driven: The driven axle of the vehicle.
        overrulings: What was gone past with a reason, which is left out.
    """
    said, known = tuple(sorted(parts_are.items())), tuple(sorted(answers.items()))
    found = _stops(text, file, said, known, tuple(scope), driven)
    standing = [stop for stop in found if not any(overrules(data, stop, found) for data in overrulings)]
    return {step: tuple(_words(stop) for stop in standing if stop.step == step) for step in _steps(standing)}


def _steps(stops: Sequence[Problem]) -> list[str]:
    return list(dict.fromkeys(stop.step for stop in stops if stop.step))


def _words(stop: Problem) -> str:
    return capital(stop.said.removeprefix(f'step "{stop.step}": '))


@lru_cache(maxsize=32)
def _stops(
    text: str,
    file: str,
    parts_are: tuple[tuple[str, Declared], ...],
    answers: Pairs,
    scope: tuple[str, ...],
    driven: str | None,
) -> tuple[Problem, ...]:
    """Stops of a sheet, found once for as long as nothing changes that they hang on."""
    reading = kept_sheet(text, file)
    said: Mapping[str, Declared] = dict(parts_are)
    as_said = replace(reading, sheet=reading.sheet and declared(reading.sheet, said))
    found = check(as_said, answers=dict(answers), scope=scope, driven=driven)
    return tuple(problem for problem in found if problem.severity is Severity.STOP)
