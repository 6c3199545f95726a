"""The check window: exact curves, what each state says, simulated warm-ups of other kinds, and refusals."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from knowngood.engine.fluids.window import Instants, State, Timed, check_window
from knowngood.engine.judgement.estimate import LEVELS

NEVER = Instants()


def newton(seconds, start_c=20.0, end_c=100.0, constant_s=600.0):
    return end_c - (end_c - start_c) * math.exp(-seconds / constant_s)


def shown(temperatures, u_k=0.29):
    """Whole degrees, as a display shows them, every 30 s."""
    return [Timed(30.0 * at, float(round(celsius)), u_k) for at, celsius in enumerate(temperatures)]


def moments(window):
    """The six moments in order; one that never comes is far beyond all others."""
    told = (
        window.opens.p10,
        window.opens.p50,
        window.opens.p90,
        window.closes.p10,
        window.closes.p50,
        window.closes.p90,
    )
    return [math.inf if one is None else one for one in told]


# 20 °C towards 100 °C with 600 s: at 35 °C after 124.58 s, 45 after 224.82, 70 after 588.50, 80 after 831.78.
@pytest.mark.parametrize(
    ("lower_c", "upper_c", "opens_s", "closes_s"), [(35.0, 45.0, 124.58, 224.82), (70.0, 80.0, 588.50, 831.78)]
)
def test_an_exact_curve_with_many_readings(lower_c, upper_c, opens_s, closes_s):
    last = opens_s - 40.0
    read = [Timed(at, newton(at), 0.05) for at in np.linspace(0.0, last, 15)]
    found = check_window(read, lower_c, upper_c)
    assert found.state is State.HEATING
    for told, true_s in ((found.opens, opens_s - last), (found.closes, closes_s - last)):
        assert told.p10 < true_s < told.p90
        assert told.p90 - told.p10 < 0.6 * true_s
        assert told.p50 == pytest.approx(true_s, rel=0.2)


def test_two_readings_work_and_say_how_little_they_are():
    found = check_window(shown([22, 26]), 35.0, 45.0)
    assert (found.state, found.used, found.little) == (State.HEATING, 2, True)
    assert found.opens.p10 < 75.0 < found.opens.p90
    assert found.opens.p90 - found.opens.p10 > 75.0


def test_one_reading_is_too_few():
    found = check_window([Timed(0.0, 20.0)], 35.0, 45.0)
    assert (found.state, found.opens, found.closes, found.little) == (State.TOO_FEW, NEVER, NEVER, True)
    assert found.read_again_s == 30.0


def test_the_next_reading_is_due_at_half_the_early_moment():
    found = check_window(shown([newton(30.0 * at) for at in range(4)]), 70.0, 80.0)
    assert found.read_again_s == pytest.approx(0.5 * found.opens.p10)


def test_in_already_only_closes():
    found = check_window(shown([30, 33, 36, 38]), 35.0, 45.0)
    assert (found.state, found.opens) == (State.IN, NEVER)
    assert 0.0 < found.closes.p10 < 7.0 / (2.5 / 30.0) < found.closes.p90
    assert found.read_again_s == pytest.approx(0.5 * found.closes.p10)


@pytest.mark.parametrize("celsius", [35.0, 44.9])
def test_the_lower_edge_is_in_the_upper_is_not(celsius):
    assert check_window([Timed(0.0, celsius)], 35.0, 45.0).state is State.IN
    assert check_window([Timed(0.0, 45.0)], 35.0, 45.0).state is State.PAST


def test_past_has_nothing_to_wait_for():
    found = check_window(shown([40, 43, 46, 48]), 35.0, 45.0)
    assert (found.state, found.opens, found.closes, found.read_again_s) == (State.PAST, NEVER, NEVER, None)


def test_falling_below_the_window_never_opens():
    found = check_window(shown([33, 32, 31, 30]), 35.0, 45.0)
    assert (found.state, found.falling, found.opens, found.read_again_s) == (State.COOLING, True, NEVER, None)


def test_falling_from_above_passes_the_window_downward():
    air, constant = 20.0, 3600.0
    read = [Timed(60.0 * at, air + 40.0 * math.exp(-60.0 * at / constant), 0.1) for at in range(10)]
    found = check_window(read, 35.0, 45.0, air_c=air)
    assert (found.state, found.falling) == (State.COOLING, True)
    opens, closes = (constant * math.log(40.0 / left) - 540.0 for left in (25.0, 15.0))
    assert found.opens.p10 < opens < found.opens.p90
    assert found.closes.p10 < closes < found.closes.p90


def test_falling_within_the_window_leaves_at_its_lower_edge():
    found = check_window(shown([44, 43, 42, 41]), 35.0, 45.0)
    assert (found.state, found.falling) == (State.IN, True)
    assert found.closes.p10 < 180.0 < found.closes.p90


def test_no_colder_than_the_air():
    found = check_window(shown([44, 43, 42, 41, 40.4, 40, 39.7]), 20.0, 39.0, air_c=38.0)
    assert found.closes.p90 is None


def test_a_rise_that_ends_below_the_window_is_stalled():
    read = [Timed(30.0 * at, newton(30.0 * at, end_c=58.0, constant_s=120.0), 0.1) for at in range(20)]
    found = check_window(read, 70.0, 80.0)
    assert found.state is State.STALLED
    assert found.opens.p50 is None
    assert found.opens.chance < 0.5
    assert found.little


def test_standing_still_is_stalled():
    assert check_window([Timed(60.0 * at, 50.0) for at in range(30)], 70.0, 80.0).state is State.STALLED


@pytest.mark.parametrize(
    "temperatures",
    [[40, 45, 50, 54, 58, 58, 58, 58, 58, 58], [30, 31, 32, 33, 39, 45], [43, 46, 47, 48, 55], [42, 44, 45, 52]],
)
def test_a_plateau_or_a_steeper_rise_is_told_and_widens(temperatures):
    found = check_window(shown(temperatures), 70.0, 80.0)
    assert found.state in {State.LOAD_CHANGED, State.STALLED}
    last = found.opens.p90 or math.inf
    assert last > 2.0 * found.opens.p10


def test_a_long_plateau_in_a_log_every_second_is_told():
    read = [Timed(float(at), float(round(min(20.0 + 0.1 * at, 55.0)))) for at in range(600)]
    found = check_window(read, 70.0, 80.0)
    assert found.state in {State.LOAD_CHANGED, State.STALLED}
    assert found.opens.p90 is None


def test_rounding_alone_is_no_change_of_load():
    for constant in (300.0, 500.0, 900.0, 1500.0):
        for first in range(0, 300, 60):
            read = [newton(first + 30.0 * at, constant_s=constant) for at in range(4)]
            if read[-1] < 68.0:
                assert check_window(shown(read), 70.0, 80.0).state is State.HEATING


@pytest.mark.published("M. Weber, Automotive OBD-II Dataset, KIT 2023, DOI 10.35097/1130, CC BY 4.0: cut from one log")
@pytest.mark.parametrize(
    ("readings", "opens_s"),
    [
        ([(154, 43), (184, 46), (214, 50), (244, 55)], 224.0),
        ([(357, 58), (387, 61), (417, 62), (447, 66)], 21.0),
    ],
)
def test_driven_warm_ups(readings, opens_s):
    found = check_window([Timed(*one) for one in readings], 70.0, 80.0)
    low, high = 0.5 * found.opens.p10, 2.0 * (found.opens.p90 or math.inf)
    assert low < opens_s < high


def test_pan_behind_a_cooler_is_covered():
    """Two bodies: the engine warms the pan; a curve of second order, which starts flat."""
    engine = pan = 15.0
    track = []
    for _ in range(4000):
        flow = 40.0 * (engine - pan)
        engine += (2500.0 - flow) / 20_000.0
        pan += (flow - 5.0 * (pan - 15.0)) / 12_000.0
        track.append(pan)
    opens = next(at for at, celsius in enumerate(track) if celsius >= 40.0)
    last = next(at for at, celsius in enumerate(track) if celsius >= 32.0)
    found = check_window([Timed(float(at), round(track[at])) for at in range(last - 120, last + 1, 30)], 40.0, 50.0)
    assert found.opens.p10 < opens - last < found.opens.p90


def test_a_pan_behind_the_engine_is_covered_from_its_slow_beginning_on(rounds):
    draw = np.random.default_rng(5)
    inside = []
    for _ in range(rounds(20)):
        start, end, engine_s, pan_s = draw.uniform([0.0, 85.0, 150.0, 200.0], [25.0, 130.0, 700.0, 1500.0])
        seconds = np.arange(0.0, 6000.0)
        # Two Newton's laws, one after the other.
        lag = (engine_s * np.exp(-seconds / engine_s) - pan_s * np.exp(-seconds / pan_s)) / (engine_s - pan_s)
        pan = end - (end - start) * lag
        opens = int(np.argmax(pan >= 35.0))
        for last in range(60, opens, 60):
            read = [Timed(float(at), float(round(pan[at]))) for at in range(0, last + 1, 60)]
            found = check_window(read, 35.0, 45.0)
            if found.state is not State.IN:
                inside.append((found.opens.p10 or math.inf) <= opens - last <= (found.opens.p90 or math.inf))
    assert np.mean(inside) >= 0.75


def test_simulated_warm_ups_are_covered_four_times_in_five(rounds):
    draw = np.random.default_rng(11)
    inside, widths = [], []
    for _ in range(rounds(60)):
        start, end, constant = draw.uniform(0, 30), draw.uniform(90, 180), draw.uniform(300, 2500)
        lower = draw.uniform(start + 15.0, 70.0)
        opens, last = (-constant * math.log1p(-(c - start) / (end - start)) for c in (lower, lower - 6.0))
        times = np.linspace(max(0.0, last - 120.0), last, 5)
        read = [Timed(at, float(round(newton(at, start, end, constant)))) for at in times]
        if read[-1].celsius >= lower:
            continue
        found = check_window(read, lower, lower + 10.0)
        late = found.opens.p90 or math.inf
        inside.append(found.opens.p10 <= opens - last <= late)
        widths.append((late - found.opens.p10) / (opens - last))
    assert np.mean(inside) >= 0.8
    assert np.median(widths) < 2.0


def test_a_log_every_second_is_worked_through():
    read = [Timed(float(at), float(round(newton(at)))) for at in range(500)]
    found = check_window(read, 70.0, 80.0)
    assert found.state is State.HEATING
    assert found.used <= 20
    assert found.opens.p10 < 588.50 - 499.0 < found.opens.p90


def test_a_shared_doubt_moves_the_edges():
    read = shown([newton(30.0 * at) for at in range(8)], u_k=0.1)
    sure, unsure = (check_window(read, 50.0, 60.0, shared_u_k=u) for u in (0.0, 3.0))
    assert unsure.opens.p90 - unsure.opens.p10 > 1.3 * (sure.opens.p90 - sure.opens.p10)


def test_the_curve_meets_the_moments():
    found = check_window(shown([newton(30.0 * at) for at in range(6)]), 45.0, 55.0)
    curve = found.curve
    assert len(curve.seconds) == len(curve.p10_c) == 40
    assert all(low <= middle <= high for low, middle, high in zip(curve.p10_c, curve.p50_c, curve.p90_c, strict=True))
    assert np.interp(found.opens.p50, curve.seconds, curve.p50_c) == pytest.approx(45.0, abs=0.3)
    assert np.interp(found.opens.p10, curve.seconds, curve.p90_c) == pytest.approx(45.0, abs=0.5)


def test_the_moment_as_an_estimate():
    opens = check_window(shown([newton(30.0 * at) for at in range(8)]), 45.0, 55.0).opens
    told = opens.estimate("window/opens")
    assert (told.unit, len(told.quantiles)) == ("s", len(LEVELS))
    assert told.quantile(0.5) == pytest.approx(opens.p50, rel=0.02)
    assert told.quantile(0.1) == pytest.approx(opens.p10, rel=0.02)
    assert NEVER.estimate("window/opens") is None


def test_the_same_answer_each_time():
    read = shown([20, 24, 28, 31])
    assert check_window(read, 35.0, 45.0) == check_window(read, 35.0, 45.0)


RISES = st.builds(
    lambda start, end, constant: [newton(30.0 * at, start, end, constant) for at in range(6)],
    st.floats(0.0, 30.0), st.floats(90.0, 160.0), st.floats(300.0, 2000.0),
)  # fmt: skip


@given(RISES, st.floats(-1e5, 1e5))
def test_the_zero_of_time_is_anyones(temperatures, zero):
    assume(temperatures[-1] < 60.0)
    there = check_window(shown(temperatures), 65.0, 75.0)
    moved = check_window([Timed(r.seconds + zero, r.celsius, r.u_k) for r in shown(temperatures)], 65.0, 75.0)
    assert moments(moved) == pytest.approx(moments(there), rel=1e-3)


@given(RISES, st.floats(0.6, 1.6))
def test_a_slower_clock_slows_the_moments(temperatures, factor):
    assume(temperatures[-1] < 60.0)
    one = check_window(shown(temperatures), 65.0, 75.0)
    other = check_window([Timed(factor * r.seconds, r.celsius, r.u_k) for r in shown(temperatures)], 65.0, 75.0)
    assert other.opens.p50 == pytest.approx(factor * one.opens.p50, rel=0.1)
    assert other.opens.p10 == pytest.approx(factor * one.opens.p10, rel=0.1)


@given(st.lists(st.floats(0.0, 120.0), min_size=1, max_size=12), st.floats(20.0, 90.0), st.floats(1.0, 30.0))
def test_whatever_is_read_the_moments_are_in_order_and_fit_the_state(temperatures, lower_c, width_k):
    found = check_window(shown(temperatures), lower_c, lower_c + width_k)
    told = moments(found)
    assert told[:3] == sorted(told[:3])
    assert told[3:] == sorted(told[3:])
    last = float(round(temperatures[-1]))
    if found.state is State.IN:
        assert lower_c <= last < lower_c + width_k
        assert found.opens == NEVER
    elif found.state in {State.HEATING, State.LOAD_CHANGED}:
        assert last < lower_c
        assert found.opens.p50 is not None
    elif found.state is State.STALLED:
        assert last < lower_c
        assert found.opens.p50 is None or found.opens.p50 > 1800.0
    if found.state is not State.IN:
        assert all(opens <= closes for opens, closes in zip(told[:3], told[3:], strict=True))
    assert found.read_again_s is None or 5.0 <= found.read_again_s <= 600.0
    assert all(math.isfinite(one) for one in (*found.curve.p10_c, *found.curve.p90_c))


def test_more_readings_know_better_on_average():
    widths = {}
    for count in (2, 4, 8, 16):
        found = []
        for constant in (400.0, 700.0, 1100.0, 1600.0):
            times = [400.0 - 25.0 * at for at in range(count)][::-1]
            read = [Timed(at, newton(at, end_c=120.0, constant_s=constant), 0.29) for at in times]
            opens = check_window(read, read[-1].celsius + 8.0, read[-1].celsius + 18.0).opens
            found.append((opens.p90 - opens.p10) / opens.p50)
        widths[count] = np.mean(found)
    assert widths[2] > widths[4] > widths[8] > widths[16]


@pytest.mark.parametrize(
    ("readings", "edges", "message"),
    [
        ([], (35.0, 45.0), "no readings; a window needs one temperature at least, two to say when."),
        ([Timed(0.0, 20.0)], (45.0, 35.0), "a window from 45 to 35 °C; write the lower temperature first."),
        ([Timed(0.0, 20.0), Timed(0.0, 21.0)], (35.0, 45.0),
         "reading 2 is at 0 s and the one before it at 0 s; "
         "write them in order of time, one temperature each, and start anew when the clock did."),
        ([Timed(0.0, math.nan)], (35.0, 45.0), "reading 1 is nan °C at 0 s; both must be numbers."),
        ([Timed(0.0, 20.0, 0.0)], (35.0, 45.0),
         "reading 1 is known to 0 K; no thermometer is: give it above zero."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(readings, edges, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        check_window(readings, *edges)
    assert str(refused.value) == message


def test_a_negative_shared_doubt_is_refused():
    with pytest.raises(ValueError, match=r"^an error of -1 K that all readings share; it is a number from 0 up\.$"):
        check_window([Timed(0.0, 20.0)], 35.0, 45.0, shared_u_k=-1.0)
