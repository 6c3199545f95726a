"""Jobs that a person writes down and that hold no danger: no stop is told, and nothing is cautioned in vain."""

import pathlib

import pytest

from knowngood.checks import check
from knowngood.sheet.reader import read

SHEETS = sorted((pathlib.Path(__file__).parents[1] / "sheets" / "innocent").glob("*.yaml"))


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
@pytest.mark.parametrize("driven", [None, "front", "rear", "all"])
def test_no_problem_is_told_of_an_ordinary_job(path, driven):
    reading = read(path.read_text(encoding="utf-8"), file=path.name)
    assert [one.message for one in check(reading, driven=driven)] == []
