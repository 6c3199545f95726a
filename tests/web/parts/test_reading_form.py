"""The form of a limit: where the meter lies is asked where a meter's cold or heat counts, and how a winding cools."""

import re

import pytest
from tests.garages import giving

from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.sheet import library
from knowngood.web.parts.reading_form import reading_form


def fields(garage, limit, job="runs-hot"):
    return {one.name: one for one in reading_form(garage, garage.job(job), limit, "/").fields}


@pytest.mark.parametrize("limit", ["battery", "coil", "feed_drop"])
def test_where_the_meter_lies_is_asked_of_what_an_electric_meter_reads(home, limit):
    found = fields(home.garage, limit)["ambient"]
    assert (found.label, found.unit, found.signed, found.required) == ("The meter lies at", "°C", True, False)
    assert found.hint == "Such as 5. Below 18 or above 28 °C it is off by more; left empty, it lies between."


def test_it_is_not_asked_of_a_gauge(home):
    sheet = library.text("runs_hot").replace("min 12.4 V", "max 110 kPa")
    opened = {"vehicle": "tavrick", "sheet": sheet, "sheet_file": "own.yaml"}
    take(home.garage, Entry(f"{900:032x}", "job/own", "job_opened", opened))
    assert "ambient" not in fields(home.garage, "battery", "own")


def test_how_it_cools_is_asked_in_words(home):
    found = fields(home.garage, "coil")["cooling"]
    assert (found.kind, found.unit) == ("text", "")
    assert found.hint == "Only to know how long to wait: such as 0 min 62 °C, 5 min 55 °C."
    assert "cooling" not in fields(home.garage, "battery")


def read_with(page):
    found = re.search(r'<select id="[^"]*-meter".*?</select>', page, re.DOTALL)
    return re.findall(r'<option value="([^"]+)"', found[0]) if found else []


@pytest.fixture
def toolbox(home):
    for number, (key, name) in enumerate(
        [("level", "long level"), ("caliper", "grey caliper"), ("feeler", "blades"), ("inclinometer", "cube")], 910
    ):
        fields = {"preset": key, "name": name}
        take(home.garage, Entry(f"{number:032x}", "toolbox", "instrument_added", fields))


@pytest.mark.parametrize(
    ("quantity", "names"),
    [
        ("tilt_level", ["long level", "grey caliper"]),
        ("tilt", ["cube", "long level"]),
        ("valve_clearance", ["blades", "grey caliper"]),
        ("disc_thickness", ["grey caliper"]),
        ("winding_resistance", ["blue meter"]),
    ],
)
@pytest.mark.usefixtures("toolbox")
def test_what_suits_is_offered_to_have_been_read_with_and_stands_first(computer, quantity, names):
    assert read_with(computer.get(f"/judge?quantity={quantity}").text) == names


@pytest.mark.usefixtures("toolbox")
def test_a_gap_is_judged_with_the_blades_of_the_toolbox(computer, token, home):
    fields = {"quantity": "valve_clearance", "limits": "0.20..0.30 mm", "read": "0.25 0.30", "meter": "blades"}
    entry = {"id": f"{930:032x}", "stream": "toolbox", "kind": "reading_judged", "back": "/judge"}
    assert computer.post("/events", data={**entry, **fields, "csrf": token(computer)}).status_code == 303
    (event,) = home.garage.toolbox().readings
    assert event.data["instrument"]["name"] == "blades"
    assert any(row["key"].startswith("meter:blades/") for row in event.data["estimate"]["rows"])


def test_the_odometer_is_asked_of_what_wears_by_distance(home):
    sheet = library.text("runs_hot").replace('band: "min 12.4 V"', 'band: "min 3 mm"\n    quantity: pad_thickness')
    opened = {"vehicle": "tavrick", "sheet": sheet, "sheet_file": "own.yaml"}
    take(home.garage, Entry(f"{901:032x}", "job/wear", "job_opened", opened))
    found = fields(home.garage, "battery", "wear")["odometer"]
    assert (found.kind, found.unit, found.required) == ("number", "km", False)
    assert "odometer" not in fields(home.garage, "battery")


def test_last_values_are_of_the_same_limit_of_the_same_vehicle_only(home, computer):
    """Of the demo: the relay's coil was read on the estate; the heater is another limit."""
    give = giving(home.garage, "job/runs-hot")
    give("reading_judged", limit="heater", read="15.9 ohm", zero="0.4 ohm")

    def offered(job_id, limit):
        form = reading_form(home.garage, home.garage.job(job_id), limit, "/")
        read = next(field for field in form.fields if field.name == "read")
        return {value for last in read.offers.values() for value in last}

    assert offered("runs-hot", "coil") <= {"101.1", "101.2", "100.9"}
    give("reading_judged", limit="coil", read="101.1 101.2 ohm", zero="0.4 ohm", meter="blue meter")
    assert offered("runs-hot", "coil") == {"101.1", "101.2"}
    assert "101.1" not in offered("runs-hot", "heater")
    give("vehicle_named", "vehicle/other", name="Other")
    give("job_opened", "job/other", vehicle="other", library="runs_hot")
    give("job_opened", "job/again", vehicle="tavrick", library="runs_hot")
    assert offered("other", "coil") == set()
    assert offered("again", "coil") == {"101.1", "101.2"}


def test_a_clock_ends_with_its_step(home, computer):
    def running():
        return re.search(r'id="clocks" data-open="([^"]*)"', computer.get("/job/runs-hot/now").text)[1].split()

    job = home.garage.job("runs-hot")
    waits = [step.id for step in job.sheet.steps if step.wait]
    assert set(waits) & set(running()) == {one for one in waits if job.run.standing[one].value != "done"}
    give = giving(home.garage, "job/runs-hot")
    done = home.garage.job("runs-hot").state.done
    ended = next(event for event in reversed(done) if event.data["step"] in waits)
    give("withdrawn", event=ended.id)
    assert ended.data["step"] in running()
