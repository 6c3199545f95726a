"""A quantity that is judged: what its model takes beside readings, and how typed words become an Estimate."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from statistics import fmean

from knowngood import units
from knowngood.engine.judgement import Estimate, Remedy
from knowngood.engine.measurement.meters.bounds import bound_asked
from knowngood.engine.measurement.meters.calibration import Calibration
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.readings.remedies import remedies as usual_remedies
from knowngood.quantities.repeats import usual_scatter
from knowngood.refusal import Refused, parsed
from knowngood.units.bare import number
from knowngood.units.timed import Moment, timed

SEED = 20  # ours: any number would do, always the same one
K = units.Kind


class By(Enum):
    """What a number has to do with the instrument of the readings, whose known error is taken off."""

    OTHER = "something else showed it, or nothing did"
    READING = "the same instrument showed it"
    DIFFERENCE = "the same instrument showed it as a difference, in which its zero cancels"
    ZERO = "what the same instrument shows at zero now; the engine takes it off, so no kept zero counts beside it"


@dataclass(frozen=True)
class Ask:
    """What a quantity wants to know beside limits, readings and the instrument.

    Args:
        name: Of the field, such as "beta".
        label: What the page and the terminal call it.
        kind: Kind of quantity; None for a plain number or a word.
        unit: Shown at the field, and taken for a bare number.
        hint: One sentence with an example.
        default: What stands there already; never needed, for left empty a wide default is assumed.
        choices: Pairs of value and words, when one of them is picked.
        signed: It may lie below zero.
        many: Several numbers, as from several readings.
        timed: Temperatures, each with its time, in words.
        overload: What an overload of the display means here; empty when that is as for any reading.
        by: What it has to do with the instrument of the readings.
    """

    name: str
    label: str
    kind: units.Kind | None = None
    unit: str = ""
    hint: str = ""
    default: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    signed: bool = False
    many: bool = False
    timed: bool = False
    overload: str = ""
    by: By = By.OTHER


@dataclass(frozen=True)
class Given:
    """What was handed over for one reading; its readers refuse at the field that they read.

    Args:
        read: The readings, in the unit inside; what the instrument is known to be off is taken off.
        meter: What they were read with.
        typed: All words by field, stripped.
        reading_id: Makes the keys of this reading's own errors.
        upper: The upper end of what is allowed, when there is one. [unit inside]
        quantity: Its name, for the bounds of what it asks.
        calibration: What checks of the instrument have shown; None when it is not in the toolbox.
        displayed: The readings as its display showed them, where that differs; else empty. [unit inside]
    """

    read: units.Readings
    meter: Meter
    typed: Mapping[str, str]
    reading_id: str
    upper: float | None = None
    quantity: str = ""
    calibration: Calibration | None = None
    displayed: tuple[float, ...] = ()

    def value(self, ask: Ask) -> float | None:
        """One number, in the unit inside; None when the field is empty."""
        text = self.typed.get(ask.name, "")
        if not text:
            return None
        if ask.kind is None:
            return plain_number(ask, text, beyond=self._beyond(ask))
        kind, beyond = ask.kind, self._beyond(ask)
        return self._without_error(
            ask, parsed(ask.name, lambda: units.quantity(text, kind, unit=self._unit(ask), beyond=beyond).value)
        )

    def values(self, ask: Ask) -> tuple[float, ...] | None:
        """One or more numbers, in the unit inside; None when the field is empty."""
        text = self.typed.get(ask.name, "")
        if not text:
            return None
        if ask.overload and units.OVERLOAD.search(text):
            raise Refused({ask.name: f'"{text}" is the display\'s overload: {ask.overload}'})
        beyond = self._beyond(ask)
        read = parsed(ask.name, lambda: units.readings(text, ask.kind, unit=self._unit(ask), beyond=beyond).values)
        return tuple(self._without_error(ask, one) for one in read)

    def _without_error(self, ask: Ask, shown: float) -> float:
        """What was typed, without what the instrument is known to be off where it showed that."""
        if self.calibration is None or ask.by in (By.OTHER, By.ZERO):
            return shown
        off = self.calibration.error if ask.by is By.READING else self.calibration.difference_error
        return shown - off(shown)

    def moments(self, ask: Ask) -> tuple[Moment, ...]:
        """Temperatures by time; none when the field is empty. [min, °C]"""
        text = self.typed.get(ask.name, "")
        return parsed(ask.name, lambda: timed(text)) if text else ()

    def tolerance(self, ask: Ask) -> tuple[float, float | None] | None:
        """A number, and how far it may be off when that was written; None when the field is empty."""
        text = self.typed.get(ask.name, "")
        if not text:
            return None
        found = parsed(
            ask.name, lambda: units.tolerance(text, ask.kind, unit=self._unit(ask), beyond=self._beyond(ask))
        )
        return found.value, found.half_width

    def _beyond(self, ask: Ask) -> units.Beyond | None:
        """What cannot be meant, by the bound of the ask; without one, how far its kind goes counts."""
        bound = bound_asked(self.quantity, ask.name)
        return bound.beyond if bound else None

    def taken(self, ask: Ask) -> tuple[str, ...]:
        """The numbers of a field that could have been read in another way, such as "9,850 as 9.850"."""
        text = self.typed.get(ask.name, "")
        if not text or ask.kind is None or ask.choices or ask.timed:
            return ()
        unit, beyond = self._unit(ask), self._beyond(ask)
        return parsed(ask.name, lambda: units.decided(text, ask.kind, unit=unit, many=ask.many, beyond=beyond))[1]

    def _unit(self, ask: Ask) -> str | None:
        """What a bare number of a field is in: the unit shown at it; else that of the readings when it is alike."""
        return ask.unit or (self.read.unit if ask.kind is self.read.kind else None)

    def choice(self, ask: Ask) -> str:
        """What was picked; the default when nothing was."""
        text = self.typed.get(ask.name, "") or ask.default
        known = [value for value, _ in ask.choices]
        if text not in known:
            *others, last = (value for value in known if value)
            named = f"{', '.join(others)} or {last}" if others else last
            raise Refused({ask.name: f'"{text}" is none of the choices. Take {named}.'})
        return text


def plain_number(ask: Ask, text: str, *, beyond: units.Beyond | None = None) -> float:
    """Read a number without a unit; one that may be thousands or a fraction is asked about in words of its own."""
    try:
        return number(text, beyond=beyond or units.nothing_is_beyond)
    except units.Undecided as undecided:
        raise Refused({ask.name: str(undecided)}) from None
    except units.UnitsError:
        raise Refused({ask.name: f'"{text}" is not a number. {ask.hint}'.strip()}) from None


def without_known_error(given: Given, quantity: "Quantity") -> Given:
    """Return what was handed over with the instrument's known error taken off the readings, each its own.

    It is the one place where that is done: engines see readings as an instrument without it would have shown them,
    and what the check leaves in doubt as what the instrument may be off.

    Args:
        given: With the readings as displayed.
        quantity: Whose asks say what else the instrument showed.

    Raises:
        Refused: At an ask that says what it shows at zero.
    """
    calibration = given.calibration
    if calibration is None:
        return given
    zero = next((given.value(ask) for ask in quantity.asks if ask.by is By.ZERO), None)
    if zero is not None:
        calibration = calibration.with_zero_now(zero)
    shown = given.read.values
    off = calibration.difference_error if quantity.differences(given) else calibration.error
    errors = tuple(map(off, shown))
    return replace(
        given,
        read=replace(given.read, values=tuple(one - error for one, error in zip(shown, errors, strict=True))),
        meter=calibration.trusted(fmean(shown)),
        calibration=calibration,
        displayed=shown if any(errors) else (),
    )


def _usual(given: Given, estimate: Estimate) -> list[Remedy]:
    return usual_remedies(estimate, meter=given.meter, readings=len(given.read.values))


@dataclass(frozen=True)
class Quantity:
    """One quantity that a home mechanic measures.

    Args:
        name: Its key in sheets and at the terminal, such as "voltage_drop".
        title: What pages call it.
        reads: Kind of the readings.
        judged: Kind of the limits and the result.
        estimate: From what was given to an Estimate in the judged kind's unit inside; a ValueError is about the
            readings unless `refusals` says otherwise.
        example: Words after `judge`, that work as they stand.
        asks: What it wants to know beside limits, readings and instrument.
        read_unit: Taken for bare readings, when the limits are of another kind.
        trap: What goes wrong most often, in one sentence.
        remedies: What could be done about the estimate's rows.
        corrects: The result is what was read, brought to other conditions; both are drawn.
        refusals: How a ValueError begins, and the field that it is about.
        safety: A wrong verdict can hurt someone, so no costs are weighed.
        differences: Is each reading a difference already, in which the instrument's zero cancels?
    """

    name: str
    title: str
    reads: units.Kind
    judged: units.Kind
    estimate: Callable[[Given], Estimate]
    example: str
    asks: tuple[Ask, ...] = ()
    read_unit: str = ""
    trap: str = ""
    remedies: Callable[[Given, Estimate], list[Remedy]] = _usual
    corrects: bool = False
    refusals: tuple[tuple[str, str], ...] = field(default=())
    safety: bool = False
    differences: Callable[[Given], bool] = lambda _: False

    def estimated(self, given: Given) -> Estimate:
        """What is known from what was given, with how far such readings usually scatter beside what these have shown.

        Raises:
            ValueError: An engine refuses; about the readings unless `refusals` says otherwise.
            Refused: At the field that cannot be used.
        """
        return self.estimate(self._usual(given))

    def what_helps(self, given: Given, estimate: Estimate) -> list[Remedy]:
        """What could be done about the rows of an estimate from what was given."""
        return self.remedies(self._usual(given), estimate)

    def _usual(self, given: Given) -> Given:
        usual = usual_scatter(self.name, self.reads.unit)
        return replace(given, meter=replace(given.meter, repeat=usual))

    def read_in(self, unit: str) -> str:
        """The unit of bare readings: that of the limits, when both are of one kind; `unit` may be empty."""
        alike = unit and units.kind_of(unit) is self.reads
        return unit if alike else self.read_unit or self.reads.unit

    def bare_unit(self, ask: Ask, read_in: str) -> str:
        """What a bare number of a field is in: the unit shown at it; else that of the readings when it is alike."""
        return ask.unit or (read_in if ask.kind is self.reads else "")
