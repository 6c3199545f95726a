"""The picture of a renewal: circles where the changes are, the strip at the wanted share, money or litres along."""

import re
from xml.etree import ElementTree

import pytest

from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.renewal import picture, unknown_share
from knowngood.report.pictures.renewal import BOTTOM, TOP, Renewed, renewal_picture


def drawn(price=None, wanted=0.8, rounds=4, share=None):
    share = share or unknown_share()
    return Renewed("Gearbox", "40 % new.", picture(share, per_round_l=4.0, price_per_l=price, rounds=rounds), wanted)


def parts(svg, tag):
    return [one for one in ElementTree.fromstring(svg).iter() if one.tag == tag]


@pytest.mark.parametrize("width", [360, 640])
def test_it_is_one_picture_with_words_for_those_who_do_not_see_it(width):
    svg = renewal_picture(drawn(), width=width)
    assert [one.text for one in parts(svg, "title") + parts(svg, "desc")] == ["Gearbox", "40 % new."]


def test_circles_stand_at_the_shares_and_what_was_done_is_filled():
    circles = parts(renewal_picture(drawn(share=stated("f", 0.4, 0.0, unit="1"))), "circle")
    assert [one.get("class") for one in circles] == ["arrowhead", "raw", "raw", "raw"]
    shares = [(BOTTOM - float(one.get("cy"))) / (BOTTOM - TOP) for one in circles]
    assert shares == pytest.approx([0.400, 0.640, 0.784, 0.870], abs=0.001)


def test_the_strip_begins_at_the_wanted_share():
    path = next(one.get("d") for one in parts(renewal_picture(drawn(wanted=0.5)), "path") if one.get("class") == "band")
    assert float(re.match(r"M[\d.]+ ([\d.]+)", path)[1]) == pytest.approx(0.5 * (TOP + BOTTOM))


def test_money_stands_along_when_a_price_is_known_and_litres_when_not():
    texts = [[one.text for one in parts(renewal_picture(drawn(price)), "text")] for price in (None, 10.0)]
    assert "L" in texts[0]
    assert "money" not in texts[0]
    assert "money" in texts[1]
    assert "100" in texts[1]


@pytest.mark.parametrize("width", [360, 640])
@pytest.mark.parametrize("price", [None, 0.0, 3.2, 250.0])
@pytest.mark.parametrize("wanted", [0.5, 0.95])
def test_every_text_stays_in_the_picture(width, price, wanted):
    svg = renewal_picture(drawn(price, wanted, rounds=9), width=width)
    height = float(ElementTree.fromstring(svg).get("viewBox").split()[3])
    for one in parts(svg, "text"):
        assert 0.0 <= float(one.get("x")) <= width
        assert 10.0 <= float(one.get("y")) <= height
