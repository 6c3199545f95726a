"""Why in a browser: a better plan comes without a reload, what was opened stays open, and a finding moves the bars."""

import re
from threading import Event

import pytest
from playwright.sync_api import expect
from tests.browser.test_pages import SIZES, problems_of
from tests.garages import giving, work_to_the_thermostat
from tests.patience import LONGEST_S

from knowngood.acts.faults.firm import Firm
from knowngood.acts.faults.plan import plans
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.web.server import worker

pytestmark = pytest.mark.browser

WHY = "/job/runs-hot/why"


@pytest.fixture
def better(monkeypatch):
    """Better plans come once it is set."""
    allowed = Event()

    def pieces(found):
        assert allowed.wait(LONGEST_S)
        yield from plans(found)
        yield Firm(settled=True)

    monkeypatch.setattr(worker, "pieces", pieces)
    yield allowed
    allowed.set()


@pytest.fixture
def found(own_garage):
    """A finding that no other test has, so that nothing was planned for it before; the key of its test."""
    tests = own_garage.job("runs-hot").sheet.tests
    key = next(one for one, test in tests.items() if not test.limit and not test.outcomes)
    fields = {"test": key, "outcome": "yes", "sure": "not sure"}
    take(own_garage, Entry("f" * 32, "job/runs-hot", "finding_noted", fields))
    return key


def test_a_better_plan_comes_by_itself_and_what_was_opened_stays_open(own_server, page_for, found, better):
    page = page_for(*SIZES["laptop"])
    page.goto(own_server + WHY)
    expect(page.locator("#next")).to_contain_text("Best next:")
    assert page.locator("#next[data-looking]").count() == 1
    page.get_by_text("The whole plan").click()
    page.evaluate("window.same = true")
    better.set()
    expect(page.locator("#next[data-looking]")).to_have_count(0)
    expect(page.locator("[data-proved]")).not_to_contain_text("Still looking")
    expect(page.locator("#plan details").first).to_have_attribute("open", "")
    assert page.evaluate("window.same") is True


def test_a_reload_shows_it_without_a_script(own_server, page_for, found, better):
    page = page_for(*SIZES["phone"], java_script_enabled=False)
    page.goto(own_server + WHY)
    assert page.locator("#next[data-looking]").count() == 1
    better.set()
    while page.locator("#next[data-looking]").count():
        page.wait_for_timeout(100)
        page.reload()


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_with_a_finding_and_all_parts_open_it_is_sound(own_server, page_for, found, size, dark):
    page = page_for(*SIZES[size], dark=dark)
    page.goto(own_server + WHY)
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    assert problems_of(page, phone=size == "phone") == []


def test_a_tap_on_a_suspect_says_what_moved_it(own_server, page_for, found):
    page = page_for(*SIZES["phone"])
    page.goto(own_server + WHY)
    first = page.locator(".suspects details").first
    first.locator("summary").click()
    expect(first.locator("li")).to_contain_text(re.compile(r"% → .*%, (.+ likel|hardly moved)"))


def test_what_is_being_typed_stays_when_a_better_plan_comes(own_server, page_for, found, better):
    page = page_for(*SIZES["phone"])
    page.goto(own_server + WHY)
    page.locator("#tests details.more > summary").click()
    card = page.locator("#tests details.more details.card").first
    card.locator("summary").click()
    card.locator("label.big").first.click()
    better.set()
    expect(page.locator("#next[data-looking]")).to_have_count(0)
    expect(card.locator("input[type=radio]").first).to_be_checked()


def test_the_step_that_decides_the_proof_and_the_page_to_hand_over_are_sound(own_server, own_garage, page_for):
    give = giving(own_garage, "job/runs-hot")
    work_to_the_thermostat(own_garage, give)
    give("returns_stated", times="3", over="450", per="km")
    give("watch_opened", what="Fan's connector", until_km="500", on="code")
    page, found = page_for(*SIZES["phone"]), {}
    for path in ("now", "why", "book", "handover"):
        page.goto(f"{own_server}/job/runs-hot/{path}")
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        if problems := problems_of(page, phone=True):
            found[path] = problems
    page.goto(own_server)
    assert {**found, "bench": problems_of(page, phone=True)} == {"bench": []}
