"""What went out of a circuit, what came in, what stayed in a part, and what is still owed, all brought to 20 °C."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from knowngood.engine.fluids.carried import carried
from knowngood.engine.fluids.expansion import Liquid
from knowngood.engine.judgement import Estimate, Input, Shape, combine, linear


class Way(StrEnum):
    """Where the fluid went."""

    OUT = "out"
    IN = "in"
    SPILLED = "spilled"
    LEFT = "left"


SAYS = {
    Way.OUT: "came out",
    Way.IN: "went in",
    Way.SPILLED: "went on the ground",
    Way.LEFT: "stayed in a part that was taken off",
}


@dataclass(frozen=True)
class Vessel:
    """What a volume was read in.

    Args:
        name: Of the vessel; volumes read in one of the same name share its error.
        percent: How far off its marks may be, of what it shows. [%]
        marks_l: Distance between two marks; half of it is the error of one reading. [L]
        assumed: Nobody stated these.
    """

    name: str
    percent: float = 5.0
    marks_l: float = 0.1
    assumed: bool = True


# Ours: a household jug that nobody checked; and an eye on a puddle or on an old filter.
JUG, BY_EYE = Vessel("jug"), Vessel("by eye", 50.0, 0.0)
USUAL_VESSEL = {Way.OUT: JUG, Way.IN: JUG, Way.SPILLED: BY_EYE, Way.LEFT: BY_EYE}
# Ours: a cheap thermometer, the same error each time, and how far the fluid is from where it was held in.
THERMOMETER_HALF_K, FLUID_HALF_K = 2.0, 2.0
# Ours, when nobody took a temperature: what leaves a circuit lies anywhere between a cold morning and a warm engine,
# what comes from a can near the air; all that left, left alike.
UNKNOWN_C = {"gone": (50.0, 40.0), "in": (20.0, 15.0)}


@dataclass(frozen=True)
class Moved:
    """One pouring.

    Args:
        way: Out of the circuit, in, lost beside the jug, or left in a part that was taken off.
        litre: As read. [L]
        celsius: Its temperature then; None when nobody took it. [°C]
        vessel: What it was read in; None takes a jug, and the eye for what was spilled or left.
        thermometer: Its name; temperatures by the same one share its error.

    Raises:
        ValueError: A volume that is not above zero.
    """

    way: Way
    litre: float
    celsius: float | None = None
    vessel: Vessel | None = None
    thermometer: str = "thermometer"

    def __post_init__(self) -> None:
        if not self.litre > 0.0:
            raise ValueError(f"{self.litre:g} L {self.way}; write what the jug showed, above zero.")

    @property
    def read_in(self) -> Vessel:
        """The vessel, or the usual one for its way."""
        return self.vessel or USUAL_VESSEL[self.way]


@dataclass(frozen=True)
class Ledger:
    """All that moved, at 20 °C.

    Args:
        volumes: One for each pouring, in their order. [L at 20 °C]
        gone: Out, spilled and left, together. [L at 20 °C]
        came_in: In. [L at 20 °C]
        owed: Gone less in; above zero when more is to go in. [L at 20 °C]
    """

    volumes: tuple[Estimate, ...]
    gone: Estimate
    came_in: Estimate
    owed: Estimate


def balance(moved: Sequence[Moved], liquid: Liquid, *, total_l: float | None = None) -> Ledger:
    """Return what a circuit gave and got, each pouring as it would be at 20 °C.

    Args:
        moved: Pourings in any order; none owes nothing.
        liquid: What the circuit holds.
        total_l: What the circuit holds in all, as the manual states; None when unknown. [L]

    Raises:
        ValueError: One pouring that is more than the circuit holds, or a temperature that the liquid does not reach.

    Source:
        GUM, 5.1.2, linear law; errors of one vessel and one thermometer are shared by key.

    Example:
        >>> from knowngood.engine.fluids.expansion import coolant
        >>> found = balance([Moved(Way.OUT, 4.6, 31.0), Moved(Way.IN, 4.5, 20.0)], coolant(50.0))
        >>> round(found.owed.value, 3), round(found.owed.standard_uncertainty, 3)
        (0.079, 0.041)
    """
    volumes = tuple(at_20(one, liquid, number=at, total_l=total_l) for at, one in enumerate(moved, start=1))
    signs = [-1.0 if one.way is Way.IN else 1.0 for one in moved]
    return Ledger(
        volumes,
        gone=_sum([(1.0, volume) for sign, volume in zip(signs, volumes, strict=True) if sign > 0.0]),
        came_in=_sum([(1.0, volume) for sign, volume in zip(signs, volumes, strict=True) if sign < 0.0]),
        owed=_sum(list(zip(signs, volumes, strict=True))),
    )


def at_20(one: Moved, liquid: Liquid, *, number: int = 1, total_l: float | None = None) -> Estimate:
    """Return the volume of one pouring at 20 °C. [L]

    Args:
        one: The pouring.
        liquid: What it is.
        number: Which pouring, for the keys of its own errors.
        total_l: What the circuit holds in all. [L]

    Raises:
        ValueError: More than the circuit holds, or a temperature that the liquid does not reach.

    Example:
        >>> from knowngood.engine.fluids.expansion import oil
        >>> round(at_20(Moved(Way.OUT, 5.0, 60.0), oil(0.85)).value, 3)
        4.85
    """
    if one.celsius is not None:
        liquid.check(one.celsius)
    if total_l is not None:
        _refuse_more_than_all(one, number, total_l)

    def brought(gain: Any, mark: Any, celsius: Any, warm: Any, of: Any, off: Any) -> Any:
        return (one.litre * (1.0 + gain) + mark) / liquid.relative(celsius + warm, of, off)

    return linear(brought, [*_inputs(number, one), *liquid.inputs], unit="L")


@dataclass(frozen=True)
class LitreForLitre:
    """Pouring back what was read, against pouring back what is owed.

    Args:
        plain_l: Litre for litre: out, spilled and left as read, less in as read. [L]
        pour: What to pour in, as the vessel shows it at its temperature, to be level again. [L]
        over: How much litre for litre would be too much; below zero, too little. [L]
    """

    plain_l: float
    pour: Estimate
    over: Estimate


def litre_for_litre(
    moved: Sequence[Moved], liquid: Liquid, *, pour_c: float | None = None, vessel: Vessel = JUG,
    thermometer: str = "thermometer", total_l: float | None = None,
) -> LitreForLitre:  # fmt: skip
    """Return what to pour in so that the circuit is level again, and what litre for litre would do.

    Poured from the vessel that the rest was read in, the vessel's own error drops out.

    Args:
        moved: Pourings until now.
        liquid: What the circuit holds.
        pour_c: Temperature of what goes in; None when nobody took it. [°C]
        vessel: What it is poured from.
        thermometer: Its name.
        total_l: What the circuit holds in all. [L]

    Raises:
        ValueError: As for `balance`.

    Example:
        >>> from knowngood.engine.fluids.expansion import oil
        >>> found = litre_for_litre([Moved(Way.OUT, 5.0, 60.0)], oil(0.85), pour_c=20.0)
        >>> round(found.pour.value, 2), round(found.over.value, 2), round(found.over.standard_uncertainty, 2)
        (4.85, 0.15, 0.03)
    """
    if pour_c is not None:
        liquid.check(pour_c)
    owed = balance(moved, liquid, total_l=total_l).owed

    def shown(owed_l: Any, gain: Any, celsius: Any, warm: Any, of: Any, off: Any) -> Any:
        return owed_l * liquid.relative(celsius + warm, of, off) / (1.0 + gain)

    warmth = _temperature("what goes in next", Way.IN, pour_c, thermometer)
    pour = carried(shown, [owed, _gain(vessel), *warmth, *liquid.inputs], unit="L")
    plain_l = sum(-one.litre if one.way is Way.IN else one.litre for one in moved)
    return LitreForLitre(plain_l, pour, combine([(-1.0, pour)], offset=plain_l))


def _sum(terms: list[tuple[float, Estimate]]) -> Estimate:
    return combine(terms, unit="L") if terms else Estimate(0.0, "L")


def _refuse_more_than_all(one: Moved, number: int, total_l: float) -> None:
    """Even if the vessel shows too much, and hot fluid a tenth more than cold, it cannot be more than all."""
    least = one.litre * (1.0 - one.read_in.percent / 100.0) / 1.1
    if least > total_l:
        raise ValueError(
            f"pouring {number}: {one.litre:g} L {SAYS[one.way]}, and the circuit holds {total_l:g} L in all. "
            "Check the reading and its unit, or the total in the manual."
        )


def _inputs(number: int, one: Moved) -> list[Input]:
    """Vessel, mark, temperature and thermometer of one pouring."""
    what = f"pouring {number}"
    mark = Input(
        f"{what}/mark", 0.0, Shape.RECTANGULAR, 0.5 * one.read_in.marks_l,
        assumed=one.read_in.assumed, remedies=("jug",), name=f"between two marks, {what}",
    )  # fmt: skip
    return [_gain(one.read_in), mark, *_temperature(what, one.way, one.celsius, one.thermometer)]


def _gain(vessel: Vessel) -> Input:
    return Input(
        f"jug:{vessel.name}", 0.0, Shape.RECTANGULAR, vessel.percent / 100.0,
        assumed=vessel.assumed, remedies=("jug",), name=vessel.name,
    )  # fmt: skip


def _temperature(what: str, way: Way, celsius: float | None, thermometer: str) -> list[Input]:
    """The fluid's own temperature, then the thermometer's error; one wide temperature when nobody took it."""
    key = f"thermometer:{thermometer}"
    if celsius is None:
        side = "in" if way is Way.IN else "gone"
        middle, half = UNKNOWN_C[side]
        name = "temperature of what went in" if way is Way.IN else "temperature of what came out"
        wide = Input(f"temperature:{side}", middle, Shape.RECTANGULAR, half, assumed=True,
                     remedies=("temperature",), name=name)  # fmt: skip
        return [wide, Input(key, 0.0, Shape.RECTANGULAR, 0.0)]
    own = Input(
        f"{what}/temperature", celsius, Shape.RECTANGULAR, FLUID_HALF_K,
        assumed=True, remedies=("temperature",), name=f"temperature, {what}",
    )  # fmt: skip
    shared = Input(
        key, 0.0, Shape.RECTANGULAR, THERMOMETER_HALF_K, assumed=True, remedies=("temperature",), name=thermometer
    )
    return [own, shared]
