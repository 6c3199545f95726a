"""Band: what is allowed, where that is printed, and which rule decides."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Self


@dataclass(frozen=True)
class Confidence:
    """Clear from this probability on, either way; in between nobody can tell.

    Source:
        ISO_14253_1, the zones of a single limit with a normal estimate.
    """

    probability: float = 0.95

    def __post_init__(self) -> None:
        _check(self.probability)


@dataclass(frozen=True)
class Costs:
    """The cheaper mistake decides.

    Args:
        wrong_within: Cost of taking a bad part for good. [money]
        wrong_out: Cost of taking a good part for bad. [the same money]

    Raises:
        ValueError: A cost that is not above zero.
    """

    wrong_within: float
    wrong_out: float

    def __post_init__(self) -> None:
        if not (0.0 < self.wrong_within < math.inf and 0.0 < self.wrong_out < math.inf):
            raise ValueError(
                f"costs of {self.wrong_within:g} and {self.wrong_out:g}; what each mistake costs must be above 0. "
                "Give both in the same money."
            )

    @property
    def threshold(self) -> float:
        """Probability of being inside from which taking it as good costs less."""
        return self.wrong_within / (self.wrong_within + self.wrong_out)


@dataclass(frozen=True)
class Safety:
    """Clear from this probability on; can't tell counts as out of limits."""

    probability: float = 0.95

    def __post_init__(self) -> None:
        _check(self.probability)


def _check(probability: float) -> None:
    if not 0.5 < probability < 1.0:
        raise ValueError(f"a verdict from a probability of {probability:g}; it must lie between .5 and 1. Use .95.")


Rule = Confidence | Costs | Safety
RULES: dict[str, type[Rule]] = {"confidence": Confidence, "costs": Costs, "safety": Safety}


def clear_from(rule: Rule) -> float:
    """The probability from which a verdict is clear; for costs, which need none, the usual .95."""
    return Confidence().probability if isinstance(rule, Costs) else rule.probability


def rule_to_json(rule: Rule) -> dict[str, Any]:
    """Plain JSON."""
    kind = next(name for name, one in RULES.items() if isinstance(rule, one))
    return {"kind": kind, **vars(rule)}


def rule_from_json(document: Mapping[str, Any]) -> Rule:
    """The way back of rule_to_json."""
    values = dict(document)
    return RULES[values.pop("kind")](**values)


@dataclass(frozen=True)
class Band:
    """What is allowed.

    Args:
        lower: Lowest allowed; None when only the upper end counts. [unit]
        upper: Highest allowed. [unit]
        unit: The unit inside, such as "ohm".
        conditions: For what the limits hold, such as "at 20 °C".
        source: Where the limits are printed.
        rule: What decides.
        width_ours: The width is our choice, the source gives a target only.

    Raises:
        ValueError: No end, or the wrong way round.
    """

    lower: float | None
    upper: float | None
    unit: str
    conditions: str | None = None
    source: str | None = None
    rule: Rule = field(default_factory=Confidence)
    width_ours: bool = False

    def __post_init__(self) -> None:
        if self.lower is None and self.upper is None:
            raise ValueError("a band without ends allows everything; give a lower end, an upper end or both.")
        ends = [end for end in (self.lower, self.upper) if end is not None]
        if not all(math.isfinite(end) for end in ends):
            raise ValueError("a band whose end is not a plain number; leave out the end that does not count.")
        if self.lower is not None and self.upper is not None and not self.lower < self.upper:
            raise ValueError(f"a band from {self.lower:g} to {self.upper:g} {self.unit}; the lower end comes first.")

    def to_json(self) -> dict[str, Any]:
        """Plain JSON."""
        return {**vars(self), "rule": rule_to_json(self.rule)}

    @classmethod
    def from_json(cls, document: Mapping[str, Any]) -> Self:
        """The way back of to_json."""
        return cls(**{**document, "rule": rule_from_json(document["rule"])})
