"""Temperatures of a job, by one clock whatever the phones' clocks say."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import pytest
from tests.garages import giving, opened
from tests.refusing import refused

from knowngood.acts.fluids.warm_ups import warming, window_of
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take

SHEET = Path(__file__).parents[2] / "sheets/good/levels.yaml"
START = datetime(2026, 11, 21, 14, 0, tzinfo=UTC)


@pytest.fixture
def clock():
    return SimpleNamespace(now=START)


@pytest.fixture
def read(tmp_path, clock):
    """read(minute, celsius, behind=0, device="phone"): keep a temperature; then the job's warming."""
    with opened(tmp_path / "garage", clock=lambda: clock.now) as garage:
        give = giving(garage, "job/levels")
        give("vehicle_named", "vehicle/own", name="Own")
        give("job_opened", vehicle="own", sheet=SHEET.read_text(), sheet_file="levels.yaml")

        def keep(minute, celsius, *, behind=timedelta(0), device="phone", late=timedelta(0), **fields):
            happened = START + timedelta(minutes=minute)
            clock.now = happened + late
            told = (happened - behind).isoformat()
            give("temperature_read", device=device, happened=told, circuit="gearbox", celsius=f"{celsius}", **fields)
            return warming(garage.job("levels"), "gearbox")

        keep.garage = garage
        yield keep


def test_before_the_first_temperature_there_is_nothing(read):
    assert warming(read.garage.job("levels"), "gearbox") is None
    assert window_of(read.garage.job("levels"), "gearbox").text == "35..45 °C"
    assert window_of(read.garage.job("levels"), "brakes") is None


def test_times_count_from_the_last_reading(read):
    read(0, 24)
    told = read(2, 28)
    assert [(one.seconds, one.celsius) for one in told.readings] == [(-120.0, 24.0), (0.0, 28.0)]
    assert told.last == START + timedelta(minutes=2)


def test_a_phone_with_a_wrong_clock_and_a_right_one_are_read_on_one_clock(read):
    wrong = timedelta(days=700)
    read(0, 24, behind=wrong, device="old phone")
    read(1, 26)
    told = read(2, 28, behind=wrong, device="old phone")
    assert [one.seconds for one in told.readings] == [-120.0, -60.0, 0.0]


def test_what_was_sent_late_stands_at_its_own_time(read):
    read(0, 24)
    read(1, 26)
    told = read(2, 28, late=timedelta(minutes=10))
    assert told.last == START + timedelta(minutes=2)


def test_how_long_ago_it_was_read_counts(read):
    read(0, 24)
    told = read(5, 28, ago="3 min")
    assert [one.seconds for one in told.readings] == [-120.0, 0.0]


def test_another_warm_up_begins_after_a_long_gap(read):
    read(0, 60)
    told = read(120, 22)
    assert len(told.readings) == 1
    assert told.heading == "Read it once more"


@pytest.mark.parametrize(
    ("fields", "field", "sentence"),
    [
        ({"celsius": "300"}, "celsius",
         '"300 °C" is no temperature of a fluid in a vehicle. Check the number and °C or °F.'),
        ({"celsius": "24 26"}, "celsius", '"24 26 °C" holds 2 numbers; write one temperature, such as 41.'),
        ({"celsius": "24", "ago": "400"}, "ago",
         '"400 min" ago is too far back to say anything of now. Write from 0 to 180 min.'),
        ({"celsius": "24", "read_with": "thumb"}, "read_with",
         '"thumb" is none of the choices. Take display or probe or infrared.'),
        ({"celsius": "24", "circuit": "axle"}, "circuit", '"axle" is not a circuit of this job.'),
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_said_at_its_field(read, fields, field, sentence):

    typed = {"circuit": "gearbox", **fields}
    assert refused(take, read.garage, Entry("f" * 32, "job/levels", "temperature_read", typed)) == {field: sentence}
