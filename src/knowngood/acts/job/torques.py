"""What a bolt is tightened to, in words: the one place that says it, for pages, paper, the book and the terminal."""

from collections.abc import Collection

from knowngood.sheet.model import AskRef, Fastener

BY_HAND = "by hand"
NOT_STATED = "no torque stated"
SILENT = "the manual states no torque"
NOT_LOOKED_UP = "the manual's torque, not looked up"


def torque_words(fastener: Fastener, silent: Collection[str] = ()) -> str:
    """Return the torque as it is shown and signed; "by hand" only where the sheet says so.

    Args:
        fastener: With what the manual says in place of its question, where it says anything.
        silent: Questions to which the manual says nothing.
    """
    torque = fastener.torque
    if isinstance(torque, AskRef):
        return SILENT if torque.ask in silent else NOT_LOOKED_UP
    if torque is not None:
        return torque.text
    return BY_HAND if fastener.hand_tight else NOT_STATED
