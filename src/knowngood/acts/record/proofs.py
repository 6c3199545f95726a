"""Entries that prove: how a fault came back before, drives since the mend, and what was looked at."""

from knowngood import units
from knowngood.acts.faults.part_typed import chance_of
from knowngood.acts.faults.proofs import (
    PER,
    USUALLY_RIGHT,
    WHEELS_AGAIN,
    Owed,
    drives_of,
    proofs_of,
    returns_of,
)
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.record.entries import Draft, Entry
from knowngood.acts.record.watches import watch_data
from knowngood.engine.troubleshooting.worth.proof import Returns, check_beliefs
from knowngood.refusal import Refused, parsed
from knowngood.units.bare import number

YES = "yes"
# Ours: what comes back more often does so at every turn of the key; and a hundred years.
MOST_TIMES, MOST_DAYS = 10_000, 36_525.0


def returns_stated(_: Garage, entry: Entry) -> list[Draft]:
    """How a fault that came and went came back: a number of times over a distance, or each gap."""
    per = entry.text("per") or "km"
    if per not in PER:
        raise Refused({"per": f'"{per}" is not what returns are counted in here. Take {", ".join(PER)}.'})
    known = parsed("", lambda: _returns(entry, per))
    typed = entry.text("before")
    before = chance_of("before", typed).value if typed else USUALLY_RIGHT
    parsed("", lambda: check_beliefs(before, ()))
    data = {"times": known.times, "over": known.over, "per": per, "before": before, "before_assumed": not typed}
    return [Draft("returns_stated", data)]


def _returns(entry: Entry, per: str) -> Returns:
    if entry.text("gaps"):
        gaps = [_number("gaps", one, per) for one in entry.text("gaps").split()]
        since = entry.text("quiet_since")
        return Returns.after(gaps, quiet_since=_number("quiet_since", since, per) if since else 0.0)
    times = entry.needed("times", "how often it came, such as 3, or each distance below")
    if not (times.isascii() and times.isdigit() and int(times) <= MOST_TIMES):
        raise Refused({"times": f'"{times}" is not how often. Write a whole number, such as 3.'})
    return Returns(int(times), _number("over", entry.needed("over", "over how far in all, such as 450"), per))


def _number(field: str, text: str, per: str) -> float:
    """A distance in km may be typed in miles; warm-ups and days are bare numbers."""
    if per == "km":
        whole = units.completed(text, "km")
        return parsed(field, lambda: units.quantity(whole, units.Kind.DISTANCE, unit="km").value)
    try:
        found = number(text)
    except units.Undecided as undecided:
        raise Refused({field: str(undecided)}) from undecided
    except units.UnitsError:
        found = -1.0
    if not 0.0 <= found <= MOST_DAYS:
        raise Refused({field: f'"{text}" is not a number of {per}. Write such as 3.'})
    return found


def proof_driven(garage: Garage, entry: Entry) -> list[Draft]:
    """A drive since the mend: quiet, or to where the fault came back."""
    job = garage.job(entry.of)
    stated = returns_of(job)
    if stated is None:
        raise Refused({"": "Write first how it came back before: without that no distance proves anything."})
    if any(event.data["came_back"] for event in drives_of(job)):
        raise Refused({"": "It came back already. Write anew how it comes, for the next mend; then drive on."})
    typed = entry.needed("distance", f"how far it was, in {stated.data['per']}")
    distance = _number("distance", typed, stated.data["per"])
    if distance < 0.0:
        raise Refused({"distance": f'"{typed}" is below zero. Write how far it was.'})
    data = {"distance": distance, "per": stated.data["per"], "came_back": entry.text("came_back") == YES}
    return [Draft("proof_driven", {**data, "text": entry.text("text")})]


def proof_seen(garage: Garage, entry: Entry) -> list[Draft]:
    """What was looked at, and whether it was as it should be."""
    job, key = garage.job(entry.of), entry.needed("proof", "which proof")
    owed = next((one for one in proofs_of(job) if one.key == key), None)
    if owed is None or not owed.by_hand:
        raise Refused({"": "That is not to be proved here any more. Reload the page."})
    passed = entry.needed("passed", "whether it was as it should be")
    if passed not in (YES, "no"):
        raise Refused({"passed": f'"{passed}" is neither. Take yes or no.'})
    data = {"proof": key, "what": owed.what, "passed": passed == YES, "text": entry.text("text")}
    return [Draft("proof_seen", data)]


def closing(garage: Garage, job: Job, entry: Entry) -> list[Draft]:
    """What closes a job besides its words: proofs that are not in become watches, when the person says so.

    Raises:
        Refused: A proof is neither in nor watched.
    """
    left = [one for one in proofs_of(job) if one.holds_up]
    if not left:
        return []
    if entry.text("watch_rest") != YES:
        more = f" and {len(left) - 1} more" if len(left) > 1 else ""
        do = "Write down what you saw" if not left[0].by_reading else "Read it again"
        state = "Not mended" if left[0].by_reading and left[0].state == "failed" else "Not proved yet"
        words = f'{state}: "{left[0].what}"{more}. {do}, or keep an eye on it and finish.'
        raise Refused({"watch_rest": words})
    return [_as_watch(garage, job, one) for one in left]


def _as_watch(garage: Garage, job: Job, one: Owed) -> Draft:
    # After so far wheel bolts are looked at; the rest waits for no distance.
    fields = {"what": one.what, "until": "it is seen", "until_km": "50 km" if one.key == WHEELS_AGAIN else ""}
    return Draft("watch_opened", {**watch_data(garage, job, fields), "proof": one.key})
