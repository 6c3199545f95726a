"""The picture of a decision at the open cover: what stands where, in both widths."""

import re
from xml.etree import ElementTree

import pytest

from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.worth.cover_decision import decide
from knowngood.engine.troubleshooting.worth.doubtful import CheapTest, DoubtfulPart
from knowngood.report.pictures.flip import BOTTOM, flip_picture
from knowngood.report.pictures.plot import LEFT, RIGHT
from knowngood.report.pictures.ruler import words_px

PART = DoubtfulPart(Price(46.0), access=Price(150.0), damage=Price(40.0))
WIDTHS = pytest.mark.parametrize("width", [360, 640])
# Where 0 % stands.
ZERO = LEFT + 8.0
NAMED = {"replace now", "close and watch", "test more", "hand over"}


def drawn(part, chance, width=640, **more):
    return flip_picture("Thermostat", decide(part, chance, rate_per_hour=0.0, **more), width=width)


def texts(svg):
    return [(float(one.get("x")), one.text) for one in ElementTree.fromstring(svg).iter("text")]


def verticals(svg, kind):
    path = re.search(rf'class="{kind}" d="([^"]*)"', svg)
    return [float(x) for x in re.findall(r"M([\d.]+) [\d.]+V", path[1])] if path else []


@WIDTHS
def test_the_strip_begins_where_the_answer_flips(width):
    svg = drawn(PART, Chance(0.41, 0.25, 0.57), width)
    flip = 46.0 / 236.0 + 0.01
    [strip], [line] = verticals(svg, "band"), verticals(svg, "limit")
    assert strip == pytest.approx(ZERO + flip * (width - RIGHT - ZERO), abs=0.2)
    assert line == pytest.approx(strip, abs=0.2)
    assert "flips at 20 %" in [words for _, words in texts(svg)]


@WIDTHS
def test_the_dashed_line_stands_at_the_chance_and_a_hump_over_its_range(width):
    svg = drawn(PART, Chance(0.41, 0.25, 0.57), width)
    assert verticals(svg, "est") == [pytest.approx(ZERO + 0.41 * (width - RIGHT - ZERO), abs=0.2)]
    assert 'class="hump humpfill"' in svg
    assert 'class="hump humpfill"' not in drawn(PART, 0.41, width)


@WIDTHS
def test_the_chance_by_now_is_written_at_its_line_and_no_name_lies_across_a_flip(width):
    svg = drawn(PART, Chance(0.41, 0.25, 0.57), width)
    at = {words: x for x, words in texts(svg)}
    [now], [flip] = verticals(svg, "est"), verticals(svg, "limit")
    assert at["now 41 %"] == pytest.approx(now - 0.5 * words_px("now 41 %"), abs=0.2)
    for words in ("replace now", "close and watch"):
        assert not at[words] <= flip <= at[words] + words_px(words)


@WIDTHS
def test_no_name_is_lost_where_only_one_order_of_them_has_room_for_all(width):
    svg = drawn(PART, 0.2, width, test=CheapTest(Price(3.0), 0.9, 0.9))
    assert {words for _, words in texts(svg)} >= {"replace now", "close and watch", "test more"}


@WIDTHS
def test_every_option_has_a_line_and_a_name_that_stays_in_the_picture(width):
    svg = drawn(PART, 0.1, width, test=CheapTest(Price(3.0), 0.8, 0.9), quote=Price(60.0))
    assert len(re.findall(r'class="way', svg)) == 4
    found = texts(svg)
    assert {words for _, words in found} & NAMED == NAMED
    assert all(0.0 <= x <= width for x, _ in found)


def test_two_flips_are_two_lines():
    svg = drawn(PART, 0.2, test=CheapTest(Price(3.0), 0.9, 0.9))
    assert len(verticals(svg, "limit")) == 2


def test_without_a_flip_there_is_no_line_and_the_words_say_so():
    svg = drawn(DoubtfulPart(Price(10.0), access=Price(20.0), life_left=30.0), 0.9)
    assert verticals(svg, "limit") == []
    assert "flips at no probability" in svg


@pytest.mark.parametrize("chance", [0.0, 1.0, Chance(0.0, 0.0, 0.1), Chance(1.0, 0.9, 1.0), Chance(0.02, 0.01, 0.05)])
def test_nothing_is_drawn_outside(chance):
    svg = drawn(PART, chance)
    ys = [float(y) for path in re.findall(r' d="([^"]*)"', svg) for y in re.findall(r"[ML][\d.]+ ([\d.-]+)", path)]
    assert max(ys) <= BOTTOM + 0.1
    assert min(ys) >= 0.0
    assert "nan" not in svg


def test_a_title_is_never_read_as_markup():
    svg = flip_picture("<b>&", decide(PART, 0.3, rate_per_hour=0.0))
    assert "<title>&lt;b&gt;&amp;</title>" in svg
