"""What an outcome says of all others counts for a suspect that another outcome names; each test's chances make one."""

import pytest

from knowngood.checks.chances import shown_with
from knowngood.sheet.suspects import Test

# Rarely is .1, sometimes .4, usually .8, nearly always .95; all by hand.
SWAPPED = Test(
    name="What moved with the coil",
    outcomes={
        "moved": {"shows": {"coil": "nearly always"}, "without": "rarely"},
        "stayed": {},
        "gone": {"shows": {"contact": "usually", "plug": "rarely"}},
    },
)
LOOKED = Test(
    name="The old fluid",
    outcomes={
        "clear": {"shows": {"strainer": "sometimes"}, "without": "usually"},
        "dark": {"shows": {"old": "usually"}, "without": "rarely"},
        "milky": {"without": "0 of 10"},
    },
)


def values(test, suspect):
    return [round(one.value, 3) for one in shown_with(test, suspect)]


@pytest.mark.parametrize(
    ("test", "suspect", "chances"),
    {
        "named under another outcome, the first's word stays": (SWAPPED, "plug", [0.1, 0.8, 0.1]),
        "named under two": (SWAPPED, "contact", [0.1, 0.1, 0.8]),
        "named under none": (SWAPPED, "other", [0.1, 0.45, 0.45]),
        "what the named leave room for is shared as the words say": (LOOKED, "old", [0.2, 0.8, 0.0]),
        "no room is asked for": (LOOKED, "strainer", [0.4, 0.1, 0.0]),
    }.values(),
)
def test_by_hand(test, suspect, chances):
    found = values(test, suspect)
    total = sum(chances)
    assert found == pytest.approx([one / total for one in chances], abs=0.02)


@pytest.mark.parametrize("test", [SWAPPED, LOOKED], ids=["swapped", "looked"])
@pytest.mark.parametrize("suspect", ["coil", "contact", "plug", "old", "strainer", "other"])
def test_they_make_one_and_stand_within_their_ranges(test, suspect):
    found = shown_with(test, suspect)
    assert sum(one.value for one in found) == pytest.approx(1.0)
    assert all(one.lowest <= one.value <= one.highest for one in found)


def test_a_plug_that_rarely_moves_is_no_longer_half_of_what_is_left():
    """Bayes' theorem by hand for two suspects, .38 and .28, after it moved with the coil."""
    coil, plug = 0.38 * values(SWAPPED, "coil")[0], 0.28 * values(SWAPPED, "plug")[0]
    assert plug / (coil + plug) == pytest.approx(0.072, abs=0.005)
