"""A job opened before thousands were asked about: its pages open, and a reading against such a limit is refused."""

import pytest
from tests.garages import giving, opened
from tests.refusing import refused

from knowngood.acts.job import problems
from knowngood.store.event import Event

SHEET = """
sheet: 1
id: old
title: Old
limits:
  least: {name: Compression, quantity: cylinder_compression, band: "min 1,000 kPa"}
steps:
  - {id: a, do: read it, zone: top, time: "1 2 3 min", read: [least]}
"""


def _event(garage, number, stream, kind, data):
    now = garage.now()
    return Event.new(id=f"{number:031d}f", stream=stream, kind=kind, device="phone", device_seq=number, happened=now,
                     recorded=now, data=data)  # fmt: skip


@pytest.fixture
def garage(tmp_path):
    with opened(tmp_path / "garage") as garage:
        data = {"vehicle": "own", "title": "Old", "sheet": SHEET, "sheet_file": "old.yaml", "scope": [],
                "complaint": "", "quote": ""}  # fmt: skip
        rows = [("vehicle/own", "vehicle_named", {"name": "Own"}), ("job/old", "job_opened", data)]
        garage.store.append([_event(garage, number, *row) for number, row in enumerate(rows)])
        yield garage


def test_it_is_read_and_the_start_says_what_to_mend(garage):
    job = garage.job("old")
    assert job.sheet.limits["least"].band.text == "min 1,000 kPa"
    (problem,) = [one for one in problems.open_problems(garage, job) if one.code == "form"]
    assert 'Write "1000 kPa" or "1.000 kPa"' in problem.message


def test_no_reading_is_judged_against_what_may_be_a_thousand_times_more(garage):
    give = giving(garage, "job/old")
    assert "thousands or a fraction" in refused(give, "reading_judged", limit="least", read="600 kPa")["limits"]
    give("sheet_revised", sheet=SHEET.replace("1,000", "1000"))
    give("reading_judged", limit="least", read="600 610 kPa")
    assert garage.job("old").newest["least"].data["band"]["lower"] == 1000.0
