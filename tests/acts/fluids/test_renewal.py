"""What drains renew: shares by hand, words that say what is not known, and money by the litre."""

import pytest
from tests.acts.fluid_jobs import with_circuit

from knowngood.acts.fluids.renewal import renewal

GEARBOX = '{name: "Gearbox", fluid: gearbox oil, holds: "8 L ± 0.2", refill: fill}'


@pytest.fixture
def kept(tmp_path):
    return with_circuit(tmp_path, GEARBOX)


def out(kept, *litres):
    for litre in litres:
        kept.add("fluid_moved", circuit="c", way="out", amount=f"{litre} L", fluid_c="20 °C")
        kept.add("fluid_moved", circuit="c", way="in", amount=f"{litre} L", fluid_c="20 °C")


def told(kept, wanted=0.8):
    return renewal(kept.garage, kept.job, "c", wanted)


def test_nothing_is_said_before_anything_came_out(kept):
    assert told(kept) is None


@pytest.mark.published("changes of one fraction, the geometric series worked by hand: 0.4 -> .400 .640 .784 .870")
@pytest.mark.parametrize(("drains", "share"), [(1, 0.400), (2, 0.640), (3, 0.784), (4, 0.870)])
def test_drains_of_one_size_renew_as_the_series_says(kept, drains, share):
    out(kept, *[3.2] * drains)
    assert round(told(kept).renewed.value, 3) == share
    assert told(kept).done == drains


def test_all_that_went_away_between_two_fillings_is_one_drain(kept):
    kept.add("fluid_moved", circuit="c", way="out", amount="2.2 L", fluid_c="20 °C")
    kept.add("fluid_moved", circuit="c", way="spilled", amount="1 L", fluid_c="20 °C")
    assert told(kept).done == 1
    assert round(told(kept).share.value, 3) == 0.400


def test_the_sentence_says_what_more_would_make_and_cost(kept):
    out(kept, 3.2)
    kept.add("price_stated", "toolbox", what="fluid:gearbox oil", pack="1 L", amount="12")
    kept.add("price_stated", "toolbox", what="fluid:gearbox oil", pack="5 L", amount="50")
    assert told(kept, 0.75).sentence == (
        "This drain renews 40 % ± 3 %. Two more would make 78 % ± 3 %: 6.4 L more for 64."
    )
    # 1 - exp(-9.6/8) = .699, a stirred tank.
    said = "The 9.6 L of all changes through a continuous exchange, new in while old runs out: 70 %"
    assert said in told(kept, 0.75).further[0]


def test_without_a_price_no_money_is_named(kept):
    out(kept, 3.2)
    assert told(kept).more_money is None
    assert told(kept).sentence.endswith("L more.")


def test_enough_is_said_to_be_enough(kept):
    out(kept, 3.2, 3.2)
    assert told(kept, 0.5).sentence == "These 2 drains renew 64 % ± 3 %. That is the 50 % wanted, or more."


def test_without_a_total_thirty_to_fifty_percent_and_it_says_so(tmp_path):
    kept = with_circuit(tmp_path, '{name: "Gearbox", fluid: gearbox oil, holds: {ask: total}, refill: fill}\nasks: '
                        '{total: {question: "How much?", answer: volume, like: "8 L"}}')  # fmt: skip
    out(kept, 3.2)
    found = told(kept)
    assert (found.share.value, found.share.standard_uncertainty) == pytest.approx((0.4, 0.1 / 3**0.5))
    assert found.sentence.startswith("This drain renews perhaps 40 % ± 11 %.")
    assert any("30 to 50 %" in row and "common practice" in row for row in found.further)
    assert found.beside is None


def test_more_out_than_it_holds_is_refused_in_words(kept):
    for litre in ("7 L", "6 L"):
        kept.add("fluid_moved", circuit="c", way="out", amount=litre, fluid_c="20 °C")
    with pytest.raises(ValueError, match=r"13 L came out, and the circuit holds 8 L in all"):
        told(kept)
