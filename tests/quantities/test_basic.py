"""A winding: how long it takes to cool, by what was read of it or as is usual."""

import math

import pytest
from tests.quantities.handed import given, judged
from tests.refusing import refused

from knowngood.acts.readings.judging import judge_typed
from knowngood.quantities.known import QUANTITIES

COIL = ("winding_resistance", "14.2 14.3 ohm", {"zero": "0.3 ohm", "part": "35 ± 8"})
THERMISTOR = ("thermistor_resistance", "2.6 kohm", {"part": "35 ± 3"})
PLATINUM = ("pt100_resistance", "106.1 ohm", {"part": "35 ± 3"})


def cooling(what=COIL, **typed):
    """Words and minutes of the remedy that lets it cool."""
    name, read, words = what
    handed = given(QUANTITIES[name], read, **words, **typed)
    found = QUANTITIES[name].remedies(handed, QUANTITIES[name].estimate(handed))
    return next((one.says, one.minutes) for one in found if one.key == "cool")


def test_without_its_temperatures_the_time_is_the_usual_one():
    assert cooling() == ("Let it cool to the air's temperature (usual time of a small part)", 23.0)


@pytest.mark.parametrize("what", [COIL, THERMISTOR, PLATINUM], ids=["winding", "thermistor", "platinum"])
def test_its_own_temperatures_say_how_long_it_takes(what):
    read = ", ".join(f"{minute} min {20.0 + 42.0 * math.exp(-minute / 25.0):.4f} °C" for minute in (0, 5, 10))
    # Newton's law by hand: 42 K fall to 1.5 K in 25 minutes times their logarithm, of which 10 have passed.
    expected = 25.0 * math.log(42.0 / 1.5) - 10.0
    found = cooling(what, cooling=read)
    assert found == ("Let it cool to the air's temperature (by its own cooling)", float(round(expected)))


def test_the_air_is_as_warm_as_where_the_meter_lies():
    read = ", ".join(f"{minute} min {28.0 + 42.0 * math.exp(-minute / 25.0):.4f} °C" for minute in (0, 5, 10))
    right, wide = cooling(cooling=read, ambient="28"), cooling(cooling=read)
    assert right[1] == round(25.0 * math.log(42.0 / 1.5) - 10.0)
    assert wide[1] > right[1]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("55 °C", '"55 °C" is no time with its temperature. Write both, and a comma before the next, such as '
                  '"0 min 62 °C, 5 min 55 °C".'),
        ("0 min 62 °C", "One temperature does not show how fast it cools. Read again in ten minutes, and write both. "
                        "Or leave this empty."),
        ("0 min 50 °C, 5 min 55 °C", "From 50 to 55 °C is too little to show how fast it cools. Read again in ten "
                                     "minutes. Or leave this empty."),
        ("0 min 50 °C, 30 min 25 °C", "25 °C cannot be told from the air at 20 ± 10 °C. Measure the air with the same "
                                      "thermometer. Or leave this empty."),
        ("0 min 50 °C, 30 min 21 °C", "It reads 21 °C and the air is at 20 °C: there is nothing to wait for. "
                                      "Or leave this empty."),
    ],
)  # fmt: skip
def test_what_shows_no_cooling_is_refused_at_its_field(text, words):
    for name, limits in (("winding_resistance", "11.7..13.3 ohm"), ("thermistor_resistance", "2..90 ohm"),
                         ("pt100_resistance", "12..90 ohm")):  # fmt: skip
        assert refused(
            judge_typed, {"quantity": name, "limits": limits, "read": "14.2 ohm", "cooling": text}, reading_id="x"
        ) == {"cooling": words}


@pytest.mark.parametrize("name", ["winding_resistance", "pt100_temperature", "pt100_resistance"])
def test_leads_that_read_open_are_no_open_part(name):
    words = "a lead is broken, or its plug is not in. Push both plugs home, try other leads and read again."
    assert refused(judged, QUANTITIES[name], zero="OL") == {"zero": f'"OL" is the display\'s overload: {words}'}
