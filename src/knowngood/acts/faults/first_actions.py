"""What to do first with any complaint, before a test (common practice, no source); trouble codes, by structure only."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from knowngood.acts.job.garage import Job
from knowngood.engine.troubleshooting.model.codes import Group, SetBy, Status, TroubleCode, decode
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate import CAUTIONS, SEALED, sounds_like
from knowngood.store.event import Event

# Begins the key of a first action, which no test can have.
FIRST = "first:"
NOTED, SKIPPED = "noted", "skipped"
CODE = re.compile(r"\b[PCBU][0-3][0-9A-F]{3}(?:-[0-9A-F]{2})?\b", re.IGNORECASE)


@dataclass(frozen=True)
class FirstAction:
    """Something to write down or to look up before the first test.

    Args:
        key: Short and stable.
        name: What to do.
        about: What the answer is of, where it is read later.
        like: What an answer looks like.
        why: What it is good for.
    """

    key: str
    name: str
    about: str
    like: str
    why: str


FIRST_ACTIONS = (
    FirstAction(
        f"{FIRST}when",
        "Write down when it happens, and when not",
        "When it happens, and when not",
        "cold starts only, in rain, at 60 km/h",
        "A fault that you can call up is found sooner, and afterwards you can show that it is gone.",
    ),
    FirstAction(
        f"{FIRST}how",
        "Write down how it shows, in plain words",
        "How it shows",
        "clicks once, the lights stay bright",
        "What was seen, heard or smelled is evidence; what somebody thought of it is not.",
    ),
    FirstAction(
        f"{FIRST}since",
        "Write down since when, and what was done shortly before",
        "Since when, and what was done before",
        "since the battery was changed in October",
        "The last thing that was touched is the first to look at.",
    ),
    FirstAction(
        f"{FIRST}codes",
        "Read the trouble codes with their stored conditions before anything is cleared",
        "Trouble codes as read",
        "P0335, confirmed, at 80 °C and 2100 rpm; or no tool at hand",
        "Clearing them, or taking the battery off, can wipe out the conditions; they do not come back by themselves.",
    ),
    FirstAction(
        f"{FIRST}recall",
        "Ask whether a recall, a warranty or goodwill pays for it",
        "Recall, warranty or goodwill",
        "asked the dealer, no recall open",
        "What somebody else must mend costs nothing, and opening it yourself may end the claim.",
    ),
)
BY_KEY = {one.key: one for one in FIRST_ACTIONS}


@dataclass(frozen=True)
class Code:
    """A trouble code as it was written down.

    Args:
        code: What its structure says.
        status: How far the vehicle is sure of it; None when nobody wrote that.
        manual: What the vehicle's manual says of it, as typed.
        conditions: What was stored with it, as typed.
        event: Id of the event; empty when it stands in the complaint only.
    """

    code: TroubleCode
    status: Status | None = None
    manual: str = ""
    conditions: str = ""
    event: str = ""

    @property
    def words(self) -> str:
        """What its structure says, in a sentence.

        Example:
            >>> Code(decode("P0300")).words
            'P0300: engine and gearbox, ignition and misfires; set by the standard: it means the same on every vehicle.'
        """
        code = self.code
        area = f"{code.area}, {code.group}" if code.group_sure else f"{code.area}"
        structure = f"{code.code}: {area}; {'' if code.set_by is SetBy.RESERVED else 'set by '}{code.set_by}."
        return f"{structure} {self.caution}".strip()

    @property
    def caution(self) -> str:
        """What stands beside the code wherever it is shown: of the hybrid group, or of a sealed system by the manual.

        Example:
            >>> Code(decode("P0A80")).caution
            'Orange cables can kill even when off; leave them to a trained person.'
            >>> Code(decode("B0020"), manual="Driver's side airbag, resistance high").caution
            'Do not unplug or measure airbag or belt parts; a meter can fire them.'
        """
        kind = SafetyKind.HIGH_VOLTAGE if self.code.group is Group.HYBRID else sounds_like(self.manual)
        return CAUTIONS[kind] if kind in SEALED else ""


def first_actions(job: Job) -> tuple[FirstAction, ...]:
    """Return what is still to be done before the first test; a trouble code that was noted counts for its question."""
    told = set(job.state.newest("finding_noted", "test"))
    if job.state.kept("code_noted"):
        told.add(f"{FIRST}codes")
    return tuple(one for one in FIRST_ACTIONS if one.key not in told)


def first_told(job: Job) -> dict[str, Event]:
    """Return what was written down of first actions, or that one was skipped: the newest word on each, by its key."""
    told = job.state.newest("finding_noted", "test")
    return {one.key: told[one.key] for one in FIRST_ACTIONS if one.key in told}


def codes_of(job: Job) -> tuple[Code, ...]:
    """Return the trouble codes of a job, the newest word on each: those noted, and those that the complaint names."""
    found = {one.code: Code(one) for one in codes_in(str(job.opened.get("complaint") or ""))}
    for event in job.state.kept("code_noted"):
        data = event.data
        code = decode(data["code"])
        status = Status(data["status"]) if data["status"] else None
        found[code.code] = Code(code, status, data["manual"], data["conditions"], event.id)
    return tuple(found.values())


def codes_in(text: str) -> Iterator[TroubleCode]:
    """Yield the trouble codes in a text, each once.

    Example:
        >>> [one.code for one in codes_in("P0300 and p0301 after rain, P0300 again")]
        ['P0300', 'P0301']
    """
    for typed in dict.fromkeys(one.upper() for one in CODE.findall(text)):
        yield decode(typed)
