"""Now between the first plug and the last: the window's card at every step, and Done asked about outside it."""

import html
import re

import pytest
from tests.acts.test_gearbox_job import ANSWERS, MOVED, READ

from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take


@pytest.fixture
def gearbox(home):
    """The demo's garage with a gearbox job on a vehicle of its own, where the fluid is followed."""
    numbers = iter(range(10_000, 99_999))

    def give(kind, stream="job/box", **fields):
        return take(home.garage, Entry(f"{next(numbers):032x}", stream, kind, fields))

    give("vehicle_named", "vehicle/van", name="Van")
    give("instrument_added", "toolbox", name="inclinometer", line="0 % + 1 digits, 0.1 deg")
    give("job_opened", vehicle="van", library="automatic_gearbox", scope="fluid", quote="900")
    for ask, typed in ANSWERS.items():
        give("answered", ask=ask, typed=typed)
    for part in home.garage.job("box").sheet.parts:
        give("kit_got", part=part)
    give("started")
    while (step := home.garage.job("box").run.now).id != "follow_warmth":
        for limit in step.read:
            give("reading_judged", step=step.id, limit=limit, **READ[limit])
        moved = dict(zip(("amount", "fluid_c"), MOVED[step.id], strict=True)) if step.drain or step.fill else {}
        chosen = {"choice": "dark"} if step.decide else {}
        give("step_done", step=step.id, **moved, **chosen)
    return give


def now(client):
    return html.unescape(client.get("/job/box/now").text)


def done_form(text):
    form = next(one for one in re.findall(r"<form.*?</form>", text, re.S) if 'data-kind="step_done"' in one)
    return dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form)), form


def test_the_card_stands_at_every_step_and_ends_with_the_last(gearbox, computer, home):
    gearbox("temperature_read", circuit="gearbox", celsius="40")
    for step, fields in (
        ("follow_warmth", {}),
        ("open_overflow", {"choice": "nothing"}),
        ("add_fluid", {"amount": "0.3 L"}),
    ):
        shown = now(computer)
        assert 'data-moments="gearbox" data-made="' in shown
        assert 'data-kind="temperature_read"' in shown
        gearbox("step_done", step=step, **fields)
    assert 'data-kind="temperature_read"' in now(computer)
    gearbox("step_done", step="close_overflow")
    after = now(computer)
    assert 'data-kind="temperature_read"' not in after
    assert (
        "gearbox" not in re.search(r'id="clocks" data-open="([^"]*)"', after)[1]
    )  # the clock that the phone keeps ends
    assert "Be ready" not in html.unescape(computer.get("/job/box/fluids").text)


def test_with_a_plug_in_hand_the_step_and_its_cautions_stand_above_the_window(gearbox, computer):
    gearbox("temperature_read", circuit="gearbox", celsius="40")
    panel, step = '<section class="window"', "<h1>"
    following = now(computer)
    assert following.index(panel) < following.index(step)
    gearbox("step_done", step="follow_warmth")
    opening = now(computer)
    assert opening.index(step) < opening.index("It comes warm and at once") < opening.index(panel)


def test_outside_its_window_done_comes_back_with_what_is_asked(gearbox, computer):
    gearbox("temperature_read", circuit="gearbox", celsius="33")
    gearbox("step_done", step="follow_warmth")
    fields, form = done_form(now(computer))
    assert 'data-field="window" hidden' in form
    answer = computer.post("/events", data={**fields, "choice": "ran"})
    assert answer.status_code == 422
    fields, form = done_form(html.unescape(answer.text))
    assert 'data-field="window">' in form
    assert "that is below its window of 35–45 °C" in form
    assert computer.post("/events", data={**fields, "choice": "ran", "window": "all_the_same"}).status_code == 303


def test_a_temperature_that_no_fluid_can_have_is_asked_about_at_its_field(gearbox, computer, home):
    gearbox("temperature_read", circuit="gearbox", celsius="44")
    form = next(
        one for one in re.findall(r"<form.*?</form>", now(computer), re.S) if 'data-kind="temperature_read"' in one
    )
    fields = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form))
    assert 'data-field="again" hidden' in form
    answer = computer.post("/events", data={**fields, "celsius": "20"})
    assert "24 K colder than 44 °C, within 0 s: no fluid changes so fast." in html.unescape(answer.text)
    assert computer.post("/events", data={**fields, "celsius": "20", "again": "20"}).status_code == 303


def test_a_sudden_temperature_is_held_against_the_one_nearest_in_time(gearbox, computer):
    for celsius, ago in (("33", "2"), ("44", "0.1")):
        gearbox("temperature_read", circuit="gearbox", celsius=celsius, ago=ago)
    form = next(
        one for one in re.findall(r"<form.*?</form>", now(computer), re.S) if 'data-kind="temperature_read"' in one
    )
    fields = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form))
    answer = computer.post("/events", data={**fields, "celsius": "-10"})
    assert "54 K colder than 44 °C" in html.unescape(answer.text)
