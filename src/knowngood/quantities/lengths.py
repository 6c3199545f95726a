"""Quantities read with length gauges: thickness, runout, gaps by feel, play, springs, belts, tread."""

from collections.abc import Callable
from dataclasses import replace

from knowngood.engine.judgement import Estimate, Remedy
from knowngood.engine.judgement.remedy import Shown
from knowngood.engine.measurement.readings.remedies import Way, by_ways
from knowngood.engine.measurement.readings.remedies import remedies as usual_remedies
from knowngood.engine.measurement.sizes.feelers import (
    BELT_BY_SCALE,
    BELT_BY_THUMB,
    FREE_PLAY,
    SPRING,
    ByHand,
    feeler_gap,
    length_by_hand,
)
from knowngood.engine.measurement.sizes.lengths import DISC, PAD, TREAD, Worn, lowest_place
from knowngood.engine.measurement.sizes.spans import CALIPER_FEEL_MM, FEEL_MM, noise_mm, runout, thickness_variation
from knowngood.quantities.model import SEED, Ask, By, Given, K, Quantity
from knowngood.refusal import Refused

ZERO_ERROR = Ask(
    "zero_error", "Gauge closed shows", K.LENGTH,
    hint="With nothing between the jaws, such as 0.01; taken off the readings.", signed=True,
    by=By.ZERO,
)  # fmt: skip
AGAIN = Ask("again", "One place, read again", K.LENGTH, hint="3 to 5 readings at one and the same place.", many=True,
            by=By.READING)  # fmt: skip
SHOWN = Ask(
    "shown", "Each reading is", hint="One reading alone is a total.",
    choices=(("", "the needle at a place of the turn"), ("total", "a total: highest minus lowest")),
)  # fmt: skip
PLAY = Ask(
    "bearing_play", "Play along the axis", K.LENGTH,
    hint="How far the needle moves when the part is pushed and pulled, such as 0.01.",
    by=By.DIFFERENCE,
)  # fmt: skip
NOT = Ask(
    "not", "Thinnest blade that does not go", K.LENGTH, hint="Such as 0.30, when only the one that goes was read.",
    by=By.READING,
)  # fmt: skip
END = Ask("end", "The end is found to within", K.LENGTH, hint="How far its readings may be off, such as 0.5.")
PUSHED = Ask(
    "pushed", "Pushed with", hint="The force that the manual states.",
    choices=(("", "a thumb"), ("scale", "a luggage scale or a weight, at the stated force")),
)  # fmt: skip

# What is left of what was assumed is ours.
ZERO = Way("zero", "Wipe the gauge, close it and write what it shows", 2, 0.25, read_anew=True)
PLACES = Way("places", "Measure at 8 places, evenly spaced", 10, 0.3)
AGAIN_TIMES = 5
READ_AGAIN = Way("again", f"Read one place {AGAIN_TIMES} times, lifting the gauge each time", 4, 0.7)
TURNS = Way("again", "Turn it 5 times round, and write how far the needle goes in each", 5, 0.4)
PUSH_AND_PULL = Way("play", "Push and pull along the axis and write how far the needle moves", 5, 0.3)
NEXT_BLADE = Way("blade", "Find the thinnest blade that does not go, two together if need be", 3, 0.4)
DRAG = Way("drag", "Try both blades again, held flat, with the same light drag", 3, 0.5)
BLADES = Way("micrometer", "Measure the blade with a micrometer", 3, 0.5)
FIND_END = Way("end", "Find the end again several times, and write to within what you find it", 3, 0.4)
SCALE = Way("scale", "Push with a luggage scale or a weight, at the stated force", 5, 0.2)


def ways(*found: Way, usual: bool = True) -> Callable[[Given, Estimate], list[Remedy]]:
    """Return what lists these remedies, after the usual ones."""

    def listed(given: Given, estimate: Estimate) -> list[Remedy]:
        first = usual_remedies(estimate, meter=given.meter, readings=len(given.read.values)) if usual else []
        return [*first, *by_ways(estimate, found, assumed_only=True, step=given.meter.step)]

    return listed


def _varies_ways(given: Given, estimate: Estimate) -> list[Remedy]:
    """One place read again shows the feel of the hand, and whether it may be a caliper; no place is read anew."""
    feel, read = CALIPER_FEEL_MM if given.meter.assumed else FEEL_MM, given.read.values
    spread, noise = max(read) - min(read), noise_mm(len(read), feel, given.meter)
    shown = Shown(AGAIN_TIMES, FEEL_MM / feel, max(1.0, noise / spread) if spread else 1.0)
    return ways(replace(READ_AGAIN, shown=shown), PLACES)(given, estimate)


def _lowest(worn: Worn) -> Callable[[Given], Estimate]:
    def lowest(given: Given) -> Estimate:
        return lowest_place(
            given.read.values, meter=given.meter, worn=worn, zero_error_mm=given.value(ZERO_ERROR),
            reading_id=given.reading_id, seed=SEED,
        )  # fmt: skip

    return lowest


def _variation(given: Given) -> Estimate:
    return thickness_variation(
        given.read.values, meter=given.meter, again_mm=given.values(AGAIN), reading_id=given.reading_id, seed=SEED
    )


def _total(given: Given) -> bool:
    return given.choice(SHOWN) == "total" or len(given.read.values) == 1


def _runout(given: Given) -> Estimate:
    return runout(
        given.read.values, meter=given.meter, total=_total(given),
        bearing_play_mm=given.value(PLAY), reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _gap(given: Given) -> Estimate:
    """One blade that goes, or the pair: the one that goes, then the one that does not."""
    read, next_mm = given.read.values, given.value(NOT)
    if len(read) > 2:
        raise ValueError(
            f"{len(read)} blades were written; one or two belong here. Write the thickest that goes, then the "
            'thinnest that does not, such as "0.25 0.30 mm".'
        )
    if len(read) == 2 and next_mm is not None:
        raise Refused(
            {NOT.name: "The blade that does not go is written twice. Leave this empty, or write one reading."}
        )
    return feeler_gap(
        read[0], read[1] if len(read) == 2 else next_mm, blades=given.meter.name,
        blade_half_mm=None if given.meter.unknown else given.meter.absolute, reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _by_hand(given: Given, by_hand: ByHand) -> Estimate:
    end_mm = given.value(END)
    if end_mm is not None and not end_mm >= 0.0:
        raise Refused({END.name: f"{end_mm:g} mm is below zero. Write how far it may be off either way, such as 0.5."})
    known = by_hand if end_mm is None else replace(by_hand, half_mm=end_mm, end_assumed=False)
    return length_by_hand(given.read.values, meter=given.meter, by_hand=known, reading_id=given.reading_id, seed=SEED)


def _free_play(given: Given) -> Estimate:
    return _by_hand(given, FREE_PLAY)


def _spring(given: Given) -> Estimate:
    return _by_hand(given, SPRING)


def _belt(given: Given) -> Estimate:
    return _by_hand(given, BELT_BY_SCALE if given.choice(PUSHED) == "scale" else BELT_BY_THUMB)


ZERO_REFUSED = (("closed, the gauge", ZERO_ERROR.name),)

DISC_THICKNESS = Quantity(
    "disc_thickness", "Thickness of a brake disc", K.LENGTH, K.LENGTH, _lowest(DISC),
    '--quantity disc_thickness --limits "min 22 mm" --read "22.31 22.29 22.33 22.30 mm" --set zero_error=0.01',
    asks=(ZERO_ERROR,),
    trap="A worn disc keeps a lip at its edge: a caliper that rests on it reads too much, so measure on the swept "
    "face; the vehicle stands on stands, never on a jack alone.",
    remedies=ways(ZERO, PLACES),
    refusals=ZERO_REFUSED,
    safety=True,
)  # fmt: skip
THICKNESS_VARIATION = Quantity(
    "thickness_variation", "Thickness variation of a brake disc", K.LENGTH, K.LENGTH, _variation,
    '--quantity thickness_variation --limits "max 0.02 mm" '
    '--read "22.305 22.308 22.311 22.309 22.306 22.303 22.301 22.302 mm" --set "again=22.305 22.306 22.305"',
    asks=(AGAIN,),
    trap="Measure at one distance from the edge, with one micrometer, on clean metal: rust or a lip under an anvil "
    "is taken for variation.",
    remedies=_varies_ways,
    refusals=(("the same place", AGAIN.name),),
)  # fmt: skip
RUNOUT = Quantity(
    "runout", "Runout of a disc, a wheel or a shaft", K.LENGTH, K.LENGTH, _runout,
    '--quantity runout --limits "max 0.08 mm" --read "-0.02 0.03 mm" --set bearing_play=0.01',
    asks=(SHOWN, PLAY),
    trap="A disc held without its wheel nuts, rust behind it or play in the bearing is read as runout; turn it by "
    "hand only, with the engine off.",
    remedies=ways(PUSH_AND_PULL, TURNS),
    refusals=(("a bearing play", PLAY.name),),
    differences=_total,
)  # fmt: skip
VALVE_CLEARANCE = Quantity(
    "valve_clearance", "Valve clearance, or another gap by feeler gauge", K.LENGTH, K.LENGTH, _gap,
    '--quantity valve_clearance --limits "0.20..0.30 mm" --read "0.25 0.26 mm"',
    asks=(NOT,),
    trap="Limits hold for a cold or a warm engine, as the manual says, with the cam's heel on the follower; turn the "
    "engine by hand with the key out.",
    remedies=ways(NEXT_BLADE, DRAG, BLADES, usual=False),
)  # fmt: skip
FREE_PLAY_OF = Quantity(
    "free_play", "Free play of a lever, a pedal or a cable", K.LENGTH, K.LENGTH, _free_play,
    '--quantity free_play --limits "10..20 mm" --read "14 15 14 mm" --set end=1',
    asks=(END,),
    trap="Measure where the manual says, at the end of the lever or the pad of the pedal, and move it with a finger "
    "only; a brake pedal's play that has grown is looked into before driving.",
    remedies=ways(FIND_END),
)  # fmt: skip
SPRING_LENGTH = Quantity(
    "spring_length", "Free length of a spring", K.LENGTH, K.LENGTH, _spring,
    '--quantity spring_length --limits "min 44.5 mm" --read "45.2 45.3 mm"',
    asks=(END,),
    trap="A bent spring reads short on one side and long on the other; never slacken a compressed spring without "
    "its compressor.",
    remedies=ways(FIND_END),
)  # fmt: skip
BELT_DEFLECTION = Quantity(
    "belt_deflection", "Deflection of a drive belt", K.LENGTH, K.LENGTH, _belt,
    '--quantity belt_deflection --limits "8..12 mm" --read "10 11 10 mm" --set pushed=scale',
    asks=(PUSHED, END),
    trap="It holds for the stated force in the middle of the stated run, on a cold belt; engine off and key out, for "
    "a belt takes fingers.",
    remedies=ways(SCALE, FIND_END),
)  # fmt: skip
PAD_THICKNESS = Quantity(
    "pad_thickness", "Lining of a brake pad or shoe", K.LENGTH, K.LENGTH, _lowest(PAD),
    '--quantity pad_thickness --limits "min 3 mm" --read "5.2 5.6 5.0 5.4 mm" --set zero_error=0',
    asks=(ZERO_ERROR,),
    trap="Only the lining counts, without its back plate, at the thinnest corner of the thinnest pad; do not blow the "
    "dust out, for it harms lungs.",
    remedies=ways(ZERO, PLACES),
    refusals=ZERO_REFUSED,
    safety=True,
)  # fmt: skip
TREAD_DEPTH = Quantity(
    "tread_depth", "Tread depth of a tyre", K.LENGTH, K.LENGTH, _lowest(TREAD),
    '--quantity tread_depth --limits "min 1.6 mm" --read "4.1 3.8 3.9 4.0 3.6 3.9 mm" --set zero_error=0',
    asks=(ZERO_ERROR,),
    trap="The lowest main groove counts, beside the wear bars and not on them; the least depth is set by local rules, "
    "and for winter tyres often by others.",
    remedies=ways(ZERO, PLACES),
    refusals=ZERO_REFUSED,
    safety=True,
)  # fmt: skip

QUANTITIES = (
    DISC_THICKNESS, THICKNESS_VARIATION, RUNOUT, VALVE_CLEARANCE, FREE_PLAY_OF, SPRING_LENGTH, BELT_DEFLECTION,
    PAD_THICKNESS, TREAD_DEPTH,
)  # fmt: skip
