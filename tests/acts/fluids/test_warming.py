"""From temperatures with their times to what to do by when."""

import math
from datetime import UTC, datetime, timedelta

import pytest

from knowngood import units
from knowngood.acts.fluids.warming import READ_WITH, as_json, doubts, followed

NOW = datetime(2026, 11, 21, 14, 20, tzinfo=UTC)
BAND = units.span("35..45 °C")
# Worked out from Newton's law, 20 °C towards 100 °C with 600 s: 35 °C after 124.58 s, 45 °C after 224.82 s.
EXACT = [(float(at), 100.0 - 80.0 * math.exp(-at / 600.0), 0.1, "display") for at in (0, 30, 60, 90)]


def rows(*pairs, read_with="display"):
    last = pairs[-1][0]
    return [(at - last, celsius, 1.0, read_with) for at, celsius in pairs]


def test_the_true_moments_of_newtons_law_lie_between():
    last = EXACT[-1][0]
    told = followed([(at - last, *rest) for at, *rest in EXACT], BAND, NOW, oil=False)
    opens, closes = told.window.opens, told.window.closes
    assert opens.p10 < 124.58 - last < opens.p90
    assert closes.p10 < 224.82 - last < closes.p90
    assert told.heading == "Be ready"


def test_what_to_do_by_when_counts_from_the_last_reading():
    told = followed(rows((0, 22), (120, 25), (240, 28)), BAND, NOW, oil=False)
    at = {one.says: one.at for one in told.moments}
    assert at["Be ready"] == NOW + timedelta(seconds=told.window.opens.p10)
    assert at["Be done"] == NOW + timedelta(seconds=told.window.closes.p10)
    assert at["Read it again"] < at["Be ready"] < at["Be done"]
    assert [one.says for one in told.moments if one.rings] == ["Be ready", "Be done", "Read it again"]


@pytest.mark.parametrize(
    ("pairs", "heading", "sentence"),
    [
        ([(0, 30)], "Read it once more", "One temperature says nothing of how fast it warms towards 35–45 °C: two "
         "give a first, wide answer."),
        ([(0, 36), (60, 38)], "In the window now", "It is within 35–45 °C. Be done before it may close."),
        ([(0, 44), (60, 47)], "Past the window", "It is above 35–45 °C. A level set now comes out short: let it cool "
         "below, and warm it again."),
        ([(0, 33), (60, 31), (120, 29)], "It cools", "It cools and is below 35–45 °C, so it will not open by itself: "
         "warm it again, then read it."),
        ([(0, 60), (60, 56), (120, 52)], "Be ready", "It cools towards 35–45 °C from above: it opens at the upper "
         "end."),
        ([(0, 25), (60, 25), (120, 25), (180, 25), (240, 25)], "It may not get there", "It hardly warms any more, and "
         "may stay below 35–45 °C. Go on as your manual says, and read it again."),
    ],
)  # fmt: skip
def test_each_state_is_an_answer_of_its_own(pairs, heading, sentence):
    told = followed(rows(*pairs), BAND, NOW, oil=False)
    assert (told.heading, told.sentence) == (heading, sentence)


def test_a_load_that_changed_is_said():
    told = followed(rows((0, 20), (60, 26), (120, 26), (180, 26), (240, 31)), BAND, NOW, oil=False)
    assert "the load changed" in told.sentence


def test_oil_is_said_not_to_be_verified_and_coolant_is_not():
    pairs = rows((0, 22), (120, 25), (240, 28))
    said = "How oil warms was not checked on real logs, only coolant was: read it again before you trust this."
    assert said in followed(pairs, BAND, NOW, oil=True).further
    assert said not in followed(pairs, BAND, NOW, oil=False).further


def test_two_readings_are_said_to_be_little():
    told = followed(rows((0, 22), (120, 25)), BAND, NOW, oil=False)
    assert "Two readings are little to go by: each further one narrows it." in told.further


def test_a_window_without_an_upper_end_never_closes():
    told = followed(rows((0, 40), (120, 45), (240, 49)), units.span("min 60 °C"), NOW, oil=False)
    assert told.window.opens.p50 is not None
    assert told.window.closes.p10 is None
    assert followed(rows((0, 95), (60, 97)), units.span("min 60 °C"), NOW, oil=False).heading == "In the window now"


def test_an_infrared_thermometer_makes_it_wider_than_the_vehicles_own_value():
    pairs = [(0, 22), (120, 25), (240, 28), (360, 31)]
    width = {}
    for read_with in READ_WITH:
        opens = followed(rows(*pairs, read_with=read_with), BAND, NOW, oil=False).window.opens
        width[read_with] = opens.p90 - opens.p10
    assert width["display"] < width["probe"] < width["infrared"]


def test_readings_by_another_thermometer_carry_its_error_alone():
    mixed, shared_k = doubts([(0.0, 30.0, 0.1, "infrared"), (60.0, 32.0, 0.1, "display")])
    assert shared_k == 0.0
    assert mixed[0].u_k == pytest.approx(math.hypot(5.0, math.hypot(0.05, 1.0)) / math.sqrt(3.0))
    assert mixed[1].u_k == pytest.approx(0.05 / math.sqrt(3.0), abs=2e-3)


def test_json_has_null_where_there_is_no_such_moment():
    told = as_json(followed(rows((0, 44), (60, 47)), BAND, NOW, oil=False))
    assert told["state"] == "past"
    assert told["opens_s"] == told["closes_s"] == {"p10": None, "p50": None, "p90": None}
    assert told["read_again_s"] is None
