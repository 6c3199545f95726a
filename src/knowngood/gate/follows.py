"""What follows when something is done to a part of a safety system: at home with a caution, or handed over.

Source:
    INDG280, belts and airbags.
    HSE_ELECTRIC, high voltage.
    EU_FGAS, refrigerant.
    HSE_FIRE, fuel.
    DVSA_DEFECTS, brakes and tyres; the split and the sentences are ours.
"""

from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate.deeds import Deed, Done, deeds
from knowngood.gate.names import NONE, SEALED, Declared, Hit, hits

# What is not counted as work on a sealed system: to look, to read codes, to keep away, to switch, to belt up.
HARMLESS = frozenset((Deed.LOOK, Deed.GUARD, Deed.SET))
# The refrigerant's parts may be cleaned from outside.
CLEANED = (SafetyKind.REFRIGERANT,)
EVERYTHING = frozenset(("other",))

# The usual caution, and what is for a workshop. Sources: the groups of the table name them.
CAUTIONS: dict[SafetyKind, str] = {
    SafetyKind.BRAKES: "Pump the pedal until it is firm, and try the brakes at walking pace, before you drive.",
    SafetyKind.STEERING: "Steering has no second system: whatever has play or is loose keeps the car standing.",
    SafetyKind.SUSPENSION: "A compressed spring can kill; leave it to a workshop.",
    SafetyKind.WHEELS: "Tighten wheels by torque, and check again after about 50 km.",
    SafetyKind.RESTRAINTS: "Do not unplug or measure airbag or belt parts; a meter can fire them.",
    SafetyKind.FUEL: "Petrol vapour creeps along the floor and ignites far away; outdoors, no sparks.",
    SafetyKind.HIGH_VOLTAGE: "Orange cables can kill even when off; leave them to a trained person.",
    SafetyKind.REFRIGERANT: "Do not open this circuit: it freezes skin; letting gas out is unlawful.",
}
HANDED_OVER: dict[SafetyKind, str] = {
    SafetyKind.BRAKES: "Brake pipes, cylinders, servo and ABS unit are for a workshop",
    SafetyKind.STEERING: "Rack, column, rods, joints and alignment are for a workshop",
    SafetyKind.SUSPENSION: "Springs, and what holds one, are for a workshop",
    SafetyKind.WHEELS: "Fitting and mending tyres, and heat near a wheel, are for a workshop",
    SafetyKind.RESTRAINTS: "At home you look at the lamp and read the codes; all else is for a workshop",
    SafetyKind.FUEL: "Tank, pump, lines, rail, injectors and gas systems are for a workshop",
    SafetyKind.HIGH_VOLTAGE: "At home you look at lamps and read the codes; all else is for a trained person",
    SafetyKind.REFRIGERANT: "At home you look, and see to belt, fan and filter; all else is for attested people",
}
# What a system is called in the middle of a sentence.
CALLED: dict[SafetyKind, str] = {
    SafetyKind.BRAKES: "the brakes",
    SafetyKind.STEERING: "the steering",
    SafetyKind.SUSPENSION: "the suspension",
    SafetyKind.WHEELS: "tyres and wheels",
    SafetyKind.RESTRAINTS: "belts and airbags",
    SafetyKind.FUEL: "the fuel system",
    SafetyKind.HIGH_VOLTAGE: "the high-voltage system",
    SafetyKind.REFRIGERANT: "the refrigerant circuit",
}


def is_handed_over(done: Done) -> bool:
    """Is this for a workshop?

    Example:
        >>> [is_handed_over(one) for one in deeds("Look at the airbag, then unplug the airbag")]
        [False, True]
    """
    hit, deed = done.hit, done.deed
    if "other" in hit.stops:
        return deed not in HARMLESS and not (deed is Deed.TEND and hit.kind in CLEANED)
    return deed.value in hit.stops


def stopped_by_sentence(text: str, declared: Declared | None = None, *, metered: bool = False) -> Done | None:
    """Return what a sentence does to a part that is handed over; None when all of it is for home.

    Args:
        text: A step's sentence, a test's or a repair's name.
        declared: What the sheet or the person says that it is about.
        metered: A meter is in the hand.
    """
    if declared == NONE:
        return None
    done = deeds(text, metered=metered) or _declared_only(text, declared)
    return next((one for one in done if is_handed_over(one)), None)


def _declared_only(text: str, declared: Declared | None) -> tuple[Done, ...]:
    """The whole sentence is about a sealed system whose parts it does not name."""
    return (Done(_whole(text, declared), Deed.OTHER),) if declared in SEALED else ()


def stopped_by_name(name: str, deed: Deed, declared: Declared | None = None) -> Done | None:
    """Return what stops a deed that is done to a named part; None when it is for home.

    Example:
        >>> stopped_by_name("Driver airbag igniter", Deed.MEASURE).hit.kind.value
        'belts and airbags'
        >>> stopped_by_name("Brake pads", Deed.FIT), stopped_by_name("Igniter of the heater", Deed.MEASURE, "none")
        (None, None)
    """
    if declared == NONE:
        return None
    named = [*hits(name), *([_whole(name, declared)] if declared in SEALED else [])]
    return next((done for hit in named if is_handed_over(done := Done(hit, deed))), None)


def _whole(name: str, declared: Declared | None) -> Hit:
    return Hit(SafetyKind(declared or NONE), name, EVERYTHING, False, 0, len(name))


def hands_over(name: str, kind: SafetyKind) -> bool:
    """Is renewing a part of this name for a workshop?

    Example:
        >>> hands_over("Brake pads worn", SafetyKind.BRAKES), hands_over("Brake pipe rusty", SafetyKind.BRAKES)
        (False, True)
    """
    return stopped_by_name(name, Deed.FIT, kind) is not None


def refusal_words(name: str, kind: SafetyKind) -> str:
    """Return why nothing of a sealed system is judged, for the field that names it."""
    return f'"{name}" sounds like {CALLED[kind]}. {CAUTIONS[kind]} {HANDED_OVER[kind]}.'
