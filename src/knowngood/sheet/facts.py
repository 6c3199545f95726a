"""The words of a job sheet: what can hold about a vehicle, and what that means."""

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Self

GRAMMAR = re.compile(r"(not\s+)?([a-z][a-z0-9_]*)(?:\(\s*([a-z][a-z0-9_.]*)\s*\))?")
HOW_WRITTEN = "Write a fact as word or word(object) in small letters, such as raised(front) or off(undertray)."


@dataclass(frozen=True)
class Word:
    """What the checks know of one word.

    Args:
        takes: Kind of object in the brackets; None when the word stands alone.
        stands_at_end: May a vehicle be handed back with this holding?
        says: The sentence part shown to the mechanic; {} is the object.
        implies: Words that hold of the same object whenever this one does.
        bare: May it stand alone as well, where only one object can be meant?
    """

    takes: str | None
    stands_at_end: bool
    says: str
    implies: tuple[str, ...] = ()
    bare: bool = False


WORDS: dict[str, Word] = {
    "raised": Word("axle", False, "{} raised"),
    "on_stands": Word("axle", False, "{} on two stands", implies=("raised",)),
    "on_ramps": Word("axle", False, "{} on ramps", implies=("raised",)),
    "chocked": Word("axle", False, "{} wheels chocked"),
    "off": Word("part", False, "{} off"),
    "loose": Word("fastener", False, "{} loose"),
    "open": Word("port", False, "{} open"),
    "proven": Word("port", True, "{} proven to open"),
    "drained": Word("circuit", False, "{} drained"),
    "unbled": Word("circuit", False, "{} filled, not yet bled"),
    "level_unset": Word("circuit", False, "{} filled, its level not yet set"),
    "hot": Word("circuit", True, "{} hot"),
    "warm": Word("circuit", True, "{} warm"),
    "running": Word("machine", False, "{} running"),
    "unproven": Word("part", False, "{} not yet proven", bare=True),
    "relieved": Word("part", True, "{} without pressure", bare=True),
    "shaken": Word("stands", True, "{} shaken, nothing moved", bare=True),
    "disconnected": Word("part", False, "{} disconnected"),
    "in_gear": Word(None, False, "a gear selected"),
    "in_park_or_neutral": Word(None, True, "selector in P or N"),
    "gears_selected": Word(None, True, "every gear selected once since the engine was started"),
    "brake_set": Word(None, True, "parking brake set"),
    "brake_held": Word(None, False, "somebody's foot on the brake"),
    "outdoors": Word(None, True, "outdoors or with the exhaust led out"),
    "level": Word(None, True, "standing level"),
    "at_ride_height": Word(None, True, "at ride height, its springs loaded"),
    "parked": Word(None, True, "parked on firm ground"),
    "drivable": Word(None, True, "drivable"),
}


@dataclass(frozen=True)
class Fact:
    """One thing that holds, or must not hold, about the vehicle: on_stands(front), not running(engine)."""

    word: str
    of: str | None = None
    holds: bool = True

    @classmethod
    def read(cls, text: str) -> Self:
        """Read a fact as a sheet writes it.

        Raises:
            ValueError: It is not word or word(object), or a known word has an object too many or too few.

        Example:
            >>> Fact.read("on_stands(front)")
            Fact(word='on_stands', of='front', holds=True)
        """
        found = GRAMMAR.fullmatch(text.strip())
        if not found:
            raise ValueError(f'"{text}" is not a fact. {HOW_WRITTEN}')
        negated, word, of = found.groups()
        known = WORDS.get(word)
        if known and known.takes and not of and not known.bare:
            raise ValueError(f'"{text}" does not say of which {known.takes}. Write {word}(the {known.takes}).')
        if known and not known.takes and of:
            raise ValueError(f'"{text}" has something in brackets; {word} stands alone. Write {word}.')
        return cls(word, of, not negated)

    @property
    def text(self) -> str:
        """The fact as a sheet writes it."""
        return ("" if self.holds else "not ") + (f"{self.word}({self.of})" if self.of else self.word)

    @property
    def says(self) -> str:
        """The fact in the mechanic's words."""
        plain = (self.of or "").replace("_", " ").replace(".", " ")
        known = WORDS.get(self.word)
        words = known.says.format(plain) if known else f"{plain} {self.word.replace('_', ' ')}"
        return ("" if self.holds else "not: ") + words.strip()

    @property
    def implied(self) -> tuple["Fact", ...]:
        """What holds along with it."""
        known = WORDS.get(self.word)
        return tuple(Fact(word, self.of) for word in known.implies) if known else ()


def texts(facts: Iterable[Fact]) -> tuple[str, ...]:
    """Facts as plain words for the planning engine, with all that they imply."""
    return tuple(one.text for fact in facts for one in (fact, *fact.implied))


def nearest(word: str) -> str | None:
    """The known word most like this one, when one is near."""
    near = difflib.get_close_matches(word, WORDS, n=1)
    return near[0] if near else None
