"""A fault looked at again after repairs: what a check that shows it still, or no longer, says of causes and repairs."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.model.tables import Floats, fixes

# Ours: a fault that is there shows again in a check that is made to see it; one that is gone hardly ever shows.
SHOWS_AGAIN, SHOWS_GONE = 0.95, 0.05


@dataclass(frozen=True)
class Rechecked:
    """After these repairs the fault was checked for again.

    A check sees the fault of a cause while no repair has mended that cause, each repair by the chance that `fixes`
    states. So a check that still shows it makes the mended causes unlikely, as far as their repairs are sure, and one
    that shows it no longer makes the others unlikely.

    Args:
        key: Short and stable, of the check.
        repairs: Keys of all repairs that were done before it.
        there: Chance that it showed the fault, by its reading; 1 and 0 when that is certain.
        shows: For each cause named here, how often the check shows it while it is there.
        otherwise: The same for every other cause.
        without: How often it shows it when nothing is there any more.
    """

    key: str
    repairs: tuple[str, ...]
    there: float
    shows: Mapping[str, float] = field(default_factory=dict)
    otherwise: float = SHOWS_AGAIN
    without: float = SHOWS_GONE


def missed(problem: Problem, repairs: tuple[str, ...]) -> Floats:
    """Return for each cause the chance that none of these repairs has mended it, each taken by itself."""
    rows = [one.key in repairs for one in problem.repairs]
    return np.asarray(np.prod(1.0 - fixes(problem)[rows], axis=0), dtype=np.float64)


def explained_by(problem: Problem, finding: Rechecked) -> Floats:
    """Return how well each cause explains the check.

    Example:
        >>> from knowngood.engine.troubleshooting.model.amounts import Chance
        >>> from knowngood.engine.troubleshooting.model.parts import Repair
        >>> from knowngood.engine.troubleshooting.model.problem import suspects
        >>> plug = Repair("plug", "Plug renewed", {"plug": Chance(0.8)})
        >>> problem = Problem(suspects({"plug": 1, "lamp": 1}, other=0.1), (), (plug,))
        >>> explained_by(problem, Rechecked("current", ("plug",), 1.0)).round(3).tolist()
        [0.23, 0.95, 0.95]
    """
    still = missed(problem, finding.repairs)
    shows = np.array([finding.shows.get(cause.key, finding.otherwise) for cause in problem.causes])
    out = shows * still + finding.without * (1.0 - still)
    return np.asarray(finding.there * out + (1.0 - finding.there) * (1.0 - out), dtype=np.float64)
