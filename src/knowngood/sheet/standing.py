"""Which words about a vehicle deny each other, and how somebody says that one no longer holds."""

from collections.abc import Collection, Mapping

from knowngood.sheet.facts import WORDS, Fact

POSTURE = ("raised", "on_stands", "on_ramps")
AT_WORK = ("running", "brake_held", "in_gear")
# Set up by a step, and set up anew by the same step; every other word names work that somebody has to finish.
SET_UP = (*POSTURE, "chocked", *AT_WORK)
# What was true on the ground need not be so on stands, nor were other stands shaken; gears are selected anew with the
# engine.
LOST_WITH: Mapping[str, Collection[str]] = {
    **dict.fromkeys(("level", "at_ride_height", "shaken"), POSTURE),
    "gears_selected": ("running",),
}

MUST_NOT_STAY = tuple(word for word, known in WORDS.items() if not known.stands_at_end)
# Ours: what cannot be true while one of the others holds; the caution is the trade's usual one.
DENIED_BY: Mapping[str, Collection[str]] = {
    "parked": (*POSTURE, *AT_WORK),
    "level": POSTURE,
    "at_ride_height": POSTURE,
    "drivable": MUST_NOT_STAY,
    "running": (*POSTURE, "drained"),
    "raised": AT_WORK,
    "in_gear": POSTURE,
    "in_park_or_neutral": ("in_gear",),
}
# Nobody goes under a vehicle that may move.
UNDER_DENIED_BY = AT_WORK

ON_ITS_WHEELS = "It is on its wheels again"
NO_LONGER: Mapping[str, str] = {
    **dict.fromkeys(POSTURE, ON_ITS_WHEELS),
    "chocked": "The chocks are away",
    "off": "On again: {}",
    "loose": "Tight again: {}",
    "open": "Closed again: {}",
    "drained": "Filled again: {}",
    "unbled": "Bled: {}",
    "unproven": "Proven: {}",
    "level_unset": "Its level is set: {}",
    "running": "The {} is off",
    "disconnected": "Connected again: {}",
    "in_gear": "The selector is in P or N",
    "brake_held": "Nobody's foot is on the brake any more",
}
# What holds once the fact does not.
INSTEAD: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(POSTURE, ("parked",)),
    "in_gear": ("in_park_or_neutral",),
}


def no_longer(fact: Fact) -> str:
    """Say that it no longer holds, as on the button that says so.

    Example:
        >>> no_longer(Fact("drained", "coolant")), no_longer(Fact("on_stands", "front"))
        ('Filled again: coolant', 'It is on its wheels again')
    """
    plain = (fact.of or "").replace("_", " ").replace(".", " ")
    return NO_LONGER[fact.word].format(plain)


def so_again(fact: Fact) -> str:
    """Say that it holds again, or still."""
    return f"So again: {fact.says}"


def implied_by(fact: Fact) -> tuple[Fact, ...]:
    """Facts that imply this one: on stands is raised."""
    return tuple(Fact(word, fact.of) for word, known in WORDS.items() if fact.word in known.implies)
