"""What a step does to which thing: by its facts, its bolts and parts, and the words of its sentence.

A sheet need not state every fact. So a thing is known by name, wherever the name stands, and an act that guards
somebody counts also where only the sentence tells of it. A name has look-alikes: a vernier caliper is no brake.
"""

import re
from collections.abc import Callable, Collection, Hashable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeVar

from knowngood.checks.walk import Walk, Way
from knowngood.sheet.facts import Fact
from knowngood.sheet.model import Sheet, Step

Key = TypeVar("Key", bound=Hashable)
# Words of a fact that hold while a thing is not in its place.
APART = frozenset(("off", "open", "loose", "disconnected", "drained", "removed", "out", "undone"))
UNDOES = re.compile(
    r"\b(open|opened|undo|undone|loosen\w*|slacken\w*|unscrew\w*|disconnect\w*|unplug\w*|unclip\w*|pull\w*"
    r"|remove\w*|"
    r"drain\w*|empt(?:y|ies|ied)|syphon\w*|siphon\w*|detach\w*|unbolt\w*|separate\w*|crack\w*|split|swap\w*|renew\w*|replace\w*|change\w*|off|out)\b"
)
PUTS_BACK = re.compile(
    r"\b(on|in|back|refit\w*|fit|fitted|mount\w*|bolt\w*|hang|renew\w*|replace\w*|change\w*|swap\w*)\b"
)
# A sentence that looks at a thing, or cleans it, does not open it.
ONLY_LOOKS = re.compile(
    r"\b(look\w*|check\w*|inspect\w*|read|measure\w*|wipe\w*|clean\w*|brush\w*|write|note|photograph\w*)\b"
)
# A hose off its clip is not opened.
OFF_ITS_CLIP = re.compile(
    r"\b(off|from|out of|free of) (?:the |its |their )*(?:\w+ )?"
    r"(clips?|brackets?|holders?|grommets?|guides?|retainers?)\b"
)
NEGATED = re.compile(r"\b(not|never|nobody|dont|neither|nor)\b")
LEAVES = re.compile(
    r"\b(not|never|nobody|dont|nothing|without|instead|avoid|stays?|keep|leave|still|clear of|neither|nor)\b"
)
# What follows is when, not what: "wait until the caliper is off".
WHEN = re.compile(r"\b(before|until|till|when|while|once|if|unless|after|so that|as long as|where|with)\b.*")
SENTENCE = re.compile(r"[.;!?]")
PART = re.compile(r"[,:()]")
MARK = re.compile(r"[.;:,!?()]|\bthen\b|\bbut\b")
AND = re.compile(r"\band\b")
ARTICLES = frozenset(("the", "a", "an", "its", "both", "new", "old"))
OTHER_ACTS = frozenset(
    (
        "lift", "hang", "hung", "tie", "move", "push", "look", "clean", "catch", "hold", "mark", "wait", "lay",
        "set", "turn", "watch", "note", "let", "plug", "wipe", "measure", "read", "pour", "press", "drop", "lower",
    )
)  # fmt: skip


def plain(text: str) -> str:
    """Return words as they are compared: small letters, no marks.

    Example:
        >>> plain("Starter's plus_nut (B+)")
        'starter plus nut b+'
    """
    text = re.sub(r"['’]s\b", "", text.casefold()).replace("'", "").replace("’", "")
    return " ".join(re.findall(r"[^\W_]+\+?", text))


@lru_cache(maxsize=4096)
def sentences(text: str) -> tuple[str, ...]:
    """What a text says is done, sentence by sentence; what it says is not done is left out.

    Example:
        >>> sentences("Pump the pedal until it is firm. Do not drive yet")
        ('pump the pedal until it is firm',)
        >>> sentences("Bleed it, the tank must not run dry")
        ('bleed it',)
    """
    rows = (
        plain(" ".join(part for part in PART.split(row) if not NEGATED.search(plain(part))))
        for row in SENTENCE.split(text)
    )
    return tuple(row for row in rows if row)


@lru_cache(maxsize=4096)
def clauses(text: str) -> tuple[str, ...]:
    """The single acts of a text, without those that only say when.

    Example:
        >>> clauses("Wheel off, caliper off and hung up; wait until the disc is cold")
        ('wheel off', 'caliper off', 'hung up', 'wait')
    """
    parts = (WHEN.sub("", plain(row)).strip() for row in MARK.split(text))
    rows = (act for part in parts for act in _acts([one.strip() for one in AND.split(part)]))
    return tuple(row for row in rows if row and not LEAVES.search(row))


def _acts(pieces: list[str]) -> list[str]:
    """Pieces of a part as single acts; a bare name shares the act beside it: "caliper and bracket on"."""
    if all(_bare(piece) for piece in pieces):
        return [" ".join(pieces)]
    return [_shared(pieces, place) if _bare(piece) else piece for place, piece in enumerate(pieces)]


def _shared(pieces: list[str], place: int) -> str:
    """A bare name with the act that comes next, else with the one before it."""
    after = next((one for one in pieces[place:] if not _bare(one)), None)
    before = next((one for one in reversed(pieces[:place]) if not _bare(one)), "")
    return f"{pieces[place]} {after}" if after else f"{before} {pieces[place]}"


def _bare(piece: str) -> bool:
    """A name without an act of its own."""
    words = [word for word in piece.split() if word not in ARTICLES]
    return 0 < len(words) <= 3 and words[0] not in OTHER_ACTS and not (UNDOES.search(piece) or PUTS_BACK.search(piece))


@dataclass(frozen=True)
class Thing:
    """Things of one kind, by their names; look-alikes are others."""

    names: re.Pattern[str]
    look_alikes: re.Pattern[str] | None = None

    def among(self, phrases: Iterable[str]) -> str | None:
        """The first phrase that names one."""
        return next((one for one in phrases if self.names.search(self._cleared(one))), None)

    def _cleared(self, phrase: str) -> str:
        return self.look_alikes.sub(" ", phrase) if self.look_alikes else phrase


def thing(names: str, look_alikes: str = "") -> Thing:
    """A thing by two patterns of whole words."""
    return Thing(re.compile(rf"\b(?:{names})\b"), re.compile(rf"\b(?:{look_alikes})\b") if look_alikes else None)


def fact_words(fact: Fact) -> str:
    """A fact as plain words: `unproven(brake_pedal)` is unproven brake pedal."""
    return plain(f"{fact.word} {fact.of or ''}")


def taken_apart(sheet: Sheet, step: Step) -> Iterator[str]:
    """Names of what a step takes off, opens, loosens or drains."""
    yield from (plain(fact.of) for fact in step.makes if fact.word in APART and fact.of)
    yield from (plain(f"{sheet.fasteners[name].name} {name}") for name in step.loosen)
    yield from (row for row in clauses(step.do) if UNDOES.search(row) and not _leaves_shut(row))


def _leaves_shut(act: str) -> bool:
    return bool(ONLY_LOOKS.search(act) or OFF_ITS_CLIP.search(act))


def put_together(sheet: Sheet, step: Step) -> Iterator[str]:
    """Names of what a step puts back, fits or closes."""
    yield from (plain(fact.of) for fact in step.ends if fact.word in APART and fact.of)
    yield from (plain(sheet.parts[name].name) for name in step.fit)
    loosened = {name for one in sheet.steps for name in one.loosen}
    yield from (plain(f"{sheet.fasteners[name].name} {name}") for name in step.tighten if name in loosened)
    yield from (row for row in clauses(step.do) if PUTS_BACK.search(row) and not ONLY_LOOKS.search(row))


def steps_that(walk: Walk, does: Callable[[Step], object]) -> frozenset[int]:
    """Places of the steps that do something."""
    return frozenset(index for index, step in walk.steps if does(step))


def says(pattern: re.Pattern[str]) -> Callable[[Step], bool]:
    """Does a step's sentence tell of an act, or a fact that it makes?"""

    def told(step: Step) -> bool:
        return any(pattern.search(row) for row in (*sentences(step.do), *map(fact_words, step.makes)))

    return told


def since(way: Way, place: int, steps: Collection[int]) -> bool:
    """Was one of these steps done before this place of the way, or is it the one here?"""
    return any(stand.index in steps for stand in way.stands[: place + 1])


def on_ways(walk: Walk, finds: Callable[[Way], Iterable[Key]]) -> Iterator[tuple[Key, str]]:
    """What is found on some way, once each, and when it is so: nothing is said where every way has it."""
    seen: dict[Key, list[Way]] = {}
    for way in walk.ways:
        for key in dict.fromkeys(finds(way)):
            seen.setdefault(key, []).append(way)
    for key, ways in seen.items():
        yield key, f" when {ways[0].says}" if ways[0].says and len(ways) < len(walk.ways) else ""
