"""What Why and the Book say beside the suspects: parts within reach, worth doing oneself, proofs that it is gone."""

from collections.abc import Callable
from typing import Any

from markupsafe import Markup

from knowngood.acts.faults.cover_decision import Weighed
from knowngood.acts.faults.cover_words import DO, hangs_words
from knowngood.acts.faults.doubtful_parts import Doubtful
from knowngood.acts.faults.known_part import parts_in_reach, parts_of
from knowngood.acts.faults.part_decisions import choice_for, typed_of, weighed
from knowngood.acts.faults.proofs import PER, Owed, proofs_of, returns_of
from knowngood.acts.faults.watches import ON
from knowngood.acts.faults.why_words import takes_words
from knowngood.acts.faults.worth_doing import Told, worth_doing
from knowngood.acts.faults.worth_doing import typed_of as scope_typed
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.tools.prices import expected_words
from knowngood.engine.judgement import percent
from knowngood.engine.troubleshooting.model.amounts import Price
from knowngood.engine.troubleshooting.worth.cover_decision import Decision
from knowngood.engine.troubleshooting.worth.scopes import QUOTE
from knowngood.refusal import Refused
from knowngood.report.pictures.flip import CLASSES, flip_picture
from knowngood.report.pictures.picture import Width
from knowngood.report.pictures.proof import proof_picture
from knowngood.web.parts.forms import Field, Form, Kept
from knowngood.web.parts.why_plan import Looked
from knowngood.words import capital

Shown = dict[str, Any]
WIDTHS: tuple[Width, Width] = (360, 640)
Section = Callable[[Garage, Job, Looked, Kept | None], Shown | None]
CHOICE_WORDS = {
    "replace": "Replace it now",
    "test": "Test more",
    "watch": "Close and watch",
    "hand_over": "Hand it over",
}
PASSED = [("yes", "As it should be"), ("no", "Not as it should be")]
CAME_BACK = [("", "It stayed away"), ("yes", "It came back")]


def in_reach(garage: Garage, job: Job, _: Looked, kept: Kept | None) -> Shown | None:
    """Each doubtful part that can be got at now: one advice, where it flips, and the choice."""
    if not job.started or job.state.finished:
        return None
    try:
        parts = [_part(garage, job, one, kept) for one in parts_in_reach(garage, job)]
    except Refused as refused:
        return {"kind": "trouble", "title": "While it is within reach", "words": " ".join(refused.problems.values())}
    return {"kind": "parts", "title": "While it is within reach", "parts": parts} if parts else None


def _part(garage: Garage, job: Job, part: Doubtful, kept: Kept | None) -> Shown:
    told = weighed(garage, job, part)
    back = f"/job/{job.id}/why"
    weigh = Form("part_weighed", f"job/{job.id}", back, _asked(typed_of(job, part.key)), hidden={"about": part.key})
    shown: Shown = {"name": part.name, "words": told.sentence, "counted": told.counted, "assumed": told.assumed}
    shown |= {
        "options": _options(told),
        "holds": told.holds,
        "hangs": hangs_words(told.hangs_on),
        "form": weigh.shown(kept) if part.kind is None else None,  # of a safety part no number is asked
        "choose": None,
        "pictures": _pictures(part, told),
    }
    if part.decide is None:
        choices = [(key, CHOICE_WORDS[key]) for key in _choices(part)]
        fields = [
            Field("choice", "What is it to be?", "choice", value=choice_for(told.advice, part), choices=choices),
            Field("why", "Why", hint="Empty: because that is the advice. It is kept beside what you write."),
            *(watch_fields() if part.kind is None else ()),
        ]
        decide = Form("decided", f"job/{job.id}", back, fields, hidden={"decision": part.key})
        shown["choose"] = decide.shown(kept)
    return shown


def watch_fields() -> tuple[Field, ...]:
    """What brings a watched thing back, each on its own or together."""
    return (
        Field("until_km", "Watched for another", "number", "km", half=True),
        Field("until_date", "Or until the day", hint="Such as 2027-03-01.", half=True),
        Field("on", "Or until", "pick", choices=[("", "none of these"), *ON.items()]),
    )


def _choices(part: Doubtful) -> tuple[str, ...]:
    """A part that safety hangs on is never watched; one that a workshop opens is handed over."""
    if part.handed_over:
        return ("hand_over",)
    return tuple(CHOICE_WORDS) if part.kind is None else ("replace", "hand_over")


def _options(told: Weighed) -> list[Shown]:
    """Each option with its money and its minutes apart and its line in the picture; none for a safety part."""
    if not isinstance(told.decision, Decision):
        return []
    drawn = told.decision.picture.total
    return [
        {
            "name": DO[one.option],
            "takes": takes_words(Price(one.money, one.minutes)),
            "line": CLASSES[one.option] if one.option in drawn else "",
        }
        for one in told.decision.options
    ]


def at_step(garage: Garage, job: Job, decision: str) -> Shown | None:
    """What to say at a step that decides about a doubtful part; None when it is about none, or nothing can be said."""
    try:
        part = parts_of(garage, job).get(decision)
        told = weighed(garage, job, part) if part else None
    except Refused:
        return None  # Why says what is wrong; the step can be decided all the same
    if part is None or told is None:
        return None
    pictures, options = _pictures(part, told), _options(told)
    return {"name": part.name, "words": told.sentence, "pictures": pictures, "options": options}


def _pictures(part: Doubtful, told: Weighed) -> Shown | None:
    if not isinstance(told.decision, Decision):
        return None
    phone, wide = (flip_picture(part.name, told.decision, width=width) for width in WIDTHS)
    return {"phone": Markup(phone), "wide": Markup(wide)}


def _asked(typed: dict[str, str]) -> list[Field]:
    """Nothing here is needed: what is left empty is assumed wide, and said."""
    rows = [
        ("probability", "Chance that it is bad", "%", "Empty: by the suspects."),
        ("part", "The new part costs", "", ""),
        ("again", "Getting to it again later costs", "", "Fluid and gasket."),
        ("again_minutes", "And takes", "min", ""),
        ("damage", "If it fails first: tow or damage", "", ""),
        ("age", "Driven since it was new", "km", ""),
        ("life", "Such parts usually last", "km", ""),
        ("horizon", "It is to last another", "km", ""),
    ]
    return [
        Field(name, label, "number", unit, typed.get(name, ""), hint, half=True) for name, label, unit, hint in rows
    ]


def worth(garage: Garage, job: Job, _: Looked, kept: Kept | None) -> Shown | None:
    """Doing it oneself, in each size of the job, against the quote."""
    try:
        told = worth_doing(garage, job)
    except Refused as refused:
        return {"kind": "trouble", "title": "Worth doing yourself?", "words": " ".join(refused.problems.values())}
    if told is None:
        return None
    ways = [_way(told, one) for one in told.worth.ways]
    forms = [_scope(job, key, name, kept) for key, name in told.names.items()]
    shown = {"words": told.sentence, "ways": ways, "assumed": told.assumed, "forms": forms}
    return {"kind": "worth", "title": "Worth doing yourself?", **shown}


def _way(told: Told, way: Any) -> Shown:
    name = "The quote" if way.key == QUOTE else capital(told.names[way.key])
    spread = f"{expected_words(way.low)} to {expected_words(way.high)}, 4 times out of 5" if way.high > way.low else ""
    if way.key == QUOTE:
        right = takes_words(Price(way.money.value, way.minutes.value)) if way.minutes.value else ""
    else:
        right = f"{told.counted[way.key]}; cheaper than the quote {percent(way.pays)}"
    return {"name": name, "cost": expected_words(way.expected.value), "spread": spread, "counted": right}


def _scope(job: Job, key: str, name: str, kept: Kept | None) -> Shown:
    typed = scope_typed(job, key)
    rows = [
        ("parts", "Parts", ""), ("fluids", "Fluids", ""), ("tools", "Tools to buy", ""),
        ("later_uses", "Uses of those tools later", ""), ("fixes", "Right afterwards", "%"), ("hour", "Your hour", ""),
    ]  # fmt: skip
    fields = [Field(one, label, "number", unit, typed.get(one, ""), half=True) for one, label, unit in rows]
    form = Form("worth_stated", f"job/{job.id}", f"/job/{job.id}/why", fields, hidden={"scope": key})
    return {**form.shown(kept), "summary": f"State what “{name}” takes"}


def proofs(job: Job, kept: Kept | None) -> Shown | None:
    """What must be driven, looked at or passed before the job closes."""
    if not job.started:
        return None
    rows = [_owed(job, one, kept) for one in proofs_of(job)]
    nothing = "Nothing to prove." if job.state.finished else "Nothing to prove yet."
    stated = returns_of(job)
    forms = [] if job.state.finished else [_returns(job, kept)]
    if stated is not None and not job.state.finished:
        forms.insert(0, _drive(job, stated.data["per"], kept))
    return {
        "kind": "proofs",
        "title": "Proof that it is gone, and that the work holds",
        "rows": rows,
        "forms": forms,
        "nothing": nothing,
    }


def _owed(job: Job, one: Owed, kept: Kept | None) -> Shown:
    state = "kept an eye on" if one.watched and one.state != "in" else STATES[one.state]
    shown: Shown = {"what": one.what, "how": one.how, "state": state, "mark": MARKS[one.state], "words": one.words}
    if one.told is not None and not one.told.came_back:
        phone, wide = (proof_picture(one.what, one.told, one.per, width=width) for width in WIDTHS)
        shown["pictures"] = {"phone": Markup(phone), "wide": Markup(wide)}
    fields = [Field("passed", "What was seen?", "choice", choices=PASSED, required=True), Field("text", "In words")]
    form = Form("proof_seen", f"job/{job.id}", f"/job/{job.id}/book", fields, hidden={"proof": one.key})
    asked = one.by_hand and one.state != "in" and not job.state.finished
    return {**shown, "form": form.shown(kept) if asked else None}


STATES = {"in": "proved", "failed": "failed", "open": "not proved yet"}
MARKS = {"in": "in", "failed": "out", "open": "open"}


def _returns(job: Job, kept: Kept | None) -> Shown:
    fields = [
        Field("times", "It came", "number", "times", half=True),
        Field("over", "Over in all", "number", half=True),
        Field("per", "Counted in", "pick", choices=list(PER.items())),
        Field("gaps", "Or each distance between", "readings", hint="Instead of the two above, such as 120 80 200."),
        Field("before", "The mend is right, you think", "number", "%", hint="Empty: 70 % is taken."),
    ]
    form = Form("returns_stated", f"job/{job.id}", f"/job/{job.id}/book", fields)
    return {**form.shown(kept), "summary": "It came and went: say how it came back before"}


def _drive(job: Job, per: str, kept: Kept | None) -> Shown:
    fields = [
        Field("distance", "Driven since", "number", per, required=True),
        Field("came_back", "And then?", "choice", choices=CAME_BACK),
        Field("text", "In words"),
    ]
    form = Form("proof_driven", f"job/{job.id}", f"/job/{job.id}/book", fields)
    return {**form.shown(kept), "summary": "Write down a drive", "open": True}


SECTIONS: tuple[Section, ...] = (in_reach, worth)
