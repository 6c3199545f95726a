"""The record in words: as found, as left, section by section. Page and paper say the same."""

from collections.abc import Mapping
from typing import Any

from knowngood.acts.devices import entered_words
from knowngood.acts.faults.part_decisions import CHOICES
from knowngood.acts.faults.proofs import proof_words, proofs_of
from knowngood.acts.faults.watches import watch_words, watches_of
from knowngood.acts.fluids.at_window import plug_words
from knowngood.acts.fluids.ledger import Told, ledger
from knowngood.acts.fluids.words import litres, owed_words, typed_words, way_words
from knowngood.acts.job.garage import Job
from knowngood.acts.job.opened_again import holding
from knowngood.acts.job.photos import photos_of
from knowngood.acts.job.revised import mark_words, revised_words
from knowngood.acts.job.run import Standing, standing_open
from knowngood.acts.job.spent import costs_of, left_words, spent
from knowngood.acts.job.standing import said_words
from knowngood.acts.readings.values import band_words, value_words
from knowngood.acts.tools.prices import money_words
from knowngood.engine.judgement import Band
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate import CALLED, NONE
from knowngood.store.event import Event
from knowngood.store.rows import REMEDY
from knowngood.store.states import OF_READING

Section = tuple[str, list[str]]
# What is chosen about a part that no step decides about, in words.
CHOSEN = {key: option.value for key, option in CHOICES.items()}


def sections(job: Job) -> list[Section]:
    """Every section of the book but the readings' pictures."""
    return [
        *([("Damaged", [*job.damage, REMEDY])] if job.damage else []),
        ("As found", _found(job)),
        ("Readings", [_reading(job, event) for event in job.readings]),
        ("Decided", [_entered(job, event, decided_words(job, event.data)) for event in job.state.decisions]),
        ("Bolts", [_entered(job, event, bolts_words(job, event.data)) for event in job.state.bolts]),
        ("Fluids", [*fluids_words(job), *plug_words(job)]),
        ("Cost", _cost(job)),
        ("Revised", revised_words(job)),
        ("Notes", [*(_entered(job, event, event.data["text"]) for event in job.state.notes), *_said(job)]),
        ("Photos", [photo.line for photo in photos_of(job)]),
        ("How it stands", said_words(job)),
        ("Overruled", [f"{event.data['message']} Reason: {event.data['reason']}" for event in job.state.overruled]),
        ("Said of parts", [part_is_words(event.data) for event in job.state.kept("part_is")]),
        ("My manual does not say", [_asked(job, ask) for ask, answer in job.answers.items() if answer is None]),
        ("Taken back", [_entered_of(job, event) for event in job.state.withdrawn_events]),
        ("As left", _left(job)),
        ("Proved", [proof_words(one) for one in proofs_of(job)]),
        ("To keep an eye on", [watch_words(one) for one in watches_of(job)]),
    ]


def _cost(job: Job) -> list[str]:
    rest = [left_words(job)] if job.quote is not None else []
    return [*(one.words for one in costs_of(job)), f"Together: {money_words(spent(job))}", *rest]


def _reading(job: Job, event: Event) -> str:
    """A reading as it was told, and whether its limits stand."""
    said = " ".join(filter(None, (reading_words(event.data), mark_words(job, event))))
    return _entered(job, event, said)


def _entered_of(job: Job, event: Event) -> str:
    return f"{event.kind.replace('_', ' ')}, {entered_words(job, event)}"


def _entered(job: Job, event: Event, words: str) -> str:
    """What was entered, with when and from which device."""
    return f"{words} ({entered_words(job, event)})"


def _said(job: Job) -> list[str]:
    """What was written beside a finding or a drive."""
    events = [event for event in job.state.kept("finding_noted", "proof_driven") if event.data["text"]]
    return [f"{event.data.get('name', 'Drive')}: {event.data['text']}" for event in events]


def _asked(job: Job, ask: str) -> str:
    return job.sheet.asks[ask].question if ask in job.sheet.asks else ask.replace("_", " ")


def _found(job: Job) -> list[str]:
    rows = [job.opened["complaint"] or "No complaint was written down."]
    return [*rows, f"The shop's quote: {job.quote_words}"] if job.quote_words else rows


def _left(job: Job) -> list[str]:
    held = [step for step in job.run.left if job.run.standing[step.id] is Standing.PUT_OFF]
    rows = [f"Put off: {step.do}. {job.run.progress.put_off[step.id]}" for step in held]
    waiting = [step for step in job.run.left if job.run.standing[step.id] is Standing.WAITING]
    rows += [f"Not settled, so not done: {step.do}" for step in waiting]
    rows += [f"Standing open: {words}" for words in standing_open(job.run)]
    if job.state.finished:
        return [*([job.state.finished.data["words"]] if job.state.finished.data["words"] else []), *rows, "Finished."]
    return [*rows, "Not finished."]


def reading_words(data: Mapping[str, Any]) -> str:
    """A reading as it was told, in one line."""
    allowed = band_words(Band.from_json(data["band"]), data["unit"])
    return f"{data['name']}: {value_words(data)}; allowed {allowed}: {data['judgement']['verdict']}. {data['sentence']}"


def decided_words(job: Job, data: Mapping[str, Any]) -> str:
    """A decision with its reason, and the advice where the person chose otherwise."""
    rows = [_chosen(job, data), data["why"]]
    if (advised := data.get("advice_words", "")) != data["why"]:
        rows.append(f"Advised: {advised}" if advised else "")
    return " ".join(one if one[-1] in ".!?" else f"{one}." for one in rows if one)


def _chosen(job: Job, data: Mapping[str, Any]) -> str:
    """What was chosen, in the words of the step that asked, as long as the sheet has it."""
    name, choice = data.get("name") or data["decision"].replace("_", " "), data["choice"]
    asked = [step.decide for step in job.sheet.steps if step.decide and step.decide.id == data["decision"]]
    if asked and choice in asked[0].choices:
        return f"{asked[0].question} {asked[0].choices[choice]}"
    return f"{name}: {CHOSEN.get(choice, choice)}"


def bolts_words(job: Job, data: Mapping[str, Any]) -> str:
    """Signed bolts in one line."""
    name = job.sheet.fasteners[data["fastener"]].name if data["fastener"] in job.sheet.fasteners else data["fastener"]
    return f"{data['count']} × {name}: {signed_words(data)}"


def signed_words(data: Mapping[str, Any]) -> str:
    """A signature: the torque, and what was not as stated."""
    return (
        f"{data['torque']}, except: {data['exceptions']}" if data["exceptions"] else f"{data['torque']}, all as stated"
    )


def ledgers(job: Job) -> list[Told]:
    """The ledgers of the circuits from which or into which something moved."""
    found = (ledger(job, circuit) for circuit in job.sheet.circuits)
    return [told for told in found if told.entries or told.unwritten]


def fluids_words(job: Job) -> list[str]:
    """Each pouring in a line, as read and at 20 °C, and what each circuit is still owed."""
    return [words for told in ledgers(job) for words in (*_pourings(job, told), f"{told.name}: {owed_words(told)}")]


def _pourings(job: Job, told: Told) -> list[str]:
    return [
        f"{told.name}, {way_words(job, one)}: {typed_words(one)}; {litres(volume)} at 20 °C"
        for one, volume in zip(told.entries, told.volumes, strict=True)
    ]


# What each kind of entry is called when it is taken back, and which of its words tell it from others.
ENTRIES = {
    "reading_judged": ("Reading", "name"),
    "reading_attached": ("Attached reading", "reading"),
    "bolts_signed": ("Signature", "fastener"),
    "fluid_moved": ("Fluid", "typed"),
    "temperature_read": ("Temperature", "typed"),
    "mix_read": ("Coolant", "typed"),
    "finding_noted": ("Finding", "name"),
    "code_noted": ("Trouble code", "code"),
    "word_said": ("Of 10 vehicles", "word"),
    "decided": ("Decision", "decision"),
    "quote_stated": ("The shop's quote", "amount"),
    "paid": ("Cost", "what"),
    "kit_got": ("Part at hand", "part"),
    "answered": ("Manual's value", "ask"),
    "noted": ("Note", "text"),
    "photo_kept": ("Photo", "text"),
    "watch_opened": ("Watch", "what"),
    "watch_closed": ("Watch ended", "words"),
    "part_weighed": ("Doubtful part", "name"),
    "returns_stated": ("How it came back", "per"),
    "proof_driven": ("Drive since the mend", "distance"),
    "proof_seen": ("Proof", "what"),
    "worth_stated": ("Prices of a scope", "name"),
    "overruled": ("Overruled", "said"),
    "part_is": ("Said of a part", "name"),
    "stands_now": ("How it stands", "words"),
    "fit_noted": ("What fits", "name"),
    "step_done": ("Step", "step"),
    "finished": ("Finish", "words"),
}


def _told(word: Any) -> str:
    return f"{word:g}" if isinstance(word, float) else str(word).replace("_", " ")[:60]


def _answer_words(job: Job, data: Mapping[str, Any]) -> str:
    """An answer of the manual: its question, for the short name says nothing, and what it is."""
    return f"Your manual: {data['question'] or _asked(job, data['ask'])}: {data['answer'] or 'does not say'}"


def may_be_taken_back(job: Job) -> list[tuple[str, str]]:
    """Entries by id with what they were, the newest first; what came along with another goes with that one."""
    kept = [event for event in reversed(job.state.kept(*ENTRIES)) if not {"with", OF_READING} & event.data.keys()]
    if job.state.finished:
        closed = {*holding(job), job.state.finished.id}  # that it is opened again has a button of its own
        kept = [event for event in kept if event.id not in closed]
    photos = {photo.id: f"Photo {photo.when}".strip() + f": {photo.shows}" for photo in photos_of(job)}
    rows = ((event, *ENTRIES[event.kind]) for event in kept)
    names = {event.id: _answer_words(job, event.data) for event in kept if event.kind == "answered"} | photos
    return [(event.id, names.get(event.id) or f"{title}: {_told(event.data[key])}") for event, title, key in rows]


def part_is_words(data: Mapping[str, Any]) -> str:
    """Return what a part is, as the person said when it only sounded like one that safety hangs on.

    Example:
        >>> part_is_words({"name": "Winch brake", "system": "none", "shown": "", "why": "it holds the winch"})
        'Winch brake: belongs to no system that safety hangs on. Reason: it holds the winch'
    """
    system = data["system"]
    words = "no system that safety hangs on" if system == NONE else CALLED[SafetyKind(system)]
    reason = f" Reason: {data['why']}" if data["why"] else ""
    return f"{data['name']}: belongs to {words}.{reason}"
