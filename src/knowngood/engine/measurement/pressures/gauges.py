"""A test that holds a pressure for some minutes, and what a change of temperature does to it meanwhile."""

from collections.abc import Sequence
from typing import Any

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.meters.instruments import Meter, gain_input
from knowngood.engine.measurement.readings.single import shown_input

# Absolute pressure and temperature of ordinary air, for what a change of temperature does to what is shut in: the
# standard atmosphere by definition, and 20 °C.
AIR_KPA, AIR_K = 101.325, 293.15
# Ours: shut-in air and coolant, as the air in a garage changes while the test waits.
AIR_CHANGE_HALF_K = 4.0


def pressure_drop(
    start_and_end_kpa: Sequence[float],
    *,
    meter: Meter,
    warmer_k: tuple[float, float] | None = None,
    times: float = 1.0,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return how far the pressure fell by leaking, without what a change of temperature did to the shut-in air.

    Args:
        start_and_end_kpa: Two readings of one gauge. [kPa]
        meter: The gauge.
        warmer_k: How much warmer it became meanwhile, and how far off that may be; None assumes 0, wide. [K]
        times: The limit's time over the time that it was held; a slow leak falls in proportion. [1]
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Not two readings, a start that is not above zero, an end below zero, a time that is not above zero.

    Source:
        GUM, 5.1.2, linear law.

    Example:
        >>> found = pressure_drop([100, 92], meter=Meter("dial", 2.0, 1, 1), warmer_k=(0.0, 1.0))
        >>> round(found.value, 6), round(found.standard_uncertainty, 2)
        (8.0, 0.91)
    """
    if len(start_and_end_kpa) != 2:
        raise ValueError(
            f"a drop takes two readings, {len(start_and_end_kpa)} stand here. "
            "Write what the gauge showed at the start, then what it showed at the end."
        )
    start_kpa, end_kpa = start_and_end_kpa
    if not start_kpa > 0.0 or end_kpa < 0.0:
        raise ValueError(
            f"a test from {start_kpa:g} to {end_kpa:g} kPa; it starts above zero and ends at zero or more. "
            "Write first what the gauge showed at the start, then what it showed at the end."
        )
    if not times > 0.0:
        raise ValueError("a time of zero or less is no waiting. Write how long the pressure was held, such as 10 min.")
    warmer, half = warmer_k or (0.0, AIR_CHANGE_HALF_K)
    inputs = [
        shown_input(start_kpa, meter, key=f"reading:{reading_id}/start", name="start"),
        shown_input(end_kpa, meter, key=f"reading:{reading_id}/end", name="end"),
        gain_input(meter),
        Input(f"reading:{reading_id}/warmer", warmer, Shape.RECTANGULAR, half, assumed=warmer_k is None,
              remedies=("temperature",), name="change of temperature during the test"),
    ]  # fmt: skip

    # A constant volume of air; no offset row, for one gauge shows both alike wrong.
    def drop(start: Any, end: Any, gain: Any, warmer: Any) -> Any:
        at_start = (end * (1.0 + gain) + AIR_KPA) / (1.0 + warmer / AIR_K) - AIR_KPA
        return (start * (1.0 + gain) - at_start) * times

    return propagate(drop, inputs, unit="kPa", seed=seed)
