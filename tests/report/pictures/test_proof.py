"""The picture of a proof: the curve, what closes the job, and where the drives have come to."""

import re

import pytest

from knowngood.engine.troubleshooting.worth.proof import Drive, Returns, prove
from knowngood.report.pictures.proof import proof_picture

BEFORE = Returns(3, 450.0)


def dot(svg):
    return [float(one) for one in re.search(r'<circle class="raw" cx="([\d.]+)" cy="([\d.]+)"', svg).groups()]


def limit(svg):
    return float(re.search(r'class="limit" d="M[\d.]+ ([\d.]+)H', svg)[1])


@pytest.mark.parametrize("width", [360, 640])
def test_drives_move_the_dot_along_and_up_until_it_lies_in_the_strip(width):
    near, far = (
        proof_picture("Gone?", prove(0.7, BEFORE, [Drive(km)]), "km", width=width) for km in (50.0, 700.0)
    )  # fmt: skip
    assert dot(near)[0] < dot(far)[0] <= width
    assert dot(near)[1] > limit(near)
    assert dot(far)[1] < limit(far)
    assert "95" in re.findall(r">(\d+)</text>", near)


def test_the_dot_enters_the_strip_just_where_the_proof_is_in():
    needed = prove(0.7, BEFORE).needed[0.95]
    svg = proof_picture("Gone?", prove(0.7, BEFORE, [Drive(needed)]), "km")
    assert dot(svg)[1] == pytest.approx(limit(svg), abs=0.2)


def test_what_came_back_has_no_curve():
    assert proof_picture("Gone?", prove(0.7, BEFORE, [Drive(40.0, came_back=True)]), "km") == ""


def test_a_mend_that_is_believed_from_the_start_is_drawn_too():
    svg = proof_picture("Gone?", prove(0.99, BEFORE), "days", width=360)
    assert "nan" not in svg
    assert "days</text>" in svg
