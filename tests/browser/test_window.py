"""A warm-up on the phone: the moment to be there, counted down by the device itself, with and without a connection."""

import re
import time
from datetime import UTC, datetime, timedelta

import pytest
from tests.garages import giving

pytestmark = pytest.mark.browser

SHEET = """
sheet: 1
id: warm
title: "Level at the plug"
start: [parked, drivable, level]
circuits:
  gearbox: {name: "Gearbox", fluid: gearbox oil, holds: "8.5 L", refill: gearbox.fill,
    level: {by: dipstick, window: "35..45 °C", depends: [level]}}
steps:
  - {id: follow, do: "Follow its warmth", zone: inside, time: "5 12 30 min", window: gearbox}
  - {id: set, do: "Set the level", zone: around, time: "1 2 5 min", level: gearbox, after: [follow]}
"""
NOW = "/job/warm/now"
LEFT = re.compile(r"\d+:\d\d")
GOES_ON = "(was) => document.querySelector('.by output').textContent !== was"
COUNT_TONES = """() => {
  window.tones = 0;
  const make = AudioContext.prototype.createOscillator;
  AudioContext.prototype.createOscillator = function () { window.tones += 1; return make.call(this); };
}"""
DUE_SOON = """() => {
  for (const key of Object.keys(localStorage).filter((one) => one.startsWith("moments "))) {
    const clocks = Object.entries(JSON.parse(localStorage.getItem(key)));
    const sooner = clocks.map(([name, one]) => [name, { ...one, ends: Date.now() + 500 }]);
    localStorage.setItem(key, JSON.stringify(Object.fromEntries(sooner)));
  }
}"""


@pytest.fixture
def warming_up(own_garage):
    """A job at the step that follows the warmth, with three temperatures of the last minutes."""
    give = giving(own_garage, "job/warm")
    give("job_opened", vehicle="oskelt", sheet=SHEET, sheet_file="warm.yaml")
    give("started")
    now = datetime.now(UTC)
    for ago_s, celsius in ((240, "22"), (120, "25"), (0, "28")):
        happened = (now - timedelta(seconds=ago_s)).isoformat()
        give("temperature_read", device="phone", happened=happened, circuit="gearbox", celsius=celsius)
    return own_garage


@pytest.fixture
def phone(warming_up, own_server, page_for):
    page = page_for(390, 844)
    page.goto(own_server + NOW)
    page.locator(".by output", has_text=LEFT).wait_for()
    return page


def words_left(page):
    return page.locator(".by output").inner_text()


def seconds_left(page):
    minutes, seconds = words_left(page).split(":")
    return 60 * int(minutes) + int(seconds)


def test_the_moment_is_large_and_counted_down(phone):
    first = seconds_left(phone)
    phone.wait_for_function(GOES_ON, arg=words_left(phone))
    assert 0 < seconds_left(phone) < first
    assert phone.locator(".by time").evaluate("one => parseFloat(getComputedStyle(one).fontSize)") >= 40
    assert re.search(r"by .* · \d+:\d\d left", phone.locator("#clock").inner_text())


def test_it_goes_on_without_a_connection_and_keeps_what_is_read(phone, warming_up):
    phone.context.set_offline(True)
    form = phone.locator("form[data-kind=temperature_read]")
    form.locator("input[name=celsius]").fill("30")
    form.get_by_role("button", name="Keep it").click()
    phone.locator("#waiting", has_text="1 waiting to send").wait_for()
    phone.locator("#cut").wait_for()
    phone.wait_for_function(GOES_ON, arg=words_left(phone))
    phone.context.set_offline(False)
    phone.evaluate("dispatchEvent(new Event('online')); document.dispatchEvent(new Event('visibilitychange'))")
    phone.locator(".window .value", has_text="30 °C").wait_for()
    kept = [one.data["celsius"] for one in warming_up.job("warm").state.temperatures]
    assert kept == [22.0, 25.0, 28.0, 30.0]


def test_its_clock_ends_with_the_level_without_a_connection_too(phone):
    phone.context.set_offline(True)
    chip = phone.locator("#clock")
    for step, title in ((1, "Set the level"), (2, "")):
        assert chip.is_visible()
        phone.locator(".act button", has_text="Done").click()
        phone.locator("#waiting", has_text=f"{step} waiting to send").wait_for()
        if title:
            phone.locator("h1", has_text=title).wait_for()
    chip.wait_for(state="hidden")


def test_a_phone_whose_clock_is_wrong_counts_down_all_the_same(warming_up, own_server, page_for):
    page = page_for(390, 844)
    began = time.monotonic()
    page.clock.install(time=datetime(2031, 5, 1, 3, 0))
    page.goto(own_server + NOW)
    page.locator(".by output", has_text=LEFT).wait_for()
    right = page_for(390, 844)
    right.goto(own_server + NOW)
    right.locator(".by output", has_text=LEFT).wait_for()
    apart_s = abs(seconds_left(page) - seconds_left(right))
    assert apart_s <= 20 + time.monotonic() - began, "one page is looked at after the other"


def test_it_rings_when_the_moment_comes(phone):
    phone.get_by_role("button", name="Turn the sound on").click()
    phone.get_by_role("button", name="Sound is on").wait_for()
    phone.evaluate(COUNT_TONES)
    phone.evaluate(DUE_SOON)
    phone.wait_for_function("() => window.tones > 0")
    assert phone.locator("#said").text_content().endswith(" now")


def test_without_javascript_the_moments_stand_as_clock_times(warming_up, own_server, page_for):
    page = page_for(390, 844, java_script_enabled=False)
    page.goto(own_server + NOW)
    assert re.fullmatch(r"\d\d:\d\d", page.locator(".by time").inner_text())
    assert page.get_by_text("Keep the screen on: a phone that sleeps does not ring.").is_visible()
