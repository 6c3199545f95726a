"""Quantities of tilt: inclinometer, spirit level, water in a hose."""

from collections.abc import Callable
from dataclasses import replace

from knowngood.engine.judgement import Estimate, Remedy
from knowngood.engine.measurement.readings.remedies import Way, done_again
from knowngood.engine.measurement.sizes.tilt import inclinometer, spirit_level, water_tube
from knowngood.quantities.lengths import ways
from knowngood.quantities.model import SEED, Ask, By, Given, K, Quantity

TURNED = Ask(
    "turned", "Turned end for end it shows", K.ANGLE, "deg",
    "At the same place, with its sign, such as -0.3.", signed=True, many=True,
    by=By.READING,
)  # fmt: skip
SIGN = Ask(
    "sign", "The sign", hint="Camber has one; how level something stands has none.",
    choices=(("", "does not count: how far from level"), ("counts", "counts, as for camber")),
)  # fmt: skip
BUBBLE_TURNED = Ask(
    "turned", "Turned end for end, the bubble is off by", K.LENGTH, "mm",
    "Towards the same marked end of the level above zero, such as -1.", signed=True, many=True,
    by=By.READING,
)  # fmt: skip
SENSITIVITY = Ask(
    "sensitivity", "mm/m for one division", hint="As it stands on the level, for divisions of 2 mm, such as 0.5."
)
DISTANCE = Ask("distance", "Between the ends of the hose", K.LENGTH, hint="Along the ground, such as 2600 mm.")

Listed = Callable[[Given, Estimate], list[Remedy]]
# Ours: a minute a way.
TURN = Way("turn", "Turn it end for end at the same place and read it again", 2, 0.0)
LOOK_UP = Way("sensitivity", "Look on the level for its mm/m, or lay a 1 mm strip under one end of it", 5, 0.2)
EYE = Way("eye", "Read the bubble again, straight from above, both its ends", 2, 0.5)
TAPE = Way("distance", "Measure between the ends of the hose with a tape", 3, 0.1)
SETTLE = Way("settle", "Drive the bubbles out, wait 2 minutes and read both ends again", 5, 0.5)


def _inclinometer(given: Given) -> Estimate:
    return inclinometer(
        given.read.values, meter=given.meter, turned_deg=given.values(TURNED), signed=given.choice(SIGN) == "counts",
        reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _spirit_level(given: Given) -> Estimate:
    return spirit_level(
        given.read.values, meter=given.meter, turned_mm=given.values(BUBBLE_TURNED),
        sensitivity_mm_m=given.value(SENSITIVITY), reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _turning(by: Callable[[Given], Estimate], others: Listed) -> Listed:
    """What lists turning the instrument round, as long as nobody did: its zero, described or not, then drops out."""

    def listed(given: Given, estimate: Estimate) -> list[Remedy]:
        found = others(given, estimate)
        if given.typed.get(TURNED.name):
            return found
        back = " ".join(f"{-one:.12g}" for one in given.read.values) + f" {given.read.kind.unit}"
        then = by(replace(given, typed={**given.typed, TURNED.name: back}, calibration=None))
        grid = 0.5 * given.meter.step if given.read.kind is K.ANGLE else 0.0
        return [done_again(TURN, estimate, then, grid=grid), *found]

    return listed


def _water_tube(given: Given) -> Estimate:
    return water_tube(
        given.read.values, meter=given.meter, distance_mm=given.value(DISTANCE), reading_id=given.reading_id, seed=SEED
    )


QUANTITIES = (
    Quantity(
        "tilt", "Tilt by inclinometer", K.ANGLE, K.ANGLE, _inclinometer,
        '--quantity tilt --limits "max 0.5 deg" --read "0.4 deg" --set "turned=0.0 deg"',
        asks=(TURNED, SIGN),
        trap="Lay it on a clean machined face, both ways on the same spot; never reach under a vehicle that stands on "
        "a jack alone to read it.",
        remedies=_turning(_inclinometer, ways()),
    ),
    Quantity(
        "tilt_level", "Tilt by spirit level", K.LENGTH, K.ANGLE, _spirit_level,
        '--quantity tilt_level --limits "max 0.5 deg" --read "1.0 mm" --set "turned=-0.5 mm" --set sensitivity=5',
        asks=(BUBBLE_TURNED, SENSITIVITY),
        read_unit="mm",
        trap="The reading is how far the bubble stands off its middle, in mm (a division is usually 2 mm), towards one "
        "end of the level that you have marked.",
        remedies=_turning(_spirit_level, ways(LOOK_UP, EYE, usual=False)),
        refusals=(("a level of", SENSITIVITY.name),),
    ),
    Quantity(
        "tilt_water", "Tilt by water in a clear hose", K.LENGTH, K.ANGLE, _water_tube,
        '--quantity tilt_water --limits "max 1 deg" --read "412 389 mm" --set "distance=2600 mm"',
        asks=(DISTANCE,),
        read_unit="mm",
        trap="A bubble in the hose or a closed end makes the water lie; measure both heights from like points of the "
        "vehicle, not from the floor.",
        remedies=ways(TAPE, SETTLE, usual=False),
        refusals=(("a distance of", DISTANCE.name),),
    ),
)  # fmt: skip
