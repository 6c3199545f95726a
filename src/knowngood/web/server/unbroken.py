"""Keep a number and its unit on one line of a page."""

import re

from knowngood import units
from knowngood.words import NO_BREAK

# Longest first, so that "mmHg" is not taken for "mm".
UNIT = "|".join(re.escape(unit) for unit in sorted(units.UNITS, key=len, reverse=True))
TOGETHER = re.compile(
    rf"(?<=\d) (?=(?:{UNIT})(?![\w/·]))"
    r"|(?<=\d) (?=\d{3}(?: \d{3})* (?:km|mi)\b)"  # its thousands
    r"|(?<=\d) (?=[±×])|(?<=[±×]) (?=\d)"
)
# Tags, and what is typed or copied as it stands, are left alone.
TEXT = re.compile(r"(<(script|style|title|button|textarea|select|pre|code)\b.*?</\2>|<[^<>]*>)|[^<]+", re.DOTALL)


def unbroken(page: str) -> str:
    """Return a page in which no line ends between a number and its unit.

    Example:
        >>> unbroken('<p title="5 km">After 3 800 km, 48 ± 4 °C in 20 minutes</p>').replace(NO_BREAK, "~")
        '<p title="5 km">After 3~800~km, 48~±~4~°C in 20 minutes</p>'
    """
    return TEXT.sub(lambda found: found[0] if found[1] else TOGETHER.sub(NO_BREAK, found[0]), page)
