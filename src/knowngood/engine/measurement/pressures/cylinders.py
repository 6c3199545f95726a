"""Cylinders compared: compression, the lowest against the highest, and leakage."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.meters.instruments import Meter, gain_input
from knowngood.engine.measurement.readings.single import offset_input, shown_input

# Ours: cranked twice, the same cylinder reads some percent apart, as the battery sags and the throttle is held open or
# not. Manuals only say what to keep alike.
REPEATABILITY = 0.04
# Ours: limits in percent are those of one tester. Another one has another jet, and shows up to a fifth more or less.
JET = 0.2
# Common practice, no source: a leakage tester is fed with 100 psi. The width is ours.
SUPPLY_KPA, SUPPLY_HALF_KPA = 690.0, 70.0


def lowest_compression(
    cylinders_kpa: Sequence[float], *, meter: Meter, reading_id: str = "reading", seed: int = 0
) -> Estimate:
    """Return the compression of the lowest cylinder, which is the one that counts against a lower limit.

    Which one reads lowest is settled by the readings as they are; where two are near, either may be the worse.

    Args:
        cylinders_kpa: One reading for each cylinder, all by one gauge. [kPa]
        meter: The gauge.
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: No reading, or one that is not above zero.

    Source:
        GUM, 5.1.2, linear law.

    Example:
        >>> found = lowest_compression([1230, 1190, 1210, 1225], meter=Meter("dial", 2.0, 1, 10))
        >>> found.value, round(found.standard_uncertainty, 1)
        (1190.0, 31.3)
    """
    _refuse(cylinders_kpa)
    at = cylinders_kpa.index(min(cylinders_kpa))
    shown, again = _cylinder(cylinders_kpa, at, meter, reading_id)

    def compression(read: Any, repeat: Any, gain: Any, offset: Any) -> Any:
        return read * (1.0 + gain) * (1.0 + repeat) + offset

    return propagate(compression, [shown, again, gain_input(meter), offset_input(meter)], unit="kPa", seed=seed)


def compression_spread(
    cylinders_kpa: Sequence[float], *, meter: Meter, reading_id: str = "reading", seed: int = 0
) -> Estimate:
    """Return the lowest cylinder in percent of the highest; what one gauge has wrong alike with both cancels.

    Args:
        cylinders_kpa: One reading for each cylinder, all by one gauge. [kPa]
        meter: The gauge.
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Fewer than two readings, or one that is not above zero.

    Source:
        GUM, 5.1.2, linear law.

    Example:
        >>> found = compression_spread([1200, 900, 1180, 1190], meter=Meter("dial", 2.0, 1, 10))
        >>> found.value, round(found.standard_uncertainty, 1)
        (75.0, 2.5)
    """
    _refuse(cylinders_kpa)
    if len(cylinders_kpa) < 2:
        raise ValueError(
            "one cylinder alone has nothing to be compared with. Read them all with the same gauge, one reading each."
        )
    low = cylinders_kpa.index(min(cylinders_kpa))
    # Counted from behind, so that equal cylinders are still two.
    high = len(cylinders_kpa) - 1 - cylinders_kpa[::-1].index(max(cylinders_kpa))
    inputs = [
        *_cylinder(cylinders_kpa, low, meter, reading_id),
        *_cylinder(cylinders_kpa, high, meter, reading_id),
        offset_input(meter),
    ]

    # No row for the gain: whatever share the gauge shows too much, it shows with both, and the ratio stays.
    def share(lowest: Any, lowest_again: Any, highest: Any, highest_again: Any, offset: Any) -> Any:
        return 100.0 * (lowest * (1.0 + lowest_again) + offset) / (highest * (1.0 + highest_again) + offset)

    return propagate(share, inputs, unit="%", seed=seed)


def worst_leakage(
    cylinders_percent: Sequence[float], *, meter: Meter, reading_id: str = "reading", seed: int = 0
) -> Estimate:
    """Return the leakage of the worst cylinder, as a tester's dial showed it in percent.

    Args:
        cylinders_percent: One reading for each cylinder. [%]
        meter: The tester.
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: No reading, or one outside 0 to 100 %.

    Source:
        GUM, 5.1.2, linear law.

    Example:
        >>> found = worst_leakage([8, 12, 9, 7], meter=Meter("tester", 3.0, 1, 1))
        >>> found.value, round(found.standard_uncertainty, 1)
        (12.0, 1.5)
    """
    _some(cylinders_percent)
    for read in cylinders_percent:
        if not 0.0 <= read <= 100.0:
            raise ValueError(
                f"a leakage of {read:g} % cannot be: it lies between 0 % (nothing gets out) and 100 % (nothing stays). "
                "Read the tester's percent scale."
            )
    at = cylinders_percent.index(max(cylinders_percent))
    shown = shown_input(cylinders_percent[at], meter, key=f"reading:{reading_id}/{at + 1}", name=_name(at))

    def leakage(read: Any, jet: Any, gain: Any, offset: Any) -> Any:
        return read * (1.0 + gain) * (1.0 + jet) + offset

    inputs = [shown, _jet(), gain_input(meter), offset_input(meter)]
    return propagate(leakage, inputs, unit="%", seed=seed)


def worst_leakage_by_gauges(
    cylinders_kpa: Sequence[float],
    *,
    meter: Meter,
    supply_kpa: float | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the leakage of the worst cylinder from two gauges: (1 - cylinder / supply) in percent.

    The two gauges are of one make but two instruments, so their errors do not cancel.

    Args:
        cylinders_kpa: What the gauge behind the jet showed, one reading for each cylinder. [kPa]
        meter: Either gauge.
        supply_kpa: What the gauge before the jet showed; None assumes it, wide. [kPa]
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: No reading, one that is not above zero or above the supply.

    Source:
        GUM, 5.1.2, linear law.

    Example:
        >>> found = worst_leakage_by_gauges([630, 560, 620], meter=Meter("dials", 1.6, 0.5, 10), supply_kpa=700)
        >>> round(found.value, 6), round(found.standard_uncertainty, 1)
        (20.0, 2.6)
    """
    _refuse(cylinders_kpa)
    supply = SUPPLY_KPA if supply_kpa is None else supply_kpa
    if max(cylinders_kpa) > supply:
        raise ValueError(
            f"the cylinder's gauge shows {max(cylinders_kpa):g} kPa and the supply is {supply:g} kPa: "
            "no cylinder holds more than it is fed. Check which gauge is which, and write the supply down too."
        )
    at = cylinders_kpa.index(min(cylinders_kpa))
    before = replace(meter, name=f"{meter.name}, supply")
    fed = shown_input(supply, before, key=f"reading:{reading_id}/supply", name="supply")
    if supply_kpa is None:
        fed = Input("supply", supply, Shape.RECTANGULAR, SUPPLY_HALF_KPA, assumed=True, remedies=("supply",),
                    name="supply pressure")  # fmt: skip
    inputs = [
        shown_input(cylinders_kpa[at], meter, key=f"reading:{reading_id}/{at + 1}", name=_name(at)),
        gain_input(meter), offset_input(meter), fed, gain_input(before), offset_input(before), _jet(),
    ]  # fmt: skip

    def leakage(read: Any, gain: Any, offset: Any, fed: Any, fed_gain: Any, fed_offset: Any, jet: Any) -> Any:
        left = (read * (1.0 + gain) + offset) / (fed * (1.0 + fed_gain) + fed_offset)
        return 100.0 * (1.0 - left) * (1.0 + jet)

    return propagate(leakage, inputs, unit="%", seed=seed)


def _cylinder(cylinders: Sequence[float], at: int, meter: Meter, reading_id: str) -> tuple[Input, Input]:
    """A cylinder's reading, and how far it would read apart when cranked again."""
    key = f"reading:{reading_id}/{at + 1}"
    again = Input(f"{key}/repeatability", 0.0, Shape.RECTANGULAR, REPEATABILITY, assumed=True, remedies=("crank",),
                  name=f"cranking again, {_name(at)}")  # fmt: skip
    return shown_input(cylinders[at], meter, key=key, name=_name(at)), again


def _jet() -> Input:
    return Input("tester/jet", 0.0, Shape.RECTANGULAR, JET, assumed=True, remedies=("tester",),
                 name="jet of the tester")  # fmt: skip


def _name(at: int) -> str:
    return f"cylinder {at + 1}"


def _some(values: Sequence[float]) -> None:
    if not values:
        raise ValueError("there is no reading. Give one number for each cylinder, in their order.")


def _refuse(cylinders_kpa: Sequence[float]) -> None:
    _some(cylinders_kpa)
    for at, read in enumerate(cylinders_kpa):
        if not read > 0.0:
            raise ValueError(
                f"{_name(at)} reads {read:g} kPa, which is not above zero. Seat the hose, crank until the needle stops "
                "rising, and read again."
            )
