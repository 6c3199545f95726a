"""Entries of a job."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from knowngood import __version__, units
from knowngood.acts.faults.checked_again import checks_repair
from knowngood.acts.faults.known_part import parts_of
from knowngood.acts.faults.watches import came_back
from knowngood.acts.job import planning, problems
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.opened_again import refuse_half_open, refuse_work
from knowngood.acts.job.overruled import overruled_data
from knowngood.acts.job.run import Standing, standing_open
from knowngood.acts.job.standing import stops_at
from knowngood.acts.record.answers import answered
from knowngood.acts.record.entries import Draft, Entry
from knowngood.acts.record.findings import FINDINGS
from knowngood.acts.record.fits import FIELD, fit_noted, noted_with
from knowngood.acts.record.fluids import fluid_moved, keeping, moved_with, read_with_step, temperature_read
from knowngood.acts.record.judged_again import judged_again
from knowngood.acts.record.mixes import mix_read
from knowngood.acts.record.parts import advice_of, decided_part, part_weighed, watched
from knowngood.acts.record.prices_stated import paid
from knowngood.acts.record.proofs import closing, proof_driven, proof_seen, returns_stated
from knowngood.acts.record.reading import reading_data
from knowngood.acts.record.rest import noted, odometer_km
from knowngood.acts.record.rest import withdrawn as withdrawn_here
from knowngood.acts.record.said import part_is, worth_stated
from knowngood.acts.record.standing import stands_now
from knowngood.acts.record.watches import watch_closed, watch_opened
from knowngood.acts.record.window import asked_at_window
from knowngood.acts.tools.prices import amount_of
from knowngood.refusal import Refused
from knowngood.sheet import library
from knowngood.sheet.facts import texts
from knowngood.sheet.model import Step

K = units.Kind
# What a job says of its vehicle as well.
OF_VEHICLE = ("answered", "described", "stands_now", "fit_noted")


def _job_opened(garage: Garage, entry: Entry) -> list[Draft]:
    vehicle = entry.needed("vehicle", "which vehicle it is for")
    if vehicle not in garage.ids("vehicle"):
        raise Refused({"vehicle": "That vehicle is not in this garage. Add it on the Bench first."})
    back = came_back(garage, entry.text("from_watch")) if entry.text("from_watch") else None
    text, file = (back[0].state.sheet, back[0].reading.file) if back else _sheet_of(entry)
    read = planning.read_sheet(text, file)
    if read.sheet is None:
        raise Refused({"sheet": " ".join(problem.message for problem in read.problems)})
    scope = [one.strip() for one in entry.text("scope").split(",") if one.strip()]
    unknown = [one for one in scope if one not in read.sheet.scopes]
    if unknown:
        known = ", ".join(read.sheet.scopes)
        raise Refused({"scope": f'"{unknown[0]}" is not a scope of this sheet. It has {known}.'})
    data = {
        "vehicle": vehicle,
        "title": read.sheet.title,
        "sheet": text,
        "sheet_file": read.file,
        "scope": scope,
        "complaint": entry.text("complaint"),
        "quote": entry.text("quote"),
    }
    if entry.text("quote"):
        amount_of("quote", entry.text("quote"))
    if back is None:
        return [Draft("job_opened", data)]
    old, watch = back
    closed = {"watch": watch.id, "words": f"it came back, see job {entry.of}"}
    opened = Draft("job_opened", {**data, "from": {"job": old.id, "watch": watch.id}})
    return [opened, Draft("watch_closed", closed, stream=f"job/{old.id}")]


def _sheet_of(entry: Entry) -> tuple[str, str]:
    """The sheet as pasted, or of the library, and what its file is called."""
    pasted, file = entry.text("sheet"), entry.text("sheet_file")
    if pasted:
        return pasted, file or "sheet.yaml"
    name = entry.needed("library", "which sheet to work from")
    return _from_library(name), file or f"{name}.yaml"


def _from_library(name: str) -> str:
    try:
        return library.text(name)
    except KeyError as unknown:
        raise Refused({"library": f"Not to be had: {unknown.args[0]}"}) from unknown


def _withdrawn(garage: Garage, entry: Entry) -> list[Draft]:
    """Take an entry back; what it said of the vehicle, such as an answer of the manual, is taken back there too."""
    drafts, job = withdrawn_here(garage, entry), garage.job(entry.of)
    refuse_half_open(job, [one.data["id"] for one in drafts])
    of_vehicle = {event.data.get("with") for event in job.vehicle.kept(*OF_VEHICLE)}
    vehicle = f"vehicle/{job.vehicle_id}"
    return [*drafts, *(replace(one, stream=vehicle) for one in drafts if one.data["id"] in of_vehicle)]


def _overruled(garage: Garage, entry: Entry) -> list[Draft]:
    """One problem that stands now; its place and words are taken from the checks, never from who sends."""
    reason = entry.needed("reason", "why you go on all the same; the book keeps it")
    standing = {problem.key: problem for problem in problems.open_problems(garage, garage.job(entry.of))}
    problem = standing.get(entry.text("problem"))
    if problem is None:
        raise Refused({"": "This stands against the job no more, or says something else now. Reload the page."})
    return [Draft("overruled", overruled_data(problem, reason))]


def _started(garage: Garage, entry: Entry) -> list[Draft]:
    job = garage.job(entry.of)
    if job.started:
        raise Refused({"": "This job has started already. Go on under Now."})
    stops = [one for one in problems.open_problems(garage, job) if one.severity == "stop"]
    if stops:
        count = f"{len(stops)} things stand" if len(stops) > 1 else "1 thing stands"
        raise Refused({"": f"{count} against starting. Mend each, or write down why you go on all the same."})
    order = planning.order(job.sheet, job.scope)
    plan = {"order": list(order), "seed": 0, "program": __version__, "why": "the written order keeps all facts"}
    return [Draft("started", {"says": list(texts(job.sheet.start))}), Draft("planned", plan)]


def _sheet_revised(garage: Garage, entry: Entry) -> list[Draft]:
    """A revised sheet and a plan anew; what was done keeps its place, and what the record names must stay."""
    job, text = garage.job(entry.of), entry.needed("sheet", "the whole revised sheet")
    refuse_work(job)
    read = planning.read_sheet(text, job.reading.file)
    if read.sheet is None:
        raise Refused({"sheet": " ".join(problem.message for problem in read.problems)})
    named = {
        "step": (job.run.progress.done, {step.id for step in read.sheet.steps}),
        "fastener": ([event.data["fastener"] for event in job.state.bolts], read.sheet.fasteners),
        "circuit": ([event.data["circuit"] for event in job.state.fluids], read.sheet.circuits),
    }
    gone = next(((what, one) for what, (used, kept) in named.items() for one in used if one not in kept), None)
    if gone:
        raise Refused(
            {"sheet": f'The {gone[0]} "{gone[1]}" is in the record already. Keep it in the sheet under that id.'}
        )
    done = list(dict.fromkeys(job.run.progress.done))
    order = [*done, *(one for one in planning.order(read.sheet, job.scope) if one not in done)]
    plan = {"order": order, "seed": 0, "program": __version__, "why": "the sheet was revised"}
    return [Draft("sheet_revised", {"sheet": text, "why": entry.text("why")}), Draft("planned", plan)]


def _kit_got(garage: Garage, entry: Entry) -> list[Draft]:
    part = entry.needed("part", "which part")
    if part not in garage.job(entry.of).sheet.parts:
        raise Refused({"": f'"{part}" is not a part of this job. Reload the page.'})
    return [Draft("kit_got", {"part": part})]


def _step(job: Job, entry: Entry) -> Step:
    """The step an entry is about."""
    step_id = entry.needed("step", "which step")
    if step_id not in job.run.standing:
        raise Refused({"": f'Step "{step_id}" is not in this plan. Reload the page.'})
    return job.sheet.step(step_id)


def _already_done(job: Job, step: Step, entry: Entry) -> bool:
    """Was this round of the step written down before, as by another phone? Its plain Done adds nothing.

    Raises:
        Refused: It was, and this entry says more than that it is done: nothing typed may be lost.
    """
    done, seen = job.run.done.count(step.id), entry.text("round")
    this = int(seen) if seen.isascii() and seen.isdigit() else done + 1
    if done < min(this, step.repeat):
        return False
    names = ("amount", "celsius", "exceptions", *(f"left_{part}" for part, _ in keeping(job, step)))
    fits = [name for name in entry.fields if name.startswith(FIELD)]
    more = [name for name in (*names, *fits) if entry.text(name)]
    choice = entry.text("choice")
    if more or (step.decide and choice != job.run.progress.decided.get(step.decide.id)):
        raise Refused({"": f'"{step.do}" was written down already. Undo it first, then write it with what you add.'})
    return True


def _step_done(garage: Garage, entry: Entry) -> list[Draft]:
    job = garage.job(entry.of)
    step = _step(job, entry)
    if _already_done(job, step, entry):
        return []
    refuse_work(job)
    unread = [job.sheet.limits[one].name for one in step.read if not job.readings_of(one)]
    if unread:
        raise Refused({"": f"No reading of the {unread[0]} yet. Judge one, or press Can't and say why."})
    if stops := stops_at(garage, job, step):
        raise Refused({"": stops}, stale=True)
    warm = read_with_step(garage, job, step, entry)
    asked = asked_at_window(garage, job, step, entry, warm)
    done = Draft("step_done", {"step": step.id, "round": job.run.done.count(step.id) + 1, **asked})
    return [
        done,
        *_decision(garage, job, step, entry),
        *_signed(job, step, entry),
        *warm,
        *moved_with(garage, job, step, entry),
        *noted_with(job, step, entry),
    ]


def _decision(garage: Garage, job: Job, step: Step, entry: Entry) -> list[Draft]:
    if step.decide is None:
        return []
    choice = entry.needed("choice", "what you decide")
    if choice not in step.decide.choices:
        raise Refused({"choice": f'"{choice}" is no choice here. Take {" or ".join(step.decide.choices)}.'})
    data = {"decision": step.decide.id, "choice": choice, "why": entry.text("why")}
    if step.decide.about is None:
        return [Draft("decided", data)]
    part = parts_of(garage, job)[step.decide.id]
    advice = advice_of(garage, job, part, choice)
    return [Draft("decided", {**data, "name": part.name, **advice}), *watched(garage, job, part, choice, entry)]


def _signed(job: Job, step: Step, entry: Entry) -> list[Draft]:
    return [Draft("bolts_signed", _signature(job, name, step.id, entry.text("exceptions"))) for name in step.tighten]


def _signature(job: Job, name: str, step: str | None, exceptions: str) -> dict[str, object]:
    fastener = job.sheet.fasteners[name]
    torque = job.torque_text(name)
    data = {"fastener": name, "step": step, "torque": torque, "count": fastener.count}
    return {**data, "exceptions": exceptions or None}


def _bolts_signed(garage: Garage, entry: Entry) -> list[Draft]:
    job, name = garage.job(entry.of), entry.needed("fastener", "which bolts")
    if name not in job.sheet.fasteners:
        raise Refused({"": f'"{name}" is not in this job. Reload the page.'})
    return [Draft("bolts_signed", _signature(job, name, None, entry.text("exceptions")))]


def _step_put_off(garage: Garage, entry: Entry) -> list[Draft]:
    job = garage.job(entry.of)
    step = _step(job, entry)
    if job.run.standing[step.id] is Standing.DONE:
        raise Refused({"": f'"{step.do}" is done already. Undo it first to put it off.'})
    refuse_work(job)
    why = entry.needed("why", "what stops it, such as bolt will not move")
    return [Draft("step_put_off", {"step": step.id, "why": why})]


def _reading_judged(garage: Garage, entry: Entry) -> list[Draft]:
    if entry.text("again"):
        return judged_again(garage, entry)
    job, name = garage.job(entry.of), entry.text("limit") or None
    if name and name not in job.sheet.limits:
        raise Refused({"": f'"{name}" is not a limit of this job. Reload the page.'})
    limit, km = job.sheet.limits[name] if name else None, odometer_km(entry)
    checks = name is not None and checks_repair(job, name)
    data = reading_data(garage, entry, limit=limit, checks_repair=checks)
    drafts = [Draft("reading_judged", {**data, "limit": name})]
    if km is not None:
        seen = {"text": "", "odometer_km": km, "driven": None}
        drafts.append(Draft("described", seen, stream=f"vehicle/{job.vehicle_id}"))
    return drafts


def _reading_attached(garage: Garage, entry: Entry) -> list[Draft]:
    reading = garage.store.event(entry.needed("reading", "which reading"))
    if reading is None or reading.kind != "reading_judged":
        raise Refused({"": "That reading is not here any more. Reload the page."})
    limit = entry.text("limit") or None
    kept = {"reading": reading.id, "limit": limit, "data": reading.data, "happened": reading.happened}
    return [Draft("reading_attached", kept)]


def _decided(garage: Garage, entry: Entry) -> list[Draft]:
    wanted, job = entry.needed("decision", "what is decided"), garage.job(entry.of)
    step = next((one for one in job.sheet.steps if one.decide and one.decide.id == wanted), None)
    return decided_part(garage, job, entry) if step is None else _decision(garage, job, step, entry)


def _paid(garage: Garage, entry: Entry) -> list[Draft]:
    part, parts = entry.text("part"), garage.job(entry.of).sheet.parts
    if part and part not in parts:
        known = ", ".join(one.name for one in parts.values()) or "none"
        raise Refused({"part": f'"{part}" is no part of this job. It has {known}.'})
    what = entry.text("what") or (parts[part].name if part else entry.needed("what", "what it was for"))
    return [Draft("paid", {"what": what, "amount": paid(entry), **({"part": part} if part else {})})]


def _quote_stated(_: Garage, entry: Entry) -> list[Draft]:
    quote = entry.needed("quote", "what a shop asks, or the most that you would pay, such as 350")
    return [Draft("quote_stated", {"amount": amount_of("quote", quote)})]


def _finished(garage: Garage, entry: Entry) -> list[Draft]:
    job = garage.job(entry.of)
    run = job.run
    left = [step for step in run.left if run.standing[step.id] in (Standing.NOW, Standing.LATER)]
    if left:
        raise Refused(
            {"": f'Not finished yet: "{left[0].do}" and {len(left) - 1} more are left. Do them or put them off.'}
        )
    if open_ := standing_open(run):
        raise Refused({"": f"Not finished yet: {', '.join(open_)}. Put that right first."})
    return [Draft("finished", {"words": entry.text("words")}), *closing(garage, job, entry)]


JOB: Mapping[str, Callable[[Garage, Entry], list[Draft]]] = {
    "job_opened": _job_opened,
    "answered": answered,
    "overruled": _overruled,
    "part_is": part_is,
    "started": _started,
    "sheet_revised": _sheet_revised,
    "kit_got": _kit_got,
    "step_done": _step_done,
    "step_put_off": _step_put_off,
    "reading_judged": _reading_judged,
    "reading_attached": _reading_attached,
    "bolts_signed": _bolts_signed,
    "fluid_moved": fluid_moved,
    "temperature_read": temperature_read,
    "mix_read": mix_read,
    **FINDINGS,
    "decided": _decided,
    "quote_stated": _quote_stated,
    "paid": _paid,
    "part_weighed": part_weighed,
    "watch_opened": watch_opened,
    "watch_closed": watch_closed,
    "returns_stated": returns_stated,
    "proof_driven": proof_driven,
    "proof_seen": proof_seen,
    "worth_stated": worth_stated,
    "noted": noted,
    "stands_now": stands_now,
    "fit_noted": fit_noted,
    "finished": _finished,
    "withdrawn": _withdrawn,
}
