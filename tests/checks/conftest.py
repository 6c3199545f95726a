"""Sheets for the checks: a few lines each, the rest filled in."""

import textwrap

import pytest

from knowngood.checks import check
from knowngood.sheet.reader import read

HEAD = "sheet: 1\nid: small\ntitle: Small job\n"


@pytest.fixture
def problems():
    """Return the problems of a sheet, of one code when it is named."""

    def found(body, code=None, **known):
        reading = read(HEAD + textwrap.dedent(body).lstrip("\n"), file="small.yaml")
        assert reading.sheet is not None, [one.message for one in reading.problems]
        return [one for one in check(reading, **known) if code in (None, one.code)]

    return found


@pytest.fixture
def told(problems):
    """Return severity and message of the problems of one code."""

    def found(body, code, **known):
        return [(one.severity.value, one.message) for one in problems(body, code, **known)]

    return found
