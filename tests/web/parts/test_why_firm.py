"""In words: how far a number may be off before the advice changes, and the one word that is worth asking."""

from types import SimpleNamespace

import pytest

from knowngood.acts.faults.firm import Firm, firm, stays
from knowngood.acts.faults.plan import plan_of
from knowngood.acts.faults.suspects import suspected_of
from knowngood.sheet.reader import read
from knowngood.web.parts.why_firm import NOT_KNOWN, STAYS, rows, word

SHEET = """
sheet: 1
id: no_start
title: No start
start: [parked]
end: [parked]
suspects: {relay: {name: relay, of_10: 5}}
repairs:
  swap: {name: new relay, fixes: {relay: 10 of 10}, money: 40}
quote: {money: 100}
steps:
  - {id: look, do: "Look", zone: top, time: "1 2 3 min"}
"""
NOTHING_SAID = SimpleNamespace(id="own", state=SimpleNamespace(newest=lambda *_: {}))


@pytest.fixture(scope="module")
def known():
    found = suspected_of(read(SHEET, file="no_start.yaml").sheet)
    return found, list(firm(found, plan_of(found)))[-1]


def test_a_chance_a_price_and_the_quote_in_words(known):
    # Worked by hand: a repair that mends 99 of 100 is worth 40 as long as 0.99 p > 40 / 100.
    told = dict(rows(*known)["rows"])
    assert told["Relay, how likely"].startswith("50 % now; the advice stays from 40 % on")
    assert told["Relay, how likely"].endswith("; otherwise handing it over.")
    assert told["New relay, money"].startswith("40 now; the advice stays up to 50")
    assert told["The shop's quote, money"].startswith("100 now; the advice stays from 81 on")


def test_what_changes_nothing_is_named_together(known):
    assert rows(*known)["never"] == ["An hour of your own (money)"]


def test_the_stretches_are_what_the_words_round(known):
    _, firmly = known
    relay = next(one for one in firmly.ranges if one.number.key == "relay")
    assert stays(relay).low == pytest.approx(0.40 / 0.99, abs=1e-9)


def test_before_anything_was_looked_at_nothing_is_said(known):
    assert rows(known[0], Firm()) is None


@pytest.mark.parametrize(
    ("firmly", "told"),
    [
        (Firm(), ""),
        (Firm(settled=True), NOT_KNOWN),
        (Firm(words=()), ""),
    ],
)
def test_what_is_not_known_of_the_words_is_said_or_not_yet(known, firmly, told):
    assert word(NOTHING_SAID, known[0], firmly, None)["told"] == told


def test_a_doubt_that_changes_nothing_is_said_and_not_asked_for(known):
    # The relay mends "10 of 10", which may be 90 of 100: worth 40 in any case.
    said = word(NOTHING_SAID, *known, None)
    assert (said["ask"], said["told"]) == (None, STAYS)
