"""Cooling down: worked exercises, a law that gives itself back, and what must be refused."""

import math

import pytest

from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.warmth.cooling import TIME_CONSTANTS_MIN, fitted, minutes_to_air, minutes_to_reach
from knowngood.engine.measurement.warmth.infrared import Surroundings

PROBE = Meter("probe", 0.0, 0, 0.1)
GARAGE = Surroundings(20.0, 1.0, assumed=False)


def celsius(fahrenheit):
    return (fahrenheit - 32.0) / 1.8


def exact_air(c):
    return Surroundings(c, 0.0, assumed=False)


@pytest.mark.published(
    "Newton's law of cooling, worked by hand: 375 °F, 215 °F after 15 min, air 72 °F: 120 °F after 36.8 min"
)
def test_a_pie():
    read = [(0.0, celsius(375)), (15.0, celsius(215))]
    found = minutes_to_reach(celsius(120), read, meter=PROBE, air=exact_air(celsius(72)))
    assert 15.0 + found.value == pytest.approx(36.8, abs=0.05)


@pytest.mark.published("OpenStax, College algebra, 6.7, from memory: 165 °F, 150 °F after 10 min, air 35 °F: 107 min")
def test_a_cheesecake():
    read = [(0.0, celsius(165)), (10.0, celsius(150))]
    found = minutes_to_reach(celsius(70), read, meter=Meter("exact", 0, 0, 0), air=exact_air(celsius(35)))
    assert 10.0 + found.value == pytest.approx(107.0, abs=0.5)


@pytest.mark.published(
    "Newton's law of cooling, worked by hand: 375 °F, 215 °F after 15 min, air 72 °F: 120 °F after 36.8 min"
)
def test_a_pie_that_is_to_be_near_the_air():
    read = [(0.0, celsius(375)), (15.0, celsius(215))]
    found = minutes_to_air((120 - 72) / 1.8, read, meter=PROBE, air=exact_air(celsius(72)))
    assert 15.0 + found.value == pytest.approx(36.8, abs=0.05)


def test_near_the_air_can_be_told_where_the_air_is_hardly_known():
    read = [(minute, 20.0 + 70.0 * math.exp(-minute / 60.0)) for minute in (0, 10, 20)]
    known, wide = (minutes_to_air(3.0, read, meter=PROBE, air=air) for air in (exact_air(20.0), None))
    assert known.value == pytest.approx(60.0 * math.log(70.0 / 3.0) - 20.0)
    assert wide.value == pytest.approx(known.value)
    assert wide.standard_uncertainty > 1.5 * known.standard_uncertainty
    with pytest.raises(ValueError, match=r"it may never cool that far"):
        minutes_to_reach(23.0, read, meter=PROBE)


@pytest.mark.parametrize(
    ("readings", "message"),
    [
        ([(0, 60.0)], "one temperature does not show how fast it cools. Read again in ten minutes, and write both."),
        ([(0, 60.0), (40, 21.0)], "it reads 21 °C and the air is at 20 °C: there is nothing to wait for."),
        ([(0, 24.0), (10, 22.5)], "22.5 °C cannot be told from the air at 20 ± 3 °C. "
                                  "Measure the air with the same thermometer."),
    ],
)  # fmt: skip
def test_near_the_air_refused(readings, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        minutes_to_air(1.5, readings, meter=PROBE, air=Surroundings(20.0, 3.0, assumed=False))
    assert str(refused.value) == message


def test_many_readings_give_the_law_back():
    read = [(minute, 20.0 + 70.0 * math.exp(-minute / 60.0)) for minute in (0, 5, 12, 20, 31)]
    found = minutes_to_reach(40.0, read, meter=PROBE, air=GARAGE)
    assert 31 + found.value == pytest.approx(60.0 * math.log(70.0 / 20.0), abs=1e-9)
    assert found.unit == "min"


def test_scatter_about_the_law_counts():
    smooth = [(minute, 20.0 + 70.0 * math.exp(-minute / 60.0)) for minute in (0, 10, 20, 30)]
    rough = [(minute, c + off) for (minute, c), off in zip(smooth, (0.8, -0.8, -0.8, 0.8), strict=True)]
    widths = [minutes_to_reach(45.0, one, meter=PROBE, air=GARAGE).standard_uncertainty for one in (smooth, rough)]
    assert widths[1] > 1.1 * widths[0]


def test_no_reading_leaves_a_range_for_such_a_part():
    found = minutes_to_reach(45.0, meter=PROBE, air=GARAGE, body="small")
    assert found.value == pytest.approx(12.5 * math.log(70.0 / 25.0))
    assert {row.name for row in found.rows if row.assumed} == {
        "how fast such a part cools", "how it cools", "temperature to begin with",
    }  # fmt: skip


def test_readings_know_better_than_a_range():
    read = [(0, 90.0), (15, 74.5), (30, 62.5)]
    widths = [
        minutes_to_reach(45.0, some, meter=PROBE, air=GARAGE).standard_uncertainty
        for some in ((), read[-1:], read)
    ]  # fmt: skip
    assert widths[0] > widths[1] > widths[2]


@pytest.mark.parametrize("body", TIME_CONSTANTS_MIN)
def test_a_range_reaches_from_least_to_most(body):
    found = minutes_to_reach(45.0, [(0, 80.0)], meter=PROBE, air=exact_air(20.0), body=body)
    least, most = (one * math.log(60.0 / 25.0) for one in TIME_CONSTANTS_MIN[body])
    low, high = found.interval(0.99)
    assert 0.7 * least < low < found.value < high < 1.3 * most


def test_a_worse_thermometer_or_unknown_air_never_makes_it_surer():
    read = [(0, 90.0), (20, 70.0)]
    widths = [
        minutes_to_reach(45.0, read, meter=meter, air=air).standard_uncertainty
        for meter, air in ((PROBE, GARAGE), (Meter("gun", 0.0, 0, 1.0, 2.0), GARAGE), (PROBE, Surroundings()))
    ]
    assert widths[0] < min(widths[1:])


def test_a_line_through_points():
    line = fitted([1.0, 2.0, 4.0], [5.0, 7.0, 11.0])
    assert (line.slope, line.intercept) == (pytest.approx(2.0), pytest.approx(3.0))


@pytest.mark.parametrize(
    ("target_c", "readings", "arguments", "message"),
    [
        (40.0, [(0, 90.0), (60, 38.0)], {},
         "it reads 38 °C and 40 °C is wanted: there is nothing to wait for."),
        (28.0, [(0, 90.0)], {"air": Surroundings()},
         "28 °C is wanted and the air is at 20 ± 10 °C: it may never cool that far. "
         "Measure the air, or allow a warmer part."),
        (40.0, [(0, 90.0), (0, 80.0)], {},
         "the readings are not in order of time. Write minute and temperature, the earliest first."),
        (40.0, [(0, 80.0), (2, 79.9)], {},
         "from 80 to 79.9 °C is too little to show how fast it cools. Read again in ten minutes."),
        (40.0, [(0, 70.0), (20, 75.0)], {},
         "from 70 to 75 °C is too little to show how fast it cools. Read again in ten minutes."),
        (22.0, [(0, 25.0)], {"meter": Meter("gun", 0, 0, 1, 5.0)},
         "25 °C cannot be told from the air at 20 ± 1 °C. Measure the air with the same thermometer."),
        (40.0, [], {"body": "kettle"},
         '"kettle" is no part known here. Take one of engine, gearbox, brake, small.'),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(target_c, readings, arguments, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        minutes_to_reach(target_c, readings, **{"meter": PROBE, "air": GARAGE} | arguments)
    assert str(refused.value) == message
