"""A plain quantity: what the display shows, with what the instrument may be off. No correction."""

from collections.abc import Sequence
from typing import Any

from knowngood.engine.judgement import Estimate, propagate
from knowngood.engine.measurement.meters.instruments import Meter, gain_input, reading_inputs


def plain_quantity(
    values: Sequence[float], *, unit: str, meter: Meter, reading_id: str = "reading", seed: int = 0
) -> Estimate:
    """Return the mean of some readings with the instrument's doubt.

    Args:
        values: Readings. [unit]
        unit: Unit inside, such as "V".
        meter: What they were read with.
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: No reading.

    Source:
        GUM, 5.1.2.

    Example:
        >>> battery = plain_quantity([12.61, 12.62, 12.61], unit="V", meter=Meter("blue", 0.5, 2, 0.01))
        >>> round(battery.value, 3), round(battery.standard_uncertainty, 3)
        (12.613, 0.038)
    """
    inputs = [*reading_inputs(values, meter, key=f"reading:{reading_id}", name="the readings"), gain_input(meter)]

    def shown(read: Any, digits: Any, step: Any, gain: Any) -> Any:
        return read * (1.0 + gain) + digits + step

    return propagate(shown, inputs, unit=unit, seed=seed)
