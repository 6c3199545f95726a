"""Judge a reading: a quantity asks what it needs and no more, and what comes back stands in the same form."""

import re

import pytest
from markupsafe import escape

from knowngood.quantities.known import QUANTITIES, example_words


@pytest.fixture
def page(computer):
    return lambda path: computer.get(path).text


def fields(html):
    return re.findall(r'data-field="([a-z_0-9]+)"', html)


@pytest.mark.parametrize("name", QUANTITIES)
def test_a_quantity_asks_what_it_needs_and_no_more(page, name):
    html = page(f"/judge?quantity={name}")
    asks = [ask.name for ask in QUANTITIES[name].asks]
    usual = ("name", "limits", "read", "meter", "part_give", "ambient", "not_safety")
    found = [one for one in fields(html) if one not in usual]
    assert found == asks
    assert str(escape(QUANTITIES[name].title)) in html
    assert str(escape(QUANTITIES[name].trap)) in html


@pytest.mark.parametrize("name", QUANTITIES)
def test_where_the_meter_lies_is_asked_of_what_an_electric_meter_reads(page, name):
    electric = QUANTITIES[name].reads.unit in ("ohm", "V", "A")
    assert ("ambient" in fields(page(f"/judge?quantity={name}"))) is electric


def test_without_a_quantity_all_can_be_picked_and_the_usual_is_asked(page):
    html = page("/judge")
    assert [name for name in QUANTITIES if f'href="/judge?quantity={name}"' not in html] == []
    assert fields(html)[:4] == ["name", "limits", "read", "zero"]
    assert fields(html)[-2:] == ["ambient", "not_safety"]
    assert fields(page("/judge?quantity=fish")) == fields(html)


def post(computer, token, **typed):
    sent = {"id": "1" * 32, "stream": "toolbox", "kind": "reading_judged", "back": "/judge", "csrf": token, **typed}
    return computer.post("/events", data=sent)


COIL = {"quantity": "winding_resistance", "limits": "80..95 ohm", "read": "92", "zero": "0.4", "part": "20 ± 1",
        "conductor": "copper", "meter": "0.8 % + 5 digits, 0.1 ohm"}  # fmt: skip


def judged(home, computer, seal, number, **typed):
    """What is kept of a reading that is typed on its page."""
    answer = post(computer, seal, id=f"{number:032x}", **{**COIL, **typed})
    assert answer.status_code == 303
    return home.garage.store.event(f"{number:032x}").data


def test_a_meter_in_the_cold_widens_what_is_judged_and_is_kept_as_typed(home, computer, token):
    seal = token(computer)
    mild, cold = (judged(home, computer, seal, number, ambient=at) for number, at in enumerate(("", "-5")))
    assert (mild["typed"]["ambient"], cold["typed"]["ambient"]) == ("", "-5")
    # 23 °C below the 18 °C down to which the data sheet holds: a tenth of it more for each.
    assert cold["instrument"]["percent"] == pytest.approx(3.3 * mild["instrument"]["percent"])
    assert cold["judgement"]["probability_inside"] < mild["judgement"]["probability_inside"]


def test_where_no_meter_works_is_refused_at_its_field(computer, token):
    answer = post(computer, token(computer), form="reading_judged toolbox winding_resistance", **COIL, ambient="95")
    assert answer.status_code == 422
    assert "A place at 95 °C is none where a meter works" in answer.text


def test_how_it_cools_says_how_long_to_wait(home, computer, token):
    read = "0 min 62 °C, 5 min 55 °C, 10 min 50 °C"
    data = judged(home, computer, token(computer), 1, cooling=read, part="48 ± 6", conductor="", read="100.9")
    assert "Let it cool to the air's temperature (by its own cooling)" in str(data["judgement"]["settle"])
    assert data["typed"]["cooling"] == read


def test_how_it_cools_is_refused_at_its_field(computer, token):
    form = "reading_judged toolbox winding_resistance"
    answer = post(computer, token(computer), form=form, **COIL, cooling="0 min 62 °C")
    assert answer.status_code == 422
    assert "One temperature does not show how fast it cools." in answer.text
    assert 'value="0 min 62 °C"' in answer.text


@pytest.mark.parametrize("name", QUANTITIES)
def test_each_example_typed_on_its_page_is_judged_and_shown(computer, token, name):
    answer = post(computer, token(computer), **{"quantity": name, **example_words(QUANTITIES[name])})
    assert (answer.status_code, answer.headers["location"]) == (303, f"/judge?reading={'1' * 32}&quantity={name}")
    shown = computer.get(answer.headers["location"]).text
    assert 'class="judged"' in shown
    assert str(escape(QUANTITIES[name].title)) in shown


def test_what_is_refused_comes_back_to_the_form_of_its_quantity(computer, token):
    form = "reading_judged toolbox battery_charge"
    typed = {"limits": "min 75 %", "read": "27.1 V", "rested": "8"}
    answer = post(computer, token(computer), form=form, quantity="battery_charge", **typed)
    assert answer.status_code == 422
    assert 'value="27.1 V"' in answer.text
    assert 'value="8"' in answer.text
    assert "field text wrong" in answer.text


def test_readings_of_two_days_are_compared_and_drawn_over_time(home, computer, token):
    typed = {"limits": "min 3 mm", "quantity": "pad_thickness", "name": "pad, left"}
    seal = token(computer)
    for number, (day, read) in enumerate([("2025-11-20", "8.2 8.1 8.3 8.2"), ("2026-11-20", "5.2 5.1 5.3 5.2")]):
        name = f"{number:032x}"
        post(computer, seal, id=name, happened=f"{day}T10:00:00+00:00", read=read, **typed)
        attached = {"id": f"{number + 9:032x}", "stream": "job/runs-hot", "kind": "reading_attached", "back": "/"}
        computer.post("/events", data={**attached, "reading": name, "csrf": seal})
    assert [event.happened[:10] for event in home.garage.job("runs-hot").readings[-2:]] == ["2025-11-20", "2026-11-20"]
    html = computer.get("/job/runs-hot/readings").text
    assert "pad, left: It reads 3.0 mm less than before" in html
    assert "Over time" in html
    assert "It reaches 3 mm between" in html


def test_left_and_right_are_compared_on_the_bench_and_what_has_no_name_is_not(computer, token):
    seal, limits = token(computer), {"limits": "80..95 ohm", "meter": "blue meter", "conductor": "alloy"}
    named = [("coil left", "88.1"), ("coil right", "93.9"), ("", "85"), ("", "91")]
    for number, (name, read) in enumerate(named):
        post(computer, seal, id=f"{number:032x}", name=name, read=read, **limits)
    html = computer.get("/").text
    assert "Coil left reads 5.8 ohm less than coil right" in html
    assert html.count("less than") + html.count("more than before") == 1


def test_a_part_that_nobody_measures_at_home_is_refused_at_its_name_and_nothing_is_lost(computer, token):
    waits = 'data-field="not_safety" hidden'
    assert waits in computer.get("/judge").text
    form, typed = "reading_judged toolbox", {"name": "driver airbag igniter", "limits": "2..3 ohm", "read": "2.2 ohm"}
    answer = post(computer, token(computer), form=form, **typed)
    assert answer.status_code == 422
    assert "sounds like belts and airbags" in answer.text
    assert 'value="2.2 ohm"' in answer.text
    assert "not_safety" in fields(answer.text)
    assert waits not in answer.text
    computer.headers["Accept"] = "application/json"
    script = post(computer, token(computer), form=form, **typed)
    del computer.headers["Accept"]
    assert set(script.json()["problems"]) == {"name", "not_safety"}  # so a page with a script shows that field too
    told = post(computer, token(computer), form=form, **typed, not_safety="from a stove")
    assert told.status_code == 303
    page = computer.get(told.headers["location"]).text
    assert "You say that it belongs to no system" in page
    assert values(page)["not_safety"] == "from a stove"


def values(html):
    """What stands in the fields, by name; of a pick what is selected."""
    found = dict(re.findall(r'<input id="[^"]+" name="(\w+)" value="([^"]*)"', html))
    picks = re.findall(r'<select id="[^"]+" name="(\w+)".*?</select>', html, re.DOTALL)
    chosen = {name: re.search(rf'name="{name}".*?<option value="([^"]*)" selected', html, re.DOTALL) for name in picks}
    return {**found, **{name: one[1] for name, one in chosen.items() if one}}


@pytest.mark.parametrize("quantity", ["winding_resistance", ""], ids=["picked", "the usual"])
def test_after_the_verdict_every_field_keeps_what_was_typed(computer, token, quantity):
    seal, name = token(computer), "horn relay coil"
    typed = {"name": name, "limits": "80..95 ohm", "read": "101 ohm", "part": "48", "part_give": "4", "at": "20",
             "conductor": "copper", "ambient": "5", "quantity": quantity}  # fmt: skip
    answer = post(computer, seal, **typed)
    assert answer.status_code == 303
    shown = values(computer.get(answer.headers["location"]).text)
    assert {key: shown.get(key) for key in typed if key != "quantity"} == {
        key: words for key, words in typed.items() if key != "quantity"
    }
    again = post(computer, seal, id="2" * 32, **{**typed, **shown, "zero": "0.4"})
    assert again.status_code == 303


def test_what_would_settle_it_leads_to_its_field(computer, token):
    answer = post(computer, token(computer), limits="80-95", read="101 ohm", quantity="winding_resistance")
    html = computer.get(answer.headers["location"]).text
    links = re.findall(r'<b><a href="#([0-9a-f]+-(\w+))">([^<]*)</a></b>', html)
    assert {name for _, name, _ in links} >= {"zero", "part"}
    assert all(f'id="{place}"' in html for place, _, _ in links)
    assert "&#34;80-95&#34; as 80-95 ohm, the unit of the reading" in html
