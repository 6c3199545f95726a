"""Estimate and Band make a Judgement: the probability of being inside, a verdict, and what would settle it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Self

from knowngood.engine.judgement.band import (
    Band,
    Confidence,
    Costs,
    Rule,
    Safety,
    clear_from,
    rule_from_json,
    rule_to_json,
)
from knowngood.engine.judgement.estimate import Estimate
from knowngood.engine.judgement.remedy import Remedy, Settle
from knowngood.engine.judgement.settle import largest_uncertainty, ranked

# Ours: from this difference in probability on, it is said that the linear law would have answered otherwise.
STATED_DIFFERENCE = 0.02
# Ours: a remedy with less than 1 chance in 20 is not worth getting up for.
WORTH_TRYING = 0.05


def percent(probability: float) -> str:
    """Return a probability in whole percent; never 0 or 100, for nothing measured is that sure.

    What falls short of the usual 95 % is not rounded up to it, or a doubt would be told as clear.

    Example:
        >>> percent(0.9996), percent(0.82), percent(0.948)
        ('more than 99 %', '82 %', '94 %')
    """
    if probability > 0.995:
        return "more than 99 %"
    usual = Confidence().probability
    if probability < usual:
        probability = min(probability, usual - 0.01)
    return "less than 1 %" if probability < 0.005 else f"{100 * probability:.0f} %"


class Verdict(StrEnum):
    """The three answers."""

    WITHIN = "within limits"
    OUT = "out of limits"
    CANT_TELL = "can't tell"


@dataclass(frozen=True)
class Judgement:
    """What follows from what is known and what is allowed.

    Args:
        verdict: The answer under the band's rule.
        probability_inside: The one that counted: Monte Carlo's where there is one, or else the linear law's.
        probability_linear: By the linear law.
        probability_monte_carlo: By the kept quantiles; None when the estimate is near normal.
        settle: What would make it clear, the best chance first; empty when it is clear.
        assumed: Names of the errors that nobody stated.
        needed_uncertainty: Largest standard uncertainty with which this value would be clear. [unit]
        rule: The rule that decided.
    """

    verdict: Verdict
    probability_inside: float
    probability_linear: float
    probability_monte_carlo: float | None
    settle: tuple[Settle, ...]
    assumed: tuple[str, ...]
    needed_uncertainty: float
    rule: Rule

    @property
    def leans(self) -> Verdict:
        """The likelier of the two clear answers."""
        return Verdict.WITHIN if self.probability_inside >= 0.5 else Verdict.OUT

    @property
    def difference_said(self) -> str | None:
        """The difference in words, when it is large enough to be stated."""
        other = self.probability_monte_carlo
        if other is None or self.difference <= STATED_DIFFERENCE:
            return None
        return (
            f"The straight-line law says {percent(self.probability_linear)} within, "
            f"drawing at random says {percent(other)}: the second counts."
        )

    @property
    def difference(self) -> float:
        """How far Monte Carlo and the linear law are apart in probability."""
        other = self.probability_monte_carlo
        return 0.0 if other is None else abs(other - self.probability_linear)

    @property
    def doubtful(self) -> bool:
        """Neither inside nor outside is clear, whatever the rule made of it."""
        return _verdict(self.probability_inside, Confidence(clear_from(self.rule))) is Verdict.CANT_TELL

    def to_json(self) -> dict[str, Any]:
        """Plain JSON."""
        settle = [vars(one).copy() for one in self.settle]
        known = {"verdict": self.verdict.value, "settle": settle, "assumed": list(self.assumed)}
        return {**vars(self), **known, "rule": rule_to_json(self.rule)}

    @classmethod
    def from_json(cls, document: Mapping[str, Any]) -> Self:
        """The way back of to_json."""
        settle = tuple(Settle(**one) for one in document["settle"])
        known = {"verdict": Verdict(document["verdict"]), "settle": settle, "assumed": tuple(document["assumed"])}
        return cls(**{**document, **known, "rule": rule_from_json(document["rule"])})


def judge(estimate: Estimate, band: Band, *, remedies: Sequence[Remedy] = ()) -> Judgement:
    """Judge what is known against what is allowed.

    One law counts for one estimate: the kept quantiles where there are any. To take turns by how far the two laws
    differ would let a verdict become clear as doubt grows. Of errors that are symmetric with one peak, drawn into a
    formula that is nearly straight, more doubt leaves less within a limit that is kept; where an estimate becomes near
    normal and drops its quantiles, the linear law steps in, never further away than `propagate` allows.

    Args:
        estimate: What is known.
        band: What is allowed, in the same unit.
        remedies: What could be done about the estimate's rows.

    Raises:
        ValueError: Estimate and band differ in unit.

    Source:
        JCGM_106, 7, conformance probability.
        BIRNBAUM_1948, sums of symmetric errors with one peak.

    Example:
        >>> from knowngood.engine.judgement.estimate import Row
        >>> pressure = Estimate(509.7, "kPa", (Row("gauge", 8.6),))
        >>> found = judge(pressure, Band(490.0, None, "kPa"))
        >>> found.verdict.value, round(found.probability_inside, 2)
        ('within limits', 0.99)
    """
    if estimate.unit != band.unit:
        raise ValueError(f"the estimate is in {estimate.unit}, the band in {band.unit}; give both in one unit.")
    linear = _inside(estimate.linear_below, band)
    sampled = None if estimate.quantiles is None else _inside(estimate.below, band)
    counts = linear if sampled is None else sampled
    verdict = _verdict(counts, band.rule)
    doubtful = _verdict(counts, Confidence(clear_from(band.rule))) is Verdict.CANT_TELL
    return Judgement(
        verdict=verdict,
        probability_inside=counts,
        probability_linear=linear,
        probability_monte_carlo=sampled,
        settle=ranked(estimate, band, remedies) if doubtful else (),
        assumed=tuple(row.says for row in estimate.budget if row.assumed),
        needed_uncertainty=largest_uncertainty(estimate.value, band),
        rule=band.rule,
    )


def _inside(below: Callable[[float], float], band: Band) -> float:
    upper = 1.0 if band.upper is None else below(band.upper)
    lower = 0.0 if band.lower is None else below(band.lower)
    return min(1.0, max(0.0, upper - lower))


def _verdict(probability: float, rule: Rule) -> Verdict:
    match rule:
        case Costs(threshold=threshold):
            return Verdict.WITHIN if probability >= threshold else Verdict.OUT
        case Safety(probability=wanted):
            return Verdict.WITHIN if probability >= wanted else Verdict.OUT
        case Confidence(probability=wanted):
            if probability >= wanted:
                return Verdict.WITHIN
            return Verdict.OUT if probability <= 1.0 - wanted else Verdict.CANT_TELL
