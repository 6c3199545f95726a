"""Judgement: what is known against what is allowed. The lowest engine; all others may use it."""

from knowngood.engine.judgement.band import Band, Confidence, Costs, Rule, Safety
from knowngood.engine.judgement.decide import Judgement, Verdict, judge, percent
from knowngood.engine.judgement.estimate import Estimate, Row, combine, covariance
from knowngood.engine.judgement.inputs import Input, Shape
from knowngood.engine.judgement.propagate import linear, propagate
from knowngood.engine.judgement.remedy import Remedy, Settle
from knowngood.engine.judgement.settle import clear_chances

__all__ = [
    "Band", "Confidence", "Costs", "Estimate", "Input", "Judgement", "Remedy", "Row", "Rule", "Safety", "Settle",
    "Shape", "Verdict", "clear_chances", "combine", "covariance", "judge", "linear", "percent",
    "propagate",
]  # fmt: skip
