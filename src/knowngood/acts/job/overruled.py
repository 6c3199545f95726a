"""Which problem an overruling names: one place of the sheet and what was said there; when either changes, it stands."""

from collections.abc import Mapping, Sequence
from typing import Any

from knowngood.sheet.problem import Problem


def overruled_data(problem: Problem, reason: str) -> dict[str, Any]:
    """Return what is kept when a person goes past a problem; all but the reason is taken from the problem itself."""
    return {
        "code": problem.code,
        "place": problem.place,
        "said": problem.said,
        "step": problem.step,
        "message": problem.message,
        "reason": reason,
    }


def overrules(overruling: Mapping[str, Any], problem: Problem, all_found: Sequence[Problem]) -> bool:
    """Does a kept overruling name this problem?

    One of an older program knows no place. It counts where the rule finds one thing only at that step, in the same
    words; where it finds more, nobody can tell which was meant.
    """
    if (overruling["code"], overruling["said"]) != (problem.code, problem.said):
        return False
    if overruling["place"] is not None:
        return bool(overruling["place"] == problem.place)
    beside = [one for one in all_found if (one.code, one.step) == (problem.code, problem.step)]
    return overruling["step"] == problem.step and len(beside) == 1
