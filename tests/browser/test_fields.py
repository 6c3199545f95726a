"""What a thumb needs at a field: readings one by one, a minus, give or take, and the instrument's last values."""

import re
import secrets

import pytest
from playwright.sync_api import expect
from tests.browser.test_pages import problems_of

from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take

pytestmark = pytest.mark.browser

MARK = "() => document.querySelector('form.event')?.elements.id.value"
COIL = "Readings: Fan relay coil"
TWICE = '"48 ± 4" says already how far it may be off. Empty this field.'


def now(page, server):
    page.goto(f"{server}/job/runs-hot/now")
    return page


def tap(page, name):
    page.get_by_role("button", name=name, exact=True).first.tap()


def press(page, name):
    mark = page.evaluate(MARK)
    with page.expect_response("**/events"):
        page.get_by_role("button", name=name, exact=True).first.tap()
    page.wait_for_function(f"(mark) => ({MARK})() !== mark", arg=mark)


def field(page, name):
    return page.locator(f"form.event [data-field={name}]").first


def box(page, name):
    return field(page, name).locator(".box input:not([type=hidden])")


def offered(page, name):
    return [
        words.removesuffix(" last") for words in field(page, name).locator(".offers button:visible").all_inner_texts()
    ]


def write(garage, kind, stream="toolbox", **typed):
    take(garage, Entry(secrets.token_hex(16), stream, kind, typed))


def judged_loose(garage, **typed):
    write(garage, "reading_judged", limits="80..95 ohm", **typed)


@pytest.fixture
def two_meters(own_garage, own_server, phone):
    """Now, before the coil is read; a grey meter and then the blue one have been in use."""
    write(own_garage, "instrument_added", name="grey meter", line="1 % + 2 digits, 0.1 ohm")
    earlier = "job/earlier"  # the same limit of the same vehicle
    write(own_garage, "job_opened", earlier, vehicle="tavrick", library="runs_hot")
    write(own_garage, "reading_judged", earlier, limit="coil", read="88.1 88.2", zero="0.9", meter="grey meter")
    write(own_garage, "reading_judged", earlier, limit="coil", read="90.0", zero="0.4", part="48", meter="blue meter")
    return now(phone, own_server)


def test_three_readings_from_a_number_pad_and_give_or_take_are_judged(own_server, phone):
    page = now(phone, own_server)
    assert box(page, "read").get_attribute("inputmode") == "decimal"
    for number in ("100.9", "101.2", "101.1"):
        box(page, "read").fill(number)
        tap(page, "Add")
    assert field(page, "read").locator(".chips button").all_inner_texts() == ["100.9", "101.2", "101.1"]
    expect(field(page, "read").get_by_role("status")).to_have_text(["101.1 added, 3 in all."])
    for name, number in {"zero": "0.4", "part": "48", "part_give": "4"}.items():
        assert box(page, name).get_attribute("inputmode") == "decimal"
        box(page, name).fill(number)
    press(page, "Judge")
    expect(page.locator("article.judged h2").first).to_have_text("Within limits")
    page.goto(f"{own_server}/job/runs-hot/readings")
    page.get_by_text("Read: Fan relay coil").tap()
    form = page.locator("details[open]")
    expect(form.locator("[data-field=read] .offers button")).to_have_text(["101.1 last", "101.2 last", "100.9 last"])
    expect(form.locator("[data-field=part] .offers button")).to_have_count(0)


def test_how_far_it_may_be_off_is_written_once(own_server, phone):
    page = now(phone, own_server)
    box(page, "read").fill("101.1")
    box(page, "part").fill("48 ± 4")
    box(page, "part_give").fill("4")
    press(page, "Judge")
    expect(field(page, "part_give").locator(".error")).to_have_text(TWICE)
    expect(box(page, "part_give")).to_have_attribute("aria-invalid", "true")
    box(page, "part_give").fill("")
    press(page, "Judge")
    expect(page.locator("article.judged h2").first).to_have_text("Within limits")


def test_a_key_changes_the_sign_where_there_is_something_below_zero(own_server, phone):
    page = now(phone, own_server)
    expect(field(page, "zero").get_by_label("Change the sign")).to_have_count(0)
    expect(field(page, "part_give").get_by_label("Change the sign")).to_have_count(0)
    key = field(page, "part").get_by_role("button", name="Change the sign")
    assert min(key.bounding_box()[side] for side in ("width", "height")) >= 48
    box(page, "part").fill("5")
    key.tap()
    expect(box(page, "part")).to_have_value("-5")
    expect(box(page, "part")).to_be_focused()
    key.tap()
    expect(box(page, "part")).to_have_value("5")


def test_a_reading_below_zero_comes_from_a_number_pad(own_server, phone):
    page = phone
    page.goto(f"{own_server}/job/runs-hot/readings")
    page.get_by_text("Read: Voltage lost to the fan").tap()
    form = page.locator("details[open]")
    read = form.locator("[data-field=read]")
    one = read.locator(".box input:not([type=hidden])")
    read.get_by_role("button", name="Change the sign").tap()
    read.get_by_role("button", name="Add").tap()
    expect(one).to_have_value("")
    expect(read.locator(".chips button")).to_have_count(0)
    read.get_by_role("button", name="Change the sign").tap()
    one.press_sequentially("0.31")
    read.get_by_role("button", name="Add").tap()
    expect(read.locator(".chips button")).to_have_text(["-0.31"])


def test_without_script_the_keyboard_has_a_minus_and_nothing_is_offered(own_server, two_meters, page_for):
    page = now(page_for(java_script_enabled=False), own_server)
    assert page.locator("[name=part]").get_attribute("inputmode") is None
    assert page.locator("[name=zero]").get_attribute("inputmode") == "decimal"
    assert page.locator(".offers:visible, .box button").count() == 0


def test_the_last_values_of_the_chosen_instrument_are_offered_and_taken_with_a_tap(two_meters):
    page = two_meters
    expect(page.locator("[name=meter]")).to_have_value("blue meter")
    assert (offered(page, "read"), offered(page, "zero"), offered(page, "part")) == (["90.0"], ["0.4"], [])
    page.locator("[name=meter]").select_option("grey meter")
    assert (offered(page, "read"), offered(page, "zero"), offered(page, "part")) == (["88.2", "88.1"], ["0.9"], [])
    field(page, "zero").get_by_role("button", name="0.9 last").tap()
    expect(box(page, "zero")).to_have_value("0.9")
    for number in ("88.2", "88.1"):
        field(page, "read").get_by_role("button", name=f"{number} last").tap()
    expect(field(page, "read").locator(".chips button")).to_have_text(["88.2", "88.1"])
    page.locator("[name=meter]").select_option("")
    assert [offered(page, name) for name in ("read", "zero", "part")] == [[], [], []]


def test_the_instrument_used_last_is_chosen(own_garage, own_server, two_meters):
    judged_loose(own_garage, read="88.3", meter="grey meter")
    expect(now(two_meters, own_server).locator("[name=meter]")).to_have_value("grey meter")


def test_the_bench_offers_with_the_unit(own_server, two_meters):
    page = two_meters
    page.goto(f"{own_server}/judge")
    assert offered(page, "zero") == []
    page.locator("[name=meter]").select_option("blue meter")
    assert offered(page, "zero") == ["0.4 ohm"]
    field(page, "zero").get_by_role("button", name="0.4 ohm last").tap()
    expect(box(page, "zero")).to_have_value("0.4 ohm")


def test_everything_works_from_the_keyboard(two_meters):
    page = two_meters
    keys = page.keyboard
    page.get_by_label(COIL).focus()
    for number in ("100.9", "101.2", "101.1"):
        keys.type(number)
        keys.press("Enter")
    keys.press("Shift+Tab")
    keys.press("Shift+Tab")
    expect(page.get_by_role("button", name="Take 101.2 away")).to_be_focused()
    keys.press("Enter")
    expect(page.get_by_role("button", name="Take 101.1 away")).to_be_focused()
    keys.press("Tab")  # the field
    keys.press("Tab")  # Add
    expect(page.get_by_role("button", name="Add", exact=True)).to_be_focused()
    keys.press("Tab")  # the value offered
    keys.press("Space")
    expect(field(page, "read").locator(".chips button")).to_have_text(["100.9", "101.1", "90.0"])
    keys.press("Tab")
    expect(page.get_by_label("Probes touching")).to_be_focused()
    keys.press("Tab")
    keys.press("Enter")
    expect(page.get_by_label("Probes touching")).to_have_value("0.4")
    keys.press("Tab")
    expect(page.get_by_label("Part is at")).to_be_focused()
    keys.type("48")
    keys.press("Tab")
    keys.press("Space")
    expect(page.get_by_label("Part is at")).to_have_value("-48")


def test_what_changed_is_announced_politely(two_meters):
    page = two_meters
    told = field(page, "read").get_by_role("status")
    box(page, "read").fill("100.9")
    box(page, "read").press("Enter")
    expect(told.first).to_have_text("100.9 added, 1 in all.")
    tap(page, "Take 100.9 away")
    expect(told.first).to_have_text("100.9 taken away, 0 in all.")
    expect(box(page, "read")).to_be_focused()
    field(page, "zero").get_by_role("button", name="0.4 last").tap()
    expect(field(page, "zero").get_by_role("status")).to_have_text("0.4 filled in.")


def test_a_part_cloned_later_is_made_ready_and_nothing_twice(two_meters):
    page = two_meters
    before = page.locator(".key").count()
    page.evaluate("""async () => {
      const { enhance } = await import("/static/fields.js");
      enhance(document);
      const plain = new DOMParser().parseFromString(await (await fetch(location.href)).text(), "text/html");
      const template = document.createElement("template");
      template.content.append(plain.querySelector("[data-kind=reading_judged]"));
      const form = document.importNode(template.content, true).firstElementChild;
      form.dataset.cloned = "yes";
      document.querySelector("main").append(form);
      enhance(form);
      enhance(form);
    }""")
    assert page.locator(".key:not([data-cloned] *)").count() == before
    form = page.locator("[data-cloned]")
    assert form.get_by_role("button", name="Add", exact=True).count() == 1
    assert form.get_by_role("button", name="Change the sign").count() == form.locator("[data-signed]").count()
    expect(form.get_by_role("button", name="0.4 last")).to_be_visible()


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_everything_open_is_sound_on_a_phone(own_server, two_meters, page_for, dark):
    page = now(page_for(390, 844, dark=dark), own_server)
    for number in ("100.9", "101.2", "101.1"):
        box(page, "read").fill(number)
        box(page, "read").press("Enter")
    box(page, "part").fill("-12.5 ± 4")
    box(page, "part_give").fill("4")
    with page.expect_response(lambda answer: answer.url.endswith("/events")):
        page.get_by_role("button", name="Judge", exact=True).first.click()
    field(page, "part_give").locator(".error").wait_for()
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    assert problems_of(page, phone=True) == []
    page.set_viewport_size({"width": 320, "height": 640})
    assert [one for one in problems_of(page, phone=True) if re.match("scrolls|smaller", one)] == []
