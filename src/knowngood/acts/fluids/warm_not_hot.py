"""Warm, not hot: at what temperature to drain a circuit, what stays behind when it is cold, and the burn caution."""

from dataclasses import dataclass

from knowngood.engine.fluids.draining import GLOVES_ABOVE_C, NO_TOUCH_ABOVE_C, DrainRange, drain_range
from knowngood.engine.fluids.viscosity import film_left, through
from knowngood.sheet.circuits import Circuit, Fluid

Points = tuple[tuple[float, float], tuple[float, float]]
# From memory, and wide: a thin and a thick oil of each kind, by its viscosity at 40 and at 100 °C. [°C, mm²/s]
USUAL: dict[Fluid, tuple[Points, Points]] = {
    Fluid.ENGINE_OIL: (((40.0, 36.0), (100.0, 7.2)), ((40.0, 100.0), (100.0, 14.0))),
    Fluid.GEARBOX_OIL: (((40.0, 24.0), (100.0, 5.4)), ((40.0, 36.0), (100.0, 7.2))),
    Fluid.GEAR_OIL: (((40.0, 46.0), (100.0, 7.5)), ((40.0, 180.0), (100.0, 17.0))),
    Fluid.STEERING_FLUID: (((40.0, 18.0), (100.0, 5.5)), ((40.0, 36.0), (100.0, 7.2))),
}
# Ours: how long a mechanic lets it drip. [min]
WAIT_MIN = 10.0
COLD_C = 20.0
# Coolant under pressure spurts where it is opened hot, whatever a glove holds off.
CAUTIONS = {
    Fluid.COOLANT: "Never open it hot: it stands under pressure and scalds. Let it cool until a hand can rest on it, "
    f"below {GLOVES_ABOVE_C:g} °C.",
}
BURNS = (
    f"Above {GLOVES_ABOVE_C:g} °C wear gloves or wait, above {NO_TOUCH_ABOVE_C:g} °C do not touch bare metal; these "
    "are for metal, and hot oil clings: keep skin and sleeves out of the stream."
)


@dataclass(frozen=True)
class Warmth:
    """At what temperature to drain.

    Args:
        from_c: Colder, clearly more stays behind; None for a fluid that runs alike at any. [°C]
        to_c: Hotter, hands need gloves. [°C]
        advice: What to do.
        behind: What stays behind cold beside warm; empty for a fluid that runs alike.
        caution: The one plain sentence about burns.
    """

    from_c: float | None
    to_c: float
    advice: str
    behind: str
    caution: str


def warmth(circuit: Circuit) -> Warmth | None:
    """Return at what temperature to drain a circuit; None for a fluid that no drain plug lets out.

    Args:
        circuit: Of the sheet, for its fluid.

    Example:
        >>> gearbox = Circuit(name="Gearbox", fluid="gearbox oil", holds="8 L", refill="fill")
        >>> warmth(gearbox).advice
        'Drain it warm, not hot: at about 25 to 48 °C.'
    """
    if circuit.fluid is Fluid.COOLANT:
        return Warmth(None, GLOVES_ABOVE_C, "Drain it cool: it runs as well cold as warm.", "", CAUTIONS[Fluid.COOLANT])
    usual = USUAL.get(circuit.fluid)
    if usual is None:
        return None
    ranges = [drain_range(through(*points)) for points in usual]
    # Of thin and thick, the thick one must be warmer: it counts.
    from_c = 5.0 * round(max(one.from_c for one in ranges) / 5.0)
    advice = f"Drain it warm, not hot: at about {from_c:.0f} to {GLOVES_ABOVE_C:.0f} °C."
    return Warmth(from_c, GLOVES_ABOVE_C, advice, _behind(usual, ranges), BURNS)


def _behind(usual: tuple[Points, Points], ranges: list[DrainRange]) -> str:
    """What a cold drain leaves as film and drip beside a warm one, in words."""
    films = [end for one in ranges for end in one.film_at_20.interval(0.8)]
    waits = [one.wait_at_20.value for one in ranges]
    cold = [film_left(through(*points), COLD_C, WAIT_MIN) for points in usual]
    most = max(one.quantile(0.9) for one in cold)
    return (
        f"At {COLD_C:g} °C {min(films):.1f} to {max(films):.1f} times as much stays on the walls after the same wait "
        f"as at {GLOVES_ABOVE_C:g} °C, or it takes {min(waits):.1f} to {max(waits):.1f} times the wait. "
        f"That is little: under {_rounded_up(most)} L after {WAIT_MIN:g} min (our guess, wide). "
        "Warm also carries the dirt out."
    )


def _rounded_up(litre: float) -> str:
    """To the next hundredth of a litre."""
    return f"{int(100.0 * litre) / 100.0 + 0.01:.2f}"
