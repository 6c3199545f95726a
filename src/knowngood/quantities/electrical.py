"""Voltages and currents on a vehicle, and the charge and the acid of its battery."""

from dataclasses import replace
from statistics import fmean

from knowngood.engine.judgement import Estimate, Remedy
from knowngood.engine.measurement.electrical.acid import ACID_WAYS, acid_density
from knowngood.engine.measurement.electrical.battery import BATTERY_WAYS, battery_charge
from knowngood.engine.measurement.electrical.wires import (
    CHARGING_WAYS,
    DROP_WAYS,
    PARASITIC_WAYS,
    SLEEP_MIN,
    SLEEP_WAY,
    charging_voltage,
    parasitic_current,
    voltage_drop,
)
from knowngood.engine.measurement.readings.remedies import by_ways, done_again, remedies
from knowngood.engine.measurement.readings.single import better_offset
from knowngood.quantities.basic import AT
from knowngood.quantities.model import SEED, Ask, Given, K, Quantity
from knowngood.refusal import Refused

LOAD = Ask(
    "load", "What it feeds is", hint="A wire drops nothing while no current flows.", default="running",
    choices=(("running", "switched on"), ("off", "switched off")),
)  # fmt: skip
LOAD_A = Ask("load_a", "Current meanwhile", K.CURRENT, "A", "By a clamp meter, such as 45 ± 2.")
AT_LOAD = Ask("at_load", "Limits hold for a current of", K.CURRENT, "A", "When the manual says so, such as 100.")
ENGINE = Ask("engine", "Engine is", default="running", choices=(("running", "running"), ("off", "off")))
PLACE = Ask(
    "place", "Read at", default="posts",
    choices=(("posts", "the battery's posts"), ("elsewhere", "another place, such as a socket")),
)  # fmt: skip
LOCKED = Ask("locked", "Locked for", K.DURATION, "min", "Time since it was locked, such as 60.")
SLEEP = Ask("sleep", "Asleep after", K.DURATION, "min", f"When the manual says so; else {SLEEP_MIN:g} is taken.")
BURDEN = Ask("burden", "Voltage across the meter", K.VOLTAGE, "V", "Such as 20 mV; 0 V with a clamp meter.")
RESTED = Ask("rested", "Rested for", K.DURATION, "h", "Time since it was charged or driven, such as 10.")
BATTERY_AT = Ask("temperature", "Battery is at", K.TEMPERATURE, "°C", "Such as 12 ± 3.", signed=True)
BATTERY = Ask(
    "battery", "Battery", hint="Sealed ones of other kinds show a little more.", default="unknown",
    choices=(("unknown", "I do not know"), ("flooded", "lead, with liquid acid")),
)  # fmt: skip

ACID_AT = Ask("acid", "Acid is at", K.TEMPERATURE, "°C", "Such as 12 ± 3; left empty, 15 ± 15 is assumed.", signed=True)


def _usual(given: Given, estimate: Estimate) -> list[Remedy]:
    return remedies(estimate, meter=given.meter, readings=len(given.read.values), shows=given.read.kind.unit)


def _drop(given: Given) -> Estimate:
    return voltage_drop(
        given.read.values, meter=given.meter, load=given.choice(LOAD), load_a=given.tolerance(LOAD_A),
        at_load_a=given.tolerance(AT_LOAD), reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _charging(given: Given) -> Estimate:
    return charging_voltage(
        given.read.values, meter=given.meter, engine=given.choice(ENGINE), place=given.choice(PLACE),
        reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _parasitic(given: Given) -> Estimate:
    sleep_min = given.value(SLEEP)
    if sleep_min is not None and sleep_min < 0.0:
        words = f"{sleep_min:g} min is below zero. Write the time until everything sleeps, such as 20."
        raise Refused({SLEEP.name: words})
    return parasitic_current(
        given.read.values, meter=given.meter, locked_min=given.value(LOCKED),
        sleep_min=SLEEP_MIN if sleep_min is None else sleep_min, burden_v=given.value(BURDEN),
        reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _charge(given: Given) -> Estimate:
    rested_min = given.value(RESTED)
    return battery_charge(
        given.read.values, meter=given.meter, battery_c=given.tolerance(BATTERY_AT),
        rested_h=None if rested_min is None else rested_min / 60.0, battery=given.choice(BATTERY),
        reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _acid(given: Given) -> Estimate:
    return acid_density(
        given.read.values, meter=given.meter, acid_c=given.tolerance(ACID_AT), limits_c=given.value(AT),
        reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _drop_remedies(given: Given, estimate: Estimate) -> list[Remedy]:
    return [*by_ways(estimate, DROP_WAYS), *_usual(given, estimate)]


def _charging_remedies(given: Given, estimate: Estimate) -> list[Remedy]:
    return [*by_ways(estimate, CHARGING_WAYS), *_usual(given, estimate)]


def _parasitic_remedies(given: Given, estimate: Estimate) -> list[Remedy]:
    """Asleep, all of what is read counts, where awake only a share of it did: so does all that the meter is off."""
    ways = [*by_ways(estimate, PARASITIC_WAYS), *_usual(given, estimate)]
    if all(one.key != SLEEP_WAY.key for one in ways):
        return ways
    read = [estimate.value / fmean(given.read.values) * one for one in given.read.values]
    slept = {**given.typed, LOCKED.name: f"{SLEEP_MIN} min", SLEEP.name: "0 min"}
    then = _parasitic(replace(given, read=replace(given.read, values=tuple(read)), typed=slept))
    asleep = done_again(SLEEP_WAY, estimate, then, grid=given.meter.step)
    return [asleep if one.key == SLEEP_WAY.key else one for one in ways]


def _charge_remedies(given: Given, estimate: Estimate) -> list[Remedy]:
    return [*by_ways(estimate, BATTERY_WAYS), *_usual(given, estimate)]


def _acid_remedies(given: Given, estimate: Estimate) -> list[Remedy]:
    return [*by_ways(estimate, ACID_WAYS, assumed_only=True), *better_offset(_usual(given, estimate), estimate)]


DROP = Quantity(
    "voltage_drop", "Voltage lost along a wire or a ground", K.VOLTAGE, K.VOLTAGE, _drop,
    '--quantity voltage_drop --limits "max 0.2 V" --read "0.31 0.33 V" --set load=running',
    asks=(LOAD, LOAD_A, AT_LOAD),
    trap="Read while the load runs, and keep hands, leads and clothes away from belts, fans and hot parts.",
    remedies=_drop_remedies,
    refusals=(("with the load off", "load"), ("a load of", "load_a"), ("limits for", "at_load")),
)  # fmt: skip
CHARGING = Quantity(
    "charging_voltage", "Charging voltage", K.VOLTAGE, K.VOLTAGE, _charging,
    '--quantity charging_voltage --limits "13.8..14.8 V" --read "14.21 14.19 V" --set engine=running',
    asks=(ENGINE, PLACE),
    trap="Read at the battery's posts with the lights on, in open air, away from belts and fans; sparks can make a "
    "charging battery burst.",
    remedies=_charging_remedies,
    refusals=(("with the engine off", "engine"),),
)  # fmt: skip
PARASITIC = Quantity(
    "parasitic_current", "Current while everything sleeps", K.CURRENT, K.CURRENT, _parasitic,
    '--quantity parasitic_current --limits "max 50 mA" --read "32 mA" --set locked=60 --set burden="20 mV"',
    asks=(LOCKED, SLEEP, BURDEN),
    trap="Never start the engine or switch the lights on through the meter: its fuse blows, and a meter without its "
    "fuse can burn; begin with the 10 A socket.",
    remedies=_parasitic_remedies,
    refusals=(("locked", "locked"), ("a burden of", "burden")),
)  # fmt: skip
CHARGE = Quantity(
    "battery_charge", "Charge of a rested battery", K.VOLTAGE, K.SHARE, _charge,
    '--quantity battery_charge --limits "min 75 %" --read "12.61 12.62 V" --set rested=10 --set temperature="18 ± 3" '
    "--set battery=flooded",
    asks=(RESTED, BATTERY_AT, BATTERY),
    read_unit="V",
    trap="A battery that was just charged or driven shows too much: let it rest overnight; its gas burns, so keep "
    "sparks and flames away.",
    remedies=_charge_remedies,
    refusals=(("rested", "rested"), ("a battery at", "temperature")),
)  # fmt: skip
ACID = Quantity(
    "acid_density", "Density of battery acid, lowest cell", K.DENSITY, K.DENSITY, _acid,
    '--quantity acid_density --limits "1.22..1.29 kg/L" --read "1.265 1.260 1.265 1.260 1.265 1.265 kg/L" '
    '--set acid="12 ± 2" --set at=20',
    asks=(ACID_AT, AT),
    trap="Battery acid burns and its gas explodes: wear goggles and gloves, keep flames and sparks away, rinse any "
    "splash with much water; read at eye level with the float free, never soon after water was filled in.",
    remedies=_acid_remedies,
)  # fmt: skip
QUANTITIES = (DROP, CHARGING, PARASITIC, CHARGE, ACID)
