"""A part that nobody priced counts as a wide share of the quote: the same everywhere, and said at the advice."""

import json

import pytest

from knowngood import cli
from knowngood.acts.faults.part_price import OTHERWISE, unpriced_part
from knowngood.acts.faults.suspects import suspected_of
from knowngood.acts.tools.prices import Prices
from knowngood.sheet.reader import read

# A disc may be worn, and a look tells; nobody says what a disc costs.
SHEET = """sheet: 1
id: judders
title: "Judders"
parts: {disc: {name: "discs", count: 2}}
suspects: {worn: {name: "Rotor worn", of_10: 5}, tyre: {name: "Something in the cabin rattles", of_10: 4}}
tests: {feel: {name: "Felt at the lever", shows: {worn: nearly always}, without: rarely, minutes: "8 min"}}
repairs:
  renew: {name: "New rotor", fixes: [worn], part: disc, minutes: "15 min"}
steps: [{id: look, do: "Look", zone: top, time: "1 2 3 min"}]
"""


def sheet(**_):
    found = read(SHEET, file="judders.yaml")
    assert found.sheet is not None, found.problems
    return found.sheet


def of_part(**stated):
    (renew,) = suspected_of(sheet(), **stated).problem.repairs
    return renew.price.money


def test_it_counts_as_a_share_of_the_quote_else_as_our_guess():
    assert (of_part(quote=400.0), of_part(quote=80.0), of_part()) == (100.0, 20.0, OTHERWISE)
    assert unpriced_part(None) == OTHERWISE


def test_what_is_stated_counts_piece_by_piece():
    assert of_part(quote=400.0, prices=Prices({"disc": 30.0})) == 60.0


@pytest.mark.parametrize("quote", [200, 400, 800])
def test_an_eight_minute_feel_comes_before_a_part_that_nobody_priced(tmp_path, capsys, quote):
    file = tmp_path / "judders.yaml"
    file.write_text(SHEET)
    assert cli.main(["suspects", str(file), "--quote", str(quote), "--rate", "20", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["next"]["action"] == "feel"
    assert told["unpriced_words"].startswith(f"Nobody stated a price for discs: counted as {quote / 4:.0f}, a quarter")
