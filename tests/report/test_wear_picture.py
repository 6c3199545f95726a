"""Wear over dates, drawn: the limit, every reading, and the line to the limit."""

import re
import xml.etree.ElementTree as ET
from datetime import date

import pytest

from knowngood.acts.history import History, Read
from knowngood.engine.judgement import Estimate, Row
from knowngood.engine.measurement.wear import Dated, wear_line
from knowngood.report.wear_picture import wear_picture

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
    assert ">0.11811</text>" in picture


def test_readings_that_agree_are_drawn_without_a_date():
    same = ((date(2026, 5, 20), 6.6), (date(2026, 11, 20), 6.6))
    picture = wear_picture(told(readings=same), width=360)
    assert picture.count("<circle") == 2
    assert "May 2026" in picture
