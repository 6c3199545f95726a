"""Relations between two readings or more: how far apart, how many times, and what a warm winding should read."""

from collections.abc import Sequence
from typing import Any

from knowngood.engine.judgement import (
    Estimate,
    Input,
    Row,
    Shape,
    combine,
    propagate,
)
from knowngood.engine.judgement.inputs import PER_HALF_WIDTH, Formula
from knowngood.engine.measurement.electrical.resistance import Part

# Where the straight line of copper would read nothing, as minus °C. Source: IEC_60034_1.
COPPER_ZERO_BELOW_C = 235.0
# Winding grade copper lies within this, other forms of the same line take 234.5. Ours.
COPPER_ZERO_HALF_K = 1.0
# Ours: a divisor nearer to zero than this many standard uncertainties makes no ratio.
CLEAR_OF_ZERO = 4.0


def difference(one: Estimate, other: Estimate) -> Estimate:
    """Return one minus the other; errors that both share cancel as far as they are alike.

    Args:
        one: For example left. [unit]
        other: For example right. [the same unit]

    Returns:
        The difference; that of two temperatures is in K.

    Raises:
        ValueError: Two units.

    Source:
        GUM, 5.2.2, correlated errors.

    Example:
        >>> gain, own = Row("meter:blue/gain", 0.4), Row("reading:1/step", 0.1)
        >>> apart = difference(Estimate(50.0, "ohm", (gain, own)), Estimate(48.0, "ohm", (gain,)))
        >>> apart.value, apart.standard_uncertainty
        (2.0, 0.1)
    """
    _refuse_units([one, other])
    return combine([(1.0, one), (-1.0, other)], unit=_apart_unit(one.unit))


def ratio(one: Estimate, other: Estimate, *, seed: int = 0) -> Estimate:
    """Return one in percent of the other; a gain that both share cancels altogether. [%]

    Args:
        one: For example after. [unit]
        other: For example before. [the same unit]
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Two units, or the other may as well be zero.

    Source:
        GUM, 5.2.2, correlated errors.

    Example:
        >>> left, right = (Estimate(ohm, "ohm", (Row("meter:blue/gain", 0.01 * ohm),)) for ohm in (11.0, 10.0))
        >>> part = ratio(left, right)
        >>> round(part.value, 6), abs(round(part.standard_uncertainty, 6))
        (110.0, 0.0)
    """
    _refuse_units([one, other])
    _refuse_zero(other)
    return _of_both(lambda first, second: 100.0 * first / second, one, other, unit="%", seed=seed)


def winding_c(cold: Estimate, hot: Estimate, *, cold_part: Part, seed: int = 0) -> Estimate:
    """Return the temperature of a copper winding from its resistance cold and hot. [°C]

    Args:
        cold: Resistance at a known temperature, as read: not brought to 20 °C. [ohm]
        hot: Resistance at the temperature looked for, as read. [ohm]
        cold_part: Temperature of the winding when it was cold. [°C]
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Other units than ohm, or a cold reading that may as well be zero.

    Source:
        IEC_60034_1, temperature rise of a winding by resistance.

    Example:
        >>> found = winding_c(Estimate(0.2, "ohm"), Estimate(0.21, "ohm"), cold_part=Part(20.0, 0.0))
        >>> round(found.value, 2)
        32.75
    """
    if {cold.unit, hot.unit} != {"ohm"}:
        raise ValueError(f"{cold.unit} and {hot.unit} are not two resistances. Read the winding in ohm, cold and hot.")
    _refuse_zero(cold)
    inputs = (_part_input(cold_part, "cold"), _copper_zero())

    def of_copper(warm: Any, cool: Any, cold_c: Any, below_c: Any) -> Any:
        return warm / cool * (below_c + cold_c) - below_c

    return _of_both(of_copper, hot, cold, further=inputs, unit="°C", seed=seed)


def copper_gap(cold: Estimate, hot: Estimate, *, cold_part: Part, hot_part: Part, seed: int = 0) -> Estimate:
    """Return how much warmer one coil is by its resistance than by the thermometer; zero for sound copper. [K]

    Above zero, more than copper came on top when it warmed up, such as a joint that opens; below zero, less of it is
    copper than was taken, such as a resistor in series or shorted turns.

    Args:
        cold: Resistance of the coil, as read: not brought to 20 °C. [ohm]
        hot: The same coil warm, as read. [ohm]
        cold_part: Temperature of the winding when it was cold.
        hot_part: Temperature of the winding when it was warm.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Other units than ohm, or a cold reading that may as well be zero.

    Source:
        IEC_60034_1, temperature rise of a winding by resistance.

    Example:
        >>> at_20, at_33 = Part(20.0, 0.0, assumed=False), Part(32.75, 0.0, assumed=False)
        >>> found = copper_gap(Estimate(0.2, "ohm"), Estimate(0.21, "ohm"), cold_part=at_20, hot_part=at_33)
        >>> abs(round(found.value, 2)), found.unit
        (0.0, 'K')
    """
    by_resistance = winding_c(cold, hot, cold_part=cold_part, seed=seed)
    stated = _part_input(hot_part, "hot")
    by_thermometer = propagate(lambda celsius: celsius, [stated], unit="°C", seed=seed)
    return difference(by_resistance, by_thermometer)


def apart(estimate: Estimate) -> bool:
    """Is it clear which side of zero this difference lies on? 19 times out of 20, both ways taken together."""
    low, high = estimate.interval(0.95)
    return low > 0.0 or high < 0.0


def _of_both(
    formula: Formula, one: Estimate, other: Estimate, *, unit: str, seed: int, further: Sequence[Input] = ()
) -> Estimate:
    """What a formula makes of two estimates and further inputs; equal keys are one error in both."""
    rows = {row.key: row for each in (one, other) for row in each.rows}
    sizes = [{row.key: row.contribution for row in each.rows} for each in (one, other)]
    errors = [_error(row) for row in rows.values()]

    def of_errors(*drawn: Any) -> Any:
        both = [
            each.value + sum(size.get(key, 0.0) * error for key, error in zip(rows, drawn, strict=False))
            for each, size in zip((one, other), sizes, strict=True)
        ]
        return formula(*both, *drawn[len(rows) :])

    return propagate(of_errors, [*errors, *further], unit=unit, seed=seed)


def _error(row: Row) -> Input:
    """The error behind a row, about zero, with a standard uncertainty of 1."""
    bounded = row.shape in PER_HALF_WIDTH
    return Input(
        row.key, 0.0, row.shape,
        half_width=1.0 / PER_HALF_WIDTH[row.shape] if bounded else None,
        standard_uncertainty=None if bounded else 1.0,
        degrees_of_freedom=row.degrees_of_freedom, assumed=row.assumed, remedies=row.remedies, name=row.says,
        group=row.group,
    )  # fmt: skip


def _part_input(part: Part, when: str) -> Input:
    return Input(
        f"winding/{when}", part.celsius, Shape.RECTANGULAR, part.half_width_k,
        assumed=part.assumed, remedies=("part",), name=f"temperature of the {when} winding",
    )  # fmt: skip


def _copper_zero() -> Input:
    return Input(
        "conductor:copper/zero", COPPER_ZERO_BELOW_C, Shape.RECTANGULAR, COPPER_ZERO_HALF_K, name="copper's own line"
    )


def _refuse_units(estimates: Sequence[Estimate]) -> None:
    units = list(dict.fromkeys(one.unit for one in estimates))
    if len(units) > 1:
        raise ValueError(f"{' and '.join(units)} cannot be compared. Take readings of one kind.")


def _refuse_zero(other: Estimate) -> None:
    """A divisor that is not clear of zero."""
    if other.value == 0.0 or abs(other.value) <= CLEAR_OF_ZERO * other.standard_uncertainty:
        raise ValueError(
            f"{other.value:g} ± {2.0 * other.standard_uncertainty:.2g} {other.unit} may as well be zero, and nothing "
            "can be a share of that. Take the difference."
        )


def _apart_unit(unit: str) -> str:
    """A difference of two temperatures is no temperature."""
    return "K" if unit == "°C" else unit
