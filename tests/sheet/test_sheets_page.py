"""What docs/sheets.md shows can be written so."""

import pathlib
import re
import textwrap

import pytest

from knowngood.checks import check
from knowngood.sheet.circuits import Circuit, Level
from knowngood.sheet.facts import WORDS, Fact
from knowngood.sheet.model import Sheet
from knowngood.sheet.reader import read
from knowngood.sheet.suspects import CheckAfter, Cover, Quote, Repair, Shown, Suspect, Test

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


TROUBLE = """
sheet: 1
id: shown
title: Shown
parts: {relay: {name: relay}}
limits: {coil: {name: Coil, band: 80..95 ohm}}
steps:
  - {id: measure_coil, do: Measure, zone: top, time: "1 2 3 min", read: [coil], makes: [off(undertray)]}
  - {id: feed_fan, do: Feed, zone: top, time: "1 2 3 min"}
  - {id: watch_fan, do: Watch, zone: top, time: "1 2 3 min"}
  - id: look_pins
    do: Look
    zone: top
    time: "1 2 3 min"
    decide: {id: pins_look, question: Green?, choices: {"yes": Green, "no": Clean}}
  - {id: fit_relay, do: Fit, zone: top, time: "1 2 3 min", fit: [relay], ends: [off(undertray)]}
  - {id: drive, do: Drive, zone: inside, time: "1 2 3 min"}
"""


def shown_trouble():
    return re.search(r"\n    suspects:\n(?:(?:    .*)?\n)+", PAGE)[0]


def test_the_suspects_that_are_shown_are_read_and_hold_together():
    reading = read(TROUBLE + textwrap.dedent(shown_trouble()), file="shown.yaml")
    assert [one.message for one in check(reading, quoted=False)] == []
    assert set(reading.sheet.tests) == {"coil_out", "fan_fed", "fan_runs", "pins"}


def test_every_key_of_suspects_tests_repairs_and_covers_is_told():
    forms = (Suspect, Shown, Test, Repair, Cover, CheckAfter, Quote)
    keys = {key for form in forms for key in form.model_fields} | {"none_of_these", "check_after"}
    assert keys - {"none_of_these", "check_after"} < set(re.findall(r"[a-z_0-9]+", PAGE))
    assert [key for key in sorted(keys - {"name"}) if f"{key}:" not in shown_trouble() and f"`{key}`" not in PAGE] == []
    assert {"suspects", "none_of_these", "tests", "repairs", "covers", "check_after", "quote"} < set(Sheet.model_fields)


@pytest.mark.parametrize("listed", re.findall(r"\| `\[(.*?)\]` \|", PAGE))
def test_what_a_level_depends_on_is_in_words_that_the_checks_know(listed):
    for one in listed.split(", "):
        assert Fact.read(one).word in WORDS
