"""The chance that something settles it, against doing it many times: truth drawn, read anew, judged anew."""

import math

import numpy as np
import pytest

from knowngood.acts.readings.judging import judge_typed
from knowngood.engine.judgement import Verdict
from knowngood.quantities.repeats import usual_scatter

CHARGING = {"quantity": "charging_voltage", "limits": "max 14.4 V", "read": "14.2 14.45 13.95 V"}
DISC = {"quantity": "disc_thickness", "limits": "min 22 mm", "read": "22.02 22.03 22.02 22.04 mm",
        "meter": "0 %, 0 digits, 0.01 mm"}  # fmt: skip
PARASITIC = {"quantity": "parasitic_current", "limits": "max 50 mA", "read": "60 mA", "locked": "20 min",
             "meter": "1 % + 3 digits, 1 mA", "burden": "0 V"}  # fmt: skip
TILT = {"quantity": "tilt", "limits": "max 0.5 deg", "read": "0.4 deg", "meter": "2 digits, 0.1 deg", "sign": "counts"}


UNDESCRIBED = {"quantity": "charging_voltage", "limits": "max 14.5 V", "read": "14.2 V"}
VARIES = {"quantity": "thickness_variation", "limits": "max 0.024 mm",
          "read": "22.305 22.308 22.311 22.309 22.306 22.303 22.301 22.302 mm"}  # fmt: skip
COARSE = {"limits": "min 12.4 V", "read": "12.5 V", "meter": "0.1 %, 0.1 V"}
NOISY = {"limits": "min 12.35 V", "read": "12.3 12.7 V", "meter": "0.1 %, 0.1 V"}


def shown(values, step, unit):
    return " ".join(f"{round(value / step) * step:.6g}" for value in values) + f" {unit}"


def five_more_volts(draw):
    """What is known of the scatter is what is usual and what three readings showed, by GUM 4.2.4."""
    read = np.array([14.2, 14.45, 13.95])
    usual = usual_scatter("charging_voltage", "V").standard_deviation(float(read.mean()), step=0.01)
    pooled = (2.0 * usual**2 + 2.0 * read.var(ddof=1)) / 4.0
    scatter = math.sqrt(4.0 * pooled / draw.chisquare(4))
    around = read.mean() - draw.normal(0.0, scatter / math.sqrt(3))
    return {"read": shown([*read, *draw.normal(around, scatter, 5)], 0.01, "V")}


def zero_looked_at(draw):
    return {"zero_error": shown([draw.uniform(-0.02, 0.02)], 0.01, "mm")}


def asleep(draw):
    """What was read is as much off as the meter; anything up to all of it was still awake."""
    off = draw.uniform(-0.003, 0.003)
    sleeping = (0.060 - off) * (1.0 - draw.uniform(0.0, 1.0))
    return {"read": shown([max(0.001, sleeping + off)], 0.001, "A"), "locked": "120 min"}


def turned_round(draw):
    """The tilt is off by the instrument's zero; turned, it shows the other way, off by the same."""
    scatter = usual_scatter("tilt", "deg").standard_deviation(0.4, step=0.1)
    zero, first = draw.uniform(-0.2, 0.2), scatter * math.sqrt(2.0 / draw.chisquare(2))
    tilt = 0.4 - zero - draw.normal(0.0, first)
    return {"turned": shown([-tilt + zero + draw.normal(0.0, first)], 0.1, "deg")}


def described(draw):
    """What is assumed of a meter that nobody described is 0.8 % and 5 of these digits; the reading stays what it is."""
    share = draw.uniform(0.25, 0.75)
    return {"meter": f"{0.8 * share:.3f} % + {5 * share:.2f} digits, 0.1 V"}


def one_place_again(draw):
    """The hand's scatter is as usual with a caliper, worth two degrees of freedom; the places keep their readings."""
    scatter = usual_scatter("thickness_variation", "mm").standard_deviation(22.3, step=0.001)
    scatter *= math.sqrt(2.0 / draw.chisquare(2))
    return {"again": shown(22.305 + draw.normal(0.0, scatter, 5), 0.001, "mm")}


def finer_meter(draw):
    """By a display of 0.01 V, what is left of the scatter is what such readings do beside the steps."""
    coarse, fine = (usual_scatter("as_shown", "V").standard_deviation(12.5, step=step) for step in (0.1, 0.01))
    known = math.sqrt(2.0 / draw.chisquare(2))
    off = draw.normal(0.0, coarse * known) + draw.uniform(-0.05, 0.05) + 12.5 * draw.uniform(-0.001, 0.001)
    true = 12.5 - off
    return {"read": shown([true + draw.normal(0.0, fine * known)], 0.01, "V"), "meter": "0.025 %, 0.01 V"}


CASES = {
    "five readings more": (CHARGING, "Read it 5 times more", five_more_volts),
    "the gauge wiped and closed": (DISC, "Wipe the gauge", zero_looked_at),
    "left until it sleeps": (PARASITIC, "Leave it locked", asleep),
    "a meter with finer steps": (COARSE, "Borrow or buy a meter", finer_meter),
    "turned end for end": (TILT, "Turn it end for end", turned_round),
    "the meter looked up": (UNDESCRIBED, "Look up your meter's line", described),
    "one place of the disc again": (VARIES, "Read one place 5 times", one_place_again),
}


def test_a_finer_display_does_not_lessen_what_no_step_explains():
    """Two readings 0.4 V apart differ by the battery, not by steps of 0.1 V: by another meter they do so again."""
    settle = judge_typed(NOISY, reading_id="7").judgement.settle
    assert next(one.probability for one in settle if one.key == "meter") < 0.05


@pytest.mark.parametrize(("typed", "begins", "do"), CASES.values(), ids=CASES)
def test_the_chance_is_that_of_doing_it(typed, begins, do, rounds):
    told = next(one for one in judge_typed(typed, reading_id="7").judgement.settle if one.remedy.startswith(begins))
    draw, count = np.random.default_rng(3), rounds(60)
    clear = 0
    for _ in range(count):
        found = judge_typed({**typed, **do(draw)}, reading_id="7").judgement
        clear += found.verdict.value != "can't tell"
    spread = math.sqrt(told.probability * (1.0 - told.probability) / count)
    assert clear / count == pytest.approx(told.probability, abs=0.05 + 2.5 * spread)


# A part at 50 ± 40 °C: the resistance at 20 °C that follows is far from normal.
WARM = {"quantity": "thermistor_resistance", "read": "3.05 kohm"}


@pytest.mark.parametrize("most", [12, 18, 22, 26, 30])
def test_what_changes_next_to_nothing_settles_next_to_nothing(most):
    """The part's temperature makes all the doubt, so five readings more leave the verdict where it was."""
    today = judge_typed({**WARM, "limits": f"max {most} kohm"}, reading_id="7").judgement
    again = {**WARM, "limits": f"max {most} kohm", "read": " ".join(["3.05"] * 6) + " kohm"}
    assert {today.verdict, judge_typed(again, reading_id="7").judgement.verdict} == {Verdict.CANT_TELL}
    told = {one.key: one.probability for one in today.settle}
    assert max(told[key] for key in ("repeat", "data_sheet", "meter")) < 0.05
    assert min(told[key] for key in ("part", "cool", "stated")) > 0.5
