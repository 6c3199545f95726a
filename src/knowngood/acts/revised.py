"""Revisions of a job's sheet: what changed and why, and which readings were judged against what no longer stands."""

from collections.abc import Iterator, Mapping
from typing import Any

from knowngood.acts import planning
from knowngood.acts.garage import Job
from knowngood.acts.judged_band import still_stands
from knowngood.acts.values import band_words
from knowngood.engine.judgement import Band
from knowngood.sheet.fields import AskRef
from knowngood.sheet.model import Limit, Sheet
from knowngood.store.event import Event
from knowngood.store.moment import day_of
from knowngood.words import day_words


def revised_words(job: Job) -> list[str]:
    """Return each revision in a line: its day, what it changed, and the person's reason."""
    found, before = list[str](), _sheet(job.opened["sheet"])
    for event in job.state.kept("sheet_revised"):
        after = _sheet(event.data["sheet"])
        changes = ", ".join(_changes(before, after)) if before and after else ""
        why = f" Reason: {event.data['why']}" if event.data.get("why") else " No reason was written down."
        found.append(f"{day_words(day_of(event.happened))}: {changes or 'words only'}.{why}")
        before = after
    return found


def _sheet(text: str) -> Sheet | None:
    return planning.read_sheet(text, "").sheet


def _changes(before: Sheet, after: Sheet) -> Iterator[str]:
    for name, limit in after.limits.items():
        old = before.limits.get(name)
        if old and old.band != limit.band:
            yield f"{limit.name} from {_allowed(old)} to {_allowed(limit)}"
    for what, one, other in (("new", after, before), ("gone", before, after)):
        ids = {step.id for step in other.steps}
        yield from (f"step “{step.do}” {what}" for step in one.steps if step.id not in ids)


def _allowed(limit: Limit) -> str:
    if isinstance(limit.band, AskRef):
        return "what your manual states"
    return band_words(Band(limit.band.lower, limit.band.upper, limit.band.kind.unit), limit.band.unit)


def outdated(job: Job, event: Event) -> str:
    """Return that a reading was judged against limits that have changed since, in words; empty where they stand."""
    limit = job.sheet.limits.get(event.data.get("limit") or "")
    if limit is None or still_stands(limit, event):
        return ""
    was = band_words(Band.from_json(event.data["band"]), event.data["unit"])
    return f"Judged against {was}; since then {_allowed(limit)} is allowed. Judge it again."


def as_typed(data: Mapping[str, Any]) -> dict[str, str]:
    """Return the words of a reading without its limits, to be judged again against those that stand."""
    gone = ("limits", "quantity", "rule", "at")
    return {name: words for name, words in data["typed"].items() if words and name not in gone}
