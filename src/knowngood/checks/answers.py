"""What the manual says, as it is typed: read once by the kind of its question, and kept in plain digits."""

from collections.abc import Callable, Mapping
from typing import Any

from knowngood import units
from knowngood.quantities.known import beyond_limits, quantity_for
from knowngood.quantities.refusing import refused_limits
from knowngood.sheet.fields import stated
from knowngood.sheet.model import AskFor, AskRef, Limit, Sheet

K = units.Kind
ANSWERS: Mapping[AskFor, Callable[[str], Any]] = {
    AskFor.TORQUE: lambda text: stated(text, K.TORQUE),
    AskFor.VOLUME: lambda text: stated(text, K.VOLUME),
    AskFor.TEMPERATURE: lambda text: units.tolerance(text, K.TEMPERATURE),
    AskFor.TEMPERATURES: lambda text: units.span(text, K.TEMPERATURE),
    AskFor.LENGTH: lambda text: units.tolerance(text, K.LENGTH),
    AskFor.DENSITY: lambda text: stated(text, K.DENSITY),
    AskFor.LIMITS: units.span,
    AskFor.WORDS: str,
}


def read_answer(text: str, expected: AskFor) -> Any:
    """An answer as units read it; None when they cannot, which the rule on unreadable answers tells of."""
    try:
        return ANSWERS[expected](text)
    except units.UnitsError:
        return None


def plain_answer(sheet: Sheet, ask: str, typed: str) -> str:
    """Return an answer in plain digits, as it is kept beside the words that were typed.

    Args:
        sheet: As written, its questions still open.
        ask: The question that is answered.
        typed: The words.

    Raises:
        UnitsError: They cannot be read as what was asked for, or cannot be.
    """
    expected = sheet.asks[ask].answer
    if expected is AskFor.WORDS:
        return typed
    limits = [one for one in sheet.limits.values() if isinstance(one.band, AskRef) and one.band.ask == ask]
    beyond = _beyond(limits)
    plain, _ = units.decided(typed, beyond=beyond)
    allowed = ANSWERS[expected](plain)
    for limit in limits:
        quantity = quantity_for(limit.quantity or "", allowed.kind)
        if quantity and quantity.judged is allowed.kind and (cannot_be := refused_limits(quantity, allowed)):
            raise units.UnitsError(cannot_be)
    return plain


def _beyond(limits: list[Limit]) -> units.Beyond | None:
    """What the quantities that are judged by an answer rule out."""
    bounds = [bound for one in limits if (bound := beyond_limits(one.quantity or "", None))]
    return bounds[0] if bounds else None
