"""Logs as they come: each nasty in its own way, read rightly or refused at its line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.refusing import refused

from knowngood.acts.fluids.temperature_log import temperature_log
from knowngood.refusal import Refused

READ = ((0.0, 30.0, 60.0), (20.0, 24.0, 27.0))
LOGS = {
    "plain": "time,temperature\n0,20\n30,24\n60,27\n",
    "semicolons and decimal commas": "Zeit (s);Öl °C\n0,0;20,0\n30,0;24,0\n60,0;27,0\n",
    "tabs, no header": "0\t20\n30\t24\n60\t27",
    "spaces, a header of several words": "Elapsed time  Oil temp C\n0   20\n30  24\n60  27\n",
    "spaces and decimal commas": "0 20,0\n30 24,0\n60 27,0\n",
    "commas, decimal commas in quotes": 'time,temp\n"0,0","20,0"\n"30,0","24,0"\n"60,0","27,0"\n',
    "trailing commas and a byte mark": "\ufefftime,temp,\n0,20,\n30,24,\n60,27,\n",
    "windows line ends, empty lines": "time,temp\r\n\r\n0,20\r\n30,24\r\n\r\n60,27\r\n",
    "remarks and lines above": "# from the garage\nLog of Saturday\ntime,temp\n0,20\n30,24\n60,27\n",
    "a line of units": "t,oil\ns,°C\n0,20\n30,24\n60,27\n",
    "a line of units, some of other columns": "a,speed,oil\ns,1/min,°C\n0,800,20\n30,805,24\n60,790,27\n",
    "clock": "clock,temp\n12:03:10,20\n12:03:40,24\n12:04:10,27\n",
    "twelve hours": "time,temp\n11:59:40 AM,20\n12:00:10 PM,24\n12:00:40 PM,27\n",
    "past midnight": "time,temp\n23:59:40,20\n00:00:10,24\n00:00:40,27\n",
    "past midnight, names that say nothing": "y;x\n20,0;23:59:40\n24,0;00:00:10\n27,0;00:00:40\n",
    "ISO": "timestamp,temp\n2026-11-25T12:03:10Z,20\n2026-11-25T12:03:40Z,24\n2026-11-25T12:04:10Z,27\n",
    "date and clock, day first": "when time;temp\n1/2/2026 12:03:10;20\n1/2/2026 12:03:40;24\n1/2/2026 12:04:10;27",
    "minutes and seconds": "time,temp\n0:00,20\n0:30,24\n1:00,27\n",
    "minutes in the header": "elapsed [min];temp\n0;20\n0,5;24\n1;27\n",
    "thousandths": "time_ms,temp\n0,20\n30000,24\n60000,27\n",
    "seconds since 1970": "time,temp\n1764072000,20\n1764072030,24\n1764072060,27\n",
    "thousandths since 1970": "time,temp\n1764072000000,20\n1764072030000,24\n1764072060000,27\n",
    "units behind numbers": "time,temp\n0 s,20 °C\n30 s,24 °C\n60 s,27 °C\n",
    "fahrenheit by header": "time,oil_temp_F\n0,68\n30,75.2\n60,80.6\n",
    "fahrenheit behind numbers": "time,temp\n0,68°F\n30,75.2°F\n60,80.6°F\n",
    "gaps": "time,temp\n0,20\n10,\n20,nan\n30,24\n35,#N/A\n40,--\n60,27\n",
    "the same second twice": "time,temp\n0,20\n30,23\n30,24\n60,27\n",
    "clock anew": "time,temp\n0,50\n30,55\n60,60\n0,20\n30,24\n60,27\n",
    "switched on again": "time,temp\n0,50\n30,55\n60,60\ntime,temp\n0,20\n30,24\n60,27\n",
    "T beside t": "T,t\n20,0\n24,30\n27,60\n",
    "other columns": "rpm,time,oil temp,air temp\n800,0,20,5\n805,30,24,5\n790,60,27,5\n",
    "names that say nothing": "a,b\n0,20\n30,24\n60,27\n",
}


@pytest.mark.parametrize("text", LOGS.values(), ids=LOGS.keys())
def test_the_same_three_readings_however_they_are_written(text):
    found = temperature_log(text)
    assert found.times_s == pytest.approx(READ[0])
    assert found.celsius == pytest.approx(READ[1])


@pytest.mark.parametrize(
    ("text", "notes"),
    [
        ("time,temp\n0,20\n30,24",
         ('Time is taken from "time", temperature from "temp", separated by commas.',
          "No unit is given: temperatures are taken as °C.", "No unit of time is given: seconds.")),
        ("0 s;20 °C\n30 s;\n40 s;24 °C",
         ('Time is taken from "column 1", temperature from "column 2", separated by semicolons.',
          "1 line without a time or temperature left out.")),
        ("s,°C\n0,50\n60,60\n0,20\n30,23\n30,24",
         ('Time is taken from "s", temperature from "°C", separated by commas.',
          "Time starts anew at line 4: what stands above is left out.",
          "1 line with the same time as the next left out.")),
        ("time,°C\n0,20\n1,24\n2,27",
         ('Time is taken from "time", temperature from "°C", separated by commas.',
          "No unit of time is given: minutes, for in seconds no fluid warms as fast.")),
        ("time,°C\n0:00,20\n0:30,24",
         ('Time is taken from "time", temperature from "°C", separated by commas.',
          "Times are read as minutes and seconds.")),
        ("time,°C\n12:03,20\n12:04,24",
         ('Time is taken from "time", temperature from "°C", separated by commas.',
          "Times are read as hours and minutes.")),
    ],
)  # fmt: skip
def test_what_was_guessed_is_told(text, notes):
    assert temperature_log(text).notes == notes


def test_columns_named_by_the_caller_need_no_guess():
    text = "time,elapsed s,coolant °C,oil °C\n9:00:00,0,30,20\n9:00:30,30,36,24\n"
    for name in ("oil °C", "OIL °C", "oil", "4"):
        found = temperature_log(text, time="elapsed s", temperature=name)
        assert (found.celsius, found.notes) == ((20.0, 24.0), ())


@pytest.mark.parametrize(
    "text",
    [
        "time,temp °C\n0,25\n30,26\n60,80.6\n90,82",  # its unit is named
        "time,temp\n0,20\n60,28\n360,68\n420,76",  # a gap, but no leap
        "time,temp\n0,66\n60,68\n0,20\n60,24",  # the next morning
    ],
)
def test_warming_while_nothing_was_read_is_no_second_unit(text):
    assert temperature_log(text).celsius


def test_names_above_a_line_of_units_are_names():
    text = "Elapsed,Speed,Fluid\ns,1/min,degC\n0,800,20\n30,805,24\n"
    assert temperature_log(text, time="elapsed", temperature="fluid").celsius == (20.0, 24.0)


def test_the_callers_unit_stands_where_the_file_has_none():
    found = temperature_log("s,temp\n0,68\n30,77", unit="°F")
    assert found.celsius == pytest.approx((20.0, 25.0))
    assert found.step_k == pytest.approx(5.0 / 9.0)


@pytest.mark.parametrize(
    ("temperatures", "step_k"),
    [
        (["20", "21", "23"], 1.0),
        (["20.0", "20.5", "21"], 0.1),
        ([f"{20 + 0.5 * at:.1f}" for at in range(9)], 0.5),
        ([str(20 + 2 * at) for at in range(9)], 2.0),
        (["20", "20", "20"], 1.0),
        (["20.123456", "21.2"], 0.001),
    ],
)
def test_the_step_of_the_display(temperatures, step_k):
    text = "\n".join(f"{10 * at};{one}" for at, one in enumerate(temperatures))
    assert temperature_log(text, time="1", temperature="2").step_k == pytest.approx(step_k)


@pytest.mark.parametrize(
    ("text", "arguments", "problems"),
    [
        ("", {}, {"": "the file holds no readings. Give one line for each: a time and a temperature."}),
        ("20\n24\n27", {},
         {"": 'line 3: "27" is not a time and a temperature; each line needs both, '
              "between them a comma, semicolon, tab or space."}),
        ("time,temp\n0,20\n30,300", {},
         {"": "line 3: 300 °C is no temperature of a fluid in a vehicle; it is between -60 and 200 °C. "
              "Correct it, or name the unit in the header."}),
        ("time,temp °F\n0,68\n30,600", {},
         {"": "line 3: 600 °F is no temperature of a fluid in a vehicle; it is between -76 and 392 °F. "
              "Correct it, or name the unit in the header."}),
        ("time,temp\n0,20 °C\n30,75 °F", {},
         {"": "line 3: °F in a column of °C. One column has one unit: write all in °C."}),
        ("time,temp °C\n0,20\n30,75 °F", {},
         {"": "line 3: °F in a column of °C. One column has one unit: write all in °C."}),
        ("time,temp\n60,27\n30,24\n0,20", {},
         {"": "line 3: its time is 30 s before the line above. Put the lines in order of time."}),
        ("time,temp\n0,25\n30,26\n60,80.6\n90,82", {},
         {"": "line 4: 80.6 right after 26, as if one were °C and the other °F. "
              "One column has one unit: write all in one, and name it in the header."}),
        ("time,temp\n0,20\n60,24\n30,22\n90,30", {},
         {"": "line 4: its time is 30 s before the line above. Put the lines in order of time."}),
        ("time,temp\n0,20\n30,hot\n60,27", {},
         {"": 'line 3: "hot" is no temperature. Write a number, or leave it empty.'}),
        ("time,temp\n0,20\nsoon,24\n60,27", {},
         {"": 'line 3: "soon" stands for a time. Write seconds or minutes, as above.'}),
        ("time,temp\n12:00:00,20\n30,24\n12:01:00,27", {},
         {"": 'line 3: "30" stands for a time. Write a clock time, as above.'}),
        ("time,temp\n0,20,5\n30,24,5\n60,27,5", {},
         {"": "line 2: 3 values under 2 names, separated by commas. "
              "If commas are decimal signs too, separate by semicolons."}),
        ("time,oil temp,coolant temp\n0,20,30\n30,24,36", {},
         {"temperature": 'several columns may be the temperature: "oil temp", "coolant temp". Name it.'}),
        ("time,temp\n0,20\n30,24", {"temperature": "oil"},
         {"temperature": 'no column "oil"; the file has "time", "temp".'}),
        ("time,temp\n0,20\n30,24", {"temperature": "t"},
         {"temperature": 'several columns "t"; the file has "time", "temp".'}),
        ("time,temp\n0,20\n30,24", {"time": "time", "temperature": "time"},
         {"temperature": '"time" is the time already. Name another column.'}),
        ("time,temp\n0,20\n30,24", {"unit": "K"},
         {"unit": '"K" is no unit of temperature here. Write °C or °F.'}),
        ("time,temp\n0,\n30,", {"time": "time", "temperature": "temp"},
         {"": "no line holds both a time and a temperature."}),
        ("words only,here\nand,there", {},
         {"": 'line 2: "and,there" is not a time and a temperature; each line needs both, '
              "between them a comma, semicolon, tab or space."}),
        ("temp,oil\n20,24\n24,24", {},
         {"time": 'no column of times is found among "temp", "oil". Name it.'}),
        ("time,phase\n0,cold\n30,warm", {},
         {"temperature": 'no column of temperatures is found: "time", "phase". Name it.'}),
        ("x" * 6000, {},
         {"": "line 1 has 6000 characters; this is no log of temperatures. Give another file."}),
    ],
)  # fmt: skip
def test_refused_at_its_line(text, arguments, problems):
    assert refused(temperature_log, text, **arguments) == problems


@given(st.text(max_size=200) | st.text("0123456789.,;: \n-sCF°tE", max_size=200))
def test_whatever_is_written_is_read_or_refused_in_words(text):
    said, found = (), None
    try:
        found = temperature_log(text)
    except Refused as refused:
        said = tuple(refused.problems.values())
    assert bool(said) != bool(found)
    assert all(sentence.endswith(".") for sentence in said)
    if found:
        assert len(found.times_s) == len(found.celsius) >= 1
        assert list(found.times_s) == sorted(set(found.times_s))


@given(
    st.lists(st.tuples(st.integers(1, 90), st.integers(-200, 1500)), min_size=2, max_size=30),
    st.sampled_from([",", ";", "\t", " ", "|"]),
)
def test_what_is_written_is_read_back(rows, separator):
    times, at = [], 0
    for step, _ in rows:
        times.append(at)
        at += step
    lines = [f"{time}{separator}{tenths / 10:.1f}" for time, (_, tenths) in zip(times, rows, strict=True)]
    header = f"seconds{separator}°C"
    found = temperature_log("\n".join([header, *lines]), time="seconds", temperature="°C")
    assert found.times_s == pytest.approx(tuple(times))
    assert found.celsius == pytest.approx(tuple(tenths / 10 for _, tenths in rows))


def test_all_columns_decide_together_what_a_comma_is():
    seconds = "time ms;oil °C\n1,000;20.5\n31,000;21.5\n"
    assert temperature_log(seconds).times_s == (0.0, 30.0)
    fraction = "time s;oil °C\n1,000;20,5\n31,500;21,5\n"
    assert temperature_log(fraction).times_s == (0.0, 30.5)
    begun_at_nothing = "time s;oil °C\n0,000;20\n31,500;21\n"
    assert temperature_log(begun_at_nothing).times_s == (0.0, 31.5)


def test_no_fluid_is_a_thousand_degrees_warm():
    assert temperature_log("time s;oil °C\n1,000;20,125\n31,500;21,250\n").celsius == (20.125, 21.25)


def test_thousands_or_a_fraction_is_asked_about():
    assert refused(temperature_log, "time;oil °C\n1,000;20\n31,000;21\n") == {
        "": '"1,000" may mean thousands or a fraction. Write "1000" or "1.000".'
    }


def test_a_column_of_very_many_digits_is_no_column():
    assert refused(temperature_log, "0,20\n30,21\n", time="9" * 5000)["time"].startswith('no column "9999')


def test_a_log_of_more_lines_than_anybody_reads_is_refused():
    words = "the file has 200001 lines; 200000 are read. Give the part that counts."
    assert refused(temperature_log, '"' + "0,20\n" * 200_001) == {"": words}
