"""Which kinds of instrument a quantity can be read with: what one would borrow or buy for it."""

from collections.abc import Mapping

from knowngood.engine.measurement.meters.classes import PRESETS, Preset
from knowngood.quantities.basic import as_shown
from knowngood.quantities.model import K, Quantity

JAWS = ("vernier", "caliper")
GAUGES = ("pressure_gauge", "fine_gauge")
# A micrometer reaches no lining on its plate and no groove, and a dial reads only what moves. A probe and an infrared
# gun read a surface each in its own way, so neither stands for the other. Meters for ohm, V and A have no entry, nor
# have blades: their data sheets tell them apart, not their kind.
KINDS: Mapping[str, tuple[str, ...]] = {
    "disc_thickness": (*JAWS, "micrometer"),
    "thickness_variation": ("micrometer",),
    "runout": ("dial",),
    "free_play": JAWS,
    "spring_length": JAWS,
    "belt_deflection": JAWS,
    "pad_thickness": JAWS,
    "tread_depth": ("tread", *JAWS),
    **dict.fromkeys(("cylinder_compression", "cylinder_spread", "leak_down_gauges"), GAUGES),
    **dict.fromkeys(("oil_pressure", "fuel_pressure", "cooling_pressure", "cooling_pressure_drop"), GAUGES),
    "vacuum": ("vacuum_gauge",),
    "surface_temperature": ("infrared",),
    "contact_temperature": ("contact",),
    "acid_density": ("hydrometer",),
    "volume_out": ("vessel", "cylinder"),
    "volume_out_weighed": ("scale",),
    "tilt": ("inclinometer",),
    "tilt_water": ("water_tube",),
}
# What these are read with, and nothing else; a second one of its kind would show the same, so none is to be got.
OWN: Mapping[str, tuple[str, ...]] = {"valve_clearance": ("feeler",), "tilt_level": ("level",)}
# What these show in mm is no other length.
FOR_ONE = ("feeler", "level", "water_tube", "tread")
# What is read as it is shown, when nobody says more than its unit.
PLAIN: Mapping[K, tuple[str, ...]] = {
    K.LENGTH: (*JAWS, "micrometer"),
    K.PRESSURE: GAUGES,
    K.TEMPERATURE: ("contact",),
    K.VOLUME: ("vessel", "cylinder"),
    K.MASS: ("scale",),
    K.ANGLE: ("inclinometer",),
    K.DENSITY: ("hydrometer",),
}


def reads(kind: str, quantity: Quantity, *, well: bool = True) -> bool:
    """Return whether an instrument of a kind reads a quantity.

    Args:
        kind: Key of PRESETS, or another word for one whose data sheet says all.
        quantity: What is read.
        well: It is one that would be advised; else it is enough that it could be held there.

    Example:
        >>> from knowngood.quantities.known import QUANTITIES
        >>> [reads(key, QUANTITIES["disc_thickness"]) for key in ("caliper", "level", "own")]
        [True, False, True]
        >>> reads("caliper", QUANTITIES["runout"]), reads("caliper", QUANTITIES["runout"], well=False)
        (False, True)
    """
    preset = PRESETS.get(kind)
    if preset is None or all(one.unit != quantity.reads.unit for one in preset.lines):
        return True
    mine = OWN.get(quantity.name) or tuple(one.key for one in suiting(quantity))
    could_be_held = quantity.reads is not K.LENGTH or kind not in FOR_ONE
    return kind in mine or (could_be_held and not (well and mine))


def suiting(quantity: Quantity) -> tuple[Preset, ...]:
    """Return the kinds of instrument that read a quantity; none where its kind says nothing of how fine it is.

    Example:
        >>> from knowngood.quantities.known import QUANTITIES
        >>> [one.key for one in suiting(QUANTITIES["pad_thickness"])]
        ['vernier', 'caliper']
    """
    plain = quantity.name == as_shown(quantity.reads).name
    return tuple(PRESETS[key] for key in (PLAIN.get(quantity.reads, ()) if plain else KINDS.get(quantity.name, ())))
