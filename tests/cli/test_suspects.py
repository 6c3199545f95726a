"""The command `suspects`: sheets and jobs in, chances and a plan out; what cannot be used is said with its remedy."""

import json
from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest
from tests.acts.suspect_sheets import NO_START, job_of

from knowngood import cli
from knowngood.acts.faults import plan


@pytest.fixture
def sheet(tmp_path):
    file = tmp_path / "no_start.yaml"
    file.write_text(NO_START)
    return file


@pytest.fixture
def priced(sheet):
    """The same sheet; what the relay costs is stated."""
    sheet.write_text(NO_START.replace("step: swap, cover: tray}", "step: swap, cover: tray, money: 0}"))
    return sheet


def told(capsys, *words):
    assert cli.main(["suspects", *map(str, words), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def refused(capsys, *words):
    assert cli.main(["suspects", *map(str, words)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    return said.err


def ends(node):
    return [node] if "end" in node else [end for one in node["branches"] for end in ends(one["then"])]


def test_a_sheet_as_json(sheet, capsys):
    found = told(capsys, sheet, "--found", "click=no")
    assert found["posterior"] == pytest.approx({"relay": 8 / 11, "pump": 2 / 11, "other": 1 / 11})
    assert found["prior"] == pytest.approx({"relay": 0.4, "pump": 0.4, "other": 0.2})
    assert found["findings"][0]["decibans"]["relay"] == pytest.approx(6.0206, abs=1e-4)
    assert (found["proved_gap"], found["proved"]) == (0.0, "exact")
    assert found["next"]["expected_cost"] == found["expected_cost"]
    in_one = found["expected"]["money"] + found["expected"]["minutes"] / 60.0 * found["rate_per_hour"]
    assert in_one == pytest.approx(found["expected_cost"])


def test_the_policy_is_a_tree_whose_ends_add_up(sheet, capsys):
    found = told(capsys, sheet)
    assert found["policy"]["action"] == found["next"]["action"]
    leaves = ends(found["policy"])
    assert sum(end["chance"] for end in leaves) == pytest.approx(1.0)
    assert sum(end["chance"] * end["money"] for end in leaves) == pytest.approx(found["expected"]["money"])
    shop = [end["chance"] for end in leaves if end["end"] == "shop"]
    assert sum(shop) == pytest.approx(found["shop_chance"], abs=0.01 * len(leaves))


def test_rate_and_quote_count(sheet, capsys):
    found = told(capsys, sheet, "--rate", "0", "--quote", "1")
    assert (found["next"]["action"], found["expected_cost"], found["assumed"]) == ("shop", 1.0, [])


def test_how_firmly_the_next_action_stands(priced, capsys):
    sheet, first = priced, told(capsys, priced)
    found = told(capsys, sheet, "--firm")
    assert "ranges" not in first
    (hour,) = [one for one in found["ranges"] if one["key"] == "hour"]
    below, above = hour["stretches"]
    assert (below["low"], below["high"], above["high"]) == (0.0, above["low"], 60.0)
    assert below["proved"]
    assert above["proved"]
    assert below["action"] == first["next"]["action"] != above["action"]
    # Solved anew on either side of where it flips, another thing is the best to do.
    flips = below["high"]
    assert told(capsys, sheet, "--rate", f"{flips - 0.1}")["next"]["action"] == below["action"]
    assert told(capsys, sheet, "--rate", f"{flips + 0.1}")["next"]["action"] == above["action"]


def test_how_firmly_in_lines(priced, capsys):
    assert cli.main(["suspects", str(priced), "--firm"]) == 0
    said = capsys.readouterr().out.splitlines()
    assert "No doubt about a word changes what to do next; these do:" in said
    assert "  An hour of your own, money/h (now 15): 0 to 38.2 Swap the relay, 38.2 to 60 Pump hums" in said


def test_lines_to_read(sheet, capsys):
    assert cli.main(["suspects", str(sheet), "--found", "click=no", "--quote", "400"]) == 0
    said = capsys.readouterr().out.splitlines()
    assert said[:6] == [
        "Does not start",
        "  Starter relay  ██████████|██████·······  73%  before  40%",
        "  Fuel pump      ████······|·············  18%  before  40%",
        "  none of these  ██···|··················   9%  before  20%",
        "What was found:",
        "  Relay clicks: no (Starter relay 1.8 times likelier; Fuel pump 2.2 times less likely)",
    ]
    assert "Exact: no other order of tests and repairs costs less on average." in said
    next_ = next(place for place, line in enumerate(said) if line.startswith("Next: "))
    counted = "Nobody stated a price for Relay: counted as 100, a quarter of the quote; it may be from 20 to 180."
    assert counted in " ".join(said[next_ : next_ + 5])
    assert said[-1] == "Assumed: an hour of your own time is worth 15."


def test_who_does_not_want_to_wait_takes_the_best_so_far(sheet, capsys, monkeypatch):
    whole = plan.plans

    def interrupted(found, *, steps):
        yield replace(next(whole(found)), proved_gap=0.4, settled=False)
        raise KeyboardInterrupt

    monkeypatch.setattr(plan, "plans", interrupted)
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    assert cli.main(["suspects", str(sheet)]) == 0
    said = capsys.readouterr()
    assert "Proved within 40 %." in said.out
    assert said.err == "\r\033[KStill looking: proved within 40 %. Ctrl+C takes the best so far. \r\033[K"


def test_a_job_with_what_was_found_and_more(tmp_path, capsys):
    kept = job_of(tmp_path, NO_START)
    kept.add("finding_noted", test="click", outcome="no")
    of_job = told(capsys, "--garage", tmp_path / "garage", "--job", "one")
    assert of_job["posterior"]["relay"] == pytest.approx(8 / 11)
    more = told(capsys, "--garage", tmp_path / "garage", "--found", "swap_relay=still there")
    assert more["posterior"]["relay"] == pytest.approx(0.8 / (0.8 + 3.0))
    kept.add("finding_noted", test="swap_relay", outcome="gone")
    gone = told(capsys, "--garage", tmp_path / "garage")
    assert (gone["gone_by"], gone["next"], gone["why_no_plan"]) == ("Swap the relay", None, None)
    assert cli.main(["suspects", "--garage", str(tmp_path / "garage")]) == 0
    assert capsys.readouterr().out.endswith("The fault was gone after “Swap the relay”.\n")


def test_a_sheet_with_prices_of_a_garage(sheet, tmp_path, capsys):
    kept = job_of(tmp_path, NO_START)
    kept.add("price_stated", "toolbox", what="hour", amount="31")
    assert told(capsys, sheet, "--garage", tmp_path / "garage")["rate_per_hour"] == 31.0


def test_no_quote_is_said_with_its_remedy(sheet, capsys):
    sheet.write_text(NO_START.replace('quote: {money: 300, minutes: "30 min"}\n', ""))
    assert cli.main(["suspects", str(sheet)]) == 0
    assert "Ask a shop, or write the most" in capsys.readouterr().out
    found = told(capsys, sheet)
    assert (found["next"], found["policy"], found["why_no_plan"][:18]) == (None, None, "No quote is known.")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--found", "click"], '--found: "click" is not test=outcome. Write it such as "lights=yes".\n'),
        (
            ["--found", "click=maybe"],
            '--found: Test "Relay clicks" cannot show "maybe"; it shows yes, no. Write one of these.\n',
        ),
        (
            ["--found", "clock=yes"],
            '--found: "clock" is no test or repair of this sheet. It has click, hum, swap_relay.\n',
        ),
        (
            ["--found", "click=yes", "--found", "click=no"],
            '--found: "click" is among the findings twice, and would count twice; combine the readings into one, '
            "or take one back.\n",
        ),
        (
            ["--rate", "much"],
            '--rate: "much" is not an amount of money. Write digits only, from 0 up, such as 46 or 12.50.\n',
        ),
        (
            ["--quote", "-1"],
            '--quote: "-1" is not an amount of money. Write digits only, from 0 up, such as 46 or 12.50.\n',
        ),
        (["--job", "one"], "--job: Give a job sheet, or --garage with --job, not both.\n"),
    ],
)
def test_wrong_use_is_said_at_the_option(sheet, capsys, words, says):
    assert refused(capsys, sheet, *words) == says


def test_neither_sheet_nor_garage(capsys):
    assert refused(capsys) == "--job: Give a job sheet, or --garage with --job, not both.\n"


def test_a_sheet_that_makes_no_problem_is_said_with_its_line(sheet, capsys):
    sheet.write_text(NO_START.replace("of_10: 4}", "of_10: 8}"))
    assert cli.main(["suspects", str(sheet)]) == 1
    said = capsys.readouterr().err
    assert said.startswith("stop: no_start.yaml:")
    assert "They must leave room in ten." in said


def test_a_sheet_with_mistakes_of_form_is_said_with_its_line(sheet, capsys):
    sheet.write_text(NO_START.replace("fixes: {relay:", "fixes: {rely:"))
    assert cli.main(["suspects", str(sheet)]) == 1
    assert 'the suspect "rely"' in capsys.readouterr().err


def test_a_sheet_without_suspects(sheet, tmp_path, capsys):
    bare = NO_START[: NO_START.index("suspects:")] + NO_START[NO_START.index("steps:") :]
    sheet.write_text(bare)
    says = (
        '"no_start.yaml" names no suspects. Add what could be wrong, such as suspects: ["Fan relay", "Thermostat"].\n'
    )
    assert refused(capsys, sheet) == says
    job_of(tmp_path, bare)
    assert refused(capsys, "--garage", tmp_path / "garage").startswith('--job: "Does not start" names no suspects.')


@pytest.mark.parametrize("command", [["suspects"], ["check"]])
def test_a_garage_that_is_not_there_is_not_made(sheet, tmp_path, capsys, command):
    assert cli.main([*command, str(sheet), "--garage", str(tmp_path / "typo")]) == 1
    assert f"There is no garage in {tmp_path / 'typo'}." in capsys.readouterr().err
    assert not (tmp_path / "typo").exists()


def test_how_firmly_repairs_that_share_a_check_stand(capsys):
    """With the check for nothing the policy would not put them together; and tests that are done have names still."""
    sheet = Path(str(resources.files("knowngood.sheet"))) / "library_sheets/runs_hot.yaml"
    found = [f"{test}=no" for test in ("level_low", "leak_seen", "fan_still", "feed_lost")]
    found += ["fan_late=starts", "codes=yes"]
    words = [word for one in found for word in ("--found", one)]
    assert cli.main(["suspects", str(sheet), "--quote", "640", *words, "--firm"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "The check after a repair, minutes (now 30): 0 to" in said
