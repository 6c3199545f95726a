"""A job that has begun goes on: what is now a stop is said as a caution at its step, on every face."""

import pytest
from tests.garages import giving, keep_old

from knowngood.acts.job.run_document import document

SHEET = """
sheet: 1
id: pads
title: "Front pads"
steps:
  - {id: look, do: "Look at the pads", zone: wheel, time: "1 2 3 min"}
  - {id: strap, do: "Unplug the seat belt pretensioner", zone: inside, time: "1 2 3 min"}
"""
SEALED = "which belongs to belts and airbags"


@pytest.fixture
def own(garage):
    give = giving(garage, "job/own")
    give("vehicle_named", "vehicle/own", name="Own")
    give("job_opened", vehicle="own", sheet=SHEET)
    return give


def begun_by_an_older_program(garage):
    """Its start looked at no such danger, and its events say so."""
    keep_old(garage, 101, "started", "job/own")
    keep_old(garage, 102, "planned", "job/own", order=["look", "strap"], seed=0, program="0", why="as written")


def test_before_the_start_it_is_no_caution_of_the_step(garage, own):
    assert not any(SEALED in words for words in garage.job("own").cautions["strap"])


def test_a_job_that_had_begun_says_it_at_its_step_and_goes_on(garage, own):
    begun_by_an_older_program(garage)
    job = garage.job("own")
    assert [SEALED in words for words in job.cautions["strap"]] == [True]
    assert not any(SEALED in words for words in job.cautions["look"])
    steps = {step["id"]: step for step in document(job, made=garage.now())["steps"]}
    assert any(SEALED in words for words in steps["strap"]["cautions"])
    own("step_done", step="look")
    own("step_done", step="strap")
    assert garage.job("own").run.finished
