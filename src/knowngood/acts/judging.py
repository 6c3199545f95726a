"""Judge a reading: typed words in, a judgement out, with everything nobody stated assumed wide and said so."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from knowngood import __version__, units
from knowngood.acts.entries import Entry, Refused, parsed
from knowngood.acts.instruments import from_json, meter_json, read_line
from knowngood.acts.sentences import Told, sentence
from knowngood.acts.values import band_words
from knowngood.engine.judgement import Band, Confidence, Costs, Estimate, Judgement, Rule, Safety, judge
from knowngood.engine.measurement.instruments import Meter, typical
from knowngood.engine.measurement.plain import plain_quantity
from knowngood.engine.measurement.remedies import remedies
from knowngood.engine.measurement.resistance import (
    CONDUCTORS,
    REFERENCE_C,
    THERMOMETER_HALF_K,
    Part,
    winding_resistance,
)

if TYPE_CHECKING:
    from knowngood.acts.garage import Garage

K = units.Kind
FIELDS = ("limits", "read", "at", "zero", "part", "conductor", "meter", "rule")
SEED = 20
# How the engine's refusals begin, and the field that each is about; all others are about the readings.
REFUSED_FIELDS = (("a part at", "part"), ("the probes", "zero"))


@dataclass(frozen=True)
class Judged:
    """A reading judged: what was typed, what was understood, and what follows.

    Args:
        typed: The words.
        unit: The unit that is printed, as written with the limits.
        raw: The mean as read. [unit inside]
        corrected: Leads and temperature were allowed for.
        assumed: What nobody stated, in words.
    """

    name: str
    typed: Mapping[str, str]
    unit: str
    raw: float
    corrected: bool
    estimate: Estimate
    band: Band
    judgement: Judgement
    meter: Meter
    assumed: tuple[str, ...]
    sentence: str


def judge_typed(
    typed: Mapping[str, str],
    *,
    reading_id: str,
    name: str = "",
    instrument: Meter | None = None,
    decides: str | None = None,
    source: str | None = None,
    in_job: bool = False,
) -> Judged:
    """Judge what was typed. A limit and a reading are enough.

    Args:
        typed: limits, read, at, zero, part, conductor, meter, rule; any but the first two may be empty.
        reading_id: Makes the keys of this reading's own errors.
        name: What was read.
        instrument: From the toolbox; else the line typed as `meter` counts, else a wide typical one.
        decides: What hangs on it.
        source: Where the limits are printed.
        in_job: A job may say what depends on it.

    Raises:
        Refused: A sentence at each field that cannot be used.
    """
    words = {key: typed.get(key, "").strip() for key in FIELDS}
    allowed = parsed("limits", lambda: units.span(words["limits"]))
    shown = {"read": allowed.unit, "zero": allowed.unit, "part": "°C", "at": "°C"}
    words |= {key: units.completed(words[key], unit) for key, unit in shown.items()}
    read = parsed("read", lambda: units.readings(words["read"], allowed.kind, unit=allowed.unit))
    meter = instrument or _meter(words["meter"], allowed.kind, read.step)
    at = _celsius("at", words["at"])
    resistance = allowed.kind is K.RESISTANCE
    part, conductor = _part(words["part"]), _conductor(words["conductor"])
    try:
        if resistance:
            zero = (
                parsed("zero", lambda: units.readings(words["zero"], K.RESISTANCE, unit=allowed.unit))
                if words["zero"]
                else None
            )
            estimate = winding_resistance(
                read.values, meter=meter, zero_ohm=zero.values if zero else None, part=part, conductor=conductor,
                reference_c=REFERENCE_C if at is None else at, reading_id=reading_id, seed=SEED,
            )  # fmt: skip
        else:
            estimate = plain_quantity(
                read.values, unit=allowed.kind.unit, meter=meter, reading_id=reading_id, seed=SEED
            )
    except ValueError as refused:
        words_of = str(refused)
        field = next((name for begins, name in REFUSED_FIELDS if words_of.startswith(begins)), "read")
        raise Refused({field: words_of[0].upper() + words_of[1:]}) from refused
    condition = f"at {words['at'] or '20 °C'}" if resistance else words["at"] or None
    band = Band(allowed.lower, allowed.upper, allowed.kind.unit, condition, source, _rule(words["rule"]))
    ways = remedies(estimate, meter=meter, readings=len(read.values), part=part or Part())
    judgement = judge(estimate, band, remedies=ways)
    corrected = resistance and conductor != "alloy"
    raw = sum(read.values) / len(read.values)
    told = Told(
        verdict=judgement.verdict, probability=judgement.probability_inside, value=estimate.value, raw=raw,
        lower=band.lower, upper=band.upper, allowed=band_words(band, allowed.unit), corrected=corrected,
        at=words["at"] or "20 °C", decides=decides, safety=isinstance(band.rule, Safety), in_job=in_job,
    )  # fmt: skip
    assumed = _assumed(judgement, unit=allowed.kind.unit, at=at, meter=meter, part=part)
    return Judged(name, words, allowed.unit, raw, resistance, estimate, band, judgement, meter, assumed, sentence(told))


def _meter(line: str, kind: units.Kind, step: float) -> Meter:
    if not line:
        return typical(kind.unit, step)
    meter, reads = parsed("meter", lambda: read_line(line, name=line))
    if reads is not kind:
        raise Refused(
            {"meter": f'"{line}" is for {reads.words}; here {kind.words} was read. Give the line of that range.'}
        )
    return meter


def _celsius(field: str, text: str) -> float | None:
    return parsed(field, lambda: units.quantity(text, K.TEMPERATURE, unit="°C").value) if text else None


def _part(text: str) -> Part | None:
    if not text:
        return None
    found = parsed("part", lambda: units.tolerance(text, K.TEMPERATURE, unit="°C"))
    if found.half_width is None:
        return Part(found.value, THERMOMETER_HALF_K, assumed=True)
    return Part(found.value, found.half_width, assumed=False)


def _conductor(text: str) -> str:
    if text and text not in CONDUCTORS:
        raise Refused({"conductor": f'"{text}" is not a conductor known here. Take copper, aluminium or alloy.'})
    return text or "unknown"


def _rule(text: str) -> Rule:
    if text in ("", "usual"):
        return Confidence()
    if text == "safety":
        return Safety()
    try:
        within, out = (float(one) for one in text.replace(",", " ").split())
    except ValueError:
        within = out = 0.0
    if within <= 0.0 or out <= 0.0:
        raise Refused(
            {"rule": f'"{text}" is not a rule. Write usual, safety, or two costs above zero such as "30 100".'}
        )
    return Costs(within, out)


def _assumed(judgement: Judgement, *, unit: str, at: float | None, meter: Meter, part: Part | None) -> tuple[str, ...]:
    """What nobody stated, each once, in words with the value that was taken."""
    rows: list[str] = []
    if meter.assumed:
        rows.append(f"a budget instrument, ± ({meter.percent:g} % + {meter.absolute:g} {unit})")
    names = set(judgement.assumed)
    if "test leads" in names:
        rows.append("test leads of 0.1 to 0.5 ohm")
    if "temperature of the part" in names:
        rows.append(
            f"the part at {part.celsius:g} ± {part.half_width_k:g} °C" if part else "the part anywhere from 10 to 90 °C"
        )
    if "what it is wound of" in names:
        rows.append("wound of anything from resistance alloy to copper")
    if unit == K.RESISTANCE.unit and at is None:
        rows.append("limits stated for 20 °C")
    return tuple(rows)


def as_json(judged: Judged) -> dict[str, Any]:
    """What the terminal prints with --json."""
    low, high = judged.estimate.interval(0.95)
    dof = judged.estimate.degrees_of_freedom
    return {
        "estimate": {
            "value": judged.estimate.value,
            "unit": judged.estimate.unit,
            "standard_uncertainty": judged.estimate.standard_uncertainty,
            "degrees_of_freedom": dof if dof < float("inf") else None,
            "interval95": [low, high],
        },
        "band": judged.band.to_json(),
        "probability_inside": judged.judgement.probability_inside,
        "probability_linear": judged.judgement.probability_linear,
        "probability_monte_carlo": judged.judgement.probability_monte_carlo,
        "verdict": judged.judgement.verdict.value,
        "sentence": judged.sentence,
        "budget": [
            {"name": row.name, "contribution": abs(row.contribution), "assumed": row.assumed}
            for row in judged.estimate.budget
            if row.contribution
        ],
        "settle": [
            {"remedy": one.remedy, "minutes": one.minutes, "probability": one.probability}
            for one in judged.judgement.settle
        ],
        "assumed": list(judged.assumed),
    }


def event_data(judged: Judged) -> dict[str, Any]:
    """What an event keeps: what was typed, what was understood, what was told."""
    return {
        "name": judged.name or "reading",
        "typed": dict(judged.typed),
        "unit": judged.unit,
        "raw": judged.raw,
        "corrected": judged.corrected,
        "instrument": meter_json(judged.meter),
        "estimate": judged.estimate.to_json(),
        "band": judged.band.to_json(),
        "judgement": judged.judgement.to_json(),
        "assumed": list(judged.assumed),
        "sentence": judged.sentence,
        "program": __version__,
    }


def reading_data(garage: "Garage", entry: Entry, *, limit: Any) -> dict[str, Any]:
    """Judge an entry; a limit of the sheet gives what is allowed and at which temperature.

    Raises:
        Refused: A sentence at each field that cannot be used.
    """
    typed = {key: entry.text(key) for key in FIELDS}
    decides = source = None
    if limit is not None:
        rule = limit.rule if isinstance(limit.rule, str) else f"{limit.rule.wrong_within} {limit.rule.wrong_out}"
        known = {
            "limits": "" if hasattr(limit.band, "ask") else limit.band.text,
            "at": limit.at.text if limit.at else "",
            "conductor": limit.conductor.value if limit.conductor else "",
            "rule": rule,
        }
        typed |= {key: text for key, text in known.items() if text}
        decides, source = limit.decides, limit.source
    named = next((one for one in garage.toolbox().instruments if one.data["name"] == typed["meter"]), None)
    if named and parsed("limits", lambda: units.span(typed["limits"])).kind.unit != named.data["unit"]:
        raise Refused(
            {"meter": f"The {named.data['name']} is described in {named.data['unit']} only. Take another line."}
        )
    judged = judge_typed(
        typed, reading_id=entry.id, name=entry.text("name") or (limit.name if limit else ""),
        instrument=from_json(named.data) if named else None, decides=decides, source=source, in_job=limit is not None,
    )  # fmt: skip
    return {**event_data(judged), "step": entry.text("step") or None}
