"""What docs/sheets.md shows can be written so."""

import pathlib
import re
import textwrap

import pytest

from knowngood.checks import check
from knowngood.sheet.circuits import Circuit, Level
from knowngood.sheet.facts import WORDS, Fact
from knowngood.sheet.reader import read

PAGE = (pathlib.Path(__file__).parents[2] / "docs" / "sheets.md").read_text(encoding="utf-8")
SHEET = """
sheet: 1
id: shown
title: Shown
asks:
  fluid_total: {question: How much?, answer: volume, like: 8 L}
  window: {question: At which temperature?, answer: temperatures, like: 35..45 °C}
  pan_width: {question: How wide?, answer: length, like: 250 mm}
parts: {strainer: {name: strainer}}
limits:
  tilt_along: {name: Tilt along, band: max 0.5 deg, quantity: tilt}
  tilt_across: {name: Tilt across, band: max 0.5 deg, quantity: tilt}
steps:
  - {id: look, do: Look, zone: top, time: "1 2 3 min"}
"""


def test_the_circuit_that_is_shown_is_read():
    shown = re.search(r"\n    circuits:\n(?:(?:    .*)?\n)+", PAGE)[0]
    reading = read(SHEET + textwrap.dedent(shown), file="shown.yaml")
    assert [one.message for one in check(reading)] == []
    assert set(reading.sheet.circuits["gearbox"].level.model_fields_set) == set(Level.model_fields)


def test_every_key_of_a_circuit_and_its_level_is_told():
    assert [key for key in (*Circuit.model_fields, *Level.model_fields) if f"{key}:" not in PAGE] == ["freezes"]
    assert "| `freezes` |" in PAGE


@pytest.mark.parametrize("listed", re.findall(r"\| `\[(.*?)\]` \|", PAGE))
def test_what_a_level_depends_on_is_in_words_that_the_checks_know(listed):
    for one in listed.split(", "):
        assert Fact.read(one).word in WORDS
