"""W lies where the state says, in single precision too, and its size is known beforehand."""

import pytest
from tests.engine.troubleshooting.instances import drawn

from knowngood.engine.troubleshooting.policy import lattice
from knowngood.engine.troubleshooting.policy.exact import Policy
from knowngood.engine.troubleshooting.policy.lattice import Lattice, fits
from knowngood.engine.troubleshooting.policy.moves import State, start
from knowngood.engine.troubleshooting.policy.shape import Shape
from knowngood.engine.troubleshooting.policy.tree import grow


@pytest.mark.parametrize("seed", range(6))
def test_single_precision_finds_the_same_to_a_hundred_thousandth(seed, monkeypatch):
    problem = drawn(seed, tests=5, repairs=6, covers=3, closing=bool(seed % 2), check=bool(seed % 3))
    exact = Policy(problem)
    monkeypatch.setattr(lattice, "DOUBLE_BYTES", 0)
    single = Policy(problem)
    assert not single._lattice.exact
    assert single.cost == pytest.approx(exact.cost, rel=1e-5)
    assert grow(problem, single.next).expected_cost == pytest.approx(exact.cost, rel=1e-5)


def test_states_are_counted_before_anything_is_filled():
    shape = Shape(drawn(1, tests=4, repairs=5, covers=2))
    assert shape.states == 3**4
    assert shape.cells == (3**4 + 1) * 2**5


def test_covers_are_kept_only_where_a_check_needs_them_closed():
    assert len(Shape(drawn(1, covers=2)).off) == 1
    kept = Shape(drawn(1, covers=2, closing=True))
    assert kept.keeps_covers
    assert 0 in kept.off
    assert list(kept.off) == sorted(kept.off, key=lambda one: -one.bit_count())


def test_the_whole_size_that_was_asked_for_fits_and_one_more_of_each_does_not():
    assert fits(drawn(0, causes=8, tests=10, repairs=8, covers=3, closing=True))
    assert not fits(drawn(0, causes=8, tests=13, repairs=11, covers=3))


def test_nothing_left_is_the_shop():
    problem = drawn(2, tests=1, repairs=1, covers=0)
    whole = Lattice(problem)
    done = State(frozenset({("test0", "yes")}), frozenset({"repair0"}))
    assert 0.0 < whole.at(done) < whole.at(start(problem)) + problem.cost(problem.shop.price)
