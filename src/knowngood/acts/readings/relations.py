"""Compare two readings that were kept: how far apart they are, what one meter cancels, and whether it shows."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import combinations
from typing import Any

from knowngood import units
from knowngood.acts.readings.judging import UNNAMED
from knowngood.acts.readings.values import decimals_for
from knowngood.acts.readings.windings import can_be_copper, raw, warmed
from knowngood.engine.judgement import Estimate, Verdict, combine
from knowngood.engine.measurement.readings.relations import apart, difference, ratio
from knowngood.refusal import Refused, parsed
from knowngood.store.event import Event
from knowngood.words import capital

# Names that differ in one of these alone are two of a kind.
OPPOSITES = (
    {"left", "right"}, {"front", "rear"}, {"inner", "outer"}, {"upper", "lower"}, {"inlet", "outlet"},
    {"in", "out"}, {"cold", "hot"}, {"cold", "warm"}, {"before", "after"},
)  # fmt: skip
# Of these, the first word was read first.
IN_TIME = ("before", "cold")
# A winding of these two names is one winding.
WARMING = ({"cold", "hot"}, {"cold", "warm"})
NUMBERED = re.compile(r"\d+|[a-z]")
# Ours: an error of which less than half is left has dropped out.
DROPPED = 0.5
ONE_METER = "One meter read both, so its own error drops out."
TWO_METERS = "Two meters read them, so the error of each counts."
NOT_SAID = "Nobody said that one meter read both, so the error of each counts: read both with the same one."


class As(StrEnum):
    """How two readings are compared."""

    DIFFERENCE = "difference"
    RATIO = "ratio"
    CHANGE = "change"
    COPPER = "copper"


@dataclass(frozen=True)
class Compared:
    """Two readings beside each other.

    Args:
        as_: How they were compared.
        estimate: First minus second, first in percent of second, second (after) minus first (before), or how much
            warmer the second (hot) was by its resistance than by the thermometer.
        value: The same in words, in the unit that the first was written in.
        one_meter: One named meter read both.
        cancelled: Names of the errors of which less than half is left.
        differs: It is clear that they are not the same.
        sentence: What follows, for the mechanic.
    """

    as_: As
    estimate: Estimate
    value: str
    one_meter: bool
    cancelled: tuple[str, ...]
    differs: bool
    sentence: str


@dataclass(frozen=True)
class Pair:
    """Two kept readings that are worth comparing, in the order that `compare` takes."""

    first: Event
    second: Event
    as_: As


def compare(first: Mapping[str, Any], second: Mapping[str, Any], *, as_: As | str) -> Compared:
    """Compare what two events of readings keep.

    Args:
        first: Data of the first, such as left; for a change the one before.
        second: Data of the second, such as right; for a change the one after.
        as_: difference, ratio, change, or copper: one winding, cold and hot.

    Raises:
        Refused: Two kinds of quantity, no known way to compare, or nothing that a share can be taken of.
    """
    way = _way(as_)
    if way is As.COPPER:
        return _by_copper(first, second)
    one, other = own_errors(first, "first"), own_errors(second, "second")
    _refuse(first, second, one, other, way)
    estimate = _related(one, other, way)
    differs = apart(combine([(1.0, estimate)], offset=-100.0 if way is As.RATIO else 0.0))
    found = Compared(way, estimate, "", _one_meter(first, second), _cancelled(one, other, estimate, way), differs, "")
    size, half = _in_words(estimate, first["unit"], way)
    value = f"{size} ± {half} {'%' if way is As.RATIO else first['unit']}"
    return replace(found, value=value, sentence=_sentence(found, first, second))


def _by_copper(cold: Mapping[str, Any], hot: Mapping[str, Any]) -> Compared:
    """One winding cold and hot: its errors of the meter drop out of how many times it rose."""
    if not can_be_copper(cold, hot):
        raise Refused(
            {"as": "These are not one copper winding, cold and then hot. Take two readings of a winding, with the "
                   "temperature of the part typed for each, the colder one first."}
        )  # fmt: skip
    one, other = own_errors(raw(cold), "first"), own_errors(raw(hot), "second")
    times = _related(other, one, As.RATIO)
    told = warmed(one, other, cold_data=cold, hot_data=hot)
    cancelled, differs = _cancelled(other, one, times, As.RATIO), told.judgement.verdict is Verdict.OUT
    found = Compared(As.COPPER, told.gap, "", _one_meter(cold, hot), cancelled, differs, "")
    size, half = _in_words(told.gap, told.gap.unit, As.COPPER)
    sentence = f"{told.words} {_meters(found, cold, hot)}".strip()
    return replace(found, value=f"{size} ± {half} {told.gap.unit}", sentence=sentence)


def _one_meter(first: Mapping[str, Any], second: Mapping[str, Any]) -> bool:
    """One named meter read both."""
    return not first["instrument"]["assumed"] and first["instrument"]["name"] == second["instrument"]["name"]


def own_errors(data: Mapping[str, Any], mark: str) -> Estimate:
    """Return what an event knew, so that what nobody stated is shared only with readings by the same named meter.

    Args:
        data: Of the event.
        mark: Tells this reading from others, when its meter has no name.
    """
    estimate = Estimate.from_json(data["estimate"])
    instrument = data["instrument"]
    by = mark if instrument["assumed"] else instrument["name"]
    rows = (replace(row, key=f"{row.key} by {by}", name=row.says) if row.assumed else row for row in estimate.rows)
    return replace(estimate, rows=tuple(rows), law=None)


def pairs(readings: Sequence[Event]) -> tuple[Pair, ...]:
    """Return which of some readings are worth comparing: two of a kind, and one thing read twice.

    Args:
        readings: The oldest first.
    """
    newest = {_name(event): event for event in readings}
    oldest = {_name(event): event for event in reversed(readings)}
    twice = [
        Pair(oldest[name], event, As.CHANGE)
        for name, event in newest.items()
        if oldest[name] is not event and _alike(oldest[name], event)
    ]
    return (*(pair for two in combinations(newest.values(), 2) if (pair := _two_of_a_kind(*two))), *twice)


def compared_words(readings: Sequence[Event]) -> list[str]:
    """Return a sentence for each two readings that are worth putting beside each other.

    Args:
        readings: The oldest first; one that nobody gave a name is left out.
    """
    found = pairs([event for event in readings if event.data["name"] != UNNAMED])
    told = [(two, _told(two)) for two in found]
    return [words if two.as_ is As.DIFFERENCE else f"{two.second.data['name']}: {words}" for two, words in told]


def _told(two: Pair) -> str:
    """The sentence of a pair; of a winding that may as well have read nothing when cold, only how much it changed."""
    try:
        return compare(two.first.data, two.second.data, as_=two.as_).sentence
    except Refused:
        if two.as_ is not As.COPPER:
            raise
        return compare(two.first.data, two.second.data, as_=As.CHANGE).sentence


def _two_of_a_kind(one: Event, other: Event) -> Pair | None:
    words = [_name(event).split() for event in (one, other)]
    if not _alike(one, other) or len(words[0]) != len(words[1]):
        return None
    differ = [two for two in zip(*words, strict=True) if two[0] != two[1]]
    if len(differ) != 1:
        return None
    if not (set(differ[0]) in OPPOSITES or all(NUMBERED.fullmatch(word) for word in differ[0])):
        return None
    if any(word in IN_TIME for word in differ[0]):
        first, second = (one, other) if differ[0][0] in IN_TIME else (other, one)
        copper = set(differ[0]) in WARMING and can_be_copper(first.data, second.data)
        return Pair(first, second, As.COPPER if copper else As.CHANGE)
    return Pair(one, other, As.DIFFERENCE)


def _name(event: Event) -> str:
    return str(event.data["name"]).lower()


def _alike(one: Event, other: Event) -> bool:
    """The same quantity in the same unit inside."""
    kinds = ((event.data["estimate"]["unit"], event.data.get("quantity")) for event in (one, other))
    return len(set(kinds)) == 1


def _way(as_: As | str) -> As:
    try:
        return As(as_)
    except ValueError:
        known = ", ".join(one.value for one in As)
        raise Refused({"as": f'"{as_}" is no way to compare two readings. Take one of {known}.'}) from None


def _refuse(first: Mapping[str, Any], second: Mapping[str, Any], one: Estimate, other: Estimate, way: As) -> None:
    kinds = [units.kind_of(data["unit"]) for data in (first, second)]
    if one.unit != other.unit or kinds[0] is not kinds[1]:
        raise Refused(
            {"": f"{_called(first, second)[0]} is {kinds[0].words}, {_called(second, first)[1]} {kinds[1].words}: "
                 "the two cannot be compared. Take two readings of one kind."}
        )  # fmt: skip
    if way is As.RATIO and kinds[0] is units.Kind.TEMPERATURE:
        raise Refused({"as": "A temperature is no share of another: its zero is only agreed on. Take the difference."})


def _related(one: Estimate, other: Estimate, way: As) -> Estimate:
    if way is As.RATIO:
        return parsed("as", lambda: ratio(one, other))
    return parsed("as", lambda: difference(one, other) if way is As.DIFFERENCE else difference(other, one))


def _cancelled(one: Estimate, other: Estimate, found: Estimate, way: As) -> tuple[str, ...]:
    """Names of common errors of which less than half of what the first alone would bring is left."""
    left = {row.key: abs(row.contribution) for row in found.rows}
    common = {row.key for row in other.rows}
    scale = abs(100.0 / other.value) if way is As.RATIO else 1.0
    return tuple(
        row.says
        for row in one.rows
        if row.key in common and left.get(row.key, 0.0) < DROPPED * scale * abs(row.contribution)
    )


def _in_words(estimate: Estimate, unit: str, way: As) -> tuple[str, str]:
    """The value and half of its 95 % interval, with as many places as the second deserves."""
    low, high = estimate.interval(0.95)
    value, half = estimate.value, 0.5 * (high - low)
    if way is not As.RATIO:
        value, half = (units.to_unit(one, unit, difference=True) for one in (value, half))
    places = decimals_for(half)
    return units.signed(f"{value:.{places}f}"), f"{half:.{places}f}"


def _called(first: Mapping[str, Any], second: Mapping[str, Any]) -> tuple[str, str]:
    """What the first is called at the beginning of a sentence, and within one."""
    name = str(first["name"])
    if name == second["name"]:
        return "The first", "the second"
    return capital(name), name


def _sentence(found: Compared, first: Mapping[str, Any], second: Mapping[str, Any]) -> str:
    """Both in one sentence, and what the meters have to do with it."""
    size, half = _in_words(found.estimate, first["unit"], found.as_)
    begins, within = _called(first, second)[0], _called(second, first)[1]
    more, less = size.lstrip("−"), found.estimate.value < 0.0
    match found.as_:
        case As.RATIO:
            what = f"{begins} reads {size} % of {within}, ± {half}"
        case As.DIFFERENCE:
            what = f"{begins} reads {more} {first['unit']} {'less' if less else 'more'} than {within}, ± {half}"
        case As.CHANGE:
            what = f"It reads {more} {first['unit']} {'less' if less else 'more'} than before, ± {half}"
    changed = "it changed" if found.as_ is As.CHANGE else "they differ"
    same = "no change shows" if found.as_ is As.CHANGE else "no difference shows"
    return f"{what}: {changed if found.differs else same}. {_meters(found, first, second)}".strip()


def _meters(found: Compared, first: Mapping[str, Any], second: Mapping[str, Any]) -> str:
    if found.one_meter:
        return ONE_METER if found.cancelled else ""
    return NOT_SAID if first["instrument"]["assumed"] or second["instrument"]["assumed"] else TWO_METERS
