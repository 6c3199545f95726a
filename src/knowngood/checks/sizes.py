"""A sheet checked in every size that the person can choose, each problem told once."""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from itertools import combinations

from knowngood.checks.walk import Walk
from knowngood.sheet.model import Sheet
from knowngood.sheet.problem import Problem

# Ours: beyond it each scope is walked alone, and all of it.
MOST_SIZES = 16
Rules = Iterable[Callable[[Walk], Iterable[Problem]]]
Size = tuple[str, ...]
# On which way a problem was met differs from size to size; it is the same problem.
ON_WAY = re.compile(r' when "[^"]*" is [\w\' ]+(?:, "[^"]*" is [\w\' ]+)*')


def sizes(sheet: Sheet) -> list[Size]:
    """Return the sizes that differ in their steps or parts: all of it first, then each scope and what joins them.

    Example:
        >>> step = {"do": "Do", "zone": "top", "time": "1 2 3 min"}
        >>> sheet = {"sheet": 1, "id": "x", "title": "X", "scopes": {"less": "Less", "more": "More"}}
        >>> sheet |= {"steps": [{"id": "a", **step}, {"id": "b", "scope": ["more"], **step}]}
        >>> sizes(Sheet.model_validate(sheet))
        [(), ('less',)]
    """
    names = tuple(sheet.scopes)
    most = len(names) if 2 ** len(names) <= MOST_SIZES else 1
    chosen: dict[tuple[frozenset[str], frozenset[str]], Size] = {}
    for size in ((), *(row for count in range(1, most + 1) for row in combinations(names, count))):
        steps = frozenset(step.id for step in sheet.steps if _belongs(step.scope, size))
        parts = frozenset(name for name, part in sheet.parts.items() if _belongs(part.scope, size))
        if steps:
            chosen.setdefault((steps, parts), size)
    return list(chosen.values())


def _belongs(scope: Sequence[str], size: Size) -> bool:
    return not scope or not size or bool(set(scope) & set(size))


def told(walks: Sequence[Walk], rules: Rules) -> list[Problem]:
    """Return the problems of all walks; the size is named where one is not there in every size that has its step."""
    found: dict[Problem, list[Walk]] = {}
    first: dict[Problem, Problem] = {}
    for walk in walks:
        here = dict.fromkeys(problem for rule in rules for problem in rule(walk))
        for problem in here:
            same = replace(problem, message=ON_WAY.sub("", problem.message))
            first.setdefault(same, problem)
            found.setdefault(same, []).append(walk)
    return [_named(first[same], rows, walks) for same, rows in found.items()]


def _named(problem: Problem, there: Sequence[Walk], walks: Sequence[Walk]) -> Problem:
    having = [walk for walk in walks if problem.step is None or any(step.id == problem.step for _, step in walk.steps)]
    if len(set(map(id, there))) >= len(having):
        return problem
    where = f"{problem.file}:{problem.line}: "
    rest = problem.message.removeprefix(where)
    return replace(problem, message=f"{where}{_sizes([tuple(walk.scope) for walk in there])}: {rest}")


def _sizes(there: Sequence[Size]) -> str:
    """The sizes in words; one that another one is part of is not named."""
    least = [one for one in there if one and not any(other and set(other) < set(one) for other in there)]
    if not least:
        return "all of it"
    return "scope " + " or ".join(" with ".join(f'"{name}"' for name in one) for one in least)
