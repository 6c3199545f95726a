"""Single readings of different things by one instrument: what each has for itself, and what all have alike."""

from collections.abc import Sequence
from dataclasses import replace

from knowngood.engine.judgement import Estimate, Input, Remedy, Shape
from knowngood.engine.measurement.meters.instruments import Meter


def shown_input(value: float, meter: Meter, *, key: str, name: str) -> Input:
    """One reading of one thing: half a step, or the digits of the data sheet, which contain it. [unit]"""
    half = max(meter.digits, 0.5) * meter.step
    remedies = ("meter", "data_sheet") if meter.assumed else ("meter",)
    return Input(
        f"{key}/digits", value, Shape.RECTANGULAR, half, assumed=meter.assumed, remedies=remedies,
        name=f"display, {name}",
    )  # fmt: skip


def offset_input(meter: Meter) -> Input:
    """What does not grow with the reading, to be added to each: one error of all that an instrument reads. [unit]"""
    remedies = ("meter", "data_sheet") if meter.assumed else ("meter",)
    return Input(
        f"{meter.key}/offset", 0.0, Shape.RECTANGULAR, meter.offset, assumed=meter.assumed, remedies=remedies,
        name="offset of the instrument",
    )  # fmt: skip


def better_offset(found: Sequence[Remedy], estimate: Estimate) -> list[Remedy]:
    """Return remedies in which a finer instrument, where one is among them, has a quarter of the offset too. Ours."""
    offsets = [row for row in estimate.rows if row.key.startswith("meter:") and row.key.endswith("/offset")]
    left = {row.key: 0.25 * abs(row.contribution) for row in offsets if row.contribution}
    return [replace(one, after={**one.after, **left}) if one.key == "meter" else one for one in found]
