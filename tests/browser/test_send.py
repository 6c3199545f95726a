"""The forms' own script against a server that refuses, drops out and comes back. The server here is the test."""

import json
import mimetypes
import re
from importlib import resources
from pathlib import Path

import jinja2
import pytest

pytestmark = pytest.mark.browser

WEB = Path(str(resources.files("knowngood.web")))
# Not a secure context, as when a phone reaches the laptop over plain http.
SITE = "http://knowngood.test"


RUN = {"now": "s2", "steps": [{"id": f"s{n}", "zone": "under", "standing": "later"} for n in (1, 2, 3)]}

PAGE = """{% extends "base.html" %}{% from "components.html" import form, action_bar %}
{% block main %}{% call form(f) %}<p class="zone">Under</p><h1>Do part 2</h1>{% endcall %}{% endblock %}
{% block actions %}{{ action_bar(f) }}{% endblock %}"""


def page_html(fields, garage):
    loader = jinja2.ChoiceLoader([jinja2.DictLoader({"page": PAGE}), jinja2.FileSystemLoader(WEB / "templates")])
    form = {
        "id": "first", "stream": "job/a", "kind": "step_done", "back": "/now", "csrf": "token", "bar": True,
        "hidden": {"step": "s2", "form": "step_done job/a s2"}, "fields": fields,
        "buttons": [
            {"label": "Can't", "name": "answer", "value": "cant", "look": "plain"},
            {"label": "Done", "name": "answer", "value": "done", "look": "done"},
        ],
    }  # fmt: skip
    environment = jinja2.Environment(loader=loader, autoescape=True)
    return environment.get_template("page").render(
        page="kit", garage_id=garage, run=RUN, f=form, job={"id": "a", "title": "Job"}
    )


class Site:
    """What the browser sees instead of a server: pages, the files of ours, and an answer to each entry."""

    def __init__(self, page, fields=()):
        self.fields, self.posted, self.down, self.answer = list(fields), [], False, (200, {"next": "/next"})
        self.deaf, self.garage = False, "g"
        page.route(f"{SITE}/**", self.serve)
        self.page = page

    def serve(self, route):
        path = route.request.url.removeprefix(SITE)
        if self.down and not path.startswith("/static/"):
            return route.abort("internetdisconnected")
        if path == "/events":
            body = route.request.post_data_buffer.decode()
            self.posted.append(dict(re.findall(r'name="([^"]+)"\r\n\r\n(.*?)\r\n', body)))
            if self.deaf:  # it was stored, and the answer is lost on the way
                return route.abort("connectionreset")
            return route.fulfill(
                status=self.answer[0], content_type="application/json", body=json.dumps(self.answer[1])
            )
        if path.startswith("/static/"):
            file = WEB / path.lstrip("/")
            kind = "text/javascript" if file.suffix == ".js" else mimetypes.guess_type(file)[0] or "font/woff2"
            return route.fulfill(body=file.read_bytes(), content_type=kind)
        html = page_html(self.fields, self.garage) if path == "/now" else "<title>next</title><h1>Next</h1>"
        return route.fulfill(body=html, content_type="text/html; charset=utf-8")

    def open(self):
        self.page.goto(f"{SITE}/now")
        return self.page

    def leave(self):
        """Close the page, so that none of its timers sends anything."""
        self.page.goto("about:blank")

    def press(self, label):
        self.page.get_by_role("button", name=label, exact=True).click()

    def back_online(self):
        self.down = False
        self.page.evaluate("dispatchEvent(new Event('online'))")


ZERO = {"name": "zero", "label": "Probes touching", "kind": "number", "unit": "Ω", "value": "0.4"}
READINGS = {"name": "readings", "label": "Readings", "kind": "readings", "unit": "Ω", "value": "100.9 101.2"}


@pytest.fixture
def site(page_for):
    return Site(page_for(), [READINGS, ZERO])


def test_a_taken_entry_leads_on_and_carries_device_and_time(site):
    page = site.open()
    site.press("Done")
    page.wait_for_url(f"{SITE}/next")
    (entry,) = site.posted
    assert (entry["id"], entry["answer"], entry["device_seq"]) == ("first", "done", "1")
    assert re.fullmatch(r"[0-9a-f]{32}", entry["device"])
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT[\d:.]+Z\[[\w/+-]+\]", entry["happened"])  # with the device's zone


def test_a_double_press_is_sent_once(site):
    page = site.open()
    page.get_by_role("button", name="Done").dblclick()
    page.wait_for_url(f"{SITE}/next")
    assert [entry["id"] for entry in site.posted] == ["first"]


def test_readings_become_chips_and_the_one_not_added_counts(site):
    page = site.open()
    field = page.get_by_label("Readings")
    assert field.get_attribute("inputmode") == "decimal"
    page.get_by_role("button", name="Take 100.9 away").click()
    field.fill("101.1")
    page.get_by_role("button", name="Add").click()
    field.fill("99,5")
    site.press("Done")
    page.wait_for_url(f"{SITE}/next")
    assert site.posted[0]["readings"] == "101.2 101.1 99,5"


def test_a_refusal_stands_at_its_field_and_keeps_what_was_typed(site):
    page = site.open()
    page.get_by_label("Probes touching").fill("0.4 x")
    site.answer = (422, {"message": "One field needs a look.", "problems": {"zero": "“0.4 x” is not a number."}})
    site.press("Done")
    field = page.locator("[data-field=zero]")
    field.locator(".error").wait_for()
    assert field.locator(".error").inner_text() == "“0.4 x” is not a number."
    assert page.locator(".error.whole").inner_text() == "One field needs a look."
    assert page.get_by_label("Probes touching").input_value() == "0.4 x"
    assert page.get_by_label("Probes touching").get_attribute("aria-invalid") == "true"
    site.answer = (200, {"next": "/next"})
    page.get_by_label("Probes touching").fill("0.4")
    site.press("Done")
    page.wait_for_url(f"{SITE}/next")
    assert [entry["zero"] for entry in site.posted] == ["0.4 x", "0.4"]
    assert site.posted[0]["id"] != site.posted[1]["id"]


def test_what_waits_outlives_the_page(site):
    page = site.open()
    site.down = True
    site.press("Can't")
    page.get_by_text("No connection.").wait_for()
    assert page.get_by_role("heading", name="Do part 2").is_visible()
    site.leave()
    site.down = False
    site.open()
    page.wait_for_url(f"{SITE}/next")
    assert [entry["answer"] for entry in site.posted] == ["cant"]


def test_what_is_refused_later_comes_back_to_its_form(site):
    page = site.open()
    site.down = True
    page.get_by_label("Probes touching").fill("4.4")
    site.press("Can't")
    page.get_by_text("No connection.").wait_for()
    site.leave()
    site.down, site.answer = False, (422, {"message": "Not so.", "problems": {"zero": "Too much."}})
    site.open()
    page.get_by_text("Too much.").wait_for()
    assert page.get_by_label("Probes touching").input_value() == "4.4"
    assert page.locator("#waiting").inner_text() == ""


def test_without_script_it_is_a_plain_form(page_for):
    page = Site(page_for(java_script_enabled=False), [READINGS, ZERO]).open()
    form = page.locator("form.event")
    assert (form.get_attribute("method"), form.get_attribute("action")) == ("post", "/events")
    assert page.locator("input[name=readings]").input_value() == "100.9 101.2"
    assert page.get_by_text("Several: put a space between them.").is_visible()


def test_an_answer_that_is_lost_is_asked_for_again_with_the_same_mark(site):
    page = site.open()
    site.deaf = True
    site.press("Done")
    page.get_by_text("Kept on this device, and sent as soon as the computer answers.").wait_for()
    site.deaf = False
    page.evaluate("dispatchEvent(new Event('online'))")
    page.locator("#waiting").wait_for(state="hidden")
    assert len(site.posted) >= 2
    assert {(entry["id"], entry["device"], entry["device_seq"]) for entry in site.posted} == {
        ("first", site.posted[0]["device"], "1")
    }


def test_entries_of_one_device_are_counted_and_sent_in_their_order(site):
    page = site.open()
    site.down = True
    for number in ("1", "2", "3"):
        page.get_by_label("Probes touching").fill(number)
        site.press("Done")
        page.locator("#waiting", has_text=f"{number} waiting to send").wait_for()
    site.back_online()
    page.locator("#waiting").wait_for(state="hidden")
    assert [(entry["zero"], entry["device_seq"]) for entry in site.posted] == [("1", "1"), ("2", "2"), ("3", "3")]
    assert len({entry["device"] for entry in site.posted}) == 1
    assert len({entry["id"] for entry in site.posted}) == 3


UNPAIRED = "This phone is not paired any more."


def test_a_phone_that_was_dropped_keeps_what_it_holds_and_says_so(site):
    page = site.open()
    site.answer = (401, {"message": UNPAIRED, "problems": {}})
    site.press("Done")
    page.get_by_text(UNPAIRED).wait_for()
    assert page.locator("#waiting").inner_text() == "1 waiting to send"
    site.answer = (200, {"next": "/next"})
    site.back_online()
    page.locator("#waiting").wait_for(state="hidden")
    assert {entry["id"] for entry in site.posted} == {"first"}
    assert page.get_by_text(UNPAIRED).is_hidden()


def test_what_another_garage_holds_is_not_sent_to_this_one(site):
    page = site.open()
    site.down = True
    site.press("Done")
    page.locator("#waiting", has_text="1 waiting to send").wait_for()
    site.leave()
    site.down, site.garage = False, "other"
    site.open()
    page.wait_for_load_state("networkidle")
    assert site.posted == []
    assert page.locator("#waiting").is_hidden()
    site.leave()
    site.garage = "g"
    site.open()
    page.wait_for_url(f"{SITE}/next")
    assert [entry["id"] for entry in site.posted] == ["first"]


FULL = (
    "This device has no room left, and the computer does not answer: this is NOT kept yet, it stands only here. "
    "Free some storage, or come back into the network, then press again."
)


def test_a_full_phone_says_so_and_what_was_typed_stays(site):
    page = site.open()
    client = page.context.new_cdp_session(page)
    client.send("Storage.overrideQuotaForOrigin", {"origin": SITE, "quotaSize": 1})
    site.down = True
    page.get_by_label("Probes touching").fill("0.7")
    site.press("Done")
    page.get_by_text(FULL).wait_for()
    assert page.get_by_label("Probes touching").input_value() == "0.7"
    assert page.get_by_role("button", name="Done").is_enabled()
    site.down = False
    site.press("Done")
    page.wait_for_url(f"{SITE}/next")
    assert [(entry["zero"], entry["device_seq"]) for entry in site.posted] == [("0.7", "0")]


NO_STORAGE = """Object.defineProperty(self, "indexedDB", {value: {open() {
  const request = {};
  setTimeout(() => request.onerror());
  return request;
}}})"""


def test_a_private_window_without_storage_sends_as_it_is_pressed(site):
    site.page.add_init_script(NO_STORAGE)
    page = site.open()
    site.press("Done")
    page.wait_for_url(f"{SITE}/next")
    assert len(site.posted) == 1
