"""Numbers without a unit and money: their thousands may stand apart, and nothing is guessed."""

import pytest

from knowngood.units import UnitsError
from knowngood.units.bare import money, number


@pytest.mark.parametrize("text", ["1250", "1 250", "1\u202f250", "1'250", "1 250,00"])
def test_an_amount_of_money(text):
    assert money(text) == 1250.0


@pytest.mark.parametrize("text", ["", "ten", "1 2", "-5", "1,250", "1.250", "nan", "1_000", "1e999"])
def test_what_is_no_amount_of_money(text):
    with pytest.raises(UnitsError, match="is not an amount of money"):
        money(text)


def test_a_number_may_be_below_zero_and_have_three_places():
    assert (number("-0.5"), number("1,285")) == (-0.5, 1.285)
