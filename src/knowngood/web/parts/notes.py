"""Notes and photos: the one form that makes them, and how photos are shown."""

from collections.abc import Iterable

from knowngood.acts.job.photos import WHEN, Photo, in_rows
from knowngood.web.parts.forms import Field, Form

# Exactly these: a phone that keeps its photos in another format then turns them into one of them.
TAKEN = "image/jpeg,image/png,image/webp"


def note(stream: str, back: str, *, step: str | None = None) -> Form:
    """A note, a photo, or both.

    Args:
        stream: Where it belongs: the toolbox, a vehicle, a job.
        back: The page that it stands on.
        step: At which step of a job, "" for none; None where there are no steps, as on the Bench.
    """
    fields = [
        Field("text", "What you noticed", "long"),
        Field("photo", "Take a photo", "file", accept=TAKEN, capture=True),
        Field("photo_chosen", "Or choose one that is there", "file", accept=TAKEN),
    ]
    if step is None:
        return Form("noted", stream, back, fields)
    choices = [(one, one or "neither") for one in WHEN]
    fields.append(Field("when", "Was the photo taken before or after the work?", "choice", choices=choices))
    return Form("noted", stream, back, fields, hidden={"step": step})


def rows(photos: Iterable[Photo]) -> list[list[dict[str, str]]]:
    """Photos as the templates take them, two a row, an *after* beside its *before*."""
    return [[shown(photo) for photo in row] for row in in_rows(photos)]


def shown(photo: Photo) -> dict[str, str]:
    """One photo as the templates take it."""
    when, about, words = photo.when.capitalize(), photo.about, photo.words
    return {"name": photo.name, "alt": photo.alt, "when": when, "about": about, "words": words}
