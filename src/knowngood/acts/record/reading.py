"""A reading of a job or the bench: the limit of the sheet and the instrument of the toolbox found, then judged."""

from typing import Any

from knowngood import units
from knowngood.acts.job.garage import Garage
from knowngood.acts.readings.gated import gated
from knowngood.acts.readings.judged_band import stated
from knowngood.acts.readings.judging import ALONE, Occasion, event_data, judge_typed
from knowngood.acts.record.entries import Entry
from knowngood.refusal import Refused, parsed
from knowngood.sheet.model import Limit


def reading_data(garage: Garage, entry: Entry, *, limit: Limit | None, checks_repair: bool = False) -> dict[str, Any]:
    """Judge an entry; a limit of the sheet gives what is allowed and at which temperature.

    Raises:
        Refused: A sentence at each field that cannot be used.
    """
    typed = {key: entry.text(key) for key in entry.fields} | {"part": _part(entry)} | (stated(limit) if limit else {})
    name = entry.text("name") or (limit.name if limit else "")
    occasion = ALONE
    if limit:
        gate = gated(name, typed, limit.kind, "read")
        occasion = Occasion(limit.decides, limit.source, in_job=True, gate=gate, checks_repair=checks_repair)
    judged = judge_typed(typed, reading_id=entry.id, name=name, toolbox=garage.toolbox(), occasion=occasion)
    return {**event_data(judged), "step": entry.text("step") or None}


def _part(entry: Entry) -> str:
    """The part's temperature; how far it may be off has a field of its own, for keypads without a ±."""
    part, give = entry.text("part"), entry.text("part_give")
    if not give:
        return part
    if not part:
        words = f'Nothing is written here, but "{give}" beside it. Write the temperature too, such as 48.'
        raise Refused({"part": words})
    if units.PLUS_MINUS.search(part):
        raise Refused({"part_give": f'"{part}" says already how far it may be off. Empty this field.'})
    parsed("part", lambda: units.quantity(part, units.Kind.TEMPERATURE, unit="°C"))
    both = units.completed(f"{part} ± {give}", "°C")
    try:
        units.tolerance(both, units.Kind.TEMPERATURE)
    except units.Undecided as undecided:
        raise Refused({"part_give": str(undecided)}) from undecided
    except units.UnitsError as refused:
        words = f'"{give}" does not say how far the part may be off. Write one number above zero, such as 4.'
        raise Refused({"part_give": words}) from refused
    return both
