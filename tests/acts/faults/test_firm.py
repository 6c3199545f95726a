"""How firmly the next action stands, and the one word that a person may say better."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from tests.garages import giving
from tests.refusing import refused

from knowngood.acts.faults.firm import Firm, firm, stays
from knowngood.acts.faults.plan import plan_of
from knowngood.acts.faults.said import mark, sayable
from knowngood.acts.faults.suspects import suspected, suspected_of
from knowngood.engine.troubleshooting.policy.exact import Policy
from knowngood.engine.troubleshooting.ranges.numbers import Kind
from knowngood.sheet.reader import read

SHEET = """
sheet: 1
id: no_start
title: No start
start: [parked]
end: [parked]
suspects: {relay: Relay, pump: Pump}
tests:
  click: {name: Clicks, shows: {relay: WORD}, without: 1 of 10, minutes: "10 min"}
repairs:
  swap: {name: New relay, fixes: {relay: 10 of 10}, money: 40, minutes: "10 min"}
  fit: {name: New pump, fixes: {pump: 10 of 10}, money: 90, minutes: "60 min"}
quote: {money: 300}
steps:
  - {id: look, do: "Look", zone: top, time: "1 2 3 min"}
"""


@pytest.fixture
def job(garage):
    """A job with a word that leaves much open; `add` hands an entry of it over."""
    add = giving(garage, "job/own")
    add("vehicle_named", "vehicle/own", name="Own")
    add("job_opened", vehicle="own", sheet=SHEET.replace("WORD", "sometimes"), sheet_file="no_start.yaml", quote="300")
    return SimpleNamespace(add=add, found=lambda: suspected(garage, garage.job("own")))


def settled(found):
    return list(firm(found, plan_of(found)))[-1]


def of_sheet(word, without="1 of 10"):
    text = SHEET.replace("WORD", word).replace("1 of 10,", f"{without},")
    return suspected_of(read(text, file="no_start.yaml").sheet)


def chance_of_relay(found):
    return found.problem.test_of["click"].given["relay"][0].value


def stretches(found, key):
    one = next(one for one in settled(found).ranges if one.number.key == key)
    return one, stays(one)


@pytest.mark.parametrize("key", ["relay", "quote"])
def test_within_its_stretch_the_action_stays_and_beyond_it_another_is_best(key):
    found = of_sheet("5 of 10")
    asked, within = stretches(found, key)
    here, step = plan_of(found).next.keys, 0.01 * (asked.number.high - asked.number.low)
    ends = [one for one in (within.low, within.high) if asked.number.low < one < asked.number.high]
    assert ends  # there is something to change it at all
    for end in ends:
        inward = step if end == within.low else -step
        assert Policy(asked.number.changed(end + inward)).next().keys == here
        assert Policy(asked.number.changed(end - inward)).next().keys != here


def test_a_word_whose_ends_change_what_is_next_is_asked_for(job):
    found = job.found()
    asked = {mark(one.number): one for one in settled(found).asked}
    ends = {}
    for key in ("click/relay",):
        number = next(one for one in sayable(found.problem) if mark(one) == key)
        ends[key] = {Policy(number.changed(end)).next() for end in (number.low, number.value, number.high)}
    assert {key for key, actions in ends.items() if len(actions) > 1} == set(asked)


def test_a_word_without_a_range_is_never_asked_for():
    assert settled(of_sheet("10 of 10", without="0 of 10")).asked == ()


def test_every_price_is_looked_at_in_money_and_in_time():
    kinds = {(one.number.key, one.number.kind) for one in settled(of_sheet("5 of 10")).ranges}
    assert kinds > {("click", Kind.MINUTES), ("swap", Kind.MONEY), ("swap", Kind.MINUTES), ("fit", Kind.MONEY),
                    ("quote", Kind.MONEY), ("hour", Kind.RATE), ("relay", Kind.CHANCE)}  # fmt: skip


def test_a_word_said_better_counts_and_is_not_asked_for_again(job):
    assert chance_of_relay(job.found()) == 0.4
    job.add("word_said", word="click/relay", of_10="9")
    assert chance_of_relay(job.found()) == 0.9
    assert "click/relay" not in {mark(one.number) for one in settled(job.found()).asked}
    job.add("word_said", word="click/relay", of_10="10")
    assert chance_of_relay(job.found()) == 0.99  # nobody at home is surer than that


def test_a_word_taken_back_leaves_the_sheets_own(job):
    (event,) = job.add("word_said", word="click/relay", of_10="9")
    job.add("withdrawn", event=event.id)
    assert chance_of_relay(job.found()) == 0.4


@pytest.mark.parametrize(
    ("word", "of_10", "field", "words"),
    [
        ("click/relay", "11", "of_10", '"11" is no number of 10 vehicles. Write a number from 0 to 10, such as 8.'),
        ("click/relay", "nan", "of_10", '"nan" is no number of 10 vehicles. Write a number from 0 to 10, such as 8.'),
        ("click/relay", "few", "of_10", '"few" is no number of 10 vehicles. Write a number from 0 to 10, such as 8.'),
        ("horn/relay", "8", "", "That word is not in this job's sheet any more. Reload the page."),
    ],
)
def test_what_is_no_word_or_no_number_is_refused(job, word, of_10, field, words):
    assert refused(job.add, "word_said", word=word, of_10=of_10) == {field: words}


def test_of_a_plan_that_is_not_exact_nothing_is_told():
    found = of_sheet("sometimes")
    guess = replace(plan_of(found), proved_gap=0.3)
    assert list(firm(found, guess)) == [Firm(words=None, ranges=(), settled=True)]
