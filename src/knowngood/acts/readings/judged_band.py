"""Does a limit still say what a reading of it was judged against?"""

from knowngood.sheet.model import AskRef, Costs, Limit
from knowngood.store.event import Event

# Ours: of a limit; the same words read twice agree to the last digits.
SAME = 1e-9
# What a verdict follows from beside the limits themselves, as a reading keeps it.
BESIDE = ("quantity", "at", "conductor", "rule")


def stated(limit: Limit) -> dict[str, str]:
    """What the sheet states itself, as if it had been typed; a limit that the manual must state is left to be typed."""
    rule = f"{limit.rule.wrong_within} {limit.rule.wrong_out}" if isinstance(limit.rule, Costs) else limit.rule
    found = {
        **limit.given,
        "quantity": limit.quantity or "",
        "limits": "" if isinstance(limit.band, AskRef) else limit.band.text,
        "at": limit.at.text if limit.at else "",
        "conductor": limit.conductor.value if limit.conductor else "",
        "rule": rule,
    }
    return {key: text for key, text in found.items() if text}


def still_stands(limit: Limit | None, reading: Event) -> bool:
    """Return whether what a reading was judged by is what its limit says now.

    Args:
        limit: With answers of the manual filled in; None, or one that the manual has not stated, contradicts nothing.
        reading: As judged in the job; one that was attached was judged against limits of its own, as its person knew.
    """
    if limit is None or reading.kind != "reading_judged":
        return True
    return same_band(limit, reading) and same_beside(limit, reading)


def same_band(limit: Limit, reading: Event) -> bool:
    """Is what is allowed still the same?"""
    if isinstance(limit.band, AskRef):
        return True
    told = reading.data["band"]
    ends = ((told["lower"], limit.band.lower), (told["upper"], limit.band.upper))
    return limit.band.kind.unit == told["unit"] and all(_same(one, other) for one, other in ends)


def same_beside(limit: Limit, reading: Event) -> bool:
    """Is all else that the sheet states of it still the same? What a reading did not keep contradicts nothing."""
    told, now = reading.data["typed"], stated(limit)
    beside = {name: told.get(name, "") for name in (*BESIDE, *limit.given) if name in now}
    # The unit that the sheet left out was written behind it as it was read.
    return all(kept in ("", now[name]) or kept.startswith(f"{now[name]} ") for name, kept in beside.items())


def _same(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) <= SAME * max(abs(one), abs(other))
