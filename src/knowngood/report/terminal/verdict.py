"""A verdict in the terminal: two lines, and a small picture of plain characters."""

import textwrap
from collections.abc import Mapping
from typing import Any

from knowngood.acts.readings.judging import Judged, event_data
from knowngood.acts.readings.settling import price_words, worth_showing
from knowngood.acts.readings.values import band_words, left_words, value_words
from knowngood.report.pictures.views import picture_of
from knowngood.report.terminal.text import picture

MARKS = {"within limits": "●", "can't tell": "◇", "out of limits": "▲"}


def verdict(judged: Judged) -> str:
    """Return the verdict, the sentence, the picture, what was assumed and what would settle it."""
    told, data = judged.judgement, event_data(judged)
    allowed = band_words(judged.band, judged.unit)
    head = f"{MARKS[told.verdict]} {told.verdict.capitalize()}: {value_words(data)}; allowed {allowed}."
    lines = [head, judged.sentence, *(f"  {line}" for line in picture(picture_of(data)))]
    if settle := worth_showing([vars(one) for one in told.settle]):
        lines.append("What would settle it:")
        lines += [
            f"  {one['probability']:4.0%}  {one['minutes']:3.0f} min  {one['remedy']} ({_after(one, judged.unit)})"
            for one in settle
        ]
    if judged.assumed:
        lines += textwrap.wrap(f"Assumed: {'; '.join(judged.assumed)}.", width=100, subsequent_indent="  ")
    return "\n".join([*lines, *data["further"]])


def _after(settle: Mapping[str, Any], unit: str) -> str:
    return ", ".join(words for words in (left_words(settle, unit), price_words(settle)) if words)
