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


def page_html(fields, hidden=None):
    loader = jinja2.ChoiceLoader([jinja2.DictLoader({"page": PAGE}), jinja2.FileSystemLoader(WEB / "templates")])
    form = {
        "id": "first", "stream": "job/a", "kind": "step_done", "back": "/now", "csrf": "token", "bar": True,
        "hidden": hidden or {"step": "s2", "form": "step_done job/a s2"}, "fields": fields,
        "buttons": [
            {"label": "Can't", "name": "answer", "value": "cant", "look": "plain"},
            {"label": "Done", "name": "answer", "value": "done", "look": "done"},
        ],
    }  # fmt: skip
    environment = jinja2.Environment(loader=loader, autoescape=True)
    return environment.get_template("page").render(
        page="kit", garage_id="g", run=RUN, f=form, job={"id": "a", "title": "Job"}
    )


class Site:
    """What the browser sees instead of a server: pages, the files of ours, and an answer to each entry."""

    def __init__(self, page, fields=()):
        self.fields, self.posted, self.down, self.answer = list(fields), [], False, (200, {"next": "/next"})
        page.route(f"{SITE}/**", self.serve)
        self.page = page

    def serve(self, route):
        path = route.request.url.removeprefix(SITE)
        if self.down and not path.startswith("/static/"):
            return route.abort("internetdisconnected")
        if path == "/events":
            body = route.request.post_data_buffer.decode()
            self.posted.append(dict(re.findall(r'name="([^"]+)"\r\n\r\n(.*?)\r\n', body)))
            return route.fulfill(
                status=self.answer[0], content_type="application/json", body=json.dumps(self.answer[1])
            )
        if path.startswith("/static/"):
            file = WEB / path.lstrip("/")
            kind = "text/javascript" if file.suffix == ".js" else mimetypes.guess_type(file)[0] or "font/woff2"
            return route.fulfill(body=file.read_bytes(), content_type=kind)
        html = page_html(self.fields) if path == "/now" else "<title>next</title><h1>Next</h1>"
        return route.fulfill(body=html, content_type="text/html; charset=utf-8")

    def open(self):
        self.page.goto(f"{SITE}/now")
        return self.page

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
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT[\d:.]+Z", entry["happened"])


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
