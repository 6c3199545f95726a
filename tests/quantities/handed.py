"""What a page would hand to a quantity: readings, typed words, and an instrument or a wide typical one."""

import pytest

from knowngood import units
from knowngood.acts.readings.judging import judge_typed
from knowngood.engine.measurement.meters.instruments import typical
from knowngood.quantities.known import QUANTITIES, example_words
from knowngood.quantities.model import Given
from knowngood.refusal import Refused


def given(quantity, read, meter=None, **typed):
    found = units.readings(read, quantity.reads, unit=quantity.read_unit or None)
    return Given(found, meter or typical(found.kind.unit, found.step), typed, "7")


def estimate(name, read, meter=None, **typed):
    return QUANTITIES[name].estimate(given(QUANTITIES[name], read, meter, **typed))


def judged(quantity, **changed):
    """The example of a quantity, some of its words typed otherwise."""
    return judge_typed({**example_words(quantity), **changed}, reading_id="7")


def refused(name, read, **typed):
    """Sentences by field; one of the engine stands at the field that the quantity says."""
    with pytest.raises((ValueError, Refused)) as why:
        estimate(name, read, **typed)
    if isinstance(why.value, Refused):
        return why.value.problems
    text = str(why.value)
    return {next((at for begins, at in QUANTITIES[name].refusals if text.startswith(begins)), "read"): text}
