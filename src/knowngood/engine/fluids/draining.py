"""Warm, not hot: at what temperature to drain, and what may be touched."""

from dataclasses import dataclass

from knowngood.engine.fluids.viscosity import Viscosity, beside
from knowngood.engine.judgement import Estimate

# Ours, and stricter than the times that hot tap water takes to burn (49 °C more than 5 min, 60 °C less than 5 s).
# Source: MORITZ_1947; ISO_13732_1.
GLOVES_ABOVE_C, NO_TOUCH_ABOVE_C = 48.0, 60.0
# Ours: a film of one and a half times that of the warmest draining is still worth not waiting for.
WORTH_WARMING = 1.5


@dataclass(frozen=True)
class DrainRange:
    """At what temperature to drain.

    Args:
        from_c: Colder, more than one and a half times the film stays behind. [°C]
        to_c: Hotter, hands need gloves. [°C]
        film_at_20: How many times the film of to_c stays behind at 20 °C after the same wait.
        wait_at_20: How many times the wait leaves the same film at 20 °C.
    """

    from_c: float
    to_c: float
    film_at_20: Estimate
    wait_at_20: Estimate


def drain_range(viscosity: Viscosity) -> DrainRange:
    """Return the temperatures at which an oil is warm enough to run and cool enough for hands.

    Args:
        viscosity: The line of its data sheet.

    Raises:
        ValueError: An oil that is thinner than its line holds for when warm.

    Source:
        JEFFREYS_1930, the film.
        MORITZ_1947, the hands. Where the range ends is ours.

    Example:
        >>> from knowngood.engine.fluids.viscosity import through
        >>> found = drain_range(through((40.0, 36.0), (100.0, 7.2)))
        >>> round(found.from_c), found.to_c, round(found.film_at_20.value, 1)
        (27, 48.0, 1.8)
    """
    cold = beside(viscosity, 20.0, GLOVES_ABOVE_C)
    from_c = viscosity.where(float(viscosity.at(GLOVES_ABOVE_C)) * WORTH_WARMING**2)
    return DrainRange(from_c, GLOVES_ABOVE_C, cold.film, cold.wait)
