"""The command `decide`, with the numbers of the published formula through the whole program."""

import json

import pytest
from tests.acts.fluid_jobs import Kept

from knowngood.cli import main

OURS = "own derivation, p* = (C - R + e(A+C+D))/(A+C+D); the engine's own tests hold it against trying both ways"


def decided(capsys, *words):
    code = main(["decide", *words, "--json"])
    out = capsys.readouterr().out
    return code, json.loads(out)


@pytest.mark.published(OURS)
@pytest.mark.parametrize(
    ("words", "flip"),
    [
        ("--part 35 --again 160 --damage 120 --new-bad 0%", 0.1111),
        ("--part 35 --again 160 --damage 120", 0.1211),
        ("--part 35 --again 160 --damage 120 --credit 15", 0.0735),
        ("--part 180 --again 60 --damage 0", 0.7600),
        ("--part 20 --again 200 --damage 400 --new-bad 2%", 0.0523),
        ("--part 35 --again 160 --damage 600", 0.0540),
    ],
)
def test_flips_where_the_formula_says(capsys, words, flip):
    code, told = decided(capsys, "--about", "part", *words.split())
    assert code == 0
    assert told["flips_at"] == pytest.approx([flip], abs=5e-5)
    assert told["break_even"] == pytest.approx(flip, abs=5e-5)


def test_a_test_that_can_be_made_later_moves_the_flip_up(capsys):
    words = ("--part", "35", "--again", "160", "--damage", "600", "--later-test", "80 % 10 % 5")
    assert decided(capsys, *words)[1]["flips_at"] == pytest.approx([0.0624], abs=5e-5)


def test_a_test_now_makes_an_interval_of_its_own(capsys):
    words = ("--part", "60", "--again", "150", "--damage", "40", "--test", "90 % 5 % 4", "--probability", "20 %")
    told = decided(capsys, *words)[1]
    assert [one["option"] for one in told["stretches"]] == ["close and watch", "test more", "replace now"]
    assert told["advice"] == "test more"
    assert [one["low"] for one in told["stretches"][1:]] == told["flips_at"]


@pytest.mark.published(
    "Nelson 1982, Weibull's conditional reliability: age 90, horizon 30, life 150, shape 3: .2562 by hand"
)
def test_wear_enters_from_age_horizon_and_life(capsys):
    words = ("--part", "35", "--again", "160", "--damage", "120", "--probability", "0 %")
    worn = ("--age", "90 km", "--horizon", "30 km", "--life", "150 km")
    assert decided(capsys, *words, *worn)[1]["failing"] == pytest.approx(0.2562, abs=5e-5)


def test_money_and_minutes_stay_apart(capsys):
    words = ("--part", "46", "--part-minutes", "12", "--again", "150", "--damage", "40", "--hour", "25",
             "--new-bad", "0 %", "--probability", "41 %")  # fmt: skip
    options = {one["option"]: one for one in decided(capsys, *words)[1]["options"]}
    assert (options["replace now"]["money"], options["replace now"]["minutes"]) == (46.0, 12.0)
    assert options["close and watch"]["money"] == pytest.approx(0.41 * (46 + 150 + 40))
    assert options["replace now"]["expected_cost"] == pytest.approx(46 + 12 / 60 * 25)


def test_the_sheet_says_what_is_not_typed(capsys, tmp_path):
    sheet = tmp_path / "job.yaml"
    sheet.write_text(SHEET, encoding="utf-8")
    code, told = decided(capsys, str(sheet), "--about", "valve", "--damage", "100", "--hour", "0")
    assert code == 0
    assert told["probability"]["value"] == pytest.approx(0.475)
    # 30 now; later 30 and the cover's 12, and the tow: p* = 30/142 + .01.
    assert told["flips_at"] == pytest.approx([30 / 142 + 0.01])
    assert "part 30, 5 min, getting to it again 12, 50 min" in told["counted"]


def test_the_shop_takes_over_at_the_whole_quote_of_the_sheet(capsys, tmp_path):
    sheet = tmp_path / "job.yaml"
    sheet.write_text(SHEET + 'quote: {money: 100, minutes: "60 min", covers: [hose], beyond: 50}\n', encoding="utf-8")
    told = decided(capsys, str(sheet), "--about", "valve")[1]
    (over,) = [one for one in told["options"] if one["option"] == "hand over"]
    assert (over["money"], over["minutes"], over["expected_cost"]) == (150.0, 60.0, 165.0)
    assert "the quote 150, 60 min" in told["counted"]
    typed = decided(capsys, str(sheet), "--about", "valve", "--quote", "90")[1]["options"]
    assert [one["expected_cost"] for one in typed if one["option"] == "hand over"] == [90.0]


def test_each_repair_can_be_weighed_though_another_mends_some_of_the_same(capsys, tmp_path):
    sheet = tmp_path / "job.yaml"
    kit = '  kit: {name: "Seal kit", fixes: [seal, valve], money: 12}\ncovers:'
    sheet.write_text(
        SHEET.replace("covers:", kit).replace("  hose:", '  seal: "Seal leaks"\n  hose:'), encoding="utf-8"
    )
    assert decided(capsys, str(sheet), "--about", "kit")[1]["name"] == "Seal leaks"
    assert decided(capsys, str(sheet), "--about", "renew_valve")[1]["name"] == "Valve sticks"


def test_minutes_alone_leave_the_money_of_the_sheet(capsys, tmp_path):
    sheet = tmp_path / "job.yaml"
    sheet.write_text(SHEET, encoding="utf-8")
    told = decided(capsys, str(sheet), "--about", "valve", "--again-minutes", "100", "--part-minutes", "7")[1]
    assert "part 30, 7 min, getting to it again 12, 100 min" in told["counted"]


def test_minutes_alone_leave_the_money_that_is_assumed(capsys):
    told = decided(capsys, "--about", "pump", "--part-minutes", "7", "--again-minutes", "20")[1]
    assert "part 60, 7 min, getting to it again 20 min" in told["counted"]
    assert any("the new part costs 60" in one for one in told["assumed"])


def test_what_nobody_said_is_assumed_and_told(capsys):
    told = decided(capsys, "--about", "pump")[1]
    assert told["options"]
    assert any("the new part costs 60" in one for one in told["assumed"])
    assert told["holds_whatever_was_assumed"] is False


def test_a_safety_part_is_not_weighed(capsys, tmp_path):
    sheet = tmp_path / "job.yaml"
    sheet.write_text(SHEET, encoding="utf-8")
    told = decided(capsys, str(sheet), "--about", "hose", "--probability", "1 %")[1]
    assert told["options"] == []
    assert told["flips_at"] == []
    assert told["advice"] == "replace now"
    assert told["sentence"].startswith("Brakes: a part in doubt is replaced, or handed over")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--again", "abc"], '--again: "abc" is not an amount of money.'),
        (["--probability", "120 %"], '--probability: "120 %" is no chance; it lies between 0 and 100 %.'),
        (["--probability", "60..40 %"], "--probability: "),
        (["--test", "8"], '--test: "8" is not a test. Write three numbers'),
        (["--life", "100 km"], "--age: Nothing is written here."),
        (["--probability", "0.4"], '--probability: "0.4" can be 0.4 % or 40 %. Write the sign: 40 %.'),
        (["--probability", "0,3..0,5"], '--probability: "0,3..0,5" can be 0.3 % or 30 %. Write the sign: 30 %.'),
        (["--test", "0.8 0.1 5"], '--test: "0.8" can be 0.8 % or 80 %. Write the sign: 80 %.'),
        (
            ["--life", "0 km", "--age", "90 km"],
            '--life: "0 km" cannot be; it is more than 0. Write it such as 90000 km.',
        ),
        (["--life", "9 km", "--age=-1 km"], '--age: "-1 km" cannot be; it is 0 or more. Write it such as 90000 km.'),
        (["--part-minutes", "-5 min"], '--part-minutes: "-5 min" is below zero.'),
    ],
)
def test_what_cannot_be_used_is_said_at_its_option(capsys, words, says):
    assert main(["decide", "--about", "t", *words]) == 2
    assert capsys.readouterr().err.startswith(says)


def test_an_unknown_part_names_those_there_are(capsys, tmp_path):
    sheet = tmp_path / "job.yaml"
    sheet.write_text(SHEET, encoding="utf-8")
    assert main(["decide", str(sheet), "--about", "pump"]) == 2
    says = '--about: "pump" is no doubtful part of this sheet. It has: renew_valve, hose.\n'
    assert capsys.readouterr().err == says


def test_a_share_below_one_percent_is_written_with_its_sign(capsys):
    assert decided(capsys, "--about", "t", "--probability", "0.4 %")[1]["probability"]["value"] == pytest.approx(0.004)
    assert (
        decided(capsys, "--about", "t", "--test", "80%10%5")[1]
        == decided(capsys, "--test", "80 % 10 % 5", "--about", "t")[1]
    )


def test_a_sheet_whose_covers_go_round_in_a_ring_is_told_with_its_line(capsys, tmp_path):
    sheet = tmp_path / "ring.yaml"
    sheet.write_text(SHEET.replace("money: 12}", "money: 12, inside: pan}"), encoding="utf-8")
    assert main(["decide", str(sheet), "--about", "valve"]) == 1
    said = capsys.readouterr().err
    assert said == (
        'stop: ring.yaml:11: "Pan" inside "Pan": none of them could come off first. Take inside out of the outermost.\n'
    )


def test_in_words_for_a_person(capsys):
    assert main(["decide", "--about", "thermostat", "--part", "46", "--again", "150", "--damage", "40"]) == 0
    out = capsys.readouterr().out
    assert "Replace it now: 48 against 118 expected later. The answer flips below 20 %; nobody knows" in out
    assert "close and watch" in out
    assert "Assumed: an hour of yours is worth 15" in out


SHEET = """
sheet: 1
id: valve
title: "Valve"
suspects:
  valve: "Valve sticks"
  hose: {name: "Brake hose swollen", kind: brake hose}
repairs:
  renew_valve: {name: "New valve", fixes: [valve], cover: pan, money: 30, minutes: "5 min"}
covers:
  pan: {name: "Pan", opens: "20 min", closes: "30 min", money: 12}
steps:
  - {id: look, do: "Look", zone: top, time: "1 2 3 min"}
"""


def test_the_page_for_a_mechanic_is_a_pdf_or_its_words(capsys, tmp_path):
    Kept(tmp_path, SHEET, complaint="Shifts late.")
    place, out = str(tmp_path / "garage"), tmp_path / "page.pdf"
    assert main(["handover", "--garage", place, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["Complaint"] == ["Shifts late."]
    assert main(["handover", "--garage", place, "--out", str(out)]) == 0
    assert out.read_bytes().startswith(b"%PDF")
