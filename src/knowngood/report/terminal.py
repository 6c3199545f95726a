"""A verdict in the terminal: two lines, and a small picture of plain characters."""

import textwrap

from knowngood import units
from knowngood.acts.judging import Judged, event_data
from knowngood.acts.values import band_words, value_words

WIDTH = 61
MARKS = {"within limits": "●", "can't tell": "◇", "out of limits": "▲"}
HUMP = " ▁▂▃▄▅▆▇█"


def verdict(judged: Judged) -> str:
    """Return the verdict, the sentence, the picture, what was assumed and what would settle it."""
    told = judged.judgement
    allowed = band_words(judged.band, judged.unit)
    head = f"{MARKS[told.verdict]} {told.verdict.capitalize()}: {value_words(event_data(judged))}; allowed {allowed}."
    lines = [head, judged.sentence, *_picture(judged)]
    if told.settle:
        lines.append("What would settle it:")
        lines += [f"  {one.probability:4.0%}  {one.minutes:3.0f} min  {one.remedy}" for one in told.settle]
        if told.nothing_settles_it:
            needed = units.show(told.needed_uncertainty, judged.unit, difference=True)
            lines.append(f"  None of these settles it: it would take a standard uncertainty of {needed} or less.")
    if judged.assumed:
        lines += textwrap.wrap(f"Assumed: {'; '.join(judged.assumed)}.", width=100, subsequent_indent="  ")
    if told.difference_said:
        lines.append(told.difference_said)
    return "\n".join(lines)


def _picture(judged: Judged) -> list[str]:
    """The hump over the band, on a ruler."""
    low, high = judged.estimate.interval(0.999)
    ends = [end for end in (judged.band.lower, judged.band.upper) if end is not None]
    left, right = min([low, judged.raw, *ends]), max([high, judged.raw, *ends])
    pad = 0.06 * (right - left) or 1.0
    left, right = left - pad, right + pad
    step = (right - left) / WIDTH
    masses = [
        judged.estimate.below(left + (k + 1) * step) - judged.estimate.below(left + k * step) for k in range(WIDTH)
    ]
    tallest = max(masses) or 1.0
    hump = "".join(HUMP[round(8 * mass / tallest)] for mass in masses)
    middles = [left + (k + 0.5) * step for k in range(WIDTH)]
    band = "".join("▒" if _allowed(judged, x) else "·" for x in middles)
    ruler = [" "] * (WIDTH + 10)
    for end in ends:
        text = f"{units.to_unit(end, judged.unit):.6g}"
        at = max(0, min(WIDTH - 1, int((end - left) / step)) - len(text) // 2)
        ruler[at : at + len(text)] = text
    return [f"  {hump}", f"  {band}", f"  {''.join(ruler).rstrip()}"]


def _allowed(judged: Judged, x: float) -> bool:
    band = judged.band
    return (band.lower is None or x >= band.lower) and (band.upper is None or x <= band.upper)
