"""What curves are drawn on, and a warm-up drawn on it."""

import re
import xml.etree.ElementTree as ET

import pytest

from knowngood.report.pictures.plot import APART_PX, LEFT, RIGHT, plot
from knowngood.report.pictures.window import Warming, window_picture

SVG = "{http://www.w3.org/2000/svg}"
WARM = Warming(
    "Gearbox <oil>", "It warms.", ((0.0, 22.0), (2.0, 25.0), (4.0, 28.0)), 35.0, 45.0,
    curve=((4.0, 28.0, 28.0, 28.0), (12.0, 33.0, 38.0, 44.0), (20.0, 40.0, 60.0, 80.0)), be_there=9.0,
)  # fmt: skip


def drawn(picture):
    return ET.fromstring(picture.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


@pytest.mark.parametrize("width", [360, 640])
def test_numbers_stand_in_proportion(width):
    one = plot((0.0, 10.0), (20.0, 50.0), width)
    (left, low), (middle, half), (right, high) = (
        [float(number) for number in one.at(along, up).split()] for along, up in ((0, 20), (5, 35), (10, 50))
    )
    assert (middle - left, low - half) == pytest.approx((0.5 * (right - left), 0.5 * (low - high)), abs=0.1)
    assert right == width - RIGHT


def test_what_lies_off_the_plot_is_drawn_at_its_edge():
    one = plot((0.0, 10.0), (20.0, 50.0), 360)
    assert one.at(-5.0, 90.0) == one.at(0.0, 50.0)


def test_a_line_that_leaves_the_plot_and_comes_back_is_two_pieces():
    one = plot((0.0, 10.0), (20.0, 50.0), 360)
    path = re.search(r'd="([^"]*)"', one.line([(0.0, 40.0), (2.0, 60.0), (4.0, 60.0), (8.0, 40.0), (9.0, 40.0)], "est"))
    ends = [one.at(*place) for place in ((0.0, 40.0), (1.0, 50.0), (6.0, 50.0), (8.0, 40.0), (9.0, 40.0))]
    assert path[1] == "M{}L{}M{}L{}L{}".format(*ends)


def test_one_moment_alone_can_be_drawn():
    assert plot((3.0, 3.0), (0.0, 1.0), 360).along.high > 3.0


def test_numbers_that_would_touch_a_bold_one_are_left_out():
    one = plot((0.0, 10.0), (20.0, 50.0), 360)
    near = 40.0 + 0.9 * APART_PX / 120.0 * 30.0
    side = one.side([(40.0, "40")], [(near, "near"), (30.0, "30")], "°C")
    assert re.findall(r">([^<]+)</text>", side) == ["40", "30", "°C"]


def test_an_open_end_of_the_strip_reaches_the_edge():
    one = plot((0.0, 10.0), (20.0, 50.0), 360)
    assert f"V22H{360 - RIGHT:.0f}" in one.strip(35.0, None)
    assert one.strip(35.0, None).count("M") == 2


@pytest.mark.parametrize("width", [360, 640])
def test_each_temperature_stands_at_its_minute_and_height(width):
    picture = drawn(window_picture(WARM, width=width))
    (a, low), (b, middle), (c, high) = [
        (float(dot.get("cx")), float(dot.get("cy"))) for dot in picture.iter(f"{SVG}circle")
    ]
    assert b - a == pytest.approx(c - b, abs=0.11)
    assert low - middle == pytest.approx(middle - high, abs=0.11)
    assert picture.find(f"{SVG}title").text == "Gearbox <oil>"


def test_the_window_is_named_in_bold_and_the_moment_has_its_line():
    picture = window_picture(WARM, width=360)
    assert re.findall(r'class="limitno"[^>]*>([^<]+)<', picture) == ["be there", "35", "45"]
    x = float(re.search(r'class="est" d="M([\d.]+) ', picture)[1])
    assert x == pytest.approx(LEFT + 8.0 + 9.0 / 20.0 * (360.0 - RIGHT - LEFT - 8.0), abs=0.1)


def test_the_curve_ends_where_it_leaves_the_picture():
    picture = window_picture(WARM, width=360)
    line = re.search(r'class="hump" fill="none" d="M([^"]+)"', picture)[1].split("L")
    last_x, last_y = (float(number) for number in line[-1].split())
    assert last_y == 22.0
    assert last_x < 360 - RIGHT


def test_before_the_second_temperature_there_is_no_curve():
    one = Warming("Oil", "Read it once more.", ((0.0, 24.0),), 35.0, 45.0)
    assert "humpfill" not in window_picture(one, width=360)
