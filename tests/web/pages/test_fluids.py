"""Fluids and Kit: the ledger of each circuit, what to have at hand, and a refused pouring at its field."""

import itertools
import re

import pytest

JOB = "/job/runs-hot"
HAVE = (
    "By what is still owed, have 4.7 L at hand, which is enough 4 times out of 5; 4.8 L is enough 19 times out of 20."
)


@pytest.fixture
def post(computer, token):
    """Hand an entry of the demo's job over, or of another stream."""
    numbers = itertools.count(1)

    def handed(stream="job/runs-hot", **fields):
        entry = {"id": f"{next(numbers):032x}", "stream": stream, "back": f"{JOB}/fluids", "csrf": token(computer)}
        return computer.post("/events", data={**entry, **fields})

    return handed


@pytest.fixture
def page(computer):
    return lambda name="fluids": computer.get(f"{JOB}/{name}").text


def cells(html):
    return [" ".join(one.split()) for one in re.findall(r'<td role="cell"[^>]*>(.*?)</td>', html, re.DOTALL)]


def form_of(html, kind):
    return next(form for form in re.findall(r"<form.*?</form>", html, re.DOTALL) if f'data-kind="{kind}"' in form)


def test_each_pouring_stands_as_read_and_at_20(page, post):
    assert cells(page())[:3] == ["Came out", "4.6 L at 31 °C", "4.58 ± 0.27 L"]
    assert post(kind="fluid_moved", circuit="coolant", way="in", amount="2", fluid_c="15").status_code == 303
    assert cells(page())[4:8] == ["Went in", "2 L at 15 °C", "2.00 ± 0.13 L", "–"]


def test_what_is_owed_is_drawn_and_told_against_litre_for_litre(page):
    html = page()
    assert "4.58 ± 0.27 L are still owed, brought to 20 °C." in html
    assert "You took out 4.6 L at 31 °C: pour back 4.58 L at 20 °C; litre for litre may be 0.02 L too much." in html
    card = html[html.index("Still owed") : html.index("To have at hand")]
    assert card.count('<svg class="pic"') == 2
    assert "as read 4.60" in card
    assert re.search(r"<li><span>jug <em>assumed</em></span>", card)


def test_what_to_have_at_hand_stands_on_fluids_and_kit_with_the_cans(page):
    words = f"{HAVE} Cheapest: 1 × 5 L for 34; about 0.4 L is left over."
    assert words in page()
    assert words in page("kit")


def test_without_a_size_of_can_it_says_where_to_state_one(page, post, home):
    (found,) = [one for one in home.garage.toolbox().prices if one.data["what"] == "fluid:coolant"]
    post("toolbox", kind="withdrawn", event=found.id)
    for name in ("fluids", "kit"):
        assert f"{HAVE}</p>" in page(name)
        assert '<a href="/">say what a can holds and costs</a>' in page(name)


def test_a_refused_pouring_keeps_what_was_typed_and_says_why_at_its_field(post):
    form = {"kind": "fluid_moved", "form": "fluid_moved job/runs-hot", "circuit": "coolant", "way": "out"}
    answer = post(**form, amount="46", fluid_c="31")
    assert answer.status_code == 422
    shown = form_of(answer.text, "fluid_moved")
    field = re.search(r'data-field="amount".*?</p>\s*</div>', shown, re.DOTALL)[0]
    assert "46 L came out, and the circuit holds 6.2 L ± 0.3 in all." in field
    assert 'value="46"' in field
    assert re.search(r'data-field="fluid_c".*?value="31"', shown, re.DOTALL)


def test_what_measures_is_asked_once_the_toolbox_has_it(page, post):
    assert "Measured with" not in page()
    post("toolbox", kind="instrument_added", name="blue can", preset="vessel")
    assert re.search(r'<option value="blue can" selected', form_of(page(), "fluid_moved"))
    post(kind="fluid_moved", circuit="coolant", way="out", amount="0.5", fluid_c="31", vessel="blue can")
    assert cells(page())[5] == "0.5 L at 31 °C, blue can"


def test_with_a_scale_the_field_shows_no_litres(page, post):
    post("toolbox", kind="instrument_added", name="scale", preset="scale")
    shown = form_of(page(), "fluid_moved")
    assert '<option value="" selected>The usual jug, or by eye' in " ".join(shown.split())
    assert "In L; in kg, the vessel&#39;s own weight taken off, by the scale." in shown
    assert post(kind="fluid_moved", circuit="coolant", way="out", amount="1.07", vessel="scale").status_code == 303
    assert cells(page())[5] == "1.07 kg, scale"
    assert cells(page())[6].startswith("1.00 ±")
