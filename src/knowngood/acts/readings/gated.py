"""A reading at the gate: refused where nobody measures at home, else judged by the rule of safety."""

from collections.abc import Mapping
from dataclasses import dataclass

from knowngood.engine.troubleshooting.model.safety import SafetyKind, caution
from knowngood.gate import CALLED, NONE, SEALED, Declared, kind_of, refusal_words
from knowngood.refusal import Refused

# The field in which a person says that a part belongs to no sealed system, and why.
NOT_SAFETY = "not_safety"
MISLED = "If it belongs to something else, say here what it is and why you know."


@dataclass(frozen=True)
class Gated:
    """What the gate says of a reading.

    Args:
        kind: The safety system that it belongs to; None for any other.
        reason: Why it belongs to none, as typed; empty when nobody said so.
    """

    kind: SafetyKind | None = None
    reason: str = ""

    @property
    def words(self) -> tuple[str, ...]:
        """What is said beside the verdict."""
        if self.reason:
            return (f"You say that it belongs to no system that safety hangs on: {self.reason}",)
        if self.kind is None:
            return ()
        return (f"It belongs to {CALLED[self.kind]}, so only clearly within counts as good. {caution(self.kind)}",)


# What is said of a part that nobody asked the gate about.
ANY_PART = Gated()


def gated(name: str, typed: Mapping[str, str], declared: Declared | None = None, field: str = "name") -> Gated:
    """Return what the gate says of a reading that is to be judged.

    Args:
        name: What was read.
        typed: With the reason why it belongs to no such system, if there is one.
        declared: What the sheet or the person says that it is.
        field: Where its name was typed.

    Raises:
        Refused: A part of a sealed system: nobody measures it at home.
    """
    reason = typed.get(NOT_SAFETY, "").strip()
    kind = kind_of(name, declared)
    if reason:
        return Gated(reason=reason) if kind else Gated()
    if kind in SEALED:
        raise Refused({field: refusal_words(name, kind), NOT_SAFETY: MISLED})
    return Gated(kind)


def is_refused(name: str, declared: Declared | None) -> bool:
    """Would a reading of this name be refused unless somebody says that it is something else?"""
    return declared != NONE and kind_of(name, declared) in SEALED
