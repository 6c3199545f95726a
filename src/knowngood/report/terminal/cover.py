"""Doubtful parts in words for the terminal."""

from knowngood.acts.faults.cover_decision import Weighed
from knowngood.acts.faults.cover_words import hangs_words
from knowngood.acts.tools.prices import expected_words
from knowngood.engine.troubleshooting.worth.cover_decision import OptionCost, SafetyDecision


def decision(told: Weighed) -> str:
    """Return a decision at the open cover: the advice, what each option costs, what was counted and assumed."""
    if isinstance(told.decision, SafetyDecision):
        return f"{told.part.name}\n{told.sentence}"
    rows = [_option(one) for one in told.decision.options]
    assumed = [f"Assumed: {'; '.join(told.assumed)}."] if told.assumed else []
    if told.assumed and not told.holds:
        assumed.append(hangs_words(told.hangs_on))
    return "\n".join([told.part.name, told.sentence, *rows, told.counted, *assumed])


def _option(one: OptionCost) -> str:
    money, total = expected_words(one.money), expected_words(one.total)
    return f"  {one.option.value:<16}{money:>8}{one.minutes:>8.0f} min{total:>9} in all"
