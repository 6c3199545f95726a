"""One judgement of a warm coil, beside the same model in plain GTC and beside drawing the same inputs with NumPy."""

import math
from statistics import fmean, stdev

import numpy as np
from GTC import ureal
from timing import seconds

from knowngood.engine.judgement import Band, Input, Judgement, Shape, judge, linear
from knowngood.engine.measurement.electrical.resistance import COPPER_PER_C, Part, winding_resistance
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.readings.remedies import remedies

Row = tuple[str, float, float, float]
READ, ZERO = [14.9, 15.0, 14.9, 15.0, 14.9], [0.3, 0.3, 0.4]
METER, PART, BAND = Meter("blue", 0.8, 3, 0.1), Part(35.0, 3.0, assumed=False), Band(11.7, 13.3, "ohm")
DRAWS = 200_000


def ours() -> Judgement:
    """Readings to verdict: linear law, 200 000 draws, and what would settle it."""
    estimate = winding_resistance(READ, meter=METER, zero_ohm=ZERO, part=PART, seed=1)
    return judge(estimate, BAND, remedies=remedies(estimate, meter=METER, readings=len(READ), part=PART))


def in_gtc() -> float:
    """The linear law of the same model; no draws, no verdict."""

    def rectangle(value: float, half_width: float) -> ureal:
        return ureal(value, half_width / math.sqrt(3))

    def read(values: list[float]) -> ureal:
        return ureal(fmean(values), stdev(values) / math.sqrt(len(values)), len(values) - 1)

    through = (read(READ) - read(ZERO)) * (1 + rectangle(0.0, 0.008)) + rectangle(0.0, 0.3) - rectangle(0.0, 0.3)
    found = through / (1 + rectangle(COPPER_PER_C, 0.00004) * (rectangle(35.0, 3.0) - 20))
    return float(found.u + found.df)


def linear_law() -> float:
    """What in_gtc does, by ours."""

    def rectangle(key: str, value: float, half_width: float) -> Input:
        return Input(key, value, Shape.RECTANGULAR, half_width)

    def read(key: str, values: list[float]) -> Input:
        u = stdev(values) / math.sqrt(len(values))
        return Input(key, fmean(values), Shape.STUDENT_T, None, u, degrees_of_freedom=len(values) - 1)

    inputs = [read("coil", READ), read("leads", ZERO), rectangle("gain", 0.0, 0.008), rectangle("one", 0.0, 0.3),
              rectangle("other", 0.0, 0.3), rectangle("copper", COPPER_PER_C, 0.00004),
              rectangle("part", 35.0, 3.0)]  # fmt: skip
    found = linear(
        lambda coil, lead, gain, one, other, per_c, part_c: (
            ((coil - lead) * (1 + gain) + one - other) / (1 + per_c * (part_c - 20))
        ),
        inputs,
        unit="ohm",
    )
    return found.standard_uncertainty + found.degrees_of_freedom


def drawn() -> float:
    """The same seven inputs drawn and put through the formula; no quantiles, no verdict."""
    generator = np.random.Generator(np.random.PCG64(1))
    read, lead = generator.standard_t(4, DRAWS), generator.standard_t(2, DRAWS)
    gain, one, other, part, per_c = (generator.uniform(-1.0, 1.0, DRAWS) for _ in range(5))
    through = (14.6 + 0.02 * read - 0.03 * lead) * (1 + 0.008 * gain) + 0.3 * (one - other)
    return float((through / (1 + (COPPER_PER_C + 0.00004 * per_c) * (15.0 + 3.0 * part))).mean())


def rows() -> list[Row]:
    """What, ours, yardstick, ratio."""
    assert math.isclose(linear_law(), in_gtc(), rel_tol=1e-9)  # or the yardstick is another model's
    whole, law, yardstick, draws = seconds(ours), seconds(linear_law), seconds(in_gtc), seconds(drawn)
    return [
        ("linear law of a warm coil, against GTC", law, yardstick, law / yardstick),
        ("one judgement, against the linear law alone in GTC", whole, yardstick, whole / yardstick),
        ("one judgement, against drawing its inputs alone", whole, draws, whole / draws),
    ]


if __name__ == "__main__":
    for name, mine, yardstick, ratio in rows():
        print(f"{name:<52} {1e3 * mine:>8.2f} ms {1e3 * yardstick:>8.2f} ms {ratio:>7.2f}")
