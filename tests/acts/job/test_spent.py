"""A part fitted at a stated price is money spent, until what was paid for it is entered."""

import pytest
from tests.acts.job.test_revised import SHEET, begun, read
from tests.refusing import refused

from knowngood import cli
from knowngood.acts.book import sections
from knowngood.acts.faults.worth_doing import worth_doing
from knowngood.acts.job.spent import costs_of, left_words, spent
from knowngood.report.paper.fill import book_data
from knowngood.web.pages import why

PARTS = SHEET.replace(
    'parts: {relay: {name: "starter relay", count: 2}}',
    'parts: {relay: {name: "starter relay", count: 2}, oil: {name: "oil"}, filter: {name: "oil filter"}}',
).replace("fit: [relay]", "fit: [relay, oil, filter]")
PRICES = {"relay": "12.35", "oil": "30", "filter": "9"}


@pytest.fixture
def give(garage):
    return begun(garage, SHEET)


def fitted(garage, sheet=PARTS):
    """A hand on a job whose parts were fitted, each at its stated price."""
    handed = begun(garage, sheet)
    for part, price in PRICES.items():
        handed("price_stated", "toolbox", what=f"part:drain.{part}", amount=price)
    read(handed, garage, "20 mA")
    handed("step_done", step="fit")
    return handed


def test_a_part_fitted_at_a_stated_price_is_money_spent(garage, give):
    read(give, garage, "20 mA")
    assert spent(garage.job("one")) == 0.0
    give("price_stated", "toolbox", what="part:drain.relay", amount="12.35")
    assert spent(garage.job("one")) == 0.0  # stated, not fitted
    give("step_done", step="fit")
    [cost] = costs_of(garage.job("one"))
    assert (cost.amount, cost.words) == (24.7, "starter relay: 24.70 stated under prices")
    give("paid", what="Starter relay, two of them", amount="20000.15")
    assert [one.amount for one in costs_of(garage.job("one"))] == [20000.15]
    assert dict(sections(garage.job("one")))["Cost"] == [
        "Starter relay, two of them: 20\u00a0000.15", "Together: 20\u00a0000.15",
    ]  # fmt: skip
    give("withdrawn", event=garage.job("one").state.paid[0].id)
    give("withdrawn", event=garage.job("one").state.done[-1].id)
    assert costs_of(garage.job("one")) == ()


def test_a_payment_stands_for_the_part_that_it_names_and_for_no_other(garage):
    give = fitted(garage)
    assert spent(garage.job("one")) == 2 * 12.35 + 30.0 + 9.0
    give("paid", what="Oil filter, from the market", amount="7")
    assert {one.what: one.amount for one in costs_of(garage.job("one"))} == {
        "Oil filter, from the market": 7.0, "starter relay": 24.7, "oil": 30.0,
    }  # fmt: skip


def test_a_payment_that_names_no_part_adds(garage):
    give = fitted(garage)
    give("paid", what="rags", amount="3")
    assert spent(garage.job("one")) == pytest.approx(66.7)


def test_a_payment_whose_words_do_not_say_it_may_choose_its_part(garage):
    give = fitted(garage)
    assert "no part of this job" in refused(give, "paid", what="receipt", amount="20", part="wheel")["part"]
    give("paid", what="receipt of Saturday", amount="20", part="relay")
    assert [one.what for one in costs_of(garage.job("one"))] == ["receipt of Saturday", "oil", "oil filter"]
    (field,) = [one for one in why.spent(garage.job("one"), None)["form"]["fields"] if one["name"] == "part"]
    assert [key for key, _ in field["choices"]] == ["", "relay", "oil", "filter"]
    give("paid", what="", amount="8", part="filter")
    assert garage.job("one").state.paid[-1].data["what"] == "oil filter"


def test_a_repair_that_was_tried_without_a_step_of_its_own_fitted_its_part(garage):
    sheet = SHEET.replace(
        "steps:",
        """suspects: {leak: "Relay stays on"}
repairs: {swap: {name: "Fit the relay", fixes: {leak: "9 of 10"}, part: relay, minutes: "5 min"}}
steps:""",
    )
    give = begun(garage, sheet)
    give("price_stated", "toolbox", what="part:drain.relay", amount="12.35")
    [noted] = give("finding_noted", test="swap", outcome="still there")
    assert spent(garage.job("one")) == 24.7
    give("withdrawn", event=noted.id)
    assert spent(garage.job("one")) == 0.0


def test_book_money_paper_terminal_and_advice_say_the_same(garage, capsys):
    give = fitted(garage)
    give("quote_stated", quote="310")
    job = garage.job("one")
    assert left_words(job) == "246.30 of the quote is left."
    cost = dict(sections(job))["Cost"]
    assert cost == [
        "starter relay: 24.70 stated under prices", "oil: 30 stated under prices", "oil filter: 9 stated under prices",
        "Together: 63.70", "246.30 of the quote is left.",
    ]  # fmt: skip
    money = why.spent(job, None)
    assert (money["words"], money["paid"], money["costs"]["Spent"]) == (left_words(job), cost[:3], "63.70")
    [paper] = [one for one in book_data(garage, job).sections if one.title == "Cost"]
    assert paper.total == ("Together", "63.70")
    assert cli.main(["book", "--json", "--garage", str(garage.folder)]) == 0
    assert "starter relay: 24.70 stated under prices" in capsys.readouterr().out
    assert _counted(garage) == pytest.approx(63.7)
    give("paid", what="oil", amount="55.50")
    assert _counted(garage) == pytest.approx(63.7 + 25.5)
    give("paid", what="tow", amount="300")
    assert left_words(garage.job("one")) == "79.20 more than the quote is spent."


def _counted(garage):
    """Parts, as the comparison with the quote counts them."""
    told = worth_doing(garage, garage.job("one"))
    [own] = [way for way in told.worth.ways if way.key == "all of it"]
    return own.paid_now.value
