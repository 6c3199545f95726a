"""Use between top-ups: what counts, what cancels, and when the next one is due."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.topping import TopUp, next_top_up, use
from knowngood.engine.judgement import Estimate, Row

KEPT = [TopUp(50_000, 0.5), TopUp(53_000, 0.6), TopUp(56_000, 0.6)]
ROOM = stated("room", 0.8, 0.2, unit="L")


def rows(estimate):
    return {row.key: row.contribution for row in estimate.rows}


def test_the_first_pour_was_used_before():
    assert use(KEPT).per_1000_km.value == pytest.approx(1.2 / 6.0)
    assert use([TopUp(50_000, 3.0), *KEPT[1:]]).per_1000_km == use(KEPT).per_1000_km


def test_the_order_does_not_matter():
    assert use(KEPT[::-1]) == use(KEPT)


def test_levels_that_were_written_count():
    """Filled to 0.2 below the mark at first, left 0.4 below it at last: 0.2 L more was used."""
    written = [TopUp(50_000, 0.5, 0.7), TopUp(53_000, 0.6), TopUp(56_000, 0.6, 1.0)]
    assert use(written).per_1000_km.value == pytest.approx((1.2 + 0.2) / 6.0)


def test_a_level_that_was_only_read_counts():
    assert use([TopUp(50_000, 0.0, 0.0), TopUp(54_000, 0.0, 0.8)]).per_1000_km.value == pytest.approx(0.2)


@given(st.floats(0.05, 1.0), st.lists(st.floats(300.0, 4000.0), min_size=1, max_size=8))
def test_a_steady_use_is_found(litre_per_1000, distances):
    """An engine simulated with a steady use, filled up at every stop."""
    km = 10_000 + np.concatenate([[0.0], np.cumsum(distances)])
    poured = [0.3, *(litre_per_1000 * distance / 1000.0 for distance in distances)]
    found = use([TopUp(float(at), float(litre)) for at, litre in zip(km, poured, strict=True)])
    assert found.per_1000_km.value == pytest.approx(litre_per_1000)
    assert (found.times, found.km) == (len(km), pytest.approx(sum(distances)))


def test_the_doubt_row_by_row():
    half = 3**-0.5
    expected = {
        "level/first": -0.25 / 6.0 * half, "level/last": 0.25 / 6.0 * half, "bottle": 0.05 * 1.2 / 6.0 * half,
        "odometer": -0.03 * 1.2 / 6.0 * half, "pour 2": 0.05 / 6.0 * half, "pour 3": 0.05 / 6.0 * half,
    }  # fmt: skip
    assert rows(use(KEPT).per_1000_km) == pytest.approx(expected)


def test_marks_that_are_known_loosely_count_by_what_the_level_sank():
    """From the upper mark to .6 L below it in 6000 km: half of that share is .3 L, over 6, rectangular."""
    found = use([TopUp(50_000, 0.0, 0.0), TopUp(56_000, 0.2, 0.6)], marks_half_share=0.5).per_1000_km
    assert found.value == pytest.approx(0.6 / 6.0)
    assert rows(found)["marks"] == pytest.approx(0.3 / 6.0 * 3**-0.5)


def test_more_kilometres_and_a_finer_stick_know_better():
    longer = use([*KEPT, TopUp(60_000, 0.8)])
    assert longer.per_1000_km.standard_uncertainty < use(KEPT).per_1000_km.standard_uncertainty
    finer = use(KEPT, step_l=0.1).per_1000_km
    assert finer.standard_uncertainty < use(KEPT).per_1000_km.standard_uncertainty
    assert not next(row for row in finer.rows if row.key == "level/first").assumed


def test_the_next_one():
    due = next_top_up(use(KEPT).per_1000_km, ROOM)
    assert due.after.value == pytest.approx(4000.0)
    assert 0.0 < due.look_after_km < due.after.value


def test_the_early_end_by_drawing_at_random():
    used, room = Estimate(0.2, "L/1000 km", (Row("used", 0.05),)), Estimate(0.8, "L", (Row("room", 0.1),))
    generator = np.random.default_rng(5)
    drawn = 1000.0 * generator.normal(0.8, 0.1, 400_000) / generator.normal(0.2, 0.05, 400_000)
    early = next_top_up(used, room).look_after_km
    assert np.mean((drawn > 0.0) & (drawn < early)) == pytest.approx(0.1, abs=0.003)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: use(KEPT[:1]), "use follows from two levels at least; found: 1. Write the level again later."),
        (lambda: use([*KEPT, TopUp(53_000, 0.1)]),
         "two entries at 53000 km; put them together, or check the odometer."),
        (lambda: use([TopUp(50_000, 0.5, 0.7), TopUp(53_000, 0.6)]),
         "the level is written at one end only; write it at the first and at the last entry, or at neither when both "
         "were filled up to the same mark."),
        (lambda: TopUp(-1.0, 0.5), "an odometer of -1 km; write what it showed."),
        (lambda: TopUp(50_000, -0.5), "-0.5 L poured in; write 0 when the level was only read."),
        (lambda: next_top_up(use([TopUp(50_000, 0.0), TopUp(50_500, 0.05)]).per_1000_km, ROOM),
         "0.1 L in 1000 km cannot be told from nothing yet: no distance follows. Write the level again after more "
         "kilometres."),
        (lambda: next_top_up(use(KEPT).per_1000_km, stated("room", 0.1, 0.3, unit="L")),
         "0.1 L down to the lower mark, by a level that may be off: top up now."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(call, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        call()
    assert str(refused.value) == message
