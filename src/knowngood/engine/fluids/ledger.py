"""What went out of a circuit, what came in, and what is still owed, all brought to 20 °C."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from knowngood.engine.judgement import Estimate, Input, Shape, linear

REFERENCE_C = 20.0
# Ours: marks on a household jug, one error for each pouring.
JUG_PERCENT = 5.0
# Ours: a cheap thermometer.
THERMOMETER_HALF_K = 3.0


class Way(StrEnum):
    """Where the fluid went."""

    OUT = "out"
    IN = "in"
    SPILLED = "spilled"


# Temperature when nobody took it, and how far it may be off: drained fluid lies anywhere between a cold morning and
# a warm engine, fluid from the can near the air. Ours.
UNKNOWN_C = {Way.OUT: (50.0, 40.0), Way.SPILLED: (50.0, 40.0), Way.IN: (20.0, 15.0)}


@dataclass(frozen=True)
class Expansion:
    """Fractional growth per K near 20 °C, and how well it is known. [1/K]"""

    per_k: float
    half_width: float
    assumed: bool = False


# Oil: 0.6278 divided by 820 to 900 kg/m³ (API MPMS 11.1, lubricating oils, as cited by a secondary page).
# Coolant: ASHRAE's 50 % glycol grows by 1.041 from 20 to 90 °C, and the growth doubles from 0 to 80 °C.
# Unknown: ours, wide enough for both.
EXPANSIONS = {
    "oil": Expansion(7.3e-4, 0.4e-4),
    "coolant": Expansion(5.0e-4, 2.0e-4),
    "unknown": Expansion(6.5e-4, 4.0e-4, assumed=True),
}


@dataclass(frozen=True)
class Moved:
    """One pouring.

    Args:
        way: Out of the circuit, in, or lost from it beside the jug.
        litre: As read. [L]
        celsius: Its temperature then; None when nobody took it. [°C]

    Raises:
        ValueError: A volume that is not above zero.
    """

    way: Way
    litre: float
    celsius: float | None = None

    def __post_init__(self) -> None:
        if not self.litre > 0.0:
            raise ValueError(f"{self.litre:g} L {self.way}; write what the jug showed, above zero.")


def balance(moved: Sequence[Moved], expansion: Expansion, *, jug_percent: float = JUG_PERCENT) -> Estimate:
    """Return what is still owed to a circuit: out and spilled less in, each as it would be at 20 °C.

    Args:
        moved: Pourings in any order; none owes nothing.
        expansion: Of the fluid, one error for all pourings.
        jug_percent: How far off the jug may be, of what it shows. [%]

    Returns:
        Above zero when more is to go in. [L at 20 °C]

    Example:
        >>> owed = balance([Moved(Way.OUT, 4.6, 31.0), Moved(Way.IN, 4.5, 20.0)], EXPANSIONS["coolant"])
        >>> round(owed.value, 3), round(owed.standard_uncertainty, 3)
        (0.075, 0.185)
    """
    inputs = [
        Input(
            "expansion", expansion.per_k, Shape.RECTANGULAR, expansion.half_width,
            assumed=expansion.assumed, name="how the fluid grows with heat",
        )
    ]  # fmt: skip
    for number, one in enumerate(moved, start=1):
        inputs += _inputs(number, one, jug_percent)

    def owed(per_k: Any, *rest: Any) -> Any:
        total = 0.0 * per_k
        for one, jug, celsius in zip(moved, rest[::2], rest[1::2], strict=True):
            at_20 = one.litre * (1.0 + jug) / (1.0 + per_k * (celsius - REFERENCE_C))
            total = total + (-at_20 if one.way is Way.IN else at_20)
        return total

    return linear(owed, inputs, unit="L")


def _inputs(number: int, one: Moved, jug_percent: float) -> list[Input]:
    """The jug and the temperature of one pouring."""
    middle, half = UNKNOWN_C[one.way] if one.celsius is None else (one.celsius, THERMOMETER_HALF_K)
    what = f"pouring {number}"
    return [
        Input(
            f"{what}/jug", 0.0, Shape.RECTANGULAR, jug_percent / 100.0,
            assumed=True, remedies=("jug",), name=f"jug, {what}",
        ),
        Input(
            f"{what}/temperature", middle, Shape.RECTANGULAR, half,
            assumed=one.celsius is None, remedies=("temperature",), name=f"temperature, {what}",
        ),
    ]  # fmt: skip
