"""Pressures as typed: what counts, and what is refused at which field."""

import pytest
from tests.quantities.handed import estimate, given, refused

from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.quantities.known import QUANTITIES


def test_the_worst_cylinder_counts():
    assert estimate("cylinder_compression", "12.1 11.6 12.0 bar").value == pytest.approx(1160.0)
    assert estimate("cylinder_spread", "150 105 149 psi").value == pytest.approx(70.0)
    assert estimate("leak_down", "8 12 9 %").value == 12.0
    assert estimate("leak_down_gauges", "98 90 psi", supply="100 psi").value == pytest.approx(10.0)


def test_a_vacuum_with_or_without_a_minus():
    assert estimate("vacuum", "-62 -63 kPa") == estimate("vacuum", "62 63 kPa")


def test_a_drop_in_the_time_of_the_limit():
    assert estimate("cooling_pressure_drop", "100 90 kPa").value == pytest.approx(10.0)
    assert estimate("cooling_pressure_drop", "100 90 kPa", held="10", over="5").value == pytest.approx(5.0)
    cooled = estimate("cooling_pressure_drop", "100 90 kPa", warmer="-4 ± 1")
    assert cooled.value == pytest.approx(10.0 - 191.325 * 4 / 289.15, rel=0.01)
    row = next(row for row in cooled.rows if row.key.endswith("/warmer"))
    assert not row.assumed


def test_what_cranking_again_and_a_finer_gauge_are_worth():
    quantity = QUANTITIES["cylinder_spread"]
    one = given(quantity, "1000 780 kPa", Meter("dial", 0, 0, 10, offset=40))
    found = quantity.estimate(one)
    ways = {one.key: one for one in quantity.remedies(one, found)}
    assert set(ways) == {"crank", "meter"}
    now = {row.key: abs(row.contribution) for row in found.rows}
    assert ways["meter"].after["meter:dial/offset"] == pytest.approx(0.25 * now["meter:dial/offset"])
    assert ways["crank"].after["reading:7/2/repeatability"] == pytest.approx(0.7 * now["reading:7/2/repeatability"])


def test_only_cylinders_are_cranked_again():
    for name in ("oil_pressure", "fuel_pressure", "cooling_pressure", "vacuum"):
        read = given(QUANTITIES[name], "60 64 61 kPa")
        assert "crank" not in {one.key for one in QUANTITIES[name].remedies(read, QUANTITIES[name].estimate(read))}


@pytest.mark.parametrize(
    ("name", "read", "typed", "problems"),
    [
        ("cylinder_spread", "1200 kPa", {},
         {"read": "one cylinder alone has nothing to be compared with. "
          "Read them all with the same gauge, one reading each."}),
        ("leak_down_gauges", "700 kPa", {},
         {"supply": "the cylinder's gauge shows 700 kPa and the supply is 690 kPa: no cylinder holds more than it is "
          "fed. Check which gauge is which, and write the supply down too."}),
        ("oil_pressure", "-20 kPa", {},
         {"read": "a pressure of -20 kPa is below the air's. Look whether the gauge stands at zero when it is off, "
          "or judge it as a vacuum."}),
        ("vacuum", "-60 62 kPa", {},
         {"read": "some readings have a minus and some have none. Write a vacuum the same way each time."}),
        ("cooling_pressure_drop", "100 95 kPa", {"over": "5"},
         {"held": "The limit holds for 5 min. Write how long you held the pressure, too."}),
        ("cooling_pressure_drop", "100 95 kPa", {"held": "0"},
         {"held": "0 min is no waiting. Write a time above zero, such as 5 min."}),
    ],
)  # fmt: skip
def test_refused_at_the_field(name, read, typed, problems):
    assert refused(name, read, **typed) == problems
