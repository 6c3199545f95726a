"""What the forms of a sheet are made of: unit-bearing strings read once by `units`, and questions in their place.

What was written stays beside the number.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, PlainSerializer, PlainValidator, ValidationInfo, WithJsonSchema

from knowngood import units
from knowngood.engine.measurement.meters.bounds import bound_judged
from knowngood.sheet.facts import Fact
from knowngood.sheet.tree import shown

Id = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", description="short, small letters, digits and _")]


class Form(BaseModel):
    """What every part of a sheet has in common: frozen, and no key that we do not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


class AskRef(Form):
    """A value that the owner's manual must state: {ask: drain_plug_torque}."""

    ask: Id


# In the context of a validation: the sheet was kept by a program that asked about no thousands.
KEPT = "kept"
Read = Callable[[str, units.Beyond | None], Any]


def _beyond(info: ValidationInfo) -> units.Beyond | None:
    """What cannot be meant in a field: of a limit, what its quantity rules out."""
    if (info.context or {}).get(KEPT):
        return units.everything_is_beyond
    bound = bound_judged(info.data.get("quantity") or "")
    return bound.beyond if bound else None


def _written(read: Read, example: str, *, or_ask: bool = False) -> Any:
    """A field whose text `units` reads; with or_ask it may point to a question instead."""

    def value(found: Any, info: ValidationInfo) -> Any:
        if or_ask and isinstance(found, dict):
            return AskRef.model_validate(found)
        if not isinstance(found, str):
            raise ValueError(f'{shown(found)} has no unit. Write it in quotes with its unit, such as "{example}".')
        return read(found, _beyond(info))

    schema: dict[str, Any] = {"type": "string", "examples": [example]}
    if or_ask:
        ask = {"type": "object", "properties": {"ask": {"type": "string"}}, "required": ["ask"]}
        schema = {"anyOf": [schema, {**ask, "additionalProperties": False}]}
    return (PlainValidator(value), PlainSerializer(_as_written), WithJsonSchema(schema))


def _as_written(value: Any) -> Any:
    return value.model_dump() if isinstance(value, AskRef) else value.text


def _around(kind: units.Kind, example: str) -> Any:
    """A field for a value that may say how far it is off, or a question."""

    def read(text: str, beyond: units.Beyond | None) -> units.Tolerance:
        kept = beyond is units.everything_is_beyond
        return units.tolerance(text, kind, beyond=beyond) if kept else stated(text, kind, beyond)

    return _written(read, example, or_ask=True)


# What is stated of these is something: nothing, or less, is a slip of the pen.
ABOVE_ZERO = frozenset({units.Kind.TORQUE, units.Kind.VOLUME, units.Kind.DENSITY})


def stated(text: str, kind: units.Kind, beyond: units.Beyond | None = None) -> units.Tolerance:
    """Read what a sheet or a manual states of one kind, with how far it may be off.

    Raises:
        UnitsError: It cannot be read, or cannot be stated of this kind.

    Example:
        >>> stated("8 N·m ± 1", units.Kind.TORQUE).half_width
        1.0
    """
    found = units.tolerance(text, kind, beyond=beyond)
    if found.value <= 0.0 and kind in ABOVE_ZERO:
        raise units.UnitsError(f'"{text}" is not above zero. Write what is stated, such as "{kind.example}".')
    return found


# Ours: nothing in a job takes two years, and a slip of the pen is told.
LONGEST_MIN = 1_000_000.0


def _duration(text: str, beyond: units.Beyond | None) -> units.Quantity:
    found = units.quantity(text, units.Kind.DURATION, beyond=beyond or _too_long)
    _possible(text, found.value)
    return found


def _too_long(time_min: float) -> bool:
    return time_min > LONGEST_MIN


def _possible(text: str, time_min: float) -> None:
    if not 0.0 <= time_min <= LONGEST_MIN:
        raise ValueError(f'"{text}" is no time that work takes; it is 0 or more, and less than two years. Mend it.')


def _three_points(text: str, beyond: units.Beyond | None) -> units.Readings:
    times = units.readings(text, units.Kind.DURATION, beyond=beyond or _too_long)
    for time_min in times.values:
        _possible(text, time_min)
    if len(times.values) != 3 or list(times.values) != sorted(times.values):
        raise ValueError(f'"{text}" is not three times from short to long. Write them like "2 3 6 min".')
    return times


def _either_way(text: str, beyond: units.Beyond | None) -> units.Tolerance:
    """How far a level may be off, up or down; a ± before it says no more."""
    one = units.tolerance(text.strip().removeprefix("±"), beyond=beyond)
    if one.kind not in (units.Kind.LENGTH, units.Kind.VOLUME):
        raise ValueError(f'"{text}" is {one.kind.words}; a level is off by a length or a volume, such as "5 mm".')
    return replace(one, text=text)


def _fact(found: Any) -> Fact:
    if not isinstance(found, str):
        raise ValueError(f"{shown(found)} is not a fact. Write a word or word(object), such as raised(front).")
    return Fact.read(found)


K = units.Kind
FactText = Annotated[
    Fact,
    PlainValidator(_fact),
    PlainSerializer(lambda fact: fact.text),
    WithJsonSchema({"type": "string", "examples": ["on_stands(front)"]}),
]
Torque = Annotated[units.Tolerance | AskRef, *_around(K.TORQUE, "8 N·m ± 1")]
Volume = Annotated[units.Tolerance | AskRef, *_around(K.VOLUME, "6.2 L ± 0.3")]
Length = Annotated[units.Tolerance | AskRef, *_around(K.LENGTH, "350 mm ± 10")]
Density = Annotated[units.Tolerance | AskRef, *_around(K.DENSITY, "850 kg/m³")]
Freezing = Annotated[units.Tolerance | AskRef, *_around(K.TEMPERATURE, "-25 °C")]
OffBy = Annotated[units.Tolerance | AskRef, *_written(_either_way, "5 mm", or_ask=True)]
Allowed = Annotated[
    units.Span | AskRef, *_written(lambda text, beyond: units.span(text, beyond=beyond), "80..95 ohm", or_ask=True)
]
Window = Annotated[
    units.Span | AskRef,
    *_written(lambda text, beyond: units.span(text, K.TEMPERATURE, beyond=beyond), "35..45 °C", or_ask=True),
]
Temperature = Annotated[
    units.Quantity, *_written(lambda text, beyond: units.quantity(text, K.TEMPERATURE, beyond=beyond), "20 °C")
]
Duration = Annotated[units.Quantity, *_written(_duration, "20 min")]
Times = Annotated[units.Readings, *_written(_three_points, "2 3 6 min")]
