"""Vehicles and jobs entered one after the other on one open Bench, and pages shown again: each entry is its own."""

import pytest
from tests.browser.test_offline import (
    NOW,
    all_sent,
    phone_with_copies,  # noqa: F401 - a fixture
    waiting,
)
from tests.browser.test_offline import phone as cut_off
from tests.browser.test_send import NO_STORAGE, READINGS, SITE, ZERO, Site

pytestmark = pytest.mark.browser

phone = cut_off
VEHICLES = ["Alpha van", "Beta bus", "Gamma car"]
JOBS = ["It squeals", "It pulls to the left"]


@pytest.fixture
def bench(page_for, own_server):
    page = page_for(1280, 900, patient=False)
    page.goto(own_server)
    return page


def enter(page, kind, **fields):
    """Fill one form of the Bench and press its button, as soon as it is free for the next entry."""
    form = page.locator(f"form[data-kind={kind}]")
    if not form.is_visible():
        page.locator("details", has=form).locator("summary").click()
    before = form.locator("[name=id]").input_value()
    for name, words in fields.items():
        form.locator(f"[name={name}]").fill(words)
    form.get_by_role("button").click()
    page.wait_for_function(
        "([kind, before]) => document.querySelector(`form[data-kind=${kind}]`).elements.id.value !== before",
        arg=[kind, before],
    )


def enter_all(page):
    for name in VEHICLES:
        enter(page, "vehicle_named", name=name)
    for words in JOBS:
        enter(page, "job_opened", complaint=words)


def all_there(garage):
    assert [one.name for one in garage.vehicles().values()][-3:] == VEHICLES
    assert [one.opened["complaint"] for one in garage.jobs().values()][-2:] == JOBS


def test_what_is_begun_one_after_the_other_without_a_connection_stays_apart(bench, own_garage):
    bench.context.set_offline(True)
    enter_all(bench)
    waiting(bench, 5)
    all_sent(bench)
    all_there(own_garage)


def test_what_is_begun_while_the_computer_is_slow_stays_apart(bench, own_garage):
    """The first entry's answer comes after all of them were pressed."""
    held, hold = [], [True]
    bench.route("**/events", lambda route: held.append(route) if hold else route.continue_())
    enter_all(bench)
    waiting(bench, 5)
    hold.clear()
    for route in held:
        route.continue_()
    bench.locator("#waiting").wait_for(state="hidden", timeout=60_000)
    all_there(own_garage)


@pytest.mark.parametrize("kind", ["vehicle_named", "job_opened"])
def test_without_script_a_double_submit_makes_one(page_for, own_server, own_garage, kind):
    """Both requests of a double submit carry the form as it was drawn."""
    page = page_for(1280, 900, java_script_enabled=False)
    page.goto(own_server)
    form = page.locator(f"form[data-kind={kind}]")
    sent = {name: form.locator(f"[name={name}]").input_value() for name in ("id", "stream", "kind", "back", "csrf")}
    fields = {"name": "Alpha van", "vehicle": "tavrick", "library": "runs_hot", "scope": "look"}
    before = len(own_garage.vehicles()), len(own_garage.jobs())
    for _ in range(2):
        answer = page.request.post(f"{own_server}/events", multipart={**sent, **fields}, headers={"Origin": own_server})
        assert answer.status == 200
    after = len(own_garage.vehicles()), len(own_garage.jobs())
    assert after == ((before[0] + 1, before[1]) if kind == "vehicle_named" else (before[0], before[1] + 1))


def test_a_copy_of_a_page_shown_twice_makes_two_entries(phone_with_copies):  # noqa: F811
    page = phone_with_copies
    seen = [page.locator("form[data-kind=noted] [name=id]").input_value()]
    for _ in range(2):
        page.get_by_role("link", name="Readings").first.tap()
        page.wait_for_url("**/readings")
        page.get_by_role("link", name="Now").first.tap()
        page.wait_for_url(f"**{NOW}")
        page.locator("form[data-kind=noted]").wait_for(state="attached")
        seen.append(page.locator("form[data-kind=noted] [name=id]").input_value())
    assert len(set(seen)) == 3


def test_without_storage_a_retry_is_the_same_entry_and_a_correction_is_a_new_one(page_for):
    site = Site(page_for(), [READINGS, ZERO])
    site.page.add_init_script(NO_STORAGE)
    page = site.open()
    site.deaf = True
    site.press("Done")
    page.get_by_text("this is NOT kept yet").wait_for()
    site.deaf, site.answer = False, (422, {"message": "Something else was kept.", "problems": {}})
    site.press("Done")
    page.get_by_text("Something else was kept.").wait_for()
    site.answer = (200, {"next": "/next"})
    site.press("Done")
    page.wait_for_url(f"{SITE}/next")
    first, retry, corrected = (entry["id"] for entry in site.posted)
    assert first == retry != corrected
