"""What is wrong, by what was found: exact, and able to say which finding moved which suspect."""

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from knowngood.engine.troubleshooting.belief.readings import Reading, together
from knowngood.engine.troubleshooting.belief.rechecked import Rechecked, explained_by
from knowngood.engine.troubleshooting.model.parts import OTHER
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.model.tables import Floats, fixes, given, prior


@dataclass(frozen=True)
class Shown:
    """A test showed this outcome, for certain.

    Args:
        test: Key of the test.
        outcome: One of its outcomes.
    """

    test: str
    outcome: str


@dataclass(frozen=True)
class Leaning:
    """A test was done, and what it showed is doubtful: a noise, a smell, a colour.

    Args:
        test: Key of the test.
        weights: How well each outcome explains what was perceived, one against the other; 1 to 1 says nothing.
    """

    test: str
    weights: Mapping[str, float]


@dataclass(frozen=True)
class Failed:
    """A repair was done, and the fault is still there.

    Args:
        repair: Key of the repair.
    """

    repair: str


Finding = Shown | Leaning | Reading | Failed | Rechecked


def key_of(finding: Finding) -> str:
    """Return the key of what was tested, tried or checked again."""
    if isinstance(finding, Rechecked):
        return finding.key
    return finding.repair if isinstance(finding, Failed) else finding.test


def done_by(findings: Sequence[Finding]) -> set[str]:
    """Return keys of the tests and repairs that these findings say are done."""
    checked = {key for one in findings if isinstance(one, Rechecked) for key in one.repairs}
    return checked | {key_of(one) for one in findings if not isinstance(one, Rechecked)}


@dataclass(frozen=True)
class Moved:
    """What one finding did to one suspect.

    Args:
        cause: Key of the suspect.
        finding: The finding.
        before: Chance with the findings listed before it.
        after: Chance with it.
        without: Chance after all findings but this one.
        decibans: Ten times the logarithm of the factor on the odds. These add up over the findings; infinite when
            the finding excludes or proves.
    """

    cause: str
    finding: Finding
    before: float
    after: float
    without: float
    decibans: float


@dataclass(frozen=True)
class Belief:
    """How likely each cause is.

    Args:
        chances: By key of the cause, in their order; they add up to 1.
        explained: How well the causes together explain the findings, against their being sure to appear; small when
            something rare was found.
    """

    chances: Mapping[str, float]
    explained: float

    @property
    def likeliest(self) -> str:
        """Key of the likeliest suspect that has a name, the first of equals."""
        named = {key: chance for key, chance in self.chances.items() if key != OTHER}
        return max(named or self.chances, key=lambda key: self.chances[key])

    def array(self) -> Floats:
        """Return the chances in the order of the causes."""
        return np.array(list(self.chances.values()))


def believe(problem: Problem, findings: Sequence[Finding] = ()) -> Belief:
    """Return how likely each cause is after these findings; one of them is the one.

    The order does not matter, and a finding is withdrawn by leaving it out.

    Args:
        problem: Causes and tests.
        findings: What was found.

    Raises:
        ValueError: A test or outcome that nobody defined, a test twice, or findings that no cause allows.

    Example:
        >>> from knowngood.engine.troubleshooting.model.amounts import Chance
        >>> from knowngood.engine.troubleshooting.model.parts import Test
        >>> from knowngood.engine.troubleshooting.model.problem import suspects
        >>> click = Test.shows("click", "clicks", {"relay": Chance(0.1)}, Chance(0.8))
        >>> no_start = Problem(suspects({"relay": 1, "pump": 1}, other=0.1), (click,))
        >>> found = believe(no_start, [Shown("click", "no")])
        >>> {key: round(chance, 3) for key, chance in found.chances.items()}
        {'relay': 0.786, 'pump': 0.175, 'other': 0.039}
    """
    _check_once(problem, findings)
    joint = prior(problem) * explains(problem, findings)
    total = float(joint.sum())
    if not total > 0.0:
        raise ValueError(
            "no suspect, nor none of these, can show all that was found; take back a finding, "
            "or allow 1 of 100 where a test was said never to show something."
        )
    keys = [cause.key for cause in problem.causes]
    return Belief(dict(zip(keys, (joint / total).tolist(), strict=True)), total)


def explains(problem: Problem, findings: Sequence[Finding]) -> Floats:
    """Return how well each cause explains the findings, up to a factor that all causes share."""
    found = together(problem, [one for one in findings if isinstance(one, Reading)])
    for finding in findings:
        if not isinstance(finding, Reading):
            found = found * _one(problem, finding)
    return found


def moved(problem: Problem, findings: Sequence[Finding]) -> list[Moved]:
    """Return what each finding did to each suspect, in the order of the findings.

    The weight of evidence is that of Good: ten times the decimal logarithm of how much better the suspect explains
    the finding than all others together do, with what was found before it taken as given. For one suspect the
    weights add up to the whole change of its log odds.

    Source:
        GOOD_1985, weight of evidence in decibans.

    Example:
        >>> from knowngood.engine.troubleshooting.model.amounts import Chance
        >>> from knowngood.engine.troubleshooting.model.parts import Test
        >>> from knowngood.engine.troubleshooting.model.problem import suspects
        >>> click = Test.shows("click", "clicks", {"relay": Chance(0.8)}, Chance(0.08))
        >>> first = moved(Problem(suspects({"relay": 1}, other=0.5), (click,)), [Shown("click", "yes")])[0]
        >>> first.cause, round(first.decibans, 9), round(first.after, 3)
        ('relay', 10.0, 0.909)
    """
    found = []
    whole = list(findings)
    for place, finding in enumerate(whole):
        before, after = believe(problem, whole[:place]), believe(problem, whole[: place + 1])
        without = believe(problem, whole[:place] + whole[place + 1 :])
        for key in before.chances:
            earlier, later = before.chances[key], after.chances[key]
            change = decibans(later) - decibans(earlier) if earlier not in (0.0, 1.0) else 0.0
            found.append(Moved(key, finding, earlier, later, without.chances[key], change))
    return found


def decibans(chance: float) -> float:
    """Return a chance as ten times the decimal logarithm of its odds; infinite at 0 and 1.

    Example:
        >>> decibans(0.5), round(decibans(10 / 11), 9)
        (0.0, 10.0)
    """
    if chance in (0.0, 1.0):
        return math.copysign(math.inf, chance - 0.5)
    return 10.0 * (math.log10(chance) - math.log10(1.0 - chance))


def _one(problem: Problem, finding: Shown | Leaning | Failed | Rechecked) -> Floats:
    found: Floats
    if isinstance(finding, Rechecked):
        return explained_by(problem, finding)
    if isinstance(finding, Failed):
        found = 1.0 - fixes(problem)[[repair.key for repair in problem.repairs].index(finding.repair)]
        return found
    test = problem.test_of[finding.test]
    weights = {finding.outcome: 1.0} if isinstance(finding, Shown) else finding.weights
    row = np.zeros(len(test.outcomes))
    for word, weight in weights.items():
        if not 0.0 <= weight < math.inf:
            raise ValueError(f'test "{test.name}": {word} weighs {weight:g}; a weight is zero or more.')
        row[test.outcome(word)] = weight
    found = row @ given(problem, test)
    return found


def _check_once(problem: Problem, findings: Sequence[Finding]) -> None:
    keys = [key_of(one) for one in findings]
    for finding, key in zip(findings, keys, strict=True):
        if isinstance(finding, Rechecked):
            continue
        known = problem.repair_of if isinstance(finding, Failed) else problem.test_of
        kind = "repair" if isinstance(finding, Failed) else "test"
        if key not in known:
            shown = ", ".join(known) or "none yet"
            raise ValueError(f"a finding names {key}, and there is no such {kind}; there is {shown}. Define it first.")
    twice = [key for key, count in Counter(keys).items() if count > 1]
    if twice:
        raise ValueError(
            f'"{twice[0]}" is among the findings twice, and would count twice; combine the readings into one, '
            "or take one back."
        )
