"""What a step does that calls for a caution: by its facts, else by the words of its sentence."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from knowngood.checks import brakes, fuel, live
from knowngood.checks.doings import clauses, plain, sentences, taken_apart, thing
from knowngood.checks.walk import of_word
from knowngood.checks.wheels import WHEEL_BOLTS
from knowngood.sheet.model import Fluid, Sheet, Step, Zone

CAR = r"(?:it|(?:the )?(?:whole )?(?:front|rear|car|vehicle|left|right|other end|other side|one side)(?: end| side)?)"
LIFTS = re.compile(
    rf"\bjack {CAR}\b|\bjack up\b|\b(?:raise|lift) {CAR}\b(?! (?:lid|cover|seat|carpet))|\b(?:front|rear|car"
    rf"|vehicle) up\b"
)
LOWERS = re.compile(
    rf"\blower (?:it|the (?:\w+ )?(?:front|rear|car|vehicle|end|side))\b|\blet {CAR} down\b|\bdown with it\b"
)
STARTS = re.compile(r"\bengine on\b|\bstart\b.*\b(engine|it|car)\b|\b(let|leave)\b.*\bidle\b|\brun the engine\b")
BLEEDS = re.compile(r"\b(bleed|bled|bleeding)\b")
NEAR_FAN = thing(r"fans?|radiators?|shrouds?", r"(?:heater|blower|cabin|interior) fans?|radiator fluid")
CAP = re.compile(
    r"\b(radiator|coolant|expansion|header|reservoir|pressure)\b.*\bcap\b|\bcap\b.*\b(radiator|coolant"
    r"|expansion tank|header tank)\b"
)
LININGS = thing(
    r"calipers?|callipers?|(?:brake |rear |front )?(?:drums?|discs?|rotors?)|brake (?:pads?|shoes?|linings?)"
    r"|pads|clutch (?:discs?|plates?|covers?)",
    r"(?:vernier|digital|dial) call?ipers?|(?:jack|jacking|lifting|rubber|pedal) pads?|disc(?:s)? of|brake cleaner",
)
CHARGES = re.compile(r"\bcharge\b.*\b(it|battery|fully)\b|\bcharger\b.*\b(on|to)\b")
OILS = (Fluid.ENGINE_OIL, Fluid.GEARBOX_OIL, Fluid.GEAR_OIL, Fluid.STEERING_FLUID)
HOT_WORDS = ("hot", "warm")


@dataclass(frozen=True)
class Moment:
    """A step where the plan has it, and what holds before and after it."""

    sheet: Sheet
    step: Step
    before: frozenset[str]
    after: frozenset[str]

    @property
    def runs(self) -> bool:
        """Does the engine run before the step and go on?"""
        return "running(engine)" in self.before & self.after

    def states(self, word: str) -> bool:
        """Does the sheet state facts of this word at all? Where it does, they count, else the sentences do."""
        rows = (*self.sheet.start, *(fact for step in self.sheet.steps for fact in (*step.makes, *step.ends)))
        return any(one.word == word for fact in rows for one in (fact, *fact.implied))

    def says(self, pattern: re.Pattern[str]) -> bool:
        """Does the step's sentence say so?"""
        return any(pattern.search(row) for row in sentences(self.step.do))


def lifts(at: Moment) -> bool:
    """A jack lifts an end; ramps are driven onto."""
    if not at.states("raised"):
        return at.says(LIFTS)
    up = of_word(at.after, "raised") - of_word(at.before, "raised")
    return bool(up - of_word(at.after, "on_ramps"))


def lowers(at: Moment) -> bool:
    """An end comes down to the ground."""
    if not at.states("raised"):
        return at.says(LOWERS) and not at.says(LIFTS)
    ended = {fact.of for fact in at.step.ends if fact.word == "raised"}
    return bool(ended - of_word(at.after, "raised"))


def starts_engine(at: Moment) -> bool:
    """The engine is started."""
    if not at.states("running"):
        return at.says(STARTS)
    return "running(engine)" in at.after - at.before


def works_at_running(at: Moment) -> bool:
    """Something is undone, done up, filled or bled by hand while the engine runs."""
    step = at.step
    by_hand = step.loosen or step.tighten or step.drain or step.fill or any(one.word == "open" for one in step.makes)
    return at.runs and step.zone is not Zone.INSIDE and bool(by_hand or at.says(BLEEDS))


def near_fan(at: Moment) -> bool:
    """Hands beside the fan with the engine off, hot or not, and the battery on."""
    if at.step.zone is not Zone.TOP or at.runs or _battery_off(at):
        return False
    hot = {one.partition(".")[0] for one in of_word(at.before, "hot")}
    cooling = {name for name, one in at.sheet.circuits.items() if one.fluid is Fluid.COOLANT} | {"engine", "coolant"}
    return bool(hot & cooling) or NEAR_FAN.among(clauses(at.step.do)) is not None


def hands_in(at: Moment) -> bool:
    """Hands under the bonnet or a person under the vehicle, the engine off."""
    return at.step.zone in (Zone.TOP, Zone.UNDER) and not at.runs and not _battery_off(at)


def _battery_off(at: Moment) -> bool:
    return any(live.is_off(text) for text in at.before)


def opens_cap(at: Moment) -> bool:
    """The cap of the cooling system is opened, and no fact says that it is cool."""
    caps = {one.refill: name for name, one in at.sheet.circuits.items() if one.fluid is Fluid.COOLANT}
    opened = [caps[fact.of] for fact in at.step.makes if fact.word in ("open", "proven") and fact.of in caps]
    if opened:
        return not any(f"{word}({name})" in at.before for name in opened for word in ("cool", "cold"))
    undone = [row for row in taken_apart(at.sheet, at.step) if CAP.search(row)]
    return bool(undone) and not any(text.startswith(("cool(", "cold(")) for text in at.before)


def drained(at: Moment) -> Iterator[str]:
    """Circuits that the step drains."""
    if at.step.drain:
        yield at.step.drain
    yield from (
        fact.of for fact in at.step.makes if fact.word == "drained" and fact.of in at.sheet.circuits and fact.of
    )


def drains_warm(at: Moment) -> bool:
    """Oil or coolant let out that may be warm: oil always, unless a fact says that it is cold."""
    for name in drained(at):
        cold = any(f"{word}({name})" in at.before for word in ("cool", "cold"))
        hot = any(f"{word}({name})" in at.before for word in HOT_WORDS)
        if hot or (at.sheet.circuits[name].fluid in OILS and not cold):
            return True
    return False


def drains_oil(at: Moment) -> bool:
    """Oil is let out."""
    return any(at.sheet.circuits[name].fluid in OILS for name in drained(at))


def drains_coolant(at: Moment) -> bool:
    """Coolant is let out."""
    return any(at.sheet.circuits[name].fluid is Fluid.COOLANT for name in drained(at))


def near_orange(at: Moment) -> bool:
    """Something is taken apart where orange cables may lie."""
    return hands_in(at) and any(True for _ in taken_apart(at.sheet, at.step))


def handles_clamps(at: Moment) -> bool:
    """A clamp of the battery is loosened or fitted; "battery off" says so only where it was not off before."""
    stays_off = _battery_off(at) and any(live.is_off(text) for text in at.after)
    return live.clamps_handled(at.sheet, at.step, by_words=not stays_off)


def charges(at: Moment) -> bool:
    """The battery is charged."""
    return any(fact.word == "charged" for fact in at.step.makes) or at.says(CHARGES)


def takes_linings_off(at: Moment) -> bool:
    """A part of brake or clutch whose dust lies in it comes off."""
    return LININGS.among(taken_apart(at.sheet, at.step)) is not None


def opens_brake_fluid(at: Moment) -> bool:
    """Brake fluid can drip: a line, a nipple or its tank is opened, or it is filled."""
    step, circuits = at.step, at.sheet.circuits
    touched = {step.drain, step.fill.circuit if step.fill else None, step.level}
    touched |= {(fact.of or "").split(".")[0] for fact in step.makes if fact.word in ("open", "drained", "proven")}
    if any(name in touched and one.fluid is Fluid.BRAKE_FLUID for name, one in circuits.items()):
        return True
    return brakes.opened_hydraulics(at.sheet, step) is not None or bleeds_brakes(at)


def bleeds_brakes(at: Moment) -> bool:
    """The brakes are bled: the step bleeds, and speaks of them or of nothing else."""
    if not brakes.bleeds(at.step):
        return False
    ended = [
        at.sheet.circuits[fact.of] for fact in at.step.ends if fact.word == "unbled" and fact.of in at.sheet.circuits
    ]
    if ended:
        return any(one.fluid is Fluid.BRAKE_FLUID for one in ended)
    other = any(one.fluid is Fluid.COOLANT for one in at.sheet.circuits.values()) or "coolant" in plain(at.step.do)
    return brakes.speaks_of_brakes(at.sheet) and not other


def closes_brakes(at: Moment) -> bool:
    """The brake is together again, or bled, and no later step pumps: pressed too early, a piston falls out."""
    if brakes.pumps(at.step) or _pumped_later(at):
        return False
    return brakes.piston_moved(at.sheet, at.step) or bleeds_brakes(at)


def _pumped_later(at: Moment) -> bool:
    """Does a step that always comes pump the pedal after this one?"""
    later = at.sheet.steps[at.sheet.steps.index(at.step) + 1 :]
    return any(step.when is None and brakes.pumps(step) for step in later)


def fits_wheels(at: Moment) -> bool:
    """Wheel bolts are tightened with the wheel on the ground."""
    names = [plain(f"{at.sheet.fasteners[name].name} {name}") for name in at.step.tighten]
    return WHEEL_BOLTS.among(names) is not None and not of_word(at.before & at.after, "raised")


def opens_fuel(at: Moment) -> bool:
    """Something of the fuel is opened."""
    return fuel.fuel_opened(at.sheet, at.step) is not None
