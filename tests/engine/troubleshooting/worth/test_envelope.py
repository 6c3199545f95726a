"""Which of several straight lines is lowest where."""

import math
import re
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.troubleshooting.worth.envelope import Line, Piece, lower_envelope

COST = st.floats(-500.0, 500.0)
LINES = st.lists(st.builds(Line, COST, COST), min_size=1, max_size=8)


@given(LINES, st.floats(0.01, 5.0))
def test_nothing_is_lower_anywhere(lines, high):
    pieces = lower_envelope(lines, 0.0, high)
    assert (pieces[0].low, pieces[-1].high) == (0.0, high)
    for piece, following in pairwise(pieces):
        assert piece.high == following.low
    for piece in pieces:
        for x in np.linspace(piece.low, piece.high, 7):
            best = min(line.at(float(x)) for line in lines)
            assert lines[piece.index].at(float(x)) == pytest.approx(best, abs=1e-9)


@given(LINES)
def test_each_line_has_one_stretch_at_most(lines):
    indices = [piece.index for piece in lower_envelope(lines, 0.0, 1.0)]
    assert len(indices) == len(set(indices))


def test_it_may_go_on_for_ever():
    pieces = lower_envelope([Line(10.0, 2.0), Line(40.0, 0.0)], 0.0, math.inf)
    assert pieces == (Piece(0, 0.0, 15.0), Piece(1, 15.0, math.inf))


def test_of_lines_on_each_other_the_first_counts():
    assert lower_envelope([Line(1.0, 1.0), Line(1.0, 1.0)], 0.0, 1.0) == (Piece(0, 0.0, 1.0),)


@pytest.mark.parametrize(
    ("lines", "ends", "message"),
    [
        ([], (0.0, 1.0), "nothing to choose from; give at least one thing that could be done."),
        ([Line(0.0, 1.0)], (1.0, 1.0), "from 1 to 1; the lower end comes first."),
    ],
)
def test_refusals(lines, ends, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        lower_envelope(lines, *ends)
