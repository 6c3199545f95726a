"""The entry that says how a vehicle stands now: one tap in any of its jobs, kept with the job and with the vehicle."""

from knowngood.acts.job.garage import Garage
from knowngood.acts.job.vehicle_log import SAID
from knowngood.acts.record.entries import Draft, Entry
from knowngood.refusal import Refused
from knowngood.sheet.facts import WORDS, Fact


def stands_now(garage: Garage, entry: Entry) -> list[Draft]:
    """Which facts no longer hold of the vehicle, or hold; both its job and its vehicle know it."""
    job = garage.job(entry.of)
    words = entry.needed("words", "how the vehicle stands now")
    ends, makes = _facts(entry, "ends"), _facts(entry, "makes")
    if not ends and not makes:
        raise Refused({"": "This says nothing of how the vehicle stands. Reload the page."})
    data = {"job": job.id, "title": job.title, "words": words, "ends": ends, "makes": makes}
    return [Draft(SAID, data), Draft(SAID, data, stream=f"vehicle/{job.vehicle_id}")]


def _facts(entry: Entry, name: str) -> list[str]:
    try:
        facts = [Fact.read(one) for one in entry.text(name).split()]
    except ValueError as refused:
        raise Refused({"": f"{refused} Reload the page."}) from refused
    unknown = [one.text for one in facts if one.word not in WORDS or not one.holds]
    if unknown:
        raise Refused({"": f'"{unknown[0]}" is not something that a vehicle is known by. Reload the page.'})
    return list(dict.fromkeys(one.text for one in facts))
