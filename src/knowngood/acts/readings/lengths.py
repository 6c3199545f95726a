"""How long what is typed may be, field by field: far more than anybody writes there, and no more than is soon read."""

from collections.abc import Mapping

from knowngood.refusal import Refused
from knowngood.words import grouped

# All ours. Words of one's own are long; a sheet is longer; what is read by patterns is short.
USUAL = 2_000
LONG = 20_000
LONGEST = {
    **dict.fromkeys(("text", "words", "why", "reason", "complaint", "exceptions", "message", "event"), LONG),
    **dict.fromkeys(("line", "meter", "range", "scale"), 300),
    "sheet": 1_000_000,
}


def refuse_long(fields: Mapping[str, str]) -> None:
    """Refuse what is longer than its field takes.

    Args:
        fields: What was typed, by field.

    Raises:
        Refused: A sentence at each field.

    Example:
        >>> refuse_long({"text": "a note" * 1000})
    """
    problems = {
        name: f"This has {grouped(len(text))} characters; {grouped(longest(name))} fit here. Shorten it."
        for name, text in fields.items()
        if len(text) > longest(name)
    }
    if problems:
        raise Refused(problems)


def longest(name: str) -> int:
    """Return how many characters a field takes."""
    return LONGEST.get(name, USUAL)
