"""The serving computer rings when a moment comes, and only then."""

import threading
from datetime import timedelta
from typing import ClassVar

import pytest
from tests.garages import NOW
from tests.patience import LONGEST_S

from knowngood.web.server.bell import Bell, Moment


class Timer:
    """In place of a timer: it comes when the test says so."""

    started: ClassVar[list["Timer"]] = []

    def __init__(self, seconds, does, arguments):
        self.seconds, self.does, self.arguments, self.cancelled = seconds, does, arguments, False

    def start(self):
        self.started.append(self)

    def cancel(self):
        self.cancelled = True

    def come(self):
        if not self.cancelled:
            self.does(*self.arguments)


@pytest.fixture
def timers(monkeypatch):
    started = []
    monkeypatch.setattr(Timer, "started", started)
    monkeypatch.setattr(threading, "Timer", Timer)
    return started


def at(seconds, says):
    return Moment(NOW + timedelta(seconds=seconds), says)


@pytest.fixture
def said():
    return []


@pytest.fixture
def bell(said):
    return Bell(said.append, lambda: NOW)


def test_rings_and_says_why():
    came = threading.Event()
    said = []
    bell = Bell(lambda words: (said.append(words), came.set()), lambda: NOW)
    bell.set("job", [at(0.05, "Be ready: the window opens.")])
    assert came.wait(LONGEST_S)
    assert said == ["\aBe ready: the window opens."]


def test_a_newer_answer_takes_the_place_of_the_older(bell, said, timers):
    bell.set("job", [at(300, "old")])
    bell.set("job", [at(50, "new")])
    assert [timer.seconds for timer in timers] == [300, 50]
    for timer in timers:
        timer.come()
    assert said == ["\anew"]


def test_what_is_past_does_not_ring(bell, said, timers):
    bell.set("job", [at(-5, "past"), at(50, "to come")])
    for timer in timers:
        timer.come()
    assert said == ["\ato come"]
