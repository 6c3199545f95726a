"""One quantity over dates: through the store, over jobs, to the months in which it reaches its limit."""

from datetime import date

import pytest

from knowngood.acts.readings.history import history
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.engine.measurement.sizes.wear import Course
from knowngood.sheet import library

VEHICLE = "tavrick"
LINE = "0 % + 1 digits, 0.05 mm"


@pytest.fixture
def garage(demo_garage):
    return demo_garage


def read(garage, number, day, value, *, job="runs-hot", limits="min 1.6 mm", meter=LINE, name="pad, front left"):
    """A reading on a day, as a page would hand it over."""
    fields = {"name": name, "limits": limits, "read": f"{value:.2f} mm", "meter": meter}
    happened = f"{day}T10:00:00+00:00"
    stream = f"job/{job}" if job else "toolbox"
    return take(garage, Entry(f"{number:032x}", stream, "reading_judged", fields, happened=happened))[0]


def another_job(garage):
    fields = {"vehicle": VEHICLE, "sheet": library.text("runs_hot"), "sheet_file": "runs_hot.yaml"}
    take(garage, Entry(f"{900:032x}", "job/again", "job_opened", fields))


def pads(garage, *readings, **changed):
    for number, (day, value) in enumerate(readings, 1):
        read(garage, number, day, value, **changed)
    return history(garage, VEHICLE, "pad, front left")


def test_between_two_months_four_times_out_of_five(garage):
    found = pads(garage, ("2025-11-20", 8.0), ("2026-05-20", 6.2), ("2026-11-20", 4.4))
    assert found.wear.course is Course.DATED
    # By hand: 2.8 mm are left at 3.6 mm a year, 284 days; the coming rate is off by 1.28 quarters either way.
    assert found.wear.reached.quantile(0.1) == pytest.approx(284 / 1.32, abs=3)
    assert found.wear.reached.quantile(0.9) == pytest.approx(284 / 0.68, abs=3)
    assert found.words == "It reaches 1.6 mm between June 2027 and January 2028 (4 times out of 5)."
    assert found.chance_reached(date(2027, 6, 1)) < 0.15
    assert found.chance_reached(date(2028, 1, 1)) > 0.85


def test_the_readings_with_their_doubt(garage):
    found = pads(garage, ("2025-11-20", 8.0), ("2026-11-20", 4.4))
    assert (found.name, found.unit, found.limit) == ("pad, front left", "mm", 1.6)
    assert [(one.day, one.value) for one in found.readings] == [
        (date(2025, 11, 20), 8.0),
        (date(2026, 11, 20), 4.4),
    ]
    assert all(one.low < one.value < one.high for one in found.readings)


@pytest.mark.parametrize(("meters", "share"), [((5, 5), 3.6 / 365), ((5, 5.0001), (8.0**2 + 4.4**2) ** 0.5 / 365)])
def test_one_meter_leaves_its_share_of_the_rate_and_two_their_share_of_each_reading(garage, meters, share):
    for number, (day, value, percent) in enumerate(
        zip(("2025-11-20", "2026-11-20"), (8.0, 4.4), meters, strict=True), 1
    ):
        read(garage, number, day, value, meter=f"{percent} % + 0 digits, 0.001 mm")
    found = history(garage, VEHICLE, "pad, front left")
    assert found.wear.rate.standard_uncertainty == pytest.approx(0.05 / 3**0.5 * share, rel=0.01)


def test_over_jobs_and_from_the_bench_each_once(garage):
    another_job(garage)
    read(garage, 1, "2025-11-20", 8.0)
    read(garage, 2, "2026-05-20", 6.2, job="again")
    bench = read(garage, 3, "2026-10-20", 4.8, job=None)
    assert len(history(garage, VEHICLE, "pad, front left").readings) == 2
    for number, job in ((4, "again"), (5, "runs-hot")):
        take(garage, Entry(f"{number:032x}", f"job/{job}", "reading_attached", {"reading": bench.id}))
    found = history(garage, VEHICLE, "pad, front left")
    assert [one.day for one in found.readings] == [date(2025, 11, 20), date(2026, 5, 20), date(2026, 10, 20)]


def test_what_was_taken_back_does_not_count(garage):
    read(garage, 1, "2025-11-20", 8.0)
    read(garage, 2, "2026-11-20", 0.4)
    take(garage, Entry(f"{3:032x}", "job/runs-hot", "withdrawn", {"event": f"{2:032x}"}))
    assert len(history(garage, VEHICLE, "pad, front left").readings) == 1


def test_by_km_where_the_odometer_was_typed_with_each_reading(garage):
    typed = {"name": "pad, front left", "quantity": "pad_thickness", "limits": "min 3 mm", "meter": LINE}
    for number, (day, value, km) in enumerate(
        [("2025-11-20", 9.0, "138000"), ("2026-05-20", 7.8, "143000 km"), ("2026-11-20", 6.6, "148000")], 1
    ):
        fields = {**typed, "read": f"{value} mm", "odometer": km}
        happened = f"{day}T10:00:00+00:00"
        take(garage, Entry(f"{number:032x}", "job/runs-hot", "reading_judged", fields, happened=happened))
    found = history(garage, VEHICLE, "pad, front left")
    assert (found.per, [one.km for one in found.readings]) == ("km", [138_000.0, 143_000.0, 148_000.0])


def test_by_the_limit_of_a_sheet(garage):
    found = history(garage, VEHICLE, "battery")
    assert (found.name, found.limit, len(found.readings)) == ("Battery, rested", 12.4, 1)


def test_two_sheets_that_use_one_short_name_for_two_things_are_two_histories(garage):
    sheet = """{sheet: 1, id: box, title: Box, limits: {coil: {name: Solenoid coil, band: 11..15 ohm}}, steps: [
      {id: a, do: Look, zone: top, time: "1 2 3 min", read: [coil]}]}"""
    take(garage, Entry("1" * 32, "job/box", "job_opened", {"vehicle": VEHICLE, "sheet": sheet}))
    for number, (job, ohm) in enumerate((("runs-hot", "88"), ("box", "13"), ("runs-hot", "89")), 2):
        fields, happened = {"limit": "coil", "read": f"{ohm} ohm"}, f"2026-11-1{number}T10:00:00+00:00"
        take(garage, Entry(f"{number}" * 32, f"job/{job}", "reading_judged", fields, happened=happened))
    for name, count in (("Fan relay coil", 2), ("Solenoid coil", 1), ("coil", 2)):
        assert len(history(garage, VEHICLE, name).readings) == count


WORDS = {
    "nothing": ([], "There is no reading of it yet."),
    "one": ([("2026-11-20", 6.0)], "There is one reading; wear shows between two days. Read it again later."),
    "one day": (
        [("2026-11-20", 6.0), ("2026-11-20", 6.1)],
        "All 2 readings are of one day; wear shows between two days. Read it again later.",
    ),
    "past": ([("2025-11-20", 4.0), ("2026-11-20", 1.4)], "It is past 1.6 mm as last read."),
    "agree": (
        [("2025-11-20", 8.0), ("2026-11-20", 8.0)],
        "No date can be given: the readings agree within their doubt. Read it again later.",
    ),
    "renewed": (
        [("2025-11-20", 4.0), ("2026-11-20", 9.0)],
        "It looks renewed, as read on 20 November 2026: the line starts anew there. There is one reading; wear shows "
        "between two days. Read it again later.",
    ),
    "a little thicker": (
        [("2025-11-20", 8.0), ("2026-11-20", 8.8)],
        "No date can be given: it reads further from 1.6 mm than before. Was it renewed, or read at another place?",
    ),
    "by now": (
        [("2024-01-01", 8.0), ("2025-01-01", 3.0)],
        "By now it has reached 1.6 mm (9 times out of 10). Read it again before it is relied on.",
    ),
    "perhaps by now": (
        [("2024-11-20", 8.0), ("2025-11-20", 4.8)],
        "It reaches 1.6 mm by May 2027 (9 times out of 10), and may have done so already. Read it again.",
    ),
    "within days": (
        [("2026-09-20", 8.0), ("2026-11-20", 3.0)],
        "It reaches 1.6 mm between 2 December and 15 December 2026 (4 times out of 5).",
    ),
}


@pytest.mark.parametrize(("readings", "words"), WORDS.values(), ids=WORDS)
def test_words(garage, readings, words):
    assert pads(garage, *readings).words == words


def test_too_slow_to_say_when(garage):
    found = pads(garage, ("2026-09-20", 8.0), ("2026-11-20", 7.75))
    assert found.wear.course is Course.SLOW
    assert found.words.startswith("Not down to a date yet: it does not reach 1.6 mm before ")
    assert found.words.endswith(" (9 times out of 10).")


def test_a_play_grows_to_its_upper_end(garage):
    found = pads(garage, ("2025-11-20", 0.5), ("2026-11-20", 1.5), limits="max 3 mm")
    assert (found.limit, found.wear.course) == (3.0, Course.DATED)


def test_between_two_ends_it_heads_for_one(garage):
    found = pads(garage, ("2025-11-20", 0.5), ("2026-11-20", 1.5), limits="0.2..3 mm")
    assert (found.limit, found.wear.course) == (3.0, Course.DATED)


def test_a_date_before_the_last_reading_has_no_chance(garage):
    found = pads(garage, ("2025-11-20", 8.0), ("2026-11-20", 4.4))
    assert found.chance_reached(date(2026, 1, 1)) is None
    assert history(garage, VEHICLE, "nothing").chance_reached(date(2027, 1, 1)) is None


def test_after_a_renewal_the_line_starts_anew(garage):
    found = pads(garage, ("2024-11-20", 7.0), ("2025-05-20", 3.0), ("2025-11-20", 11.0), ("2026-11-20", 7.4))
    alone = history_of(garage, ("2025-11-20", 11.0), ("2026-11-20", 7.4), name="alone")
    assert found.renewed == date(2025, 11, 20)
    assert len(found.readings) == 4
    assert found.wear.reached.quantile(0.5) == pytest.approx(alone.wear.reached.quantile(0.5), abs=2)
    assert found.wear.points[0].at == -365.0
    assert found.words == f"It looks renewed, as read on 20 November 2025: the line starts anew there. {alone.words}"
    assert alone.words.startswith("It reaches 1.6 mm between ")


def history_of(garage, *readings, name):
    for number, (day, value) in enumerate(readings, 50):
        read(garage, number, day, value, name=name)
    return history(garage, VEHICLE, name)


def test_between_two_ends_a_renewal_is_not_taken_for_wear_the_other_way(garage):
    readings = (("2024-11-20", 9.0), ("2025-05-20", 7.0), ("2025-11-20", 5.0), ("2026-05-20", 9.0), ("2026-11-20", 7.0))
    found = pads(garage, *readings, limits="3..12 mm")
    assert (found.limit, found.renewed) == (3.0, date(2026, 5, 20))


def looked(garage, number, day, km):
    """The odometer, as a page would hand it over."""
    fields = {"odometer": f"{km} km"}
    happened = f"{day}T09:00:00+00:00"
    take(garage, Entry(f"{number:032x}", f"vehicle/{VEHICLE}", "described", fields, happened=happened))


def test_where_the_odometer_is_known_of_each_reading_wear_goes_by_km(garage):
    for number, (day, km) in enumerate([("2025-11-18", 130_000), ("2026-05-20", 134_000), ("2026-11-20", 148_000)], 70):
        looked(garage, number, day, km)
    found = pads(garage, ("2025-11-20", 8.0), ("2026-05-20", 7.2), ("2026-11-20", 4.4))
    assert found.per == "km"
    assert [one.km for one in found.readings] == [130_000.0, 134_000.0, 148_000.0]
    # By hand: 3.6 mm in 18 000 km leave 14 000 km for 2.8 mm; the coming rate is off by 1.28 quarters either way.
    assert found.wear.rate.unit == "mm/km"
    assert found.wear.reached.value == pytest.approx(14_000, rel=0.01)
    assert found.wear.reached.quantile(0.1) == pytest.approx(14_000 / 1.32, rel=0.02)
    assert found.wear.reached.quantile(0.9) == pytest.approx(14_000 / 0.68, rel=0.02)
    # 18 000 km in a year: those 10 600 and 20 600 km are driven by June 2027 and January 2028.
    begins = "It reaches 1.6 mm between 158 500 and 168 "
    assert found.words.startswith(begins)
    assert found.words.endswith(" km (4 times out of 5); driven on as so far, between June 2027 and January 2028.")
    assert found.chance_reached(date(2027, 6, 1)) < 0.15
    assert found.chance_reached(date(2028, 2, 1)) > 0.85


def test_the_odometer_says_when_the_limit_may_be_reached_already(garage):
    for number, (day, km) in enumerate([("2025-05-20", 140_000), ("2025-11-20", 146_000)], 70):
        looked(garage, number, day, km)
    readings = ("2025-05-20", 8.0), ("2025-11-20", 4.8)
    assert pads(garage, *readings).words.startswith("It reaches 1.6 mm between 15")
    looked(garage, 80, "2026-11-22", 152_000)
    assert "and may have done so already" in history(garage, VEHICLE, "pad, front left").words
    looked(garage, 81, "2026-11-23", 165_000)
    assert history(garage, VEHICLE, "pad, front left").words.startswith("By now it has reached 1.6 mm")


def test_without_the_odometer_of_one_reading_wear_goes_by_days(garage):
    looked(garage, 70, "2025-11-20", 130_000)
    found = pads(garage, ("2025-11-20", 8.0), ("2026-06-20", 4.4))
    assert (found.per, found.readings[0].km) == ("day", None)
