"""What Fluids, Now and the Bench show of renewal, level, mix, warmth and top-ups."""

import re
import warnings
from html import unescape

import pytest
from tests.acts.fluid_jobs import VEHICLE, from_library, with_circuit

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

from knowngood.web.server.app import application

AT = {"base_url": "http://127.0.0.1", "client": ("127.0.0.1", 50000)}


@pytest.fixture
def page(tmp_path):
    """page(kept, path): the page's text, as shown."""

    def read(kept, path="/job/one/fluids"):
        with TestClient(application(kept.garage), **AT) as client:
            answer = client.get(path)
        assert answer.status_code == 200
        return unescape(answer.text)

    return read


def test_the_gearbox_says_how_much_is_new_and_how_level_it_must_stand(tmp_path, page):
    kept = from_library(tmp_path, "automatic_gearbox")
    for ask, typed in (("fluid_total", "8 L ± 0.2"), ("window", "35..45 °C")):
        kept.add("answered", ask=ask, typed=typed)
    shown = page(kept)
    assert "Drain it warm, not hot: at about 25 to 48 °C." in shown
    assert "How much is new" not in shown
    kept.add("fluid_moved", circuit="gearbox", way="out", amount="3.2 L", fluid_c="20 °C")
    shown = page(kept)
    assert "Drain it warm" not in shown
    assert "This drain renews 40 % ± 3 %." in shown
    assert re.search(r"<strong>80 % new</strong> <span>3 more · 9\.\d L</span>", shown)
    assert re.search(r'<a href="\?wanted=90">90 % new</a> <span>4 more · 12\.\d L</span>', shown)
    assert "Four more would make" in page(kept, "/job/one/fluids?wanted=90")
    assert "Three more would make" in page(kept, "/job/one/fluids?wanted=none")
    assert "One degree of tilt outweighs the whole 35–45 °C window" in shown


def test_more_out_than_it_holds_is_told_instead_of_a_renewal(tmp_path, page):
    kept = with_circuit(tmp_path, '{name: "Gearbox", fluid: gearbox oil, holds: "8 L ± 0.2", refill: fill}')
    for litre in ("7 L", "6 L"):
        kept.add("fluid_moved", circuit="c", way="out", amount=litre, fluid_c="20 °C")
    assert "13 L came out, and the circuit holds 8 L in all." in page(kept)


def test_coolant_has_its_mix_and_a_form_for_it(tmp_path, page):
    kept = with_circuit(tmp_path, '{name: "Coolant", fluid: coolant, holds: "6 L ± 0.2", refill: cap}')
    assert "Read the mix of the coolant, or say how cold it gets" in page(kept)
    kept.add("mix_read", circuit="c", share="50", freezes="-25")
    shown = page(kept)
    assert "Good to −25 °C" in shown
    assert "Glycol tastes sweet and poisons" in shown


def test_a_coolant_form_that_is_refused_keeps_what_was_typed(tmp_path, page):
    kept = with_circuit(tmp_path, '{name: "Coolant", fluid: coolant, holds: "6 L ± 0.2", refill: cap}')
    shown = page(kept)
    token = re.search(r'name="csrf" value="([0-9a-f]{64})"', shown)[1]
    form = {"id": "1" * 32, "stream": "job/one", "kind": "mix_read", "back": "/job/one/fluids", "csrf": token}
    with TestClient(application(kept.garage), **AT) as client:
        answer = client.post("/events", data={**form, "form": "mix_read job/one c", "circuit": "c", "share": "70"})
    assert answer.status_code == 422
    assert 'value="70"' in answer.text
    assert "70 % glycol by volume; our table goes from 0 to 60 %" in answer.text


def test_the_page_of_a_vehicle_takes_top_ups_and_says_what_is_used(tmp_path, page):
    kept = with_circuit(tmp_path, '{name: "Engine", fluid: engine oil, holds: "5 L", refill: fill}')
    assert "<summary>Top-up</summary>" in page(kept, f"/{VEHICLE}")
    for amount, odometer in (("0.5", "50000"), ("0.6", "53000"), ("0.6", "56000")):
        kept.add("topped_up", VEHICLE, amount=amount, odometer=odometer)
    assert "0.20 ± 0.07 L per 1000 km" in page(kept, f"/{VEHICLE}")
