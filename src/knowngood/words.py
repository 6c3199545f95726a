"""How sentences are put together, whoever says them."""

from datetime import date, datetime, tzinfo


def day_words(day: date) -> str:
    """Return a day as it stands in a sentence.

    Example:
        >>> day_words(date(2026, 5, 3))
        '3 May 2026'
    """
    return f"{day.day} {day:%B %Y}"


def month_words(day: date) -> str:
    """Return the month of a day.

    Example:
        >>> month_words(date(2026, 5, 3))
        'May 2026'
    """
    return f"{day:%B %Y}"


def clock_words(moment: datetime, zone: tzinfo | None) -> str:
    """Return hour and minute by the clock of a zone; None for this computer's.

    The hour that comes twice where clocks go back says which of the two it is, by the letters of its zone.

    Example:
        >>> from datetime import UTC
        >>> from zoneinfo import ZoneInfo
        >>> clock_words(datetime(2026, 5, 3, 14, 32, tzinfo=UTC), ZoneInfo("Asia/Kolkata"))
        '20:02'
        >>> [clock_words(datetime(2026, 10, 25, hour, 30, tzinfo=UTC), ZoneInfo("Europe/Berlin")) for hour in (0, 1, 2)]
        ['02:30 CEST', '02:30 CET', '03:30']
    """
    there = moment.astimezone(zone)
    twice = there.replace(fold=0).utcoffset() != there.replace(fold=1).utcoffset()
    return f"{there:%H:%M}{f' {there.tzname()}' if twice else ''}"


NO_BREAK = "\u00a0"


def grouped(number: float, places: int = 0, space: str = " ") -> str:
    """Return a number with its thousands apart.

    Example:
        >>> grouped(148300.4), grouped(1234567.891, 2), grouped(990.0)
        ('148 300', '1 234 567.89', '990')
    """
    return f"{number:,.{places}f}".replace(",", space)


def km_words(km: float) -> str:
    """Return a distance in whole kilometres.

    Example:
        >>> km_words(148300.4)
        '148 300 km'
    """
    return f"{grouped(km)} km"


def capital(words: str) -> str:
    """Return words as a sentence begins.

    Example:
        >>> capital("no reading yet."), capital("ABS pump")
        ('No reading yet.', 'ABS pump')
    """
    return words[:1].upper() + words[1:]


def small(words: str) -> str:
    """Return a title as it stands within a sentence.

    Example:
        >>> small("Coolant circuit")
        'coolant circuit'
    """
    return words[:1].lower() + words[1:]
