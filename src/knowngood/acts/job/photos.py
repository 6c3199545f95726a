"""Photos as they are shown: what each says, and which stand beside each other."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from knowngood.acts.job.garage import Job
from knowngood.store.event import Event

# When a photo was taken, as its note says; most were neither before nor after anything.
WHEN = ("before", "after", "")


@dataclass(frozen=True)
class Photo:
    """A photo to be shown.

    Args:
        id: Of its event.
        name: Of its file.
        step: Id of the step it belongs to, or empty.
        when: `before`, `after` or empty.
        about: What the step does, or which vehicle it is; may be empty.
        words: What the person wrote; may be empty.
        happened: When, by the clock of whoever took it.
    """

    id: str
    name: str
    step: str
    when: str
    about: str
    words: str
    happened: str

    @property
    def alt(self) -> str:
        """What there is to see, as far as anybody said.

        Example:
            >>> Photo("1" * 32, "a.jpg", "drain", "before", "Drain the coolant", "", "").alt
            'Before: Drain the coolant'
        """
        return f"{self.when.capitalize() or 'Photo'}: {self.shows}"

    @property
    def shows(self) -> str:
        """What it is of: the step or the vehicle, else what was written."""
        return self.about or self.words or "nothing was written to it"

    @property
    def line(self) -> str:
        """The same and what was written, where pictures cannot be shown."""
        return f"{self.alt}. {self.words}" if self.about and self.words else self.alt


def photo_of(event: Event, about: str) -> Photo:
    """The photo that an event brought."""
    data = event.data
    step, when = data.get("step") or "", data.get("when") or ""
    return Photo(event.id, data["photo"], step, when, about, data.get("text") or "", event.happened)


def photos_of(job: Job, step: str | None = None) -> list[Photo]:
    """Photos of a job, or of one of its steps, oldest first; those taken back are not among them."""
    does = {one.id: one.do for one in job.sheet.steps}
    found = [photo_of(event, _about(does.get, event.data.get("step"))) for event in job.state.photos]
    return [photo for photo in found if step is None or photo.step == step]


def _about(does: Callable[[str], str | None], step: str | None) -> str:
    """What a step does; a step that a revised sheet has dropped is named by its id."""
    return (does(step) or step.replace("_", " ")) if step else ""


def in_rows(photos: Iterable[Photo]) -> list[list[Photo]]:
    """Two a row in their order, but an *after* beside the *before* of the same step."""
    all_of_them = list(photos)
    partner = _partners(all_of_them)
    beside = {after.id for after in partner.values()}
    rows: list[list[Photo]] = []
    open_row: list[Photo] = []
    for photo in all_of_them:
        if photo.id in partner:
            rows.append([photo, partner[photo.id]])
            open_row = []
        elif photo.id not in beside:
            if len(open_row) != 1:
                rows.append(open_row := [])
            open_row.append(photo)
    return rows


def _partners(photos: Sequence[Photo]) -> dict[str, Photo]:
    """For each *before* its *after*: the first with the first, the second with the second."""
    partner = {}
    for step in dict.fromkeys(photo.step for photo in photos if photo.step):
        before, after = ([one for one in photos if (one.step, one.when) == (step, when)] for when in WHEN[:2])
        partner.update({one.id: other for one, other in zip(before, after, strict=False)})
    return partner
