"""The picture of a suspect: dashed before the tests, filled after them, its percent, its name in lines."""

import re
from xml.etree import ElementTree

import pytest

from knowngood.report.pictures.ruler import FONT_PX, words_px
from knowngood.report.pictures.suspects import BAR_LEFT, BAR_RIGHT, NAME_PX, NAME_ROOM, Suspicion, suspect_picture

LONG = "Clutch, valve or solenoid worn: new fluid does not mend it, and neither does a new strainer"


def of_class(svg, name):
    return [one for one in ElementTree.fromstring(svg).iter() if one.get("class") == name]


def reaches(path):
    """Where the top edge of a bar ends."""
    return float(re.search(r"H([\d.]+)", path.get("d"))[1])


@pytest.mark.parametrize("width", [360, 640])
def test_a_bar_is_as_long_as_the_chance_from_the_same_left_end(width):
    svg = suspect_picture(Suspicion("Relay", 0.25, 0.5), width=width)
    left, whole = BAR_LEFT[width], BAR_RIGHT[width] - BAR_LEFT[width]
    (before,), (after,) = of_class(svg, "before"), of_class(svg, "post")
    assert reaches(before) == pytest.approx(left + 0.25 * whole, abs=0.06)
    assert reaches(after) == pytest.approx(left + 0.5 * whole, abs=0.06)
    assert before.get("d").startswith(f"M{left:g} ")
    assert after.get("d").startswith(f"M{left:g} ")


@pytest.mark.parametrize("width", [360, 640])
def test_before_any_test_nothing_is_filled(width):
    svg = suspect_picture(Suspicion("Relay", 0.25), width=width)
    assert not of_class(svg, "post")
    assert of_class(svg, "share")[0].text == "25 %"
    assert ElementTree.fromstring(svg)[0].text == "Relay: 25 %, nothing tested yet."


@pytest.mark.parametrize("width", [360, 640])
def test_a_long_name_keeps_to_its_room_and_all_of_it_is_there(width):
    svg = suspect_picture(Suspicion(LONG, 0.1, 0.2), width=width)
    lines = [one.text for one in of_class(svg, "who")]
    assert " ".join(lines) == LONG
    assert len(lines) > 1
    assert max(words_px(one) * NAME_PX / FONT_PX for one in lines) <= NAME_ROOM[width]
    height = float(ElementTree.fromstring(svg).get("viewBox").split()[3])
    assert max(float(one.get("y")) for one in of_class(svg, "who")) < height
    if width == 360:  # the bar stands below the name
        top = min(float(y) for y in re.findall(r"V([\d.]+)H", of_class(svg, "before")[0].get("d")))
        assert max(float(one.get("y")) for one in of_class(svg, "who")) < top


def test_markup_in_a_name_is_words():
    svg = suspect_picture(Suspicion("<script>alert(1)</script> & co", 0.1, 0.2))
    assert "<script>" not in svg
    assert " ".join(one.text for one in of_class(svg, "who")) == "<script>alert(1)</script> & co"


@pytest.mark.parametrize("width", [360, 640])
def test_the_longest_percent_has_room_beside_the_longest_name(width):
    svg = suspect_picture(Suspicion(LONG, 0.1, 0.9999), width=width)
    (share,) = of_class(svg, "share")
    assert share.text == "> 99 %"
    assert ElementTree.fromstring(svg)[0].text.endswith(": more than 99 % after the tests, 10 % before.")
    left = float(share.get("x")) - words_px(share.text) * NAME_PX / FONT_PX
    beside = BAR_RIGHT[width] if width == 640 else 2.0 + NAME_ROOM[width]
    assert left > beside
