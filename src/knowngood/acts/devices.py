"""From which device an entry came, in words: this computer, or a phone by a name that no other one has."""

from collections.abc import Mapping

from knowngood.acts.job.garage import Job
from knowngood.store.event import Event
from knowngood.store.moment import moment_words

HERE = "this computer"


def sent_by(who: str, device: str) -> str:
    """Return what an event keeps of its device: who was let in, and which of their browsers it was."""
    return f"{who}/{device}"


def device_words(names: Mapping[str, str], event: Event) -> str:
    """Return which device an entry came from; empty where an older program did not keep that."""
    who = event.device.partition("/")[0] if "/" in event.device else ""
    return HERE if who == HERE else names.get(who, "")


def entered_words(job: Job, event: Event) -> str:
    """Return when an entry was made, and from which device."""
    device = device_words(job.phones, event)
    return f"{moment_words(event.happened, job.zone)}{f', from {device}' if device else ''}"
