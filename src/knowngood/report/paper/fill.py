"""From a job to its papers: every word of the card and the book chosen here, set in `pdf`."""

from collections.abc import Callable, Mapping
from typing import Any

from knowngood import __version__, units
from knowngood.acts.book import ledgers, sections, signed_words
from knowngood.acts.devices import entered_words
from knowngood.acts.fluids.at_hand import fluid_at_hand
from knowngood.acts.fluids.ledger import Told
from knowngood.acts.fluids.words import cans_words, circuit_words, ends_with, hand_words, litres, typed_words, way_words
from knowngood.acts.hand_over import hand_over
from knowngood.acts.job.fits import tools_words
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.photos import Photo, in_rows, photos_of
from knowngood.acts.job.planning import asks_of
from knowngood.acts.job.revised import mark_words
from knowngood.acts.job.run import Standing
from knowngood.acts.job.spent import costs_of, spent
from knowngood.acts.readings.values import band_words, value_words
from knowngood.acts.tools.instruments import from_json, line_words
from knowngood.acts.tools.prices import money_words
from knowngood.engine.judgement import Band, Verdict
from knowngood.quantities.known import QUANTITIES, usual_for
from knowngood.report.paper import pdf
from knowngood.report.paper.documents import (
    Ask,
    Blank,
    BookData,
    BookPhoto,
    BookReading,
    CardData,
    CardStep,
    HandOverData,
    Section,
)
from knowngood.report.pictures.picture import band_and_hump
from knowngood.report.pictures.views import picture_of
from knowngood.sheet.model import AskRef, Step, WhenDecided, WhenLimit
from knowngood.store.errors import StoreError
from knowngood.store.event import garage_digest
from knowngood.store.moment import moment_words
from knowngood.words import km_words

PROGRAM = f"knowngood {__version__}"
PHOTO_PX = 1000  # ours: half of a page's width at 300 dots an inch
NOT_THERE = (
    "This photo cannot be shown: its file is missing or damaged. Put the file whose name begins with {begins} back "
    "into the garage's photos from your last backup, and print the book again."
)
ASKED = "your manual's value"
TYPED = {
    "read": "Readings",
    "limits": "Allowed",
    "at": "Limits hold at",
    "ambient": "Meter at",
}
OUTCOMES = {"within": "within limits", "out": "out of limits", "cant_tell": "not clear"}
# Sections that `acts.book` words line by line; the others are tables and pictures of their own below.
LISTED = (
    "Damaged", "Decided", "Revised", "Notes", "How it stands", "Overruled", "Said of parts", "My manual does not say",
    "Taken back", "Proved", "To keep an eye on",
)  # fmt: skip


def card(garage: Garage, job: Job) -> bytes:
    """The paper run sheet of a job as PDF."""
    return pdf.card(card_data(garage, job))


def book(garage: Garage, job: Job) -> bytes:
    """The record of a job as PDF."""
    return pdf.book(book_data(garage, job))


def handed_over(garage: Garage, job: Job) -> bytes:
    """One page for a mechanic, as PDF."""
    sections = tuple(Section(title, tuple((row,) for row in rows)) for title, rows in hand_over(garage, job))
    printed = moment_words(garage.now(), garage.zone)
    return pdf.handover(HandOverData(job.title, _vehicle(job), printed, sections, PROGRAM))


PDFS: Mapping[str, Callable[[Garage, Job], bytes]] = {"card": card, "book": book, "handover": handed_over}


def _vehicle(job: Job) -> str:
    one = job.vehicle
    distance = km_words(one.odometer_km) if one.odometer_km else ""
    return ", ".join(part for part in (f"{one.name} {one.text}".strip(), distance) if part)


def card_data(garage: Garage, job: Job) -> CardData:
    """What stands on the run sheet."""
    wanted = {ask: steps for ask, steps in asks_of(job.sheet, job.scope).items() if ask not in job.answers and steps}
    steps = [job.sheet.step(one) for one in job.run.standing if job.run.standing[one] is not Standing.RULED_OUT]
    numbers = {one: str(number) for number, one in enumerate(job.run.standing, 1)}
    tools = tools_words(job.sheet, steps, job.sizes)
    parts = [f"{job.sheet.parts[one].count} × {job.sheet.parts[one].name}" for step in steps for one in step.fit]
    return CardData(
        title=job.title,
        vehicle=_vehicle(job),
        printed=moment_words(garage.now(), garage.zone),
        steps=tuple(_card_step(job, step, numbers[step.id]) for step in steps),
        asks=tuple(
            Ask(job.sheet.asks[ask].question, "steps " + ", ".join(numbers[one] for one in steps if one in numbers))
            for ask, steps in wanted.items()
        ),
        bring=(*tools, *dict.fromkeys(parts), *_bring_fluids(garage, job)),
        digest=garage_digest(job.state.entries.values()),
        program=PROGRAM,
    )


def _bring_fluids(garage: Garage, job: Job) -> list[str]:
    """How much of each fluid to have at hand, and the cans."""
    found = ((one, fluid_at_hand(garage, job, name)) for name, one in job.sheet.circuits.items())
    return [
        " ".join(filter(None, (f"{circuit_words(one)}:", hand_words(hand), cans_words(hand))))
        for one, hand in found
        if hand is not None
    ]


def _card_step(job: Job, step: Step, number: str) -> CardStep:
    sheet = job.sheet
    circuit = step.fill.circuit if step.fill else step.drain
    fluids = (Blank(f"{sheet.circuits[circuit].name} {'in' if step.fill else 'out'}", unit="L"),) if circuit else ()
    torques = (
        Blank(f"{one.count} × {one.name}", job.torque_text(name), boxes=min(one.count, 12))
        for name in step.tighten
        if (one := sheet.fasteners[name])
    )
    return CardStep(
        number=number,
        do=step.do,
        zone=step.zone.value.capitalize(),
        tools=tuple(tools_words(sheet, [step], job.sizes)),
        cautions=job.cautions.get(step.id, step.cautions),
        readings=tuple(_limit_blank(job, name) for name in step.read),
        torques=tuple(torques),
        fluids=fluids,
        only_if=_only_if(job, step),
        done=job.run.standing[step.id] is Standing.DONE,
    )


def _limit_blank(job: Job, name: str) -> Blank:
    one = job.sheet.limits[name]
    if isinstance(one.band, AskRef):
        return Blank(one.name, ASKED, boxes=3)
    band = Band(one.band.lower, one.band.upper, one.band.kind.unit)
    words = band_words(band, one.band.unit)
    allowed = f"{words} at {one.at.text}" if one.at else words
    return Blank(one.name, allowed, one.band.unit, boxes=3)


def _only_if(job: Job, step: Step) -> str:
    match step.when:
        case WhenLimit(limit=limit):
            return f"only if the {job.sheet.limits[limit].name} is {OUTCOMES[step.when.is_]}"
        case WhenDecided(decided=decided):
            return f"only if decided: {decided.replace('_', ' ')}, {step.when.is_}"
    return ""


def book_data(garage: Garage, job: Job) -> BookData:
    """What stands in the book: what was told stays told."""
    state, words = job.state, dict(sections(job))
    assert state.opened is not None  # Garage.job has looked
    listed = tuple(Section(title, tuple((row,) for row in words[title])) for title in LISTED if words.get(title))
    return BookData(
        title=job.title,
        vehicle=_vehicle(job),
        opened=moment_words(state.opened.happened, job.zone),
        printed=moment_words(garage.now(), garage.zone),
        closed=moment_words(state.finished.happened, job.zone) if state.finished else "",
        complaint=str(job.opened["complaint"]),
        quote=job.quote_words,
        as_left=tuple(words["As left"]),
        readings=tuple(_reading(one.data, entered_words(job, one), mark_words(job, one)) for one in job.readings),
        sections=(_bolts(job), _fluids(job), _cost(job), *listed),
        photos=tuple(tuple(_photo(garage, one) for one in row) for row in in_rows(photos_of(job))),
        events=len(state.entries),
        digest=garage_digest(state.entries.values()),
        program=PROGRAM,
    )


def _reading(data: Mapping[str, Any], entered: str, since: str = "") -> BookReading:
    band = Band.from_json(data["band"])
    where = [band_words(band, data["unit"]), band.conditions or "", band.source or ""]
    meter = from_json(data["instrument"])
    quantity = QUANTITIES.get(data.get("quantity", "")) or usual_for(units.kind_of(data["unit"]))
    asked = {ask.name: ask.label for ask in quantity.asks}
    return BookReading(
        name=data["name"],
        verdict=Verdict(data["judgement"]["verdict"]),
        value=value_words(data),
        allowed=", ".join(part for part in where if part),
        sentence=" ".join(filter(None, [data["sentence"], *data["further"], since])),
        typed=tuple((label, data["typed"][key]) for key, label in (TYPED | asked).items() if data["typed"].get(key)),
        instrument=f"{meter.name}, ± ({line_words(meter, quantity.reads.unit)})",
        when=entered,
        picture=band_and_hump(picture_of(data), width=360),
        assumed=tuple(data["assumed"]),
    )


def _photo(garage: Garage, one: Photo) -> BookPhoto:
    from knowngood.store.pixels import thumbnail  # Pillow, which only photos need

    jpeg, missing = b"", ""
    try:
        jpeg = thumbnail(garage.store.photos.read(one.name), PHOTO_PX)
    except StoreError:
        missing = NOT_THERE.format(begins=one.name[:12])
    return BookPhoto(
        alt=one.alt,
        when=one.when.capitalize(),
        about=one.about,
        words=one.words,
        taken=moment_words(one.happened, garage.zone),
        jpeg=jpeg,
        missing=missing,
    )


def _bolts(job: Job) -> Section:
    rows = tuple(
        (job.sheet.fasteners[one["fastener"]].name, str(one["count"]), signed_words(one), when)
        for event in job.state.bolts
        if (one := event.data) and (when := moment_words(event.happened, job.zone))
    )
    return Section("Bolts", rows, ("What", "How many", "Torque", "Signed"), (1,), empty="Nothing was tightened.")


def _fluids(job: Job) -> Section:
    """Each pouring as read and at 20 °C, and behind those of a circuit what it is still owed."""
    rows = tuple(row for told in ledgers(job) for row in (*_pourings(job, told), _ending(told)))
    columns = ("What", "Way", "As read", "At 20 °C", "When")
    return Section("Fluids", rows, columns, (3,), empty="No fluid was moved.")


def _pourings(job: Job, told: Told) -> list[tuple[str, ...]]:
    return [
        (told.name, way_words(job, one), typed_words(one), litres(volume), moment_words(one.event.happened, job.zone))
        for one, volume in zip(told.entries, told.volumes, strict=True)
    ]


def _ending(told: Told) -> tuple[str, ...]:
    word, volume = ends_with(told)
    return (told.name, f"{word}:", "", volume, "")


def _cost(job: Job) -> Section:
    rows = tuple(
        (f"{one.what}{', stated under prices' if one.fitted else ''}", money_words(one.amount)) for one in costs_of(job)
    )
    return Section(
        "Cost", rows, ("What for", "Money"), (1,), ("Together", money_words(spent(job))), "Nothing was paid."
    )
