"""Voltage and current on a vehicle: drop under load, charging voltage, parasitic current."""

from collections.abc import Sequence
from typing import Any

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.meters.instruments import Meter, gain_input, reading_inputs
from knowngood.engine.measurement.readings.remedies import Way

# How many steps below zero a display shows when nothing is there. Ours.
FLICKER_STEPS = 2.5
# A value, and how far it may be off; None when nobody said.
Stated = tuple[float, float | None]

# A current that someone stated without a tolerance, by a cheap clamp or from a lamp's watts. Ours. [share]
STATED_LOAD_SHARE = 0.1
# A current that nobody read lies this far around the one that the limit is stated for. Ours. [share]
UNREAD_LOAD_SHARE = 0.5
# Between the battery's posts and any other place, such as a socket in the cabin, up to this is lost. Ours. [V]
ELSEWHERE_V = 0.5
# Modules fall asleep some minutes up to an hour after locking: common practice, no source. [min]
SLEEP_MIN = 60.0
# What a meter takes for itself while it reads a current: from memory, the small ranges of low-cost meters. [V]
BURDEN_V, MOST_BURDEN_V = 0.3, 2.0
# A rested battery of 12 V that is nearly full: common practice, no source. [V]
SUPPLY_V = 12.6


DROP_WAYS = (Way("load", "Read the current with a clamp meter while you read the drop", 5, 0.1),)
CHARGING_WAYS = (Way("posts", "Read at the battery's posts, not at their clamps", 2, 0.0),)
SLEEP_WAY = Way("sleep", "Leave it locked until everything sleeps, and read again", SLEEP_MIN, 0.0)
PARASITIC_WAYS = (
    SLEEP_WAY,
    Way("burden", "Read with the 10 A socket, or with a clamp meter for small currents", 5, 0.1),
)


def shown(read: Any, digits: Any, step: Any, gain: Any) -> Any:
    """Return what a display stands for: reading, errors of the display, relative error of the meter."""
    return read * (1.0 + gain) + digits + step


def voltage_drop(
    read_v: Sequence[float],
    *,
    meter: Meter,
    load: str = "running",
    load_a: Stated | None = None,
    at_load_a: Stated | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the voltage lost along a wire or a ground, brought to the current that its limit is stated for.

    A drop grows with the current. Without `at_load_a` the limit is taken to hold for whatever flowed.

    Args:
        read_v: Readings along the wire, while its load draws. [V]
        meter: What they were read with.
        load: "running", or "off", which says nothing.
        load_a: Current meanwhile, and how far off; None: not read. [A]
        at_load_a: Current that the limit is stated for; exact unless it says how far off. [A]
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: The load is off, a current that is not above zero, a drop below zero.

    Source:
        GUM, 5.1.2.

    Example:
        >>> ground = voltage_drop([0.32], meter=Meter("blue", 0.5, 2, 0.01), load_a=(40.0, 2.0), at_load_a=(50.0, None))
        >>> round(ground.value, 2), round(ground.standard_uncertainty, 3)
        (0.4, 0.019)
    """
    if load == "off":
        raise ValueError(
            "with the load off no current flows, and without current a bad wire drops nothing. "
            "Switch the load on and read while it runs."
        )
    _refuse_swapped(read_v, meter, "V", "the probes are the other way round")
    _refuse_load(load_a, "a load of", "Write the current that flows while you read")
    _refuse_load(at_load_a, "limits for", "Write the current that the manual's limit is for")
    wanted, now = _currents(load_a, at_load_a, reading_id)
    inputs = [*displayed(read_v, meter, reading_id), gain_input(meter), wanted, now]

    def at_load(read: Any, digits: Any, step: Any, gain: Any, wanted_a: Any, now_a: Any) -> Any:
        return shown(read, digits, step, gain) * wanted_a / now_a

    return propagate(at_load, inputs, unit="V", seed=seed)


def _currents(load_a: Stated | None, at_load_a: Stated | None, reading_id: str) -> tuple[Input, Input]:
    """The current that the limit is stated for and the one that flowed; both 1 when nothing is scaled."""
    keys = f"reading:{reading_id}/at_load", f"reading:{reading_id}/load"
    if at_load_a is None:
        one, other = (Input(key, 1.0, Shape.RECTANGULAR, 0.0) for key in keys)
        return one, other
    value, half = at_load_a
    wanted = Input(keys[0], value, Shape.RECTANGULAR, half or 0.0, name="current that the limit is stated for")
    flowed, stated = load_a or (value, UNREAD_LOAD_SHARE * value)
    off = STATED_LOAD_SHARE * flowed if stated is None else stated
    now = Input(
        keys[1], flowed, Shape.RECTANGULAR, off,
        assumed=load_a is None or stated is None, remedies=("load",),
        name=f"current while it was read, {flowed:g} ± {off:g} A",
    )  # fmt: skip
    return wanted, now


def _refuse_load(current_a: Stated | None, begins: str, do: str) -> None:
    """Refuse a current that is not above zero, with all that it may be off."""
    if current_a is not None and current_a[0] - (current_a[1] or 0.0) <= 0.0:
        around = f" ± {current_a[1]:g}" if current_a[1] else ""
        raise ValueError(
            f"{begins} {current_a[0]:g}{around} A: that is not above zero. {do}, such as 45 A, or leave it empty."
        )


def charging_voltage(
    read_v: Sequence[float],
    *,
    meter: Meter,
    engine: str = "running",
    place: str = "posts",
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the voltage at the battery's posts while the engine charges it.

    Args:
        read_v: Readings. [V]
        meter: What they were read with.
        engine: "running", or "off", which says nothing about charging.
        place: "posts", or "elsewhere": between there and the posts some is lost.
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: The engine is off, or a voltage that is not above zero.

    Source:
        GUM, 5.1.2.

    Example:
        >>> round(charging_voltage([14.21, 14.19], meter=Meter("blue", 0.5, 2, 0.01)).value, 2)
        14.2
    """
    if engine == "off":
        raise ValueError(
            "with the engine off this is the battery alone, not its charging. Start the engine and read again, "
            "or judge the rested battery's charge."
        )
    refuse_nothing(read_v, "V", "look for the meter's range and for the probes' contact")
    most = ELSEWHERE_V if place == "elsewhere" else 0.0
    lost = up_to(
        f"reading:{reading_id}/lost",
        most,
        assumed=True,
        remedies=("posts",),
        name=f"lost on the way from the posts, up to {ELSEWHERE_V:g} V",
    )

    def at_posts(read: Any, digits: Any, step: Any, gain: Any, lost_v: Any) -> Any:
        return shown(read, digits, step, gain) + lost_v

    return propagate(at_posts, [*displayed(read_v, meter, reading_id), gain_input(meter), lost], unit="V", seed=seed)


def parasitic_current(
    read_a: Sequence[float],
    *,
    meter: Meter,
    locked_min: float | None = None,
    sleep_min: float = SLEEP_MIN,
    burden_v: float | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the current that a sleeping vehicle draws.

    What is awake only adds: read too early, the sleeping current is anything from nothing to what was read. The
    meter takes a little voltage for itself; what hangs behind it draws that much less, or does not mind.

    Args:
        read_a: Readings, the meter in the battery's lead. [A]
        meter: What they were read with.
        locked_min: Since it was locked; None: nobody looked at the clock. [min]
        sleep_min: What its modules need to fall asleep. [min]
        burden_v: Across the meter while it reads; None assumes a low-cost one's. [V]
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Only zeros, a current below zero, a burden or a time that cannot be.

    Source:
        GUM, 5.1.2.

    Example:
        >>> asleep = parasitic_current([0.032], meter=Meter("blue", 1.0, 3, 0.001), locked_min=90, burden_v=0.0)
        >>> round(asleep.value, 3), round(asleep.standard_uncertainty, 4)
        (0.032, 0.0018)
    """
    _refuse_current(read_a, meter, locked_min, burden_v)
    slept = locked_min is not None and locked_min >= sleep_min
    awake = up_to(
        f"reading:{reading_id}/awake",
        0.0 if slept else 1.0,
        assumed=True,
        remedies=("sleep",),
        name="what is still awake, up to all of it",
    )
    taken = BURDEN_V if burden_v is None else burden_v
    burden = up_to(
        f"{meter.key}/burden", taken, assumed=burden_v is None,
        remedies=("burden",), name=f"voltage that the meter takes, up to {taken:g} V",
    )  # fmt: skip
    inputs = [*displayed(read_a, meter, reading_id), gain_input(meter), awake, burden]

    def asleep(read: Any, digits: Any, step: Any, gain: Any, awake_share: Any, taken_v: Any) -> Any:
        return shown(read, digits, step, gain) * (1.0 - awake_share) * (1.0 + taken_v / SUPPLY_V)

    return propagate(asleep, inputs, unit="A", seed=seed)


def displayed(values: Sequence[float], meter: Meter, reading_id: str) -> list[Input]:
    """Return the first three of what `shown` takes: readings, digits, step."""
    return reading_inputs(values, meter, key=f"reading:{reading_id}", name="the readings")


def up_to(key: str, most: float, *, assumed: bool, remedies: tuple[str, ...], name: str) -> Input:
    """Return an error of one sign: anything from nothing to the most."""
    half = 0.5 * most
    return Input(key, half, Shape.RECTANGULAR, half, assumed=assumed, remedies=remedies, name=name)


def _refuse_swapped(values: Sequence[float], meter: Meter, unit: str, why: str) -> None:
    """Refuse what lies below zero by more than a display flickers: judged with its sign, it would pass any limit."""
    low = min(values, default=0.0)
    if low < -FLICKER_STEPS * meter.step:
        raise ValueError(f"a reading of {low:g} {unit} is below zero: {why}. Swap them and read again.")


def refuse_nothing(values: Sequence[float], unit: str, do: str) -> None:
    """Refuse a voltage that is not above zero; `do` says what to look at when it is zero."""
    low = min(values, default=1.0)
    if low < 0.0:
        raise ValueError(
            f"a reading of {low:g} {unit} is below zero: the probes are the other way round. Swap them and read again."
        )
    if low == 0.0:
        raise ValueError(f"a reading of 0 {unit} is not above zero: {do}, and read again.")


def _refuse_current(values: Sequence[float], meter: Meter, locked_min: float | None, burden_v: float | None) -> None:
    """Refuse what no battery lead shows, in the mechanic's words."""
    why = "the meter's leads are the other way round, or something charges the battery"
    _refuse_swapped(values, meter, "A", why)
    if values and max(values) <= 0.0:
        raise ValueError(
            "a reading of 0 A is below one step of the display, or the meter's fuse is blown: every battery that is "
            "connected gives a few mA. Read a small lamp's current to try the fuse, then take a finer range."
        )
    if locked_min is not None and locked_min < 0.0:
        raise ValueError(f"locked {locked_min:g} min ago is in the future. Write the minutes since it was locked.")
    if burden_v is not None and not 0.0 <= burden_v <= MOST_BURDEN_V:
        raise ValueError(
            f"a burden of {burden_v:g} V is outside 0 to {MOST_BURDEN_V:g} V: behind it the modules would start anew. "
            "Read the voltage across the meter's own two sockets, or leave it empty."
        )
