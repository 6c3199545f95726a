"""At the open cover: what was typed and what the sheet says of a doubtful part, one advice, and where it flips."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from knowngood.acts.faults.cover_held import held
from knowngood.acts.faults.cover_inputs import Known, inputs_of
from knowngood.acts.faults.cover_words import counted, sentence
from knowngood.acts.faults.doubtful_parts import Doubtful
from knowngood.acts.faults.part_typed import Typed
from knowngood.engine.troubleshooting.worth.cover_decision import Decision, Option, SafetyDecision, safety_decision
from knowngood.gate import CAUTIONS
from knowngood.refusal import parsed


@dataclass(frozen=True)
class Weighed:
    """What to do about a doubtful part, and what that is made of.

    Args:
        part: Which one.
        decision: The engine's; for a safety part without arithmetic.
        sentence: The one advice, in words.
        counted: What went into it, in words.
        assumed: What nobody stated, in words.
        holds: The advice stays the same wherever all that was assumed may lie.
        test: Name of the test that could be made now; None when there is none.
        hangs_on: What was assumed and would alone make it another, in words.
    """

    part: Doubtful
    decision: Decision | SafetyDecision
    sentence: str
    counted: str = ""
    assumed: tuple[str, ...] = ()
    holds: bool = True
    test: str | None = None
    hangs_on: tuple[str, ...] = ()

    @property
    def advice(self) -> Option:
        """The one advice."""
        return self.decision.advice

    @property
    def reason(self) -> str:
        """The advice as the reason of a decision."""
        return self.sentence


def weigh(known: Known, typed: Mapping[str, str], *, own_work: bool = True) -> Weighed:
    """Return what to do about a doubtful part within reach.

    Args:
        known: What the sheet, the garage and the findings say.
        typed: By field of `FIELDS`, as typed; what is empty is taken from `known`, else assumed and told.
        own_work: The person may do this work; when not, a safety part is handed over.

    Raises:
        Refused: A sentence at each field that cannot be used.
    """
    if known.part.kind is not None:
        found = safety_decision(known.part.kind, own_work=own_work and not known.part.handed_over)
        usual = f" {CAUTIONS[known.part.kind]}" if known.part.handed_over else ""
        return Weighed(known.part, found, found.says + usual)
    inputs = parsed("", lambda: inputs_of(known, typed))
    decision = parsed("", inputs.decide)
    how_far = held(inputs, decision.advice)
    return Weighed(
        known.part,
        decision,
        sentence(decision, test=inputs.test_name, said=_said(known, typed)),
        counted(inputs.part, rate=inputs.rate, quote=inputs.quote),
        tuple(inputs.assumed.values()),
        how_far.whatever,
        inputs.test_name,
        how_far.hangs_on,
    )


def as_json(told: Weighed) -> dict[str, Any]:
    """Return the same as plain JSON; money is in the owner's own, probabilities are from 0 to 1."""
    row: dict[str, Any] = {"about": told.part.key, "name": told.part.name, "advice": told.advice.value}
    if isinstance(told.decision, SafetyDecision):
        return {**row, "safety": told.part.kind, "options": [], "flips_at": [], "sentence": told.sentence}
    one = told.decision
    return {
        **row,
        "probability": {"value": one.chance.value, "low": one.chance.lowest, "high": one.chance.highest},
        "failing": one.failing,
        "options": [
            {"option": cost.option.value, "money": cost.money, "minutes": cost.minutes, "expected_cost": cost.total}
            for cost in one.options
        ],
        "flips_at": list(one.flips_at),
        "break_even": one.break_even,
        "stretches": [{"option": part.plan.option.value, "low": part.low, "high": part.high} for part in one.stretches],
        "same_over_range": one.same_over_range,
        "sentence": told.sentence,
        "counted": told.counted,
        "assumed": list(told.assumed),
        "holds_whatever_was_assumed": told.holds,
        "hangs_on": list(told.hangs_on),
    }


def _said(known: Known, typed: Mapping[str, str]) -> str:
    """Where the chance comes from."""
    if Typed(typed).has("probability"):
        return "you say"
    return "the tests so far say" if known.chance else "nobody knows, so it is taken as"


def stretches(told: Decision, option: Option) -> Sequence[tuple[float, float]]:
    """Return where an option costs least: pairs of probabilities, neighbours in one."""
    found = [(one.low, one.high) for one in told.stretches if one.plan.option is option]
    joined: list[tuple[float, float]] = found[:1]
    for before, one in pairwise(found):
        if before[1] == one[0]:
            joined[-1] = (joined[-1][0], one[1])
        else:
            joined.append(one)
    return joined
