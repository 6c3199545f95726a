"""The cautions that a step carries by what it does: trigger, sentence, source. The sentences are ours.

Source:
    ACCC_JACKS, deaths under a car that a jack alone held.
    HSE_UNDER_VEHICLES, stands and chocks; what is in between is no place for a person.
    HSE_AIR_SUSPENSION, a vehicle that sank when its air went.
    WORKSAFE_MACHINES, hair and sleeves in what turns.
    OSHA_LOCKOUT, machines that start by themselves.
    HSE_ELECTRIC, an engine or a motor that starts by itself, and orange cables.
    CO_GARAGE, carbon monoxide behind an open garage door.
    NHTSA_CAPS, scalds from a cap opened hot.
    NHTSA_BATTERIES, what hurts people at batteries.
    HSE_BATTERIES, gas, acid and short circuits.
    EPA_USED_OIL, where old oil goes.
    EPA_BRAKE_DUST, dust of linings.
    HSE_FIRE, petrol vapour in workshops.
    HSENI_INJECTION, fluid under pressure through the skin.
    DVSA_TORQUE, wheels tightened by torque and looked at again.
    EPA_COOLANT, coolant and who drinks it.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

from knowngood.acts.cautions import triggers as at
from knowngood.acts.cautions.triggers import Moment
from knowngood.engine.troubleshooting.model.safety import SafetyKind

MEMORY = "from memory"
JOB = "job"


@dataclass(frozen=True)
class Row:
    """One caution.

    Args:
        at: Does a step call for it?
        sentence: What is said.
        source: Key of the document, several with a comma between them, or that it is from memory.
        said: Words of the sheet's own that say it already.
        once: Said once while this fact holds, or once a job; None at each step that calls for it.
        hangs_on: What the vehicle must have for it, any of these.
        if_unknown: What is said where nobody knows whether the vehicle has it.
        anywhere: What another step of the sheet says counts as well.
        of: The safety system of which this is the usual caution; where none of these speaks, the gate's does.
    """

    at: Callable[[Moment], bool]
    sentence: str
    source: str
    said: str
    once: str | None = None
    hangs_on: tuple[str, ...] = ()
    if_unknown: str = ""
    anywhere: bool = False
    of: SafetyKind | None = None

    def says(self, text: str) -> bool:
        """Do these words of the sheet say it?"""
        return bool(re.search(self.said, text, re.IGNORECASE))


ROWS: tuple[Row, ...] = (
    Row(
        at.lifts,
        "Never go under a car held by a jack alone; use stands and chocks.",
        "ACCC_JACKS, HSE_UNDER_VEHICLES",
        r"jack alone|only a jack",
        once=JOB,
    ),
    Row(
        at.lifts,
        "Switch self-levelling off before you lift, and use stands; air alone may drop the car.",
        "HSE_AIR_SUSPENSION",
        r"air suspension|levelling|leveling",
        once=JOB,
        hangs_on=("air_suspension",),
        if_unknown="If it has air suspension, switch self-levelling off before you lift; air alone may drop the car.",
    ),
    Row(
        at.lowers,
        "Check that nobody and nothing is under the car before you lower it.",
        MEMORY,
        r"(nobody|no one|nothing)\b.*\b(under|beneath)",
    ),
    Row(
        at.starts_engine,
        "Run the engine outdoors only; its exhaust gas kills, and an open garage door is not enough.",
        "CO_GARAGE",
        r"exhaust|carbon monoxide",
    ),
    Row(
        at.starts_engine,
        "Keep hands, sleeves and hair clear of belts and fan while it runs.",
        "WORKSAFE_MACHINES",
        r"\b(belts?|fan)\b",
    ),
    Row(
        at.works_at_running,
        "The belt turns, the fan can start by itself and parts are hot: keep hands, sleeves and hair clear.",
        "WORKSAFE_MACHINES, OSHA_LOCKOUT",
        r"\b(belts?|fan|all that turns)\b",
        once="running(engine)",
    ),
    Row(
        at.near_fan,
        "The fan can start by itself, even with the engine off.",
        "OSHA_LOCKOUT",
        r"\bfan\b.*\b(start|starts|itself|comes on)|full speed",
        once=JOB,
    ),
    Row(
        at.hands_in,
        "Keep the key well away: this engine can start by itself.",
        f"HSE_ELECTRIC, {MEMORY}",
        r"\bkey\b.*\b(away|far)|engine\b.*\bby itself",
        once=JOB,
        hangs_on=("start_stop", "hybrid"),
        if_unknown="If it has start-stop or is a hybrid, keep the key well away: the engine can start by itself.",
    ),
    Row(
        at.near_orange,
        "Orange cables can kill even when it is off; leave them to a trained person.",
        "HSE_ELECTRIC",
        r"\borange\b",
        once=JOB,
        hangs_on=("hybrid",),
        if_unknown="If it is a hybrid or electric: orange cables can kill even when it is off. Leave them alone.",
    ),
    Row(
        at.opens_cap,
        "Leave the cap shut while it is hot; wait an hour, then turn it slowly.",
        "NHTSA_CAPS, OSHA_LOCKOUT",
        r"\bcap\b.*\b(shut|slowly|hot|cool)|scald|pressure",
        once=JOB,
    ),
    Row(
        at.drains_warm,
        "Hot fluid burns: wear gloves; keep your arm out of the stream.",
        "EPA_USED_OIL",
        r"\b(hot|scalds?|burns?|stream)\b",
        once=JOB,
    ),
    Row(
        at.handles_clamps,
        "Rings off, no metal across the posts, no flame: a short burns, its gas explodes, its acid eats skin. "
        "Minus off first, on last.",
        "HSE_BATTERIES, NHTSA_BATTERIES",
        r"\b(short circuit|across|rings)\b|from plus to",
    ),
    Row(
        at.charges,
        "Charge in fresh air; switch the charger off before you touch the clamps.",
        "HSE_BATTERIES, NHTSA_BATTERIES",
        r"hydrogen|fresh air|charger off",
    ),
    Row(
        at.takes_linings_off,
        "Wet the dust and wipe it; never blow or brush it.",
        "EPA_BRAKE_DUST",
        r"\bdust\b",
        once=JOB,
    ),
    Row(
        at.opens_brake_fluid,
        "Brake fluid hurts eyes and strips paint; rinse with water at once.",
        MEMORY,
        r"\b(eyes?|paint)\b",
        once=JOB,
    ),
    Row(
        at.closes_brakes,
        "Pump the pedal until it is firm before the car moves.",
        MEMORY,
        r"\bpedal\b.*\b(firm|hard)|\bpump\w*\b.*\bpedal",
        of=SafetyKind.BRAKES,
    ),
    Row(
        at.fits_wheels,
        "Tighten wheels by torque, and check again after about 50 km.",
        f"DVSA_TORQUE, {MEMORY}",
        r"\b(again after|50 km|re-?torque)",
        once=JOB,
        of=SafetyKind.WHEELS,
    ),
    Row(
        at.opens_fuel,
        "Petrol fumes creep along the floor and catch fire far away: outdoors, no flame, no spark; touch bare metal "
        "first, for static.",
        "HSE_FIRE",
        r"\b(fumes|vapour|vapor)\b",
        once=JOB,
        of=SafetyKind.FUEL,
    ),
    Row(
        at.opens_fuel,
        "Never feel for a leak with your hand: the jet goes through skin.",
        "HSENI_INJECTION",
        r"through (the )?skin",
        once=JOB,
    ),
    Row(
        at.drains_oil,
        "Take old oil and filter to a collection point; mix nothing into it.",
        "EPA_USED_OIL",
        r"collection point",
        once=JOB,
        anywhere=True,
    ),
    Row(
        at.drains_coolant,
        "Coolant tastes sweet and poisons; keep it from children and pets.",
        "EPA_COOLANT",
        r"poison|sweet",
        once=JOB,
        anywhere=True,
    ),
)
