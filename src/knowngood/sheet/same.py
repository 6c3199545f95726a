"""What questions of different sheets can both be about: a small table, so that nothing is shared by chance.

An answer of the manual goes on to another sheet only where both name the same thing here, as `same_as` of the question.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, WithJsonSchema

from knowngood.sheet.facts import GRAMMAR
from knowngood.sheet.tree import shown

EXAMPLE = "torque(gearbox.drain)"
HOW_WRITTEN = "Write word(object), such as jacking_point(front) or torque(gearbox.drain)."
HOLDS_FLUID = (
    "coolant", "engine_oil", "gearbox", "differential_front", "differential_rear", "transfer_case", "brake_fluid",
    "steering_fluid",
)  # fmt: skip
SIDES = ("front", "rear", "left", "right")
BOLTS = (
    "undertray", "wheel", "coolant.drain", "engine_oil.drain", "engine_oil.filter", "gearbox.fill", "gearbox.drain",
    "gearbox.overflow", "gearbox.pan", "differential_front.fill", "differential_front.drain", "differential_rear.fill",
    "differential_rear.drain", "transfer_case.fill", "transfer_case.drain", "battery.clamps", "battery.holder",
)  # fmt: skip


@dataclass(frozen=True)
class Things:
    """One word of `same_as`.

    Args:
        answer: Kind of answer that such a question takes.
        of: What may stand in its brackets.
        says: What it means, for who writes a sheet.
    """

    answer: str
    of: tuple[str, ...]
    says: str


THINGS: dict[str, Things] = {
    "jacking_point": Things("words", SIDES, "where this end or side is jacked, and where its stands go"),
    "torque": Things("torque", BOLTS, "the torque of these bolts or this plug"),
    "capacity": Things("volume", HOLDS_FLUID, "how much the whole circuit holds, dry"),
    "refill": Things("volume", HOLDS_FLUID, "how much goes in at a change"),
    "fluid": Things("words", HOLDS_FLUID, "which fluid, by its exact name"),
    "density": Things("density", HOLDS_FLUID, "the density of that fluid at 15 °C"),
    "level_window": Things("temperatures", HOLDS_FLUID, "the temperature at which its level is set"),
}


def _text(written: Any) -> Any:
    if not isinstance(written, str):
        raise ValueError(f"{shown(written)} names no thing that sheets share. {HOW_WRITTEN}")
    return written


def thing(written: str) -> str:
    """Return what a question is about, as it is compared.

    Raises:
        ValueError: Its word or its object is not in the table; the sentence says which is near.

    Example:
        >>> thing("torque( gearbox.drain )")
        'torque(gearbox.drain)'
    """
    read = GRAMMAR.fullmatch(written.strip())
    negated, word, of = read.groups() if read else (None, None, None)
    if not word or negated or not of:
        raise ValueError(f'"{written}" names no thing that sheets share. {HOW_WRITTEN}')
    if word not in THINGS:
        raise ValueError(f'"{written}" begins with no word that sheets share; {_hint(word, THINGS)}')
    if of not in THINGS[word].of:
        raise ValueError(f'"{written}" is of nothing that sheets share; {_hint(of, THINGS[word].of)}')
    return f"{word}({of})"


def answered_by(same_as: str) -> str:
    """The kind of answer that a question about a thing takes."""
    return THINGS[same_as.partition("(")[0]].answer


def _hint(name: str, known: Iterable[str]) -> str:
    near = get_close_matches(name, known, n=1)
    return f'did you mean "{near[0]}"?' if near else f"it is one of {', '.join(known)}. Use one, or leave same_as out."


def bolts(written: str) -> str:
    """Return which bolts these are, as other sheets know them too.

    Raises:
        ValueError: They are not in the table; the sentence says which is near.
    """
    name = written.strip()
    if name not in BOLTS:
        raise ValueError(f'"{written}" are no bolts that sheets share; {_hint(name, BOLTS)}')
    return name


SameAs = Annotated[
    str, BeforeValidator(_text), AfterValidator(thing), WithJsonSchema({"type": "string", "examples": [EXAMPLE]})
]
SameBolts = Annotated[str, BeforeValidator(_text), AfterValidator(bolts), WithJsonSchema({"enum": list(BOLTS)})]
