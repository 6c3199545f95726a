"""The picture: whole, small, and its words never in each other's way, whatever is shown."""

import math
import re
import xml.etree.ElementTree as ET
from itertools import combinations
from statistics import NormalDist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowngood.report.pictures.picture import BASE, Picture, band_and_hump, standalone
from knowngood.report.pictures.ruler import words_px

WIDTHS = (360, 640)
CLASSES = {
    "pic",
    "band",
    "limit",
    "limitno",
    "hump",
    "humpfill",
    "humpout",
    "hatch",
    "est",
    "base",
    "tick",
    "no",
    "raw",
    "rawno",
    "arrow",
    "arrowhead",
}
RECTANGLE = tuple(13.3 + 3.2 * k / 200 for k in range(1, 200))
COIL = Picture(90.7, 0.89, "Fan relay coil", "Within limits.", lower=80.0, upper=95.0, raw=101.1, unit="ohm")
ODD = {
    "coil": COIL,
    "near the limit": Picture(15.9, 0.25, "a", "b", lower=13.0, upper=16.0, raw=16.3, unit="ohm"),
    "open below": Picture(12.9, 0.4, "a", "b", upper=13.3, degrees_of_freedom=4.0, raw=13.1, unit="ohm"),
    "open above": Picture(0.35, 0.04, "a", "b", lower=0.3, raw=0.39, decimals=2, unit="mm"),
    "far outside": Picture(5000.0, 20.0, "a", "b", lower=80.0, upper=95.0, raw=5200.0, unit="ohm"),
    "read far off": Picture(90.0, 1.0, "a", "b", lower=80.0, upper=95.0, raw=-5200.0, unit="ohm"),
    "sure": Picture(90.0, 1e-5, "a", "b", lower=80.0, upper=95.0, raw=90.1, unit="ohm"),
    "exact": Picture(90.0, 0.0, "a", "b", lower=80.0, upper=95.0),
    "unsure": Picture(90.0, 400.0, "a", "b", lower=80.0, upper=95.0, degrees_of_freedom=2.0, raw=101.0),
    "limits close": Picture(8.05, 0.02, "a", "b", lower=8.0, upper=8.01, unit="mm"),
    "limits equal": Picture(8.05, 0.02, "a", "b", lower=8.0, upper=8.0, unit="mm"),
    "not normal": Picture(14.9, 0.92, "a", "b", lower=13.0, upper=16.0, quantiles=RECTANGLE, raw=17.5, unit="ohm"),
    "no band": Picture(90.0, 2.0, "a", "b"),
    "far driven": Picture(148300.0, 900.0, "a", "b", upper=150000.0, raw=148000.0, decimals=0, unit="km"),
    "all zero": Picture(0.0, 0.0, "a", "b", lower=0.0, upper=0.0, raw=0.0),
    "read exactly at the value": Picture(14.0, 0.3, "a", "b", lower=13.0, upper=16.0, raw=14.0, unit="V"),
}


def local(element: ET.Element) -> str:
    return element.tag.split("}")[-1]


def boxes(svg: str) -> list[tuple[str, float, float, float, float]]:
    """Each text with the room it takes: left, top, right, bottom."""
    found = []
    for text in (one for one in ET.fromstring(svg).iter() if local(one) == "text"):
        x, y, wide = float(text.get("x")), float(text.get("y")), words_px(text.text)
        left = x - (wide if text.get("text-anchor") == "end" else 0.5 * wide)
        found.append((text.text, left, y - 10.0, left + wide, y + 2.0))
    return found


def assert_words_are_free(svg: str, width: int) -> None:
    height = float(ET.fromstring(svg).get("viewBox").split()[3])
    placed = boxes(svg)
    for text, left, top, right, bottom in placed:
        assert left >= 0.0, text
        assert right <= width, text
        assert top >= 0.0, text
        assert bottom <= height, text
    for (one, l1, t1, r1, b1), (other, l2, t2, r2, b2) in combinations(placed, 2):
        assert r1 <= l2 or r2 <= l1 or b1 <= t2 or b2 <= t1, (one, other)


def hatched(svg: str) -> bool:
    return 'class="humpout"' in svg


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("view", ODD.values(), ids=ODD.keys())
def test_words_are_inside_and_apart(view, width):
    assert_words_are_free(band_and_hump(view, width=width), width)


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("view", ODD.values(), ids=ODD.keys())
def test_small_and_whole(view, width):
    svg = band_and_hump(view, width=width)
    assert len(svg.encode()) < 2650
    root = ET.fromstring(svg)
    assert root.get("role") == "img"
    assert [local(one) for one in root][:2] == ["title", "desc"]
    assert "nan" not in svg
    assert "inf" not in svg


def test_the_picture_of_a_coil_is_below_two_kibibytes_on_a_phone():
    assert len(band_and_hump(COIL, width=360).encode()) < 2048


def test_names_and_describes_itself():
    root = ET.fromstring(band_and_hump(COIL))
    assert [one.text for one in root][:2] == ["Fan relay coil", "Within limits."]


def test_words_of_the_person_are_words():
    view = Picture(1.0, 0.1, '<script>alert("1")</script> & \x00\x0b', "a < b", upper=2.0, unit="<&")
    root = ET.fromstring(band_and_hump(view))
    assert root[0].text == '<script>alert("1")</script> & '
    assert root[1].text == "a < b"


@pytest.mark.parametrize("view", ODD.values(), ids=ODD.keys())
def test_nothing_is_styled_inline_and_every_class_is_known(view):
    svg = band_and_hump(view)
    assert "style" not in svg
    assert set(" ".join(re.findall(r'class="([^"]+)"', svg)).split()) <= CLASSES
    assert set(re.findall(r'fill="([^"]+)"', svg)) <= set(re.findall(r'fill="(url\(#h[0-9a-f]+\))"', svg))
    assert "stroke=" not in svg


@pytest.mark.parametrize("width", WIDTHS)
def test_no_text_is_below_13_px_at_the_width_it_is_drawn_for(width):
    svg = band_and_hump(COIL, width=width)
    root = ET.fromstring(svg)
    assert root.get("viewBox").split()[2] == str(width)
    assert float(root.get("font-size")) >= 13.0
    assert len(re.findall("font-size|scale\\(", standalone(svg))) == 1


def test_a_pattern_is_this_pictures_own():
    view = ODD["near the limit"]
    ids = {re.search('id="([^"]+)"', band_and_hump(view, width=w, key=k))[1] for w in WIDTHS for k in ("", "b")}
    assert len(ids) == 4
    svg = band_and_hump(view)
    name = re.search('id="([^"]+)"', svg)[1]
    assert f'fill="url(#{name})"' in svg


def test_equal_pictures_are_equal():
    assert band_and_hump(COIL) == band_and_hump(COIL)


@pytest.mark.parametrize(
    ("view", "seen"),
    [
        (COIL, False),
        (ODD["near the limit"], True),
        (ODD["open below"], True),
        (ODD["open above"], True),
        (ODD["far outside"], True),
        (ODD["not normal"], True),
        (ODD["no band"], False),
        (Picture(9.1, 0.2, "a", "b", lower=8.0, upper=10.0), False),
        (Picture(9.1, 0.2, "a", "b", upper=8.0), True),
    ],
)
def test_what_lies_outside_is_hatched(view, seen):
    assert all(hatched(band_and_hump(view, width=width)) is seen for width in WIDTHS)


@given(value=st.floats(70.0, 105.0), u=st.floats(0.3, 10.0))
def test_hatched_when_the_chance_of_being_outside_can_be_seen(value, u):
    known = NormalDist(value, u)
    outside = known.cdf(80.0) + 1.0 - known.cdf(95.0)
    svg = band_and_hump(Picture(value, u, "a", "b", lower=80.0, upper=95.0))
    if outside > 0.01:
        assert hatched(svg)
    if outside < 0.0002:
        assert not hatched(svg)


def test_a_reading_off_the_ruler_says_so_and_points_there():
    svg = band_and_hump(ODD["read far off"])
    assert "as read −5200.0, off the ruler" in svg
    assert f'd="M18 {BASE - 13:.0f}v12l-11 -6z"' in svg


def test_the_arrow_goes_from_the_reading_to_the_value():
    svg = band_and_hump(COIL)
    arrow = re.search(r'class="arrow" d="M([\d.]+) 85H([\d.]+)"', svg)
    value_x = float(re.search(r'class="est" d="M([\d.]+)', svg)[1])
    assert float(arrow[1]) > float(arrow[2]) > value_x
    assert float(arrow[2]) - value_x == pytest.approx(7.0, abs=0.2)


def test_no_arrow_where_nothing_moved():
    assert 'class="arrow"' not in band_and_hump(ODD["read exactly at the value"])


@pytest.mark.parametrize(("view", "open_ends"), [(COIL, 0), (ODD["open below"], 1), (ODD["open above"], 1)])
def test_an_open_band_runs_to_the_edge(view, open_ends):
    band = re.search(r'class="band" d="([^"]+)"', band_and_hump(view))[1]
    assert ("M12 " in band) + ("L638 " in band) == open_ends


def test_standalone_carries_its_colours():
    svg = standalone(band_and_hump(COIL))
    root = ET.fromstring(svg)
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    style = next(one for one in root if local(one) == "style").text
    for name in CLASSES - {"pic", "humpout", "rawno"}:
        assert f".{name}" in style, name


sizes = st.floats(-1e6, 1e6, allow_nan=False)


@settings(max_examples=200, deadline=None)
@given(
    value=sizes,
    u=st.just(0.0) | st.floats(1e-7, 1e6),
    lower=st.none() | sizes,
    wide=st.none() | st.floats(0.0, 1e5),
    dof=st.floats(1.0, 1e3) | st.just(math.inf),
    raw=st.none() | sizes,
    unit=st.sampled_from(["", "ohm", "N·m", "lbf·in", "°C"]),
    decimals=st.integers(0, 6),
    width=st.sampled_from(WIDTHS),
)
def test_any_numbers_make_a_legible_picture(**drawn):
    lower, wide, width = drawn.pop("lower"), drawn.pop("wide"), drawn.pop("width")
    upper = (lower or 0.0) + wide if wide is not None else None
    view = Picture(
        drawn["value"], drawn["u"], "a", "b", lower, upper, drawn["dof"], None, drawn["raw"], drawn["unit"],
        drawn["decimals"],
    )  # fmt: skip
    svg = band_and_hump(view, width=width)
    assert "nan" not in svg
    assert "inf" not in svg
    ET.fromstring(svg)
    assert len(svg.encode()) < 3300
    assert_words_are_free(svg, width)


# No instrument tells quantities apart that differ by less than this many places.
shown = st.floats(-1e5, 1e5).map(lambda number: round(number, 9))


@settings(max_examples=50, deadline=None)
@given(kept=st.lists(shown, min_size=199, max_size=199).map(sorted), limit=st.floats(-1e5, 1e5))
def test_any_quantiles_make_a_picture(kept, limit):
    u = max(1e-9, 0.25 * (kept[-1] - kept[0]))
    svg = band_and_hump(Picture(kept[99], u, "a", "b", upper=limit, quantiles=tuple(kept)))
    ET.fromstring(svg)
    assert "nan" not in svg
