"""A moment as events keep it: an instant, and the name of the zone in which it was entered, as RFC 9557 writes both."""

import re
from datetime import UTC, date, datetime, tzinfo
from functools import lru_cache
from zoneinfo import ZoneInfo

from knowngood.words import clock_words, day_words

# "2026-11-20T20:00:00Z[Pacific/Auckland]"; an older program kept no zone. Names as the IANA database has them.
ZONED = re.compile(r"(?P<instant>[^\[\]]*)(?:\[(?P<zone>[A-Za-z0-9_+/-]{1,60})\])?")


@lru_cache(maxsize=64)
def zone_named(name: str) -> ZoneInfo | None:
    """Return a zone by its name; None for one that this computer does not know.

    Example:
        >>> str(zone_named("Pacific/Auckland")), zone_named("Atlantis/Capital"), zone_named("../etc/passwd")
        ('Pacific/Auckland', None, None)
    """
    try:
        return ZoneInfo(name)
    except (KeyError, OSError, ValueError):  # no such key, or one that is no name
        return None


def apart(happened: str) -> tuple[str, str]:
    """Return the instant as written, and the name of the zone; that is empty where none is kept or known.

    Example:
        >>> apart("2026-11-20T20:00:00Z[Pacific/Auckland]")
        ('2026-11-20T20:00:00Z', 'Pacific/Auckland')
    """
    found = ZONED.fullmatch(happened)
    if found is None:
        return happened.partition("[")[0], ""
    name = found["zone"] or ""
    return found["instant"], name if name and zone_named(name) else ""


def kept(happened: str) -> str:
    """Return a moment as it is kept: without a zone that nobody knows, for the entry itself counts all the same."""
    instant_words, name = apart(happened)
    return f"{instant_words}[{name}]" if name else instant_words


def instant(happened: str) -> datetime:
    """Return the instant itself.

    Raises:
        ValueError: It is no date and time.
    """
    moment = datetime.fromisoformat(apart(happened)[0])
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


def local(happened: str, otherwise: tzinfo | None) -> datetime:
    """Return a moment by the clock of the zone in which it was entered.

    Args:
        happened: As an event keeps it.
        otherwise: The zone of an entry that kept none; None for this computer's.

    Example:
        >>> local("2026-11-20T20:00:00Z[Pacific/Auckland]", None).isoformat()
        '2026-11-21T09:00:00+13:00'
    """
    return instant(happened).astimezone(zone_named(apart(happened)[1]) or otherwise)


def day_of(happened: str, otherwise: tzinfo | None) -> date:
    """Return the day of a moment in the zone in which it was entered, see `local`."""
    return local(happened, otherwise).date()


def moment_words(happened: str, otherwise: tzinfo | None) -> str:
    """Return a moment in words, by the clock of its own zone; the zone is named where that is another than here.

    Example:
        >>> moment_words("2026-11-20T20:00:00Z[Pacific/Auckland]", UTC)
        '21 November 2026, 09:00 (Auckland)'
    """
    there = local(happened, otherwise)
    words = f"{day_words(there.date())}, {clock_words(there, there.tzinfo)}"
    name = apart(happened)[1]
    here = instant(happened).astimezone(otherwise)
    return words if there.utcoffset() == here.utcoffset() else f"{words} ({name.rpartition('/')[2].replace('_', ' ')})"
