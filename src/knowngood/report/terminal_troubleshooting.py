"""Doubtful parts in words for the terminal."""

from knowngood.acts.faults.cover_decision import Weighed
from knowngood.acts.faults.cover_words import hangs_words
from knowngood.engine.troubleshooting.cover_decision import SafetyDecision


def decision(told: Weighed) -> str:
    """Return a decision at the open cover: the advice, what each option costs, what was counted and assumed."""
    if isinstance(told.decision, SafetyDecision):
        return f"{told.part.name}\n{told.sentence}"
    rows = [
        f"  {one.option.value:<16}{one.money:>8.0f}{one.minutes:>8.0f} min{one.total:>9.1f} in all"
        for one in told.decision.options
    ]
    assumed = [f"Assumed: {'; '.join(told.assumed)}."] if told.assumed else []
    if told.assumed and not told.holds:
        assumed.append(hangs_words(told.hangs_on))
    return "\n".join([told.part.name, told.sentence, *rows, told.counted, *assumed])
