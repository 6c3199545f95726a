"""Temperatures with their times, as a mechanic writes them, and what is said to those that cannot be read."""

import pytest

from knowngood.units import UnitsError
from knowngood.units.timed import timed

COOLING = ((0.0, 62.0), (5.0, 55.0), (10.0, 50.0))
WAYS = (
    "0 min 62 °C, 5 min 55 °C, 10 min 50 °C",
    "0 min 62°C,5 min 55°C,10 min 50°C",
    "0 min 62 °C 5 min 55 °C 10 min 50 °C",
    "0 min 62 °C; 300 s 55 °C; 10 min 50 C.",
    "0 min 62 °C\n5 min 55 °C\n10 min 50 °C",
    "0 min at 62 °C, 5 min: 55 °C, 10 min = 50 °C",
    "0:00 62 °C, 5:00 55 °C, 10:00 50 °C",
    "0 62, 5 55, 10 50",
    "0 min 62 °C, 5 55, 10 50",
    "0 min 62,0 °C, 5,0 min 55,0 °C, 10 min 50 °C",
    "0 min 62 °C, 5 min 131 °F, 10 min 50 °C",
    "0 min 143.6 °F, 5 131, 10 122",
)


@pytest.mark.parametrize("text", WAYS)
def test_every_way_of_writing_is_the_same(text):
    found = timed(text)
    assert [minute for minute, _ in found] == [minute for minute, _ in COOLING]
    assert [celsius for _, celsius in found] == pytest.approx([celsius for _, celsius in COOLING])


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("1.5 min 27 °C", (1.5, 27.0)),
        ("90 s 31 °C", (1.5, 31.0)),
        ("1:30 31 °C", (1.5, 31.0)),
        ("1 h 31", (60.0, 31.0)),
        ("2 min −4,5 °C", (2.0, -4.5)),
    ],
)
def test_one(text, moment):
    assert timed(text) == (moment,)


SUCH_AS = 'such as "0 min 62 °C, 5 min 55 °C".'
REFUSED = {
    " ": f"Nothing is written here. Write times and temperatures, {SUCH_AS}",
    "0 min 62 °C, 55 °C": (
        f'"55 °C" is no time with its temperature. Write both, and a comma before the next, {SUCH_AS}'
    ),
    "0 62,5 55,10 50": (
        f'"0 62,5 55,10 50" is no time with its temperature. Write both, and a comma before the next, {SUCH_AS}'
    ),
    "-5 min 62 °C": (
        f'"-5 min 62 °C" is no time with its temperature. Write both, and a comma before the next, {SUCH_AS}'
    ),
    "1:75 62 °C": f'"1:75 62 °C" is no time with its temperature. Write both, and a comma before the next, {SUCH_AS}',
    "5 min 62 °C, 5 min 61 °C": (
        '"5 min 61 °C" is not later than "5 min 62 °C". Write the earliest first, each with the time since the first, '
        f"{SUCH_AS}"
    ),
    "5 km 62 °C": '"5 km" is a distance; a time belongs here, such as "20 min".',
    "5 min 62 km": '"62 km" is a distance; a temperature belongs here, such as "41 °C".',
}


@pytest.mark.parametrize(("text", "words"), REFUSED.items())
def test_refused_in_words(text, words):
    with pytest.raises(UnitsError) as refused:
        timed(text)
    assert str(refused.value) == words
