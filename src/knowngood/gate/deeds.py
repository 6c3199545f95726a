"""What a sentence does to which part: clause by clause, the verb that governs each part that it names."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, cached_property

from knowngood.engine.tables import table
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate.names import Hit, hits
from knowngood.gate.words import ENDS, TABLE, said

VOWELS = "aeiou"
ARTICLES = frozenset(("a", "an", "the"))
AUXILIARY = frozenset(("be", "been", "being", "is", "are", "was", "to", "ever", "even", "must", "may", "get", "you"))
# What joins one part to another.
ALONG = frozenset(("and", "or", "nor", ","))
# Ours: how far before a verb its "not" stands at most, and how far before a part its preposition.
NOT_BEFORE, PLACED_BEFORE = 3, 4
# Kinds whose hoses and tanks are opened also by what is taken "off" or "out of" them.
OPENED_BY_TAKING = (SafetyKind.BRAKES, SafetyKind.FUEL)


class Deed(StrEnum):
    """What is done to a part."""

    LOOK = "look"
    GUARD = "guard"
    SET = "set"
    ADJUST = "adjust"
    MOVE = "move"
    TEND = "tend"
    BLEED = "bleed"
    FEEL = "feel"
    MEASURE = "measure"
    UNPLUG = "unplug"
    OPEN = "open"
    FIT = "fit"
    MEND = "mend"
    HEAT = "heat"
    OTHER = "other"


@dataclass(frozen=True)
class Done:
    """A part that a sentence names, and what it does to it."""

    hit: Hit
    deed: Deed


def deeds(text: str, *, metered: bool = False) -> tuple[Done, ...]:
    """Return each part of a safety system that a sentence names, with what is done to it.

    Args:
        text: A step's sentence, or a test's name.
        metered: A meter is in the hand, so that to check or to read is to measure.

    Example:
        >>> [(one.hit.words, one.deed.value) for one in deeds("Parking brake set; unplug the yellow connector")]
        [('parking brake', 'set'), ('yellow connector', 'unplug')]
        >>> [(one.hit.words, one.deed.value) for one in deeds("Keep clear of the airbag")]
        [('airbag', 'guard')]
    """
    found = hits(text)
    return tuple(_Reader(said(text), found, metered).all()) if found else ()


# --- verbs ------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Verb:
    """A verb: its place among the words, and what it does; guarding when a "not" stands before it."""

    place: int
    deed: Deed


@cache
def _verbs() -> dict[str, Deed]:
    """Every form of every verb of the table."""
    words = table(TABLE)
    forms: dict[str, Deed] = {}
    for deed, plain in ((Deed(deed), verb) for deed, verbs in words["deeds"].items() for verb in verbs):
        for form in (*_regular(plain), *words["irregular"].get(plain, ())):
            forms.setdefault(form, deed)
    return forms


def _regular(plain: str) -> Iterator[str]:
    """A verb's forms; those in -s are in the singular already.

    Example:
        >>> list(_regular("unplug")), list(_regular("measure"))
        (['unplug', 'unplugged', 'unplugging'], ['measure', 'measured', 'measuring'])
    """
    yield plain
    stem = plain[:-1] if plain.endswith("e") else plain
    if len(plain) > 2 and plain[-1] not in VOWELS + "wxyrn" and plain[-2] in VOWELS and plain[-3] not in VOWELS:
        stem += plain[-1]
    yield (plain[:-1] + "i" if plain.endswith("y") and plain[-2] not in VOWELS else stem) + "ed"
    yield stem + "ing"


# --- the sentence -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Clause:
    """Words from `first` to before `end`; what stood before it, and which sentence it is part of."""

    first: int
    end: int
    before: str
    sentence: int


class _Reader:
    """Reads one text."""

    def __init__(self, form: str, found: Sequence[Hit], metered: bool) -> None:
        self.words = form.split()
        self.metered = metered
        self.spans = {one: _span(form, one) for one in found}
        self.named = {place for first, end in self.spans.values() for place in range(first, end)}
        self.table = table(TABLE)["clauses"]

    def all(self) -> Iterator[Done]:
        """Each part with its deed; "it" in the next clause stands for the parts of the one before."""
        last: list[Hit] = []
        for number, clause in enumerate(self.clauses):
            here = [one for one, (first, _) in self.spans.items() if clause.first <= first < clause.end]
            yield from (Done(one, self._deed(one, number)) for one in here)
            verbs = self._verbs_of(clause)
            spoken = set(self.words[clause.first : clause.end]) & set(self.table["it"])
            if last and not here and verbs and spoken:
                yield from (Done(one, self._moved(verbs[0], clause)) for one in last)
            elif here or self.words[clause.first : clause.end]:
                last = here

    @cached_property
    def clauses(self) -> list[_Clause]:
        """The text in clauses: at each mark, and at each word that begins another."""
        found, first, before, sentence = list[_Clause](), 0, ".", 0
        for place, word in enumerate([*self.words, "."]):
            if place in self.named or not (word in ENDS or word in self.table["parts"]):
                continue
            found.append(_Clause(first, place, before, sentence))
            first, before, sentence = place + 1, word, sentence + (word in ".;!?")
        return [one for one in found if one.first < one.end]

    def _verbs_of(self, clause: _Clause) -> list[_Verb]:
        places = (place for place in range(clause.first, clause.end) if place not in self.named)
        found = ((place, self._verb(place, clause)) for place in places)
        return [_Verb(place, self._denied(place, clause) or deed) for place, deed in found if deed]

    def _verb(self, place: int, clause: _Clause) -> Deed | None:
        """The deed of a word that is a verb here."""
        word, before = self.words[place], self.words[place - 1] if place > clause.first else ""
        deed = _verbs().get(word)
        if deed is None or before in ARTICLES:
            return None
        begins = not before or before in self.table["starts"] or before.endswith("ly")
        plain = word in self.table["nouns"]
        finished = word in self.table["done"] and place == clause.end - 1
        return deed if begins or finished or not plain else None

    def _denied(self, place: int, clause: _Clause) -> Deed | None:
        """Guarding, when a "not" stands before the verb."""
        for back in range(1, NOT_BEFORE + 1):
            if place - back < clause.first:
                return None
            word = self.words[place - back]
            if word in self.table["not"]:
                return Deed.GUARD
            if word not in AUXILIARY and place - back not in self.named:
                return None
        return None

    def _deed(self, hit: Hit, number: int) -> Deed:
        """What is done to a part: by the verb before it, else after it, else by what a clause without one says."""
        clause, (first, end) = self.clauses[number], self.spans[hit]
        verbs = self._verbs_of(clause)
        before, after = [one for one in verbs if one.place < first], [one for one in verbs if one.place >= end]
        verb = before[-1] if before else after[0] if after else None
        since = verb.place + 1 if before and verb else clause.first
        if self._spared(hit, since, first) or (verb is None and self._spared_along(number, first, end)):
            return Deed.GUARD
        if verb is None:
            return self._without_verb(clause, first, end, number)
        return self._moved(verb, clause)

    def _moved(self, verb: _Verb, clause: _Clause) -> Deed:
        """The verb's own deed; to take off is to open, to put in is to fit, and to check with a meter is to measure."""
        words = self.words[clause.first : clause.end]
        if verb.deed is Deed.MOVE and self.words[verb.place] in self.table["still"]:
            return Deed.MOVE
        if verb.deed is Deed.MOVE:
            behind = self.words[verb.place + 1 : clause.end]
            if set(behind) & set(self.table["open"]):
                return Deed.OPEN
            placed = {behind[0], behind[-1]} if behind else set()
            fits = set(self.table["fit"]) - (set() if self.words[verb.place] in self.table["restores"] else {"back"})
            return Deed.FIT if placed & fits else Deed.MOVE
        if verb.deed is Deed.LOOK and self._measures(words):
            return Deed.MEASURE
        return verb.deed

    def _measures(self, words: Sequence[str]) -> bool:
        if set(words) & set(self.table["measured"]):
            return True
        return self.metered and not set(words) & set(self.table["seen"])

    def _without_verb(self, clause: _Clause, first: int, end: int, number: int) -> Deed:
        """A clause such as "strut top nut off", "new brake hose", "radiator seams"."""
        said_so = self._by_particle(self.words[clause.first : first], self.words[end : clause.end])
        if said_so or (said_so := self._inherited(number)):
            return said_so
        words = self.words[clause.first : clause.end]
        if self._measures(words):
            return Deed.MEASURE
        return Deed.LOOK if set(words) & set(self.table["seen"]) else Deed.OTHER

    def _by_particle(self, before: Sequence[str], behind: Sequence[str]) -> Deed | None:
        """By the small words around a part: "no ...", "new ...", "... off", "... back in"."""
        if set(before) & set(self.table["not"]):
            return Deed.GUARD
        if set(before) & set(self.table["new"]):
            return Deed.FIT
        if behind and behind[-1] in self.table["there"]:
            return Deed.GUARD
        if set(behind) & set(self.table["still"]):
            return Deed.MOVE
        if behind and {behind[0], behind[-1]} & set(self.table["open"]):
            return Deed.OPEN
        return Deed.FIT if behind and behind[-1] in self.table["fit"] else None

    def _inherited(self, number: int) -> Deed | None:
        """What the clauses before say in the same sentence; else what follows a colon."""
        clause = self.clauses[number]
        for one in reversed(self.clauses[:number]):
            if one.sentence == clause.sentence and (verbs := self._verbs_of(one)):
                return self._moved(verbs[-1], one)
        after = self.clauses[number + 1 : number + 2]
        if after and after[0].before in ":,(" and after[0].sentence == clause.sentence:
            verbs = self._verbs_of(after[0])
            return self._moved(verbs[0], after[0]) if verbs else None
        return None

    def _spared(self, hit: Hit, since: int, first: int) -> bool:
        """Is the part only near what is worked on, or where it is, or said not to be touched?"""
        for place in range(first - 1, max(since, first - PLACED_BEFORE) - 1, -1):
            word, before = self.words[place], self.words[place - 1] if place > since else ""
            if word == "by" and before in (*self.table["it"], *self.table["open"]):
                return False  # "pull it out by the cable" has the cable in the hand
            if word in self.table["not"] or word in self.table["near"]:
                return True
            if word in self.table["plain_place"] and not hit.sealed:
                return True
            if word in self.table["place"] or word == "of":
                if before in self.table["near_with"] or before == "front":
                    return True
                return word != "of" and not hit.sealed and hit.kind not in OPENED_BY_TAKING
        return False

    def _spared_along(self, number: int, first: int, end: int) -> bool:
        """Is it named along with a part that is spared: "away from the fuel line and the airbag"?"""
        clause, last = self.clauses[number], self.clauses[number - 1]
        named_alone = end == clause.end and not set(self.words[clause.first : first]) - ARTICLES
        if number == 0 or clause.before not in ALONG or not named_alone:
            return False
        named = [(hit, place) for hit, (place, behind) in self.spans.items() if behind == last.end]
        verbs = [verb.place for verb in self._verbs_of(last)]
        return any(
            self._spared(hit, max((one for one in verbs if one < place), default=last.first), place)
            for hit, place in named
        )


def _span(form: str, hit: Hit) -> tuple[int, int]:
    """The places of a part's words: the first, and behind the last."""
    first = form.count(" ", 0, hit.start) - 1
    return first, first + hit.words.count(" ") + 1
