"""What could be wrong, in a sheet: suspects, tests and what they show, repairs and what they fix, covers and the quote.

How often something shows stays in the words that were written; `checks.chances` makes numbers of them.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, PlainSerializer, PlainValidator, WithJsonSchema, model_validator

from knowngood import units
from knowngood.engine.troubleshooting.model.likely import SHOWN, WITHOUT, WORDS
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate import NONE, Declared, declared_kind, kind_of
from knowngood.sheet.fields import Duration, FactText, Form, Id
from knowngood.sheet.tree import shown

# The suspect that is always there; the engine's key for it.
NONE_OF_THESE = "other"
LEAST_NONE, MOST_NONE = 5.0, 95.0
# Ours: a repair that is named for a suspect fixes it nearly always when nothing else is said.
FIXES = "nearly always"
# Ours: beyond it halving again and again says nothing; and money of which one more digit is a slip of the pen.
LAST_RANK, MOST_MONEY = 99, 999_999
OF_TEN = re.compile(r"([0-9]+(?:\.[0-9]+)?) of 10")


@dataclass(frozen=True)
class HowOften:
    """How often something shows, as it was written.

    Args:
        text: As written.
        word: One of the engine's words; None when a number was written.
        of_10: Of ten vehicles, in so many; None when a word was written.
    """

    text: str
    word: str | None = None
    of_10: float | None = None

    @classmethod
    def read(cls, found: Any) -> Self:
        """Read a word, or a number of ten vehicles.

        Raises:
            ValueError: Neither, or more than ten.

        Example:
            >>> HowOften.read("usually").word, HowOften.read("8 of 10").of_10
            ('usually', 8.0)
        """
        text = " ".join(found.split()) if isinstance(found, str) else ""
        if text in WORDS:
            return cls(text, word=text)
        number = OF_TEN.fullmatch(text)
        if number is None or float(number[1]) > 10.0:
            words = ", ".join(WORDS)
            raise ValueError(f'{shown(found)} does not say how often; write one of {words}, or such as "8 of 10".')
        return cls(text, of_10=float(number[1]))


def _listed(otherwise: str) -> Callable[[Any], Any]:
    """A list of names stands for each of them as often as is usual."""

    def each(found: Any) -> Any:
        if isinstance(found, list) and all(isinstance(one, str) for one in found):
            return dict.fromkeys(found, otherwise)
        return found

    return each


def _share(found: Any) -> units.Quantity:
    if not isinstance(found, str):
        raise ValueError(f'{shown(found)} has no unit. Write it in quotes with its unit, such as "10 %".')
    share = units.quantity(found, units.Kind.SHARE)
    if not LEAST_NONE <= share.value <= MOST_NONE:
        raise ValueError(
            f'"{found}" for none of these; no list is complete, so it is {LEAST_NONE:g} to {MOST_NONE:g} %. '
            "Write one of those, or leave it out."
        )
    return share


def _kind(found: Any) -> Declared:
    kind = declared_kind(found) if isinstance(found, str) else None
    if kind is None:
        raise ValueError(
            f"{shown(found)} is no part that safety hangs on, as listed here; write one of "
            f"{', '.join(SafetyKind)}, or {NONE} when it is none of these."
        )
    return kind


Often = Annotated[
    HowOften,
    PlainValidator(HowOften.read),
    PlainSerializer(lambda often: often.text),
    WithJsonSchema({"anyOf": [{"enum": list(WORDS)}, {"type": "string", "pattern": OF_TEN.pattern}]}),
]
Shows = Annotated[
    dict[Id, Often], BeforeValidator(_listed(SHOWN), json_schema_input_type=dict[Id, Often] | tuple[Id, ...])
]
Fixes = Annotated[
    dict[Id, Often], BeforeValidator(_listed(FIXES), json_schema_input_type=dict[Id, Often] | tuple[Id, ...])
]
Some = Annotated[
    tuple[Id, ...],
    BeforeValidator(
        lambda found: (found,) if isinstance(found, str) else found, json_schema_input_type=Id | tuple[Id, ...]
    ),
]
Share = Annotated[
    units.Quantity,
    PlainValidator(_share),
    PlainSerializer(lambda share: share.text),
    WithJsonSchema({"type": "string", "examples": ["10 %"]}),
]
Kind = Annotated[
    Declared,
    PlainValidator(_kind),
    PlainSerializer(str),
    WithJsonSchema({"type": "string", "examples": [*(kind.value for kind in SafetyKind), NONE]}),
]
Money = Annotated[
    float, Field(ge=0, le=MOST_MONEY, description="in your own money; left out of a sheet that is shared")
]
RARELY = HowOften.read(WITHOUT)


class Named(Form):
    """A part, a reading or a work: what it belongs to, its kind says, else its name."""

    name: str
    kind: Kind | None = Field(
        default=None, description=f"what it belongs to, when safety hangs on it: brakes; or {NONE}"
    )

    @property
    def safety(self) -> SafetyKind | None:
        """The safety system that it belongs to, declared or by its name."""
        return kind_of(self.name, self.kind)


class Suspect(Named):
    """Something that could be the fault."""

    of_10: float | None = Field(default=None, gt=0, le=10, description="of 10 vehicles that do this, in so many")
    rank: int | None = Field(default=None, ge=1, le=LAST_RANK, description="1 is the likeliest; equal unless ranked")

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if self.of_10 is not None and self.rank is not None:
            raise ValueError("of_10 and rank both say how likely it is. Keep one of them.")
        return self


class Shown(Form):
    """One of the things that a test can show."""

    name: str = ""
    shows: Shows = Field(default_factory=dict, description="how often it is this with each suspect")
    without: Often | None = Field(default=None, description="how often it is this with any other")


class Test(Named):
    """Something to look at or to measure, and what it shows."""

    __test__ = False  # not a test of ours, whatever its name says to the test runner

    shows: Shows = Field(default_factory=dict, description="with which suspects it shows, and how often")
    without: Often = Field(default=RARELY, description="how often it shows with any other")
    outcomes: dict[Id, Shown] = Field(default_factory=dict, description="more than yes and no: what each shows")
    limit: Id | None = Field(default=None, description="the limit whose reading it is: out is yes")
    decided: Id | None = Field(default=None, description="the decision of a step whose choices are its outcomes")
    step: Some = Field(default=(), description="the steps that do it")
    minutes: Duration | None = Field(default=None, description="left out: the usual time of its steps")
    money: Money | None = None
    cover: Id | None = Field(default=None, description="the cover that it lies behind")
    group: Id | None = Field(default=None, description="tests of one name see the same thing, and count once")

    @model_validator(mode="after")
    def _one_form(self) -> Self:
        if self.outcomes and (self.shows or self.without != RARELY):
            raise ValueError("with outcomes, shows and without stand under each of them. Move them there.")
        if len(self.outcomes) == 1:
            raise ValueError("it has a single outcome; a test that always shows the same tells nothing. Add another.")
        if self.outcomes and self.limit:
            raise ValueError("a limit is met or not, so its test shows yes or no. Leave outcomes out, or limit.")
        if self.decided and self.limit:
            raise ValueError("limit and decided both say where it is found. Keep one of them.")
        return self


class Repair(Named):
    """Something to replace or to mend, and what it fixes."""

    fixes: Fixes = Field(description="which suspects it fixes, and how surely")
    step: Some = Field(default=(), description="the steps that do it")
    part: Some = Field(default=(), description="the parts that it takes")
    minutes: Duration | None = Field(default=None, description="left out: the usual time of its steps")
    money: Money | None = None
    cover: Id | None = Field(default=None, description="the cover that it lies behind")
    closed_check: bool = Field(default=False, description="whether it helped is seen only with the cover on again")
    watch: str | None = Field(default=None, description="it may wait until then: code returns, or 500 km")


class Cover(Form):
    """Something that has to come off first."""

    name: str
    fact: FactText | None = Field(default=None, description="what holds while it is off: off(pan)")
    opens: Duration | None = Field(default=None, description="left out: the usual time of the steps that make the fact")
    closes: Duration | None = Field(default=None, description="left out: the usual time of the steps that end the fact")
    money: Money | None = Field(default=None, description="gasket and fluid")
    inside: Id | None = Field(default=None, description="the cover that it lies behind itself")


class CheckAfter(Form):
    """What shows after a repair whether the fault is gone."""

    name: str
    step: Some = ()
    minutes: Duration | None = Field(default=None, description="left out: the usual time of its steps")
    money: Money | None = None


class Quote(Form):
    """What a shop asks to find the fault and mend it; the job's own quote comes first."""

    money: Money
    minutes: Duration | None = Field(default=None, description="of your own time, to bring and to fetch it")
    covers: Literal["all"] | tuple[Id, ...] = Field(default="all", description="the suspects that are in it")
    beyond: Money | None = Field(default=None, description="what comes on top for any other")

    @model_validator(mode="after")
    def _all_or_beyond(self) -> Self:
        if self.covers != "all" and self.beyond is None:
            raise ValueError("it does not cover every suspect, and beyond is missing. Add what comes on top.")
        return self


def _named(found: Any) -> Any:
    return {"name": found} if isinstance(found, str) else found


def _keyed(found: Any) -> Any:
    """Names alone, in a list, get keys by their place; "none of these" is there without being written."""
    if not isinstance(found, list | tuple):
        return found
    if wrong := [one for one in found if not isinstance(one, str)]:
        raise ValueError(f'{shown(wrong[0])} stands in the list; a suspect there is its name, such as "Fan relay".')
    return {
        f"suspect_{place}": name
        for place, name in enumerate(found, start=1)
        if name.strip(" .").casefold() != "none of these"
    }


OneSuspect = Annotated[Suspect, BeforeValidator(_named, json_schema_input_type=str | Suspect)]
Suspects = Annotated[
    dict[Id, OneSuspect], BeforeValidator(_keyed, json_schema_input_type=tuple[str, ...] | dict[Id, OneSuspect])
]
