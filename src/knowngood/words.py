"""How sentences are put together, whoever says them."""


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
