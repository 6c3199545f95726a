"""What things cost: stated, stated anew, taken back, and asked for."""

import pytest
from tests.acts.suspect_sheets import NO_START, job_of, sheet_of
from tests.acts.toolboxes import boxed
from tests.refusing import refused

from knowngood.acts.record.prices_stated import PRICED, can_be_priced
from knowngood.acts.tools.prices import Prices, cans_of, price_of_instrument, priced, prices_of
from knowngood.sheet.model import Fluid

MICROMETER, OIL = "instrument:micrometer", f"fluid:{Fluid.ENGINE_OIL.value}"


def in_words(toolbox):
    return [words for thing in priced(toolbox) for words in thing.words]


def stated(what, amount, pack=""):
    return ("price_stated", {"what": what, "amount": amount, "pack": pack})


def test_nothing_costs_anything_before_it_is_stated():
    box = boxed()
    assert (price_of_instrument(box, "micrometer"), cans_of(box, Fluid.ENGINE_OIL), in_words(box)) == (None, (), [])


def test_the_newest_price_stands():
    box = boxed(stated(MICROMETER, "30"), stated("instrument:dial", "18"), stated(MICROMETER, "24,50"))
    assert (price_of_instrument(box, "micrometer"), price_of_instrument(box, "dial")) == (24.5, 18.0)
    assert in_words(box) == ["Dial indicator: 18", "Micrometer: 24.50"]


def test_what_is_lent_costs_nothing_which_is_known():
    assert price_of_instrument(boxed(stated(MICROMETER, "0")), "micrometer") == 0.0


def test_each_size_of_can_has_its_own_price():
    box = boxed(
        stated(OIL, "31", "5 L"), stated(OIL, "9.5", "1"), stated("fluid:coolant", "12", "1 L"), stated(OIL, "29", "5L")
    )
    assert cans_of(box, Fluid.ENGINE_OIL) == ((1.0, 9.5), (5.0, 29.0))
    assert cans_of(box, Fluid.BRAKE_FLUID) == ()
    assert in_words(box) == ["Coolant, 1 L for 12", "Engine oil, 1 L for 9.50", "Engine oil, 5L for 29"]


def test_a_can_in_another_unit_holds_the_same():
    assert cans_of(boxed(stated(OIL, "11", "1 qt")), "engine oil") == ((pytest.approx(0.946353, abs=1e-6), 11.0),)


def test_a_price_taken_back_leaves_the_one_before():
    rows = [stated(MICROMETER, "30"), stated(MICROMETER, "3")]
    assert price_of_instrument(boxed(*rows, withdrawn=[2]), "micrometer") == 30.0
    assert price_of_instrument(boxed(*rows, withdrawn=[1, 2]), "micrometer") is None


def test_every_kind_of_instrument_and_every_fluid_can_have_one():
    box = boxed(*(stated(what, "1", "1 L" if what.startswith("fluid:") else "") for what in PRICED))
    assert len(in_words(box)) == len(PRICED)
    assert all(cans_of(box, fluid) == ((1.0, 1.0),) for fluid in Fluid)


DIGITS = '"{}" is not an amount of money. Write digits only, from 0 up, such as 46 or 12.50.'
FROM_ZERO = '"{}" is not a price that a part can have. Write it from 0 up, such as 12.50.'


@pytest.mark.parametrize(
    ("what", "amount", "pack", "field", "says"),
    [
        (MICROMETER, "", "", "amount", "Nothing is written here. Write what it cost, such as 46 or 12.50."),
        (MICROMETER, "cheap", "", "amount", DIGITS.format("cheap")),
        (MICROMETER, "-1", "", "amount", DIGITS.format("-1")),
        (MICROMETER, "1,250", "", "amount", '"1,250" may mean thousands or a fraction. Write "1250" or "1.25".'),
        (OIL, "15", "1500 L", "pack", '"1500 L" is no can; one holds 0.001 to 200 L. Check the number and its unit.'),
        (MICROMETER, "2 000 000", "", "amount", FROM_ZERO.format("2 000 000")),
        (MICROMETER, "nan", "", "amount", DIGITS.format("nan")),
        (
            MICROMETER,
            "15",
            "1 L",
            "pack",
            '"1 L" is the size of a can, and "Micrometer" is no fluid. Empty this field.',
        ),
        (OIL, "15", "", "pack", "A fluid is bought by the can. Write what one holds, such as 1 L."),
        (OIL, "15", "0", "pack", '"0 L" is no can. Write what one holds, above zero, such as 1 L.'),
        (OIL, "15", "-1 L", "pack", '"-1 L" is no can. Write what one holds, above zero, such as 1 L.'),
        ("", "15", "", "what", "Nothing is written here. Write what the price is for."),
    ],
)
def test_what_cannot_be_used_is_told_at_its_field(what, amount, pack, field, says):
    assert refused(boxed, stated(what, amount, pack)) == {field: says}


def test_a_weight_is_no_size_of_a_can():
    assert list(refused(boxed, stated(OIL, "15", "1 kg"))) == ["pack"]


def test_parts_of_open_jobs_and_an_hour_can_have_one(tmp_path):
    kept = job_of(tmp_path, NO_START)
    sheet = sheet_of(NO_START)
    assert prices_of(kept.garage.toolbox(), sheet) == Prices({}, None)
    kept.add("price_stated", "toolbox", what="part:no_start.relay", amount="12,50")
    kept.add("price_stated", "toolbox", what="hour", amount="20")
    kept.add("price_stated", "toolbox", what="hour", amount="25")
    assert prices_of(kept.garage.toolbox(), sheet) == Prices({"relay": 12.5}, 25.0)
    assert in_words(kept.garage.toolbox()) == ["An hour of your own time: 25", "Relay: 12.50"]


def test_what_nothing_is_called_has_no_price(tmp_path):
    kept = job_of(tmp_path, NO_START)
    for what in ("engine", "part:no_start.hose", "part:other.relay"):
        assert refused(kept.add, "price_stated", "toolbox", what=what, amount="15") == {
            "what": f'"{what}" is nothing that has a price here. '
            "Choose a part of an open job, an hour of your own, an instrument or a fluid."
        }


def test_parts_of_a_finished_job_are_not_asked_for(tmp_path):
    kept = job_of(tmp_path, NO_START)
    assert can_be_priced(kept.garage)["part:no_start.relay"] == "Relay"
    for kind in ("started", *(f"step_done {step}" for step in ("tray_off", "swap", "tray_on")), "finished"):
        name, _, step = kind.partition(" ")
        kept.add(name, **({"step": step} if step else {}))
    assert "part:no_start.relay" not in can_be_priced(kept.garage)
