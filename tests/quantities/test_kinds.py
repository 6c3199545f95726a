"""Which kinds of instrument suit a quantity."""

import pytest

from knowngood import units
from knowngood.engine.measurement.meters.classes import PRESETS
from knowngood.quantities.basic import as_shown
from knowngood.quantities.kinds import KINDS, OWN, reads, suiting
from knowngood.quantities.known import QUANTITIES


def keys(name):
    return {one.key for one in suiting(QUANTITIES[name])}


def test_every_entry_is_of_a_quantity():
    assert set(KINDS) <= set(QUANTITIES)


@pytest.mark.parametrize("quantity", [*QUANTITIES.values(), *map(as_shown, units.Kind)], ids=lambda one: one.name)
def test_every_kind_reads_in_the_unit_of_the_quantity(quantity):
    assert all(quantity.reads.unit in {line.unit for line in one.lines} for one in suiting(quantity))


def test_what_cannot_reach_is_not_among_them():
    assert "micrometer" in keys("disc_thickness")
    assert {"tread", "feeler", "dial"}.isdisjoint(keys("disc_thickness"))
    assert "micrometer" not in keys("pad_thickness") | keys("tread_depth")
    assert keys("runout") == {"dial"}
    assert keys("surface_temperature") == {"infrared"}
    assert keys("contact_temperature") == {"contact"}
    assert "vacuum_gauge" not in keys("oil_pressure")


def test_a_meter_for_ohm_is_told_by_its_data_sheet():
    assert not keys("winding_resistance") | keys("voltage_drop") | keys("battery_charge")
    assert not suiting(as_shown(units.Kind.VOLTAGE))


def test_what_is_read_as_shown_goes_by_its_unit():
    assert {one.key for one in suiting(as_shown(units.Kind.LENGTH))} == {"vernier", "caliper", "micrometer"}
    assert set(PRESETS) >= {one.key for kind in units.Kind for one in suiting(as_shown(kind))}


@pytest.mark.parametrize(
    ("kind", "name", "well", "held"),
    [
        ("level", "tilt_level", True, True),
        ("level", "pad_thickness", False, False),
        ("level", "tilt", False, True),
        ("feeler", "valve_clearance", True, True),
        ("caliper", "valve_clearance", False, True),
        ("feeler", "disc_thickness", False, False),
        ("tread", "tread_depth", True, True),
        ("micrometer", "pad_thickness", False, True),
        ("multimeter", "pad_thickness", True, True),  # a line typed without a kind
    ],
)
def test_what_would_be_advised_and_what_could_be_held_there(kind, name, well, held):
    quantity = QUANTITIES[name]
    assert (reads(kind, quantity), reads(kind, quantity, well=False)) == (well, held)


def test_what_is_read_with_one_kind_only_has_that_kind_in_its_unit():
    for name, kinds in OWN.items():
        unit = QUANTITIES[name].reads.unit
        assert all(unit in {line.unit for line in PRESETS[key].lines} for key in kinds)
