"""Revisions of a job's sheet: what changed and why, and which readings were judged against what no longer stands."""

from knowngood.acts.job import planning
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.sheet_changes import allowed_words, changes
from knowngood.acts.readings.judged_band import same_band, still_stands
from knowngood.acts.readings.values import band_words
from knowngood.acts.tools.toolbox import unit_of
from knowngood.engine.judgement import Band
from knowngood.quantities.known import QUANTITIES
from knowngood.sheet.model import Sheet
from knowngood.store.event import Event
from knowngood.store.moment import day_of
from knowngood.store.states import first_judged
from knowngood.words import day_words

JUDGE_AGAIN = "Judge it again."
# What came to be known of an instrument, by the entry that says so.
SINCE = {"instrument_added": "described anew", "instrument_checked": "checked"}


def revised_words(job: Job) -> list[str]:
    """Return each revision in a line: its day, what it changed, and the person's reason."""
    found, before = list[str](), _sheet(job.opened["sheet"])
    for event in job.state.kept("sheet_revised"):
        after = _sheet(event.data["sheet"])
        changed = ", ".join(changes(before, after)) if before and after else ""
        why = f" Reason: {event.data['why']}" if event.data.get("why") else " No reason was written down."
        found.append(f"{day_words(day_of(event.happened, job.zone))}: {changed or 'nothing but its notes'}.{why}")
        before = after
    return found


def _sheet(text: str) -> Sheet | None:
    return planning.read_sheet(text, "").sheet


def mark_words(job: Job, event: Event) -> str:
    """Return what to say beside a reading as it was told: judged by what no longer holds, or judged again; or nothing.

    Args:
        job: Its job.
        event: One judgement of it.
    """
    rows, first = [outdated(job, event)], first_judged(event)
    newest = next(one for one in job.state.counting if first_judged(one) == first)
    if newest.id != event.id:
        rows.append("Judged again since.")
    elif rows[0] and job.state.finished is None:
        rows.append(JUDGE_AGAIN)
    if event.id != first:
        rows.insert(0, f"Judged again from what was read on {day_words(day_of(newest.happened, job.zone))}.")
    return " ".join(filter(None, rows))


def outdated(job: Job, event: Event) -> str:
    """Return that a reading was judged by what its limit no longer says, in words; empty where it stands."""
    limit = job.sheet.limits.get(event.data.get("limit") or "")
    if limit is None or still_stands(limit, event):
        return ""
    if same_band(limit, event):
        return "Judged before this limit was revised."
    was = band_words(Band.from_json(event.data["band"]), event.data["unit"])
    return f"Judged against {was}; since then {allowed_words(limit)} is allowed."


def why_again(garage: Garage, job: Job, reading: Event) -> str:
    """Return why a reading that counts may be judged again, in words; empty where all holds that it was judged by."""
    if reading.kind != "reading_judged":
        return ""
    return outdated(job, reading) or _seen_since(garage, reading)


def _seen_since(garage: Garage, reading: Event) -> str:
    """That more is known of its instrument than when it was judged; what was kept with it stands until then."""
    toolbox, name = garage.toolbox(), reading.data["instrument"]["name"]
    quantity = QUANTITIES.get(str(reading.data.get("quantity")))
    unit = quantity.reads.unit if quantity else reading.data["estimate"]["unit"]
    mine = [one for one in (*toolbox.instruments, *toolbox.checks) if one.data["name"] == name]
    since = [one for one in mine if (one.seq or 0) > (reading.seq or 0) and unit_of(one) == unit]
    what = {one.kind: SINCE[one.kind] for one in since}
    return f"The {name} was {' and '.join(what.values())} since this was judged." if what else ""


def to_judge_again(job: Job) -> list[Event]:
    """Return the newest reading of each limit of an open job that was judged by what no longer holds."""
    newest = {event.data["limit"]: event for event in job.state.counting if event.data["limit"]}
    return [event for event in newest.values() if not job.stands(event)]
