"""What was written, as it was read: a number, several, what is allowed, a value with how far it may be off."""

from dataclasses import dataclass

from knowngood.units.table import Kind


@dataclass(frozen=True)
class Quantity:
    """One number with its unit. `value` is in the kind's unit inside; `unit` is printed again."""

    text: str
    kind: Kind
    unit: str
    value: float


@dataclass(frozen=True)
class Readings:
    """Several readings of one thing; `step` is the last decimal place that was written, inside unit."""

    text: str
    kind: Kind
    unit: str
    values: tuple[float, ...]
    step: float


@dataclass(frozen=True)
class Span:
    """What is allowed: two ends, or one."""

    text: str
    kind: Kind
    unit: str
    lower: float | None
    upper: float | None


@dataclass(frozen=True)
class Tolerance:
    """A value and how far it may be off; `half_width` is None when none was written."""

    text: str
    kind: Kind
    unit: str
    value: float
    half_width: float | None
