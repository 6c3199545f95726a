"""Wear over dates, drawn: the limit, every reading, and the line to the limit."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import date

import pytest

from knowngood.acts.readings.history import History, Read
from knowngood.engine.judgement import Estimate, Row
from knowngood.engine.measurement.sizes.wear import Dated, wear_line
from knowngood.report.pictures.wear import wear_picture

READ = ((date(2025, 11, 20), 8.0), (date(2026, 5, 20), 6.6), (date(2026, 11, 20), 5.1))
SVG = "{http://www.w3.org/2000/svg}"


def told(*, unit="mm", limit=3.0, readings=READ):
    dated = [Dated(float(day.toordinal()), Estimate(value, "mm", (Row(f"r{day}", 0.1),))) for day, value in readings]
    wear = wear_line(dated, limit=limit)
    reads = tuple(Read(day, value, value - 0.2, value + 0.2) for day, value in readings)
    return History("Pad <left>", unit, reads, limit, wear, "It reaches 3 mm between May and December 2027.")


def drawn(picture):
    return ET.fromstring(picture.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


@pytest.mark.parametrize("width", [360, 640])
def test_each_reading_stands_at_its_date_and_height(width):
    picture = drawn(wear_picture(told(), width=width))
    dots = [(float(dot.get("cx")), float(dot.get("cy"))) for dot in picture.iter(f"{SVG}circle")]
    (a, high), (b, middle), (c, low) = dots
    assert (b - a) / (c - a) == pytest.approx(181 / 365, abs=0.01)
    assert (middle - high) / (low - high) == pytest.approx(1.4 / 2.9, abs=0.01)
    assert picture.find(f"{SVG}title").text == "Pad <left> over time"


def test_the_allowed_strip_lies_above_a_lower_limit_and_the_line_runs_into_it():
    picture = wear_picture(told(), width=360)
    limit = float(re.search(r'class="limit" d="M44 ([\d.]+)H', picture)[1])
    strip = float(re.search(r'class="band" d="M44 [\d.]+V([\d.]+)H', picture)[1])
    ends = re.search(r'class="est"[^>]* d="M(.+?)"', picture)[1].split("L")
    assert strip < limit
    assert float(ends[-1].split()[1]) >= limit - 1.0
    assert ">3</text>" in picture


def test_all_is_in_the_unit_that_was_written():
    picture = wear_picture(told(unit="in"), width=640)
    assert ">0.315</text>" in picture
    assert ">0.11811</text>" in picture


def test_readings_that_agree_are_drawn_without_a_date():
    same = ((date(2026, 5, 20), 6.6), (date(2026, 11, 20), 6.6))
    picture = wear_picture(told(readings=same), width=360)
    assert picture.count("<circle") == 2
    assert "May 2026" in picture


def texts(picture):
    """Words with their places."""
    found = drawn(picture).iter(f"{SVG}text")
    return {one.text: (float(one.get("x")), float(one.get("y"))) for one in found}


@pytest.mark.parametrize("width", [360, 640])
def test_the_limit_and_the_first_and_last_reading_have_their_numbers(width):
    picture = wear_picture(told(), width=width)
    words = texts(picture)
    assert {"3", "8.0", "5.1"} <= set(words)
    dots = [(float(dot.get("cx")), float(dot.get("cy"))) for dot in drawn(picture).iter(f"{SVG}circle")]
    for number, (x, y) in (("8.0", dots[0]), ("5.1", dots[-1])):
        assert words[number] == (pytest.approx(x, abs=30), pytest.approx(y, abs=40))


def test_by_km_it_is_drawn_over_what_the_odometer_shows():
    km = (130_000.0, 134_000.0, 148_000.0)
    by_day = told()
    reads = tuple(Read(one.day, one.value, one.low, one.high, at) for one, at in zip(by_day.readings, km, strict=True))
    dated = [Dated(at, Estimate(one.value, "mm", (Row(f"{at}", 0.1),))) for at, one in zip(km, reads, strict=True)]
    picture = wear_picture(replace(by_day, readings=reads, wear=wear_line(dated, limit=3.0, per="km")), width=640)
    xs = [float(dot.get("cx")) for dot in drawn(picture).iter(f"{SVG}circle")]
    assert (xs[1] - xs[0]) / (xs[2] - xs[0]) == pytest.approx(4 / 18, abs=0.01)
    assert {"130 000 km", "148 000 km"} <= set(texts(picture))
    assert "2026" not in picture


def test_a_renewed_part_is_named_and_its_line_starts_anew():
    values = ((date(2025, 11, 20), 4.0), (date(2026, 5, 20), 9.0), (date(2026, 11, 20), 7.4))
    newest = told(readings=values[1:])
    picture = wear_picture(replace(told(readings=values), wear=newest.wear, renewed=values[1][0]), width=640)
    assert {"4.0", "9.0 renewed", "7.4"} <= set(texts(picture))
    begins = float(re.search(r'class="est"[^>]* d="M([\d.]+) ', picture)[1])
    xs = [float(dot.get("cx")) for dot in drawn(picture).iter(f"{SVG}circle")]
    assert begins == pytest.approx(xs[1], abs=0.2)
