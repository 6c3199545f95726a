"""The length of a worn part at the lowest of several places, and what a gauge in the hand does to a length.

Places of one part are different lengths, not repeats: their spread is no scatter. Which place counts is picked before
the formula, which then works on that one alone, so that it stays free of branches.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.meters.instruments import Meter, gain_input

# Ours, as one who holds a gauge by hand meets it: a gauge whose zero nobody looked at. [mm]
ZERO_HALF_MM = 0.02


@dataclass(frozen=True)
class Worn:
    """How a part wears, as far as it matters to where it is measured. Ours.

    Args:
        name: In the mechanic's words.
        feel_mm: Standard deviation of one reading at one place. [mm]
        unseen_mm: How much thinner another place may be when only one was read. [mm]
        enough: From this many places on, none is thinner than the lowest that was read.
    """

    name: str
    feel_mm: float
    unseen_mm: float
    enough: int


# Ours: a disc is cast and turned, a pad wears aslant, a tread is moulded and wears in patches.
DISC = Worn("disc", 0.005, 0.05, 4)
PAD = Worn("pad", 0.15, 1.0, 4)
TREAD = Worn("tread", 0.1, 1.0, 6)


def lowest_place(
    places_mm: Sequence[float],
    *,
    meter: Meter,
    worn: Worn = DISC,
    zero_error_mm: float | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the thickness at the lowest of several places of one part, which is what counts against a minimum.

    The lowest place is picked first; the formula works on it alone. The lowest of several noisy readings lies a little
    low on average (1.4 standard deviations of one reading at 8 equal places): left so, on the careful side.

    Args:
        places_mm: One reading at each place. [mm]
        meter: What they were read with.
        worn: How such a part wears.
        zero_error_mm: What the gauge shows closed, taken off; None assumes within ± 0.02, unless a check has shown
            what the gauge is off. [mm]
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: No reading, one that is not above zero, or a zero error as large as the reading.

    Source:
        GUM, 5.1.2.

    Example:
        >>> thin = lowest_place([21.94, 21.91, 21.93, 21.92], meter=Meter("micrometer", 0, 4, 0.001), zero_error_mm=0.0)
        >>> round(thin.value, 3), round(thin.standard_uncertainty, 4)
        (21.91, 0.0055)
    """
    refuse_places(places_mm, worn.name)
    lowest = min(places_mm)
    if zero_error_mm is not None and abs(zero_error_mm) >= lowest:
        raise ValueError(
            f"closed, the gauge shows {zero_error_mm:g} mm, as much as the {worn.name}'s {lowest:g} mm. "
            "Write what it shows with nothing between its jaws, such as 0.01 mm."
        )
    key = f"reading:{reading_id}"
    unseen = 0.5 * worn.unseen_mm * max(0, worn.enough - len(places_mm)) / (worn.enough - 1)
    inputs = [
        feel_input(f"{key}/lowest", lowest, worn.feel_mm),
        step_input(f"{key}/lowest", meter),
        limit_input(meter, meter.absolute),
        zero_input(meter, zero_error_mm),
        gain_input(meter),
        rectangle(f"{key}/unseen", unseen, unseen, f"a thinner place of the {worn.name}, not read", "places"),
    ]

    def there(read: Any, step: Any, limit: Any, zero: Any, gain: Any, thinner: Any) -> Any:
        return (read - zero) * (1.0 + gain) + step + limit - thinner

    return propagate(there, inputs, unit="mm", seed=seed)


def feel_input(
    key: str, value_mm: float, u_mm: float, dof: float = math.inf, *, assumed: bool = True, group: str = ""
) -> Input:
    """One reading, with the scatter of the hand, which readings of one group have shown."""
    shape = Shape.NORMAL if math.isinf(dof) else Shape.STUDENT_T
    return Input(
        f"{key}/feel", value_mm, shape, standard_uncertainty=u_mm, degrees_of_freedom=dof,
        assumed=assumed, remedies=("again",), name="feel of the hand on the gauge", group=group,
    )  # fmt: skip


def rectangle(key: str, value: float, half: float, name: str, *remedies: str, assumed: bool = True) -> Input:
    """An error that reaches equally likely as far as `half` either way."""
    return Input(key, value, Shape.RECTANGULAR, half, assumed=assumed, remedies=remedies, name=name)


def step_input(key: str, meter: Meter) -> Input:
    """Half a step of the display or scale, at one reading."""
    return rectangle(f"{key}/step", 0.0, 0.5 * meter.step, "step of the gauge", "meter", assumed=False)


def limit_input(meter: Meter, half_mm: float) -> Input:
    """The limit of error: one error for all that this gauge reads near one length."""
    remedies = ("meter", "data_sheet") if meter.assumed else ("meter",)
    return rectangle(f"{meter.key}/digits", 0.0, half_mm, "what the gauge may be off", *remedies, assumed=meter.assumed)


def zero_input(meter: Meter, zero_error_mm: float | None) -> Input:
    """What the gauge shows closed, read to half a step, known from a check, or assumed near nothing."""
    key, name = f"{meter.key}/zero", "zero of the gauge"
    if zero_error_mm is None and meter.known:
        return rectangle(key, 0.0, 0.0, name, "zero", assumed=False)
    if zero_error_mm is None:
        return rectangle(key, 0.0, ZERO_HALF_MM, name, "zero")
    return rectangle(key, zero_error_mm, 0.5 * meter.step, name, "zero", assumed=False)


def refuse_places(places_mm: Sequence[float], name: str) -> None:
    """Refuse no reading at all, and one that no part can have."""
    if not places_mm:
        raise ValueError(f"there is no reading of the {name}. Give one for each place that was measured.")
    low = min(places_mm)
    if not low > 0.0:
        raise ValueError(
            f"a {name} of {low:g} mm is not above zero. Read that place again, and write what the gauge's zero is off "
            "apart from it."
        )
