"""Pressures: cylinders, leakage, oil, fuel, cooling system and vacuum."""

from knowngood.engine.judgement import Estimate, Remedy
from knowngood.engine.measurement.pressures.cylinders import (
    compression_spread,
    lowest_compression,
    worst_leakage,
    worst_leakage_by_gauges,
)
from knowngood.engine.measurement.pressures.gauges import pressure_drop
from knowngood.engine.measurement.readings.plain import plain_quantity
from knowngood.engine.measurement.readings.remedies import Way, by_ways, remedies
from knowngood.engine.measurement.readings.single import better_offset
from knowngood.quantities.model import SEED, Ask, Given, K, Quantity
from knowngood.refusal import Refused

SUPPLY = Ask("supply", "Gauge before the jet", K.PRESSURE, "kPa", "Such as 690; left empty, 690 ± 70 is assumed.")
HELD = Ask("held", "Held for", K.DURATION, "min", "How long you waited, such as 10.")
OVER = Ask("over", "Limit holds for", K.DURATION, "min", "The time that belongs to the limit, such as 5.")
WARMER = Ask(
    "warmer", "Became warmer by", K.TEMPERATURE_DIFFERENCE, "K",
    "Such as -2 ± 1 when it cooled; left empty, 0 ± 4 is assumed.", signed=True,
)  # fmt: skip
# Ours: a change that someone wrote down without how far off.
WARMER_HALF_K = 1.0


def _compression(given: Given) -> Estimate:
    return lowest_compression(given.read.values, meter=given.meter, reading_id=given.reading_id, seed=SEED)


def _spread(given: Given) -> Estimate:
    return compression_spread(given.read.values, meter=given.meter, reading_id=given.reading_id, seed=SEED)


def _leakage(given: Given) -> Estimate:
    return worst_leakage(given.read.values, meter=given.meter, reading_id=given.reading_id, seed=SEED)


def _leakage_by_gauges(given: Given) -> Estimate:
    return worst_leakage_by_gauges(
        given.read.values, meter=given.meter, supply_kpa=given.value(SUPPLY), reading_id=given.reading_id, seed=SEED
    )


def _plain(given: Given) -> Estimate:
    for read in given.read.values:
        if read < 0.0:
            raise ValueError(
                f"a pressure of {read:g} kPa is below the air's. Look whether the gauge stands at zero when it is off, "
                "or judge it as a vacuum."
            )
    return plain_quantity(given.read.values, unit="kPa", meter=given.meter, reading_id=given.reading_id, seed=SEED)


def _vacuum(given: Given) -> Estimate:
    """Below the air's pressure counts up; gauges print it with a minus or without."""
    values = given.read.values
    if min(values) < 0.0 < max(values):
        raise ValueError("some readings have a minus and some have none. Write a vacuum the same way each time.")
    below = tuple(-read for read in values) if min(values) < 0.0 else values
    return plain_quantity(below, unit="kPa", meter=given.meter, reading_id=given.reading_id, seed=SEED)


def _drop(given: Given) -> Estimate:
    held, over = given.value(HELD), given.value(OVER)
    if over is not None and held is None:
        raise Refused({HELD.name: f"The limit holds for {over:g} min. Write how long you held the pressure, too."})
    for ask, minutes in ((HELD, held), (OVER, over)):
        if minutes is not None and minutes <= 0.0:
            raise Refused({ask.name: f"{minutes:g} min is no waiting. Write a time above zero, such as 5 min."})
    warmer = given.tolerance(WARMER)
    return pressure_drop(
        given.read.values,
        meter=given.meter,
        warmer_k=(warmer[0], WARMER_HALF_K if warmer[1] is None else warmer[1]) if warmer else None,
        times=over / held if over and held else 1.0,
        reading_id=given.reading_id,
        seed=SEED,
    )


WAYS = (
    Way("crank", "Charge the battery, hold the throttle wide open and read every cylinder again; judge the means", 20,
        0.7),
    Way("supply", "Read the gauge before the jet", 2, 0.3),
    Way("tester", "Compare with the tester that the limits are for", 30, 0.25),
    Way("temperature", "Read the air before and after, and wait until it is steady", 15, 0.25),
)  # fmt: skip


def _remedies(given: Given, estimate: Estimate) -> list[Remedy]:
    """The usual ones, and what is worth doing about cranking, the tester and the air."""
    usual = remedies(estimate, meter=given.meter, readings=len(given.read.values))
    return [*better_offset(usual, estimate), *by_ways(estimate, WAYS)]


CRANKING = (
    "Stop fuel and ignition before you crank, and keep hands and hair clear of belts and fans; take all plugs out, "
    "hold the throttle wide open and keep the battery charged, or every cylinder reads low."
)
TURNS = (
    "Air in a cylinder can turn the crankshaft: hold it at top dead centre, and keep hands and spanners clear of it."
)

QUANTITIES = (
    Quantity(
        "cylinder_compression", "Compression, lowest cylinder", K.PRESSURE, K.PRESSURE, _compression,
        '--quantity cylinder_compression --limits "min 1000 kPa" --read "1230 1190 1210 1225 kPa"',
        trap=CRANKING, remedies=_remedies,
    ),
    Quantity(
        "cylinder_spread", "Compression, lowest in percent of the highest", K.PRESSURE, K.SHARE, _spread,
        '--quantity cylinder_spread --limits "min 75 %" --read "1230 1190 1210 1225 kPa"',
        read_unit="kPa", trap=CRANKING, remedies=_remedies,
    ),
    Quantity(
        "leak_down", "Leakage of the worst cylinder, read in percent", K.SHARE, K.SHARE, _leakage,
        '--quantity leak_down --limits "max 20 %" --read "8 12 9 7 %"',
        trap=TURNS, remedies=_remedies,
    ),
    Quantity(
        "leak_down_gauges", "Leakage of the worst cylinder, by two gauges", K.PRESSURE, K.SHARE, _leakage_by_gauges,
        '--quantity leak_down_gauges --limits "max 20 %" --read "640 600 630 645 kPa" --set supply=690',
        asks=(SUPPLY,), read_unit="kPa", trap=TURNS, remedies=_remedies,
        refusals=(("the cylinder's gauge", "supply"),),
    ),
    Quantity(
        "oil_pressure", "Oil pressure", K.PRESSURE, K.PRESSURE, _plain,
        '--quantity oil_pressure --limits "min 100 kPa" --read "140 145 140 kPa"',
        trap="Cold oil reads far too well: warm the engine up first, read at the speed that the limit names, and keep "
        "clear of hot oil and of what turns.",
        remedies=_remedies,
    ),
    Quantity(
        "fuel_pressure", "Fuel pressure", K.PRESSURE, K.PRESSURE, _plain,
        '--quantity fuel_pressure --limits "350..420 kPa" --read "385 kPa"',
        trap="Fuel sprays and burns: relieve the pressure first, let the engine cool, no flame or spark near, catch "
        "what drips and have an extinguisher at hand.",
        remedies=_remedies,
    ),
    Quantity(
        "cooling_pressure", "Pressure of the cooling system", K.PRESSURE, K.PRESSURE, _plain,
        '--quantity cooling_pressure --limits "90..110 kPa" --read "102 kPa"',
        trap="Never open the cap hot: it scalds; wait until the hoses are cool and soft.",
        remedies=_remedies,
    ),
    Quantity(
        "cooling_pressure_drop", "Pressure lost by the cooling system", K.PRESSURE, K.PRESSURE, _drop,
        '--quantity cooling_pressure_drop --limits "max 10 kPa" --read "100 97 kPa" --set held=10 --set over=5',
        asks=(HELD, OVER, WARMER),
        trap="Never open the cap hot: it scalds; test it cold, for while it cools the pressure falls without a leak.",
        remedies=_remedies,
    ),
    Quantity(
        "vacuum", "Vacuum, counted from the air's pressure down", K.PRESSURE, K.PRESSURE, _vacuum,
        '--quantity vacuum --limits "55..75 kPa" --read "62 63 62 kPa"',
        trap="Write limits without a minus; at 1000 m up every engine reads about 11 kPa less, and a running engine's "
        "belts and fan catch sleeves and hair.",
        remedies=_remedies,
    ),
)  # fmt: skip
