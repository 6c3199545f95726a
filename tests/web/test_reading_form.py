"""The form of a limit: where the meter lies is asked where a meter's cold or heat counts, and how a winding cools."""

import pytest

from knowngood.acts.entries import Entry
from knowngood.acts.record import take
from knowngood.sheet import library
from knowngood.web.reading_form import reading_form


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
