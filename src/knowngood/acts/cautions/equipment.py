"""What hangs on the vehicle and changes what is cautioned: asked once, never required."""

from collections.abc import Mapping, Sequence

from knowngood.store.states import VehicleState

# As it is asked, by the name under which a description of the vehicle keeps the answer.
EQUIPMENT = {
    "air_suspension": "Air suspension",
    "start_stop": "Start-stop",
    "hybrid": "Hybrid or electric drive",
}
YES, NO, UNKNOWN = ANSWERS = ("yes", "no", "not known")


def not_asked(vehicle: VehicleState) -> Sequence[str]:
    """Return the names of what nobody has answered yet, "not known" being an answer."""
    return [name for name in EQUIPMENT if not vehicle.has(name)]


def equipment_of(vehicle: VehicleState) -> dict[str, str]:
    """Return what is known of a vehicle, by name."""
    return {name: vehicle.has(name) or UNKNOWN for name in EQUIPMENT}


def equipment_words(has: Mapping[str, str]) -> list[str]:
    """Return what a vehicle has, in words, by what was said of it."""
    return [words.lower() for name, words in EQUIPMENT.items() if has.get(name) == YES]
