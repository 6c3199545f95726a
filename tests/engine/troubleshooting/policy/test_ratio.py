"""Orders by chance over cost, against all orders there are."""

import itertools

import numpy as np
import pytest

from knowngood.engine.troubleshooting.policy.ratio import Try, bottom_up, by_ratio

OUTER = {"K": (), "L": ("K",), "M": ()}


def expected(order, tries, way_in):
    """What an order costs when one thing at most is wrong and covers stay off."""
    known, left, total, off = {one.key: one for one in tries}, 1.0, 0.0, set()
    for key in order:
        one = known[key]
        total += left * (one.cost + sum(way_in[cover] for cover in one.behind if cover not in off))
        off |= set(one.behind)
        left -= one.chance
    return total


def drawn(generator, covers):
    chances = generator.dirichlet(np.ones(7))
    places = [(), *((*OUTER[key], key) for key in covers)]
    tries = [Try(f"r{at}", chances[at], generator.uniform(1.0, 50.0), places[generator.integers(len(places))])
             for at in range(6)]  # fmt: skip
    return tries, {key: generator.uniform(1.0, 60.0) for key in OUTER}


def test_bottom_up_is_the_best_of_all_orders(rounds):
    """Nested covers too: L lies inside K."""
    generator = np.random.default_rng(1)
    for _ in range(rounds(30)):
        tries, way_in = drawn(generator, ["K", "L", "M"])
        best = min(expected(order, tries, way_in) for order in itertools.permutations([one.key for one in tries]))
        assert expected(bottom_up(tries, way_in), tries, way_in) == pytest.approx(best, rel=1e-12)


def test_ratio_alone_is_the_best_of_all_orders_without_covers(rounds):
    generator = np.random.default_rng(2)
    for _ in range(rounds(10)):
        tries, way_in = drawn(generator, [])
        best = min(expected(order, tries, way_in) for order in itertools.permutations([one.key for one in tries]))
        assert expected(by_ratio(tries), tries, way_in) == pytest.approx(best, rel=1e-12)
        assert by_ratio(tries) == bottom_up(tries, way_in)


def test_worked_example_with_one_cover():
    """Ours, checked by hand: blind 89.55, bottom-up 85.85, which is the best of the 120 orders."""
    inside = [Try("x", 0.20, 8.0, ("K",)), Try("y", 0.15, 6.0, ("K",)), Try("z", 0.10, 5.0, ("K",))]
    tries, way_in = [Try("a", 0.30, 40.0), Try("b", 0.25, 30.0), *inside], {"K": 45.0}
    best = min(expected(order, tries, way_in) for order in itertools.permutations("abxyz"))
    assert expected(bottom_up(tries, way_in), tries, way_in) == pytest.approx(85.85) == best
    assert by_ratio(tries) == ("x", "y", "z", "b", "a")
    assert expected(by_ratio(tries), tries, way_in) == pytest.approx(89.55)
