"""A sheet of the library on every page, from before the start until the plug is opened in its window."""

import pytest
from tests.garages import giving

JOB = "job/gearbox"
PAGES = ("why", "kit", "fluids", "bolts", "book", "start", "now", "steps", "readings", "more")
READ = {"tilt_along": "0.1 deg", "tilt_across": "0.1 deg", "pan_warmth": "33 °C", "solenoid_coil": "13.4 ohm"}
CHOSEN = {"fluid_look": "dark", "debris": "fuzz", "overflow": "ran"}


@pytest.fixture
def opened(home):
    give = giving(home.garage, JOB)
    give("vehicle_named", "vehicle/own", name="Own")
    give("job_opened", vehicle="own", library="automatic_gearbox", scope="strainer")
    return give


def shown(computer):
    found = {page: computer.get(f"/job/gearbox/{page}") for page in PAGES}
    assert {page: answer.status_code for page, answer in found.items()} == dict.fromkeys(PAGES, 200)
    return {page: answer.text for page, answer in found.items()}


def test_the_bench_offers_it(computer):
    assert "Automatic gearbox: fluid, strainer, level by overflow plug" in computer.get("/").text


def test_before_the_start_the_manual_is_asked_for_the_window(opened, computer):
    assert "Temperature of the fluid while the level is set" in shown(computer)["start"]


def test_until_the_plug_is_opened(opened, home, computer):
    for ask in home.garage.job("gearbox").sheet.asks:
        opened("answered", ask=ask, **({"typed": "40..45 °C"} if ask == "window" else {"silent": "yes"}))
    opened("started")
    while (step := home.garage.job("gearbox").run.now).id != "close_overflow":
        for limit in step.read:
            opened("reading_judged", limit=limit, read=READ[limit], step=step.id)
        opened("step_done", step=step.id, **({"choice": CHOSEN[step.decide.id]} if step.decide else {}))
    assert "overflow plug in with its new washer" in shown(computer)["now"]
