"""The serving computer rings when a moment comes, and only then."""

import threading
from datetime import UTC, datetime, timedelta

import pytest

from knowngood.web.bell import Bell, Moment


class Said:
    """What a bell said, and a way to wait for it."""

    def __init__(self):
        self.words, self._came = [], threading.Event()

    def __call__(self, words):
        self.words.append(words)
        self._came.set()

    def wait(self):
        assert self._came.wait(10.0)


def soon(seconds, says):
    return Moment(datetime.now(UTC) + timedelta(seconds=seconds), says)


@pytest.fixture
def said():
    return Said()


@pytest.fixture
def bell(said):
    made = Bell(said, lambda: datetime.now(UTC))
    yield made
    made.set("job", [])


def test_rings_and_says_why(bell, said):
    bell.set("job", [soon(0.05, "Be under it: the window opens.")])
    said.wait()
    assert said.words == ["\aBe under it: the window opens."]


def test_a_newer_answer_takes_the_place_of_the_older(bell, said):
    bell.set("job", [soon(0.3, "old")])
    bell.set("job", [soon(0.05, "new")])
    said.wait()
    threading.Event().wait(0.5)
    assert said.words == ["\anew"]


def test_what_is_past_does_not_ring(bell, said):
    bell.set("job", [soon(-5.0, "past"), soon(0.05, "to come")])
    said.wait()
    assert said.words == ["\ato come"]
