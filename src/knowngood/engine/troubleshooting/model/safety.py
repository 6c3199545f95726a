"""Parts that someone's safety hangs on: no price is weighed against them.

Which part belongs to one of these, the gate says by its words.
"""

from enum import StrEnum


class SafetyKind(StrEnum):
    """What a part belongs to, when it is one of these."""

    BRAKES = "brakes"
    STEERING = "steering"
    SUSPENSION = "suspension"
    WHEELS = "tyres and wheel bolts"
    RESTRAINTS = "belts and airbags"
    FUEL = "fuel"
    HIGH_VOLTAGE = "high voltage"
    REFRIGERANT = "refrigerant"


def caution(kind: SafetyKind, *, own_work: bool = True) -> str:
    """Return the sentence that stands where a doubtful part of this kind is decided about.

    Args:
        kind: What it belongs to.
        own_work: To replace it is the person's work.

    Example:
        >>> caution(SafetyKind.BRAKES)
        'Brakes: a part in doubt is replaced, or handed over to a mechanic; do not drive on it.'
    """
    done = "replaced, or handed over" if own_work else "handed over"
    return f"{kind.value.capitalize()}: a part in doubt is {done} to a mechanic; do not drive on it."
