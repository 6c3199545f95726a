"""Numbers without a unit and money: their thousands may stand apart, and nothing is guessed."""

import pytest

from knowngood.units import Undecided, UnitsError
from knowngood.units.bare import money, number


@pytest.mark.parametrize("text", ["1250", "1 250", "1\u202f250", "1'250", "1 250,00"])
def test_an_amount_of_money(text):
    assert money(text) == 1250.0


@pytest.mark.parametrize("text", ["", "ten", "1 2", "-5", "nan", "1_000", "1e999"])
def test_what_is_no_amount_of_money(text):
    with pytest.raises(UnitsError, match="is not an amount of money"):
        money(text)


@pytest.mark.parametrize(
    ("text", "two"), [("1,250", '"1250" or "1.25"'), ("1.250", '"1250" or "1.25"'), ("1.234", '"1234" or "1.2340"')]
)
def test_money_with_a_mark_before_three_digits_is_asked_about(text, two):
    with pytest.raises(Undecided) as refused:
        money(text)
    assert str(refused.value) == f'"{text}" may mean thousands or a fraction. Write {two}.'
    for clear in two.replace('"', "").split(" or "):
        money(clear)


def test_a_number_may_be_below_zero_and_have_three_places():
    assert (number("-0.5"), number("1.285"), number("0,285")) == (-0.5, 1.285, 0.285)


def test_a_comma_before_three_digits_is_decimal_only_where_the_thousand_cannot_be():
    assert number("1,285", beyond=lambda value: value > 50.0) == 1.285
    with pytest.raises(Undecided, match=r'Write "3435" or "3\.435"'):
        number("3,435")
