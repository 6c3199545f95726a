"""Entries that say which size fits which bolts: beside Done where it was found out, or on its own."""

from knowngood.acts.job.fits import fitted, place_of
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.record.entries import Draft, Entry
from knowngood.refusal import Refused
from knowngood.sheet.model import Step

FIELD = "fit_"
# Ours: "17 mm hex key, with an extension" has half as many.
MOST_LETTERS = 60
BARE = '"{typed}" may be millimetres, inches or a star key. Write which, such as {typed} mm or T{typed}.'
TOO_LONG = "A size has at most {most} letters, such as 10 mm, T30 or 17 mm hex. Put the rest into a note."


def noted_with(job: Job, step: Step, entry: Entry) -> list[Draft]:
    """The sizes that were typed beside Done."""
    typed = {one: entry.text(FIELD + one) for one in fitted(step)}
    return [draft for one, size in typed.items() if size for draft in _noted(job, one, size, FIELD + one)]


def fit_noted(garage: Garage, entry: Entry) -> list[Draft]:
    """A size noted or corrected on its own."""
    job, fastener = garage.job(entry.of), entry.needed("fastener", "which bolts")
    if fastener not in job.sheet.fasteners:
        raise Refused({"": f'"{fastener}" is not in this job. Reload the page.'})
    return _noted(job, fastener, entry.needed("size", "what fits, such as 10 mm, T30 or 17 mm hex"), "size")


def _noted(job: Job, fastener: str, size: str, field: str) -> list[Draft]:
    """For the job, and for the vehicle, whose next jobs then know it."""
    if size.isdecimal():
        raise Refused({field: BARE.format(typed=size)})
    if len(size) > MOST_LETTERS:
        raise Refused({field: TOO_LONG.format(most=MOST_LETTERS)})
    sheet = job.reading.sheet
    assert sheet is not None  # a sheet with mistakes opens no job
    name = sheet.fasteners[fastener].name
    data = {"place": place_of(sheet, fastener), "fastener": fastener, "name": name, "size": size}
    return [Draft("fit_noted", data), Draft("fit_noted", data, stream=f"vehicle/{job.vehicle_id}")]
