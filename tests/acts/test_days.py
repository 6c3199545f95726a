"""A day is that of the zone in which an entry was made; today is the garage's; no day is in UTC by accident."""

import ast
import re
from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from tests.garages import giving, opened
from tests.refusing import refused

import knowngood
from knowngood.acts.book import sections
from knowngood.acts.distances import odometer
from knowngood.acts.tools.prices import money_words
from knowngood.report.paper.fill import book_data
from knowngood.store.moment import day_of, kept, local, moment_words
from knowngood.units.bare import money
from knowngood.words import NO_BREAK

NINE_IN_AUCKLAND = datetime(2026, 11, 20, 20, 0, tzinfo=UTC)
AUCKLAND, ANGELES = ZoneInfo("Pacific/Auckland"), ZoneInfo("America/Los_Angeles")


def at(tmp_path, moment):
    return opened(tmp_path / "garage", clock=lambda: moment)


@pytest.mark.parametrize(
    ("moment", "zone", "day"),
    [
        ("2026-11-20T20:00:00Z", "Pacific/Auckland", date(2026, 11, 21)),
        ("2026-11-21T04:30:00Z", "America/Los_Angeles", date(2026, 11, 20)),
        ("2026-03-08T09:59:59Z", "America/Los_Angeles", date(2026, 3, 8)),  # the last second before clocks go forward
        ("2026-03-29T00:30:00Z", "Europe/Berlin", date(2026, 3, 29)),
        ("2026-10-25T00:30:00Z", "Europe/Berlin", date(2026, 10, 25)),  # in the hour that comes twice
        ("2026-12-31T23:30:00Z", "Europe/Berlin", date(2027, 1, 1)),
    ],
)
def test_a_day_is_that_of_the_zone_of_the_entry(moment, zone, day):
    """Against the standard library's own zones."""
    assert day_of(f"{moment}[{zone}]", UTC) == day
    assert local(f"{moment}[{zone}]", UTC).replace(tzinfo=None) == (
        datetime.fromisoformat(moment).astimezone(ZoneInfo(zone)).replace(tzinfo=None)
    )


def test_a_check_made_at_nine_in_the_morning_in_auckland_is_not_still_to_come(tmp_path):
    with at(tmp_path, NINE_IN_AUCKLAND) as garage:
        give = giving(garage)
        give("instrument_added", name="blue", line="0.5 % + 2 digits, 0.01 V")
        happened = f"{NINE_IN_AUCKLAND:%Y-%m-%dT%H:%M:%SZ}[Pacific/Auckland]"
        check = {"name": "blue", "known": "12 V", "shown": "12.01 V", "date": "2026-11-21"}
        assert "still to come" in refused(give, "instrument_checked", **check)["date"]  # said by a clock on UTC
        [event] = give("instrument_checked", happened=happened, **check)
        assert event.data["date"] == "2026-11-21"
        assert event.happened == happened


def test_today_is_the_garages(tmp_path):
    with at(tmp_path, NINE_IN_AUCKLAND) as garage:
        give = giving(garage)
        give("zone_stated", zone="Pacific/Auckland")
        assert garage.today() == date(2026, 11, 21)
        give("zone_stated", zone="America/Los_Angeles")
        assert garage.today() == date(2026, 11, 20)
        give("zone_stated", zone="")  # those of this computer again
        assert garage.zone is None
        words = '"Atlantis" is no zone known here. Write continent and town, such as Europe/Berlin.'
        assert refused(give, "zone_stated", zone="Atlantis") == {"zone": words}


@pytest.mark.parametrize(
    "zone", ["Atlantis/Capital", "../../etc/passwd", "x" * 400, "Europe/Berlin][UTC", "", "Europe/Berlin\n"]
)
def test_a_zone_that_nobody_knows_loses_no_entry(tmp_path, zone):
    with at(tmp_path, NINE_IN_AUCKLAND) as garage:
        [event] = giving(garage)("noted", text="leak", happened=f"2026-11-20T20:00:00Z[{zone}]")
        assert (event.data["text"], event.happened) == ("leak", "2026-11-20T20:00:00Z")


def test_the_book_prints_an_entry_by_the_clock_of_its_zone_and_names_another(tmp_path):
    moment = "2026-11-20T20:00:00Z[Pacific/Auckland]"
    assert moment_words(moment, AUCKLAND) == "21 November 2026, 09:00"
    assert moment_words(moment, ANGELES) == "21 November 2026, 09:00 (Auckland)"
    assert kept(moment) == moment
    with at(tmp_path, NINE_IN_AUCKLAND) as garage:
        give = giving(garage, "job/one")
        give("vehicle_named", "vehicle/own", name="Own")
        give("job_opened", vehicle="own", library="runs_hot")
        give("reading_judged", limit="battery", read="12.5 V", happened=moment)
        [note] = give("noted", text="leak", happened=moment)
        give("withdrawn", event=note.id)
        job = garage.job("one")
        assert book_data(garage, job).readings[0].when.startswith("21 November 2026, 09:00")
        assert "noted, 21 November 2026, 09:00" in dict(sections(job))["Taken back"][0]


SOURCE = Path(knowngood.__file__).parent
# The one place where an instant becomes a day. `day_of` and `clock_words` cannot be called without a zone.
MAY = {"store/moment.py"}


def _calls(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            yield node.func.attr, ast.unparse(node)


def test_no_day_is_taken_from_utc_or_from_a_naive_clock():
    bad = []
    for path in SOURCE.rglob("*.py"):
        if str(path.relative_to(SOURCE)) in MAY:
            continue
        for name, call in _calls(path):
            naive = name in ("today", "utcnow") and call.startswith(("date.", "datetime."))
            if naive or call.endswith((".date()", ".astimezone()")) or call == "datetime.now()" or "now()[:10]" in call:
                bad.append(f"{path.relative_to(SOURCE)}: {call}")
    assert bad == []


def test_the_garages_zone_counts_for_what_came_without_one(tmp_path):
    with at(tmp_path, NINE_IN_AUCKLAND) as garage:
        give = giving(garage, "job/one")
        give("vehicle_named", "vehicle/own", name="Own")
        give("job_opened", vehicle="own", library="runs_hot")
        give("zone_stated", "toolbox", zone="Pacific/Auckland")
        [first] = give("noted", text="without a clock")
        give("noted", text="with one", happened="2026-11-20T20:00:00Z[Pacific/Auckland]")
        assert first.happened == "2026-11-20T20:00:00+00:00[Pacific/Auckland]"
        notes = dict(sections(garage.job("one")))["Notes"]
        assert notes == ["without a clock (21 November 2026, 09:00)", "with one (21 November 2026, 09:00)"]


def test_the_hour_that_comes_twice_says_which_of_the_two():
    """25 October 2026 in Berlin: clocks go back at 01:00 UTC (IANA database)."""
    moments = [f"2026-10-25T{clock}:00Z[Europe/Berlin]" for clock in ("00:30", "01:30", "02:30")]
    assert [moment_words(moment, ZoneInfo("Europe/Berlin")) for moment in moments] == [
        "25 October 2026, 02:30 CEST",
        "25 October 2026, 02:30 CET",
        "25 October 2026, 03:30",
    ]


def test_every_line_of_a_job_goes_by_the_garages_clock_where_its_entry_kept_none(tmp_path):
    """An older program, and a terminal, keep no zone."""
    with at(tmp_path, NINE_IN_AUCKLAND) as garage:
        give = giving(garage, "job/one")
        give("vehicle_named", "vehicle/own", name="Own")
        give("described", "vehicle/own", text="estate", odometer="150000", happened="2026-11-20T20:00:00Z")
        give("job_opened", vehicle="own", library="runs_hot", happened="2026-11-20T20:00:00Z")
        give("zone_stated", "toolbox", zone="Pacific/Auckland")
        assert book_data(garage, garage.job("one")).opened == "21 November 2026, 09:00"
        assert odometer(garage.vehicle("own"), garage.zone) == ((date(2026, 11, 21), 150000.0),)


# A clock, a month or a year is printed here alone; a sum of money in `acts.prices`.
PRINTS = {"words.py"}
CLOCK = re.compile(r":%-?[BbYHMm]|%[HMBY]:?%|strftime")


def test_dates_and_times_are_printed_in_one_place():
    found = {
        str(path.relative_to(SOURCE))
        for path in SOURCE.rglob("*.py")
        for line in path.read_text(encoding="utf-8").splitlines()
        if CLOCK.search(line) and ">>>" not in line and "fromisoformat" not in line
    }
    assert found <= PRINTS


@pytest.mark.parametrize(
    ("amount", "words"),
    [(10000.01, "10~000.01"), (12345.67, "12~345.67"), (1234567.89, "1~234~567.89"), (0.1 + 0.2, "0.30"), (15.0, "15"),
     (-12345.67, "−12~345.67")],
)  # fmt: skip
def test_no_sum_loses_its_cents(amount, words):
    assert money_words(amount).replace(NO_BREAK, "~") == words
    assert money(words.replace("−", "").replace("~", NO_BREAK)) == pytest.approx(abs(amount))


# A sum and a distance are printed here alone.
SUMS = {"words.py", "acts/tools/prices.py"}
SUM = re.compile(r""",\.\df}|replace\(",", " "\)|money_words\(round|(amount|money|cost|price|expected\.value):\.\df""")


def test_sums_and_distances_are_printed_in_one_place():
    found = {
        str(path.relative_to(SOURCE))
        for path in SOURCE.rglob("*.py")
        for line in path.read_text(encoding="utf-8").splitlines()
        if SUM.search(line) and ">>>" not in line
    }
    assert found <= SUMS
