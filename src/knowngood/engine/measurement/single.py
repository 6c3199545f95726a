"""Single readings of different things by one instrument: what each has for itself, and what all have alike."""

from knowngood.engine.judgement import Input, Shape
from knowngood.engine.measurement.instruments import Meter


def shown_input(value: float, meter: Meter, *, key: str, name: str) -> Input:
    """One reading of one thing: half a step, or the digits of the data sheet, which contain it. [unit]"""
    half = max(meter.digits, 0.5) * meter.step
    remedies = ("meter", "data_sheet") if meter.assumed else ("meter",)
    return Input(
        f"{key}/digits", value, Shape.RECTANGULAR, half, assumed=meter.assumed, remedies=remedies,
        name=f"display, {name}",
    )  # fmt: skip


def offset_input(meter: Meter) -> Input:
    """What does not grow with the reading: one error, the same for all that one instrument reads. [unit]"""
    remedies = ("meter", "data_sheet") if meter.assumed else ("meter",)
    return Input(
        f"{meter.key}/offset", 0.0, Shape.RECTANGULAR, meter.offset, assumed=meter.assumed, remedies=remedies,
        name="offset of the instrument",
    )  # fmt: skip
