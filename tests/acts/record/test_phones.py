"""Phones that may see a garage: paired, dropped, and out for good."""

import pytest
from tests.refusing import refused

from knowngood.acts.record.entries import Entry
from knowngood.acts.record.phones import pair
from knowngood.acts.record.take import take
from knowngood.refusal import Refused

FIRST, SECOND = "a" * 32, "b" * 32
NOT_PAIRED = "That phone is not paired any more, so there is nothing to drop. Reload the page."


@pytest.fixture(autouse=True)
def paired(garage):
    pair(garage, FIRST, name="Phone", key_sha256="1" * 64)
    pair(garage, SECOND, name="Tablet", key_sha256="2" * 64)


def drop(garage, phone, number):
    return take(garage, Entry(f"{number:032x}", "phones", "withdrawn", {"event": phone}))


def names(garage):
    return [event.data["name"] for event in garage.phones().paired]


def test_phones_are_paired_until_they_are_dropped(garage):
    assert names(garage) == ["Phone", "Tablet"]
    drop(garage, FIRST, 1)
    assert names(garage) == ["Tablet"]


def test_dropping_twice_over_a_lost_connection_is_dropping_once(garage):
    assert drop(garage, FIRST, 1) == drop(garage, FIRST, 1)
    assert len(garage.store.events("phones")) == 3


@pytest.mark.parametrize("target", [FIRST, f"{1:032x}", "c" * 32])
def test_what_is_not_paired_cannot_be_dropped_and_a_drop_is_not_taken_back(garage, target):
    drop(garage, FIRST, 1)
    assert refused(drop, garage, target, 2) == {"": NOT_PAIRED}
    assert names(garage) == ["Tablet"]


def test_an_entry_of_the_toolbox_cannot_reach_a_phone(garage):
    with pytest.raises(Refused):
        take(garage, Entry("d" * 32, "toolbox", "withdrawn", {"event": FIRST}))
    assert names(garage) == ["Phone", "Tablet"]
