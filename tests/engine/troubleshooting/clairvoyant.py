"""A bound that no policy can be cheaper than: somebody tells the cause."""

from dataclasses import replace

from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.model.tables import prior
from knowngood.engine.troubleshooting.policy.exact import Policy


def clairvoyant(problem):
    """What it would cost on average if someone told the cause. [money]"""
    total = 0.0
    for told, chance in zip(problem.causes, prior(problem), strict=True):
        causes = tuple(replace(cause, chance=Chance(float(cause is told))) for cause in problem.causes)
        total += float(chance) * Policy(replace(problem, causes=causes, tests=(), free=_kept(problem), begun=True)).cost
    return total


def _kept(problem):
    return problem.free - problem.test_of.keys()
