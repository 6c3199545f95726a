"""Does a limit still say what a reading of it was judged against?"""

from knowngood.sheet.model import AskRef, Limit
from knowngood.store.event import Event

# Ours: of a limit; the same words read twice agree to the last digits.
SAME = 1e-9


def still_stands(limit: Limit | None, reading: Event) -> bool:
    """Return whether the limits of a judged reading are those of its limit as it stands now.

    Args:
        limit: With answers of the manual filled in; None, or one that the manual has not stated, contradicts nothing.
        reading: As judged in the job; one that was attached was judged against limits of its own, as its person knew.
    """
    if limit is None or isinstance(limit.band, AskRef) or reading.kind != "reading_judged":
        return True
    told = reading.data["band"]
    ends = ((told["lower"], limit.band.lower), (told["upper"], limit.band.upper))
    return limit.band.kind.unit == told["unit"] and all(_same(one, other) for one, other in ends)


def _same(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) <= SAME * max(abs(one), abs(other))
