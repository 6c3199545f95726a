"""Band: what is allowed, where that is printed, and which rule decides."""

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


@dataclass(frozen=True)
class Costs:
    """The cheaper mistake decides. Both in the same money."""

    wrong_within: float
    wrong_out: float

    @property
    def threshold(self) -> float:
        """Probability of being inside from which taking it as good costs less."""
        return self.wrong_within / (self.wrong_within + self.wrong_out)


@dataclass(frozen=True)
class Safety:
    """Clear from this probability on; can't tell counts as out of limits."""

    probability: float = 0.95


Rule = Confidence | Costs | Safety
RULES: dict[str, type[Rule]] = {"confidence": Confidence, "costs": Costs, "safety": Safety}


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
        if self.lower is not None and self.upper is not None and not self.lower < self.upper:
            raise ValueError(f"a band from {self.lower:g} to {self.upper:g} {self.unit}; the lower end comes first.")

    def to_json(self) -> dict[str, Any]:
        """Plain JSON."""
        kind = next(name for name, rule in RULES.items() if isinstance(self.rule, rule))
        return {**vars(self), "rule": {"kind": kind, **vars(self.rule)}}

    @classmethod
    def from_json(cls, document: Mapping[str, Any]) -> Self:
        """The way back of to_json."""
        rule = dict(document["rule"])
        return cls(**{**document, "rule": RULES[rule.pop("kind")](**rule)})
