"""What a limit decides names an act; what does not is told at its line, and holds nobody up."""

import pytest

from knowngood.checks import check
from knowngood.sheet import library
from knowngood.sheet.act_named import names_act
from knowngood.sheet.problem import Severity
from knowngood.sheet.reader import read

SHEET = """\
sheet: 1
id: small
title: "A drain"
start: [parked]
limits:
  drain:
    name: "Current asleep"
    band: "max 50 mA"
    decides: {decides}
steps:
  - {{id: read_it, do: "Read it", zone: top, time: "1 2 3 min", read: [drain]}}
"""


def found(decides):
    problems = check(read(SHEET.format(decides=f'"{decides}"'), file="small.yaml"))
    return [one for one in problems if one.code == "no act named"]


def test_an_older_wording_is_told_with_the_right_form():
    [problem] = found("whether it is mended")
    assert (problem.severity, problem.line) == (Severity.NOTE, 9)
    assert problem.message == (
        'small.yaml:9: "Current asleep": decides begins with whether: "whether it is mended". It names the act that '
        'follows when the reading is out, beginning with its verb. Write such as "renew the relay", or leave it out '
        "of a check after a repair."
    )


@pytest.mark.parametrize(
    "decides", ["look through the fuses", "Charge it first", "bleed the circuit again", "re-read it"]
)
def test_an_act_is_taken(decides):
    assert found(decides) == []


@pytest.mark.parametrize(
    "decides",
    ["the relay", "is it mended?", "it is mended", "renewing the relay", "mended", "to buy it", "buy it.", "3"],
)
def test_what_is_no_act_is_told(decides):
    assert not names_act(decides)
    assert len(found(decides)) == 1


@pytest.mark.parametrize("name", [one.id for one in library.sheets()])
def test_the_sheets_of_the_library_name_acts(name):
    limits = read(library.text(name), file=name).sheet.limits
    assert all(names_act(one.decides) for one in limits.values() if one.decides)
