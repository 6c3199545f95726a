"""The code that pairs a phone, without a server and without waiting."""

import math
import re
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest

from knowngood.web.server.pairing import ALPHABET, GOOD_FOR, LENGTH, Lan, Pairing, Tried, new_token

LOOK_ALIKE = ("0O", "1IL", "2Z", "5S", "8B", "UV")
NOON = datetime(2026, 11, 21, 12, 0, tzinfo=UTC)


class Clock:
    def __init__(self):
        self.now = NOON

    def __call__(self):
        return self.now

    def wait(self, **how_long):
        self.now += timedelta(**how_long)


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def pairing(clock):
    tokens = iter(["AAAACCCCDDDDEEEE", "FFFFGGGGHHHHJJJJ", "KKKKMMMMNNNNPPPP"])
    return Pairing(clock, lambda: next(tokens))


def test_a_code_cannot_be_guessed_and_can_be_read():
    assert LENGTH * math.log2(len(ALPHABET)) > 60
    assert len(set(ALPHABET)) == len(ALPHABET)
    assert [pair for pair in LOOK_ALIKE if len(set(pair) & set(ALPHABET)) > 1] == []
    made = {new_token() for _ in range(200)}
    assert len(made) == 200
    assert all(re.fullmatch(f"[{ALPHABET}]{{{LENGTH}}}", one) for one in made)


def test_it_is_shown_in_groups_and_stays_until_it_is_used(pairing, clock):
    shown = pairing.code()
    assert (shown.text, shown.until, shown.used) == ("AAAA-CCCC-DDDD-EEEE", NOON + GOOD_FOR, False)
    clock.wait(minutes=9)
    assert pairing.code() == shown
    assert pairing.take(shown.text, "phone") is Tried.RIGHT
    assert pairing.code().text == "FFFF-GGGG-HHHH-JJJJ"


def test_it_may_be_typed_carelessly(pairing):
    pairing.code()
    assert pairing.take(" aaaa cccc–dddd eeee ", "phone") is Tried.RIGHT


def test_it_is_used_once(pairing):
    code = pairing.code().text
    assert [pairing.take(code, "phone") for _ in range(2)] == [Tried.RIGHT, Tried.USED]


def test_many_phones_at_once_are_one(pairing):
    code = pairing.code().text
    with ThreadPoolExecutor(8) as pool:
        tried = list(pool.map(lambda number: pairing.take(code, f"phone {number}"), range(16)))
    assert sorted(one.name for one in tried) == ["RIGHT", *["USED"] * 15]


def test_it_is_good_for_ten_minutes(pairing, clock):
    code = pairing.code().text
    clock.wait(minutes=10, microseconds=-1)
    assert pairing.code().text == code
    clock.wait(microseconds=1)
    assert pairing.take(code, "phone") is Tried.TOO_LATE
    assert pairing.code().text != code


def test_a_new_one_puts_the_old_one_away(pairing):
    old = pairing.code().text
    new = pairing.renew().text
    assert [pairing.take(one, "phone") for one in (old, new)] == [Tried.REPLACED, Tried.RIGHT]


@pytest.mark.parametrize("typed", ["", "AAAA", "AAAA-CCCC-DDDD-EEEF", "é" * 16, "AAAA-CCCC-DDDD-EEEE-AAAA"])
def test_anything_else_is_wrong(pairing, typed):
    pairing.code()
    assert pairing.take(typed, "phone") is Tried.WRONG


def test_before_a_code_was_shown_nothing_pairs(pairing):
    assert pairing.take("AAAA-CCCC-DDDD-EEEE", "phone") is Tried.WRONG


def test_after_five_wrong_ones_an_address_waits_a_minute(pairing, clock):
    code = pairing.code().text
    for _ in range(5):
        assert pairing.take("wrong", "phone") is Tried.WRONG
        clock.wait(seconds=2)
    assert pairing.wait_s("phone") == 50
    assert pairing.take(code, "phone") is Tried.WAIT
    clock.wait(seconds=49)
    assert pairing.take(code, "phone") is Tried.WAIT
    clock.wait(seconds=1)
    assert pairing.take(code, "phone") is Tried.RIGHT


def test_another_address_does_not_wait_for_it(pairing):
    code = pairing.code().text
    for _ in range(5):
        pairing.take("wrong", "neighbour")
    assert pairing.wait_s("phone") == 0
    assert pairing.take(code, "phone") is Tried.RIGHT


def test_after_twenty_from_all_everybody_waits(pairing, clock):
    code = pairing.code().text
    for number in range(20):
        assert pairing.take("wrong", f"address {number}") is Tried.WRONG
    assert pairing.take(code, "phone") is Tried.WAIT
    assert pairing.wait_s("phone") == 600
    clock.wait(minutes=10)
    assert pairing.take(pairing.code().text, "phone") is Tried.RIGHT


def test_being_made_to_wait_is_not_counted_again(pairing, clock):
    pairing.code()
    for _ in range(100):
        pairing.take("wrong", "phone")
    assert pairing.wait_s("phone") == 60
    assert pairing.wait_s("another") == 0


def test_the_link_hides_the_code_behind_the_hash(pairing):
    lan = Lan("192.168.1.20", 8321, pairing)
    assert lan.address == "http://192.168.1.20:8321/pair"
    assert lan.link(pairing.code()) == "http://192.168.1.20:8321/pair#AAAA-CCCC-DDDD-EEEE"
