"""What the person is told: one sentence for a judgement, one for what follows; of a check after a repair, its own."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from knowngood.engine.judgement import Verdict, percent
from knowngood.sheet.act_named import WHETHER, names_act
from knowngood.words import small

# Ours: from this probability on, a verdict is clear without weighing costs.
CLEAR = 0.95
# Leads and warmth make a reading too high, cold makes it too low.
READ = {"high": "Read warm, through the leads", "low": "Read cold"}


@dataclass(frozen=True)
class Told:
    """What a sentence is made from, in the unit that was written.

    Args:
        probability: Of being within.
        value: Best value, corrected.
        raw: As read.
        lower: Lowest allowed, or None.
        upper: Highest allowed, or None.
        allowed: What is allowed, in words.
        corrected: Leads were taken off and the temperature was allowed for.
        at: The temperature that the limits are stated for, or nothing.
        decides: The act that follows when it is out, or None; older sheets say what hangs on it in words of their own.
        safety: A doubt counts as out.
        in_job: It was read in a job, so that something or nothing may depend on it.
        looks: Why a corrected reading looks too high or too low.
        checks_repair: It was read to see whether a repair has helped.
        shows: The value in words, in the unit that was written.
    """

    verdict: Verdict
    probability: float
    value: float
    raw: float
    lower: float | None
    upper: float | None
    allowed: str
    corrected: bool
    at: str
    decides: str | None = None
    safety: bool = False
    in_job: bool = False
    looks: Mapping[str, str] = field(default_factory=lambda: READ)
    checks_repair: bool = False
    shows: str = ""


def sentence(told: Told) -> str:
    """Return what follows, for the mechanic.

    Example:
        >>> sentence(Told(Verdict.WITHIN, 0.999, 90.7, 101.1, 80, 95, "80–95 ohm", True, "20 °C"))
        'Read warm, through the leads, it looks too high. At 20 °C it is within 80–95 ohm.'
    """
    if told.checks_repair:
        return _of_a_repair(told)
    match told.verdict:
        case Verdict.WITHIN:
            return _within(told)
        case Verdict.OUT:
            return _out(told)
        case Verdict.CANT_TELL:
            return _doubtful(told)


def _of_a_repair(told: Told) -> str:
    """Whether it is mended, as a reading after the repair shows it."""
    seen = f"{told.shows}, allowed {told.allowed}."
    match told.verdict:
        case Verdict.WITHIN:
            return f"Mended: {seen}"
        case Verdict.OUT:
            follows = f" {_follows(told)}" if told.decides and names_act(told.decides) else ""
            shown = told.probability <= 1.0 - CLEAR
            return f"Not mended: still {seen}{follows}" if shown else f"Not shown to be mended: {seen}{follows}"
        case Verdict.CANT_TELL:
            return f"Cannot be told yet whether it is mended: {seen} {_leans(told)}"


def _follows(told: Told) -> str:
    """What follows from the reading; what a sheet names in another form than an act is only said to hang on it."""
    decides = told.decides or ""
    if not names_act(decides):
        return f"It decides {decides}." if decides.startswith(WHETHER) else f"It decides: {decides}."
    match told.verdict:
        case Verdict.WITHIN:
            return f"No need to {small(decides)}."
        case Verdict.OUT:
            return f"So: {small(decides)}."
        case Verdict.CANT_TELL:
            return f"It decides whether to {small(decides)}."


def _beyond(value: float, told: Told) -> str | None:
    """Which way a value lies outside, or None."""
    if told.upper is not None and value > told.upper:
        return "high"
    return "low" if told.lower is not None and value < told.lower else None


def _inside(told: Told) -> str:
    """Two ends: within them; one end: at least or at most, as it is."""
    return told.allowed if None in (told.lower, told.upper) else f"within {told.allowed}"


def _within(told: Told) -> str:
    looked = _beyond(told.raw, told) if told.corrected else None
    follows = f" {_follows(told)}" if told.decides else ""
    if told.probability < CLEAR:
        return f"{percent(told.probability)} sure to be {_inside(told)}: by your two costs, enough.{follows}"
    if looked:
        return f"{told.looks.get(looked, 'As read')}, it looks too {looked}. {_where(told)} {_inside(told)}.{follows}"
    where = _where(told) if told.corrected else "It is"
    return f"{where} {_inside(told)} ({percent(told.probability)}).{follows}"


def _where(told: Told) -> str:
    return f"At {told.at} it is" if told.at else "In truth it is"


def _out(told: Told) -> str:
    follows = f" {_follows(told)}" if told.decides else ""
    way = _beyond(told.value, told)
    if told.probability > 1.0 - CLEAR:
        why = (
            "A doubt counts as out where safety hangs on it."
            if told.safety
            else "By your two costs, that is too little: it counts as out."
        )
        return f"Not shown to be {_inside(told)} ({percent(told.probability)}). {why}{follows}"
    looked = " It looked good as read." if told.corrected and _beyond(told.raw, told) is None else ""
    start = f"Too {way}: not" if way else "Known too loosely for limits this close; hardly"
    return f"{start} {_inside(told)} ({percent(1.0 - told.probability)}).{looked}{follows}"


def _leans(told: Told) -> str:
    within = told.probability >= 0.5
    return f"Leans {'within' if within else 'out'} ({percent(told.probability if within else 1.0 - told.probability)})."


def _doubtful(told: Told) -> str:
    if told.decides:
        return f"{_leans(told)} {_follows(told)}"
    return f"{_leans(told)} Nothing in this job depends on it: carry on." if told.in_job else _leans(told)
