"""How sentences are put together, whoever says them."""

from datetime import date, datetime


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


def clock_words(moment: datetime) -> str:
    """Return hour and minute by the clock of a moment's own zone; by this computer's where it has none.

    Example:
        >>> from datetime import UTC
        >>> clock_words(datetime(2026, 5, 3, 14, 32, tzinfo=UTC))
        '14:32'
    """
    return f"{moment if moment.tzinfo else moment.astimezone():%H:%M}"


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
