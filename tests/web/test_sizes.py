"""Which size fits which bolts: asked beside Done at the first use, named on Kit and at the step from then on."""

import html
import re

import pytest
from tests.garages import giving

JOB = "job/runs-hot"


@pytest.fixture
def page(computer):
    def text(path):
        return html.unescape(computer.get(f"/{JOB}/{path}").text)

    return text


def forms_of(text, kind):
    """The forms of a kind, as a browser would send them."""
    forms = re.findall(r'<form class="event".*?</form>', text, re.DOTALL)
    sent = [dict(re.findall(r'name="(\w+)" value="([^"]*)"', form)) for form in forms]
    return [fields for fields in sent if fields["kind"] == kind]


def test_kit_says_what_must_fit_and_takes_the_size(page, computer):
    assert "socket to fit the thermostat housing bolts" in page("kit")
    [form] = [one for one in forms_of(page("kit"), "fit_noted") if one["fastener"] == "housing"]
    bare = computer.post("/events", data={**form, "size": "10"})
    assert bare.status_code == 422
    assert "Write which, such as 10 mm or T10." in html.unescape(bare.text)
    assert computer.post("/events", data={**form, "size": "10 mm"}).status_code == 303
    assert "socket: 10 mm for the thermostat housing bolts" in page("kit")
    assert "<b>Thermostat housing bolts</b>: 10 mm" in page("kit")


def test_the_step_asks_once_and_then_names_it(home, page):
    give = giving(home.garage, JOB)
    while (step := home.garage.job("runs-hot").run.now).id != "housing_off":
        for limit in step.read:
            give("reading_judged", limit=limit, read="15.9 ohm", zero="0.4 ohm", part="48 °C", step=step.id)
        give("step_done", step=step.id, choice="yes")
    ask = "Size that fits the thermostat housing bolts"
    shown = page("now").partition("<template")[0]
    assert ask in shown
    give("fit_noted", fastener="housing", size="10 mm")
    shown = page("now").partition("<template")[0]
    assert ask not in shown
    assert "ratchet and socket: 10 mm for the thermostat housing bolts" in shown
