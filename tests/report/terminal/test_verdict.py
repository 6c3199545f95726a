"""A verdict in the terminal: what would settle it, with what it costs."""

import re

from tests.acts.toolboxes import boxed

from knowngood.acts.readings.judging import judge_typed
from knowngood.report.terminal import verdict

BOX = boxed(
    ("instrument_added", {"preset": "vernier", "name": "old caliper"}),
    ("price_stated", {"what": "instrument:micrometer", "amount": "24.50"}),
)
DISC = {
    "quantity": "disc_thickness", "limits": "min 22 mm", "read": "22.05 22.05 22.10 22.05 mm", "meter": "old caliper",
    "zero_error": "0",
}  # fmt: skip
PRESSURE = {
    "quantity": "oil_pressure",
    "limits": "min 230 kPa",
    "read": f"{'230.5 ' * 6}kPa",
    "meter": "gauge",
}


def said(typed, toolbox):
    return verdict.verdict(judge_typed(typed, reading_id="7", toolbox=toolbox))


def test_what_has_to_be_got_says_its_price_or_that_nobody_stated_it():
    words = said(DISC, BOX)
    assert re.search(r"\d\d%   30 min  Borrow or buy a micrometer \(then ± [\d.]+ mm, price 24\.50\)", words)
    assert re.search(r"\d\d%   30 min  Borrow or buy a caliper \(then ± [\d.]+ mm, price not stated\)", words)


def test_what_costs_nothing_says_nothing_of_money():
    words = said({"limits": "min 12.4 V", "read": "12.45 V"}, boxed())
    assert "Look up your meter's line in its data sheet (then ± 0.07 V)\n" in words


def test_what_has_no_chance_worth_the_work_is_left_out():
    fine = boxed(("instrument_added", {"preset": "fine_gauge", "name": "gauge", "range": "0..250 kPa"}))
    words = said(PRESSURE, fine)
    assert "What would settle it" not in words
    assert "no finer instrument alone would: scatter of the readings leaves too much open." in words
