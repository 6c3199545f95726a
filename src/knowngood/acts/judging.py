"""Judge a reading: typed words in, a judgement out, with everything nobody stated assumed wide and said so."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from knowngood import __version__, units
from knowngood.acts.entries import Refused, parsed
from knowngood.acts.instruments import meter_json, read_line
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

K = units.Kind
FIELDS = ("limits", "read", "at", "zero", "part", "conductor", "meter", "rule")
SEED = 20
STATED_FOR = f"{REFERENCE_C:g} °C"
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
    part = _part(words["part"])
    estimate = _estimate(words, read, meter=meter, part=part, reading_id=reading_id)
    band = _band(words, allowed, source)
    ways = remedies(estimate, meter=meter, readings=len(read.values), part=part or Part())
    judgement = judge(estimate, band, remedies=ways)
    raw = sum(read.values) / len(read.values)
    resistance = allowed.kind is K.RESISTANCE
    told = Told(
        verdict=judgement.verdict, probability=judgement.probability_inside, value=estimate.value, raw=raw,
        lower=band.lower, upper=band.upper, allowed=band_words(band, allowed.unit),
        corrected=resistance and words["conductor"] != "alloy", at=words["at"] or STATED_FOR, decides=decides,
        safety=isinstance(band.rule, Safety), in_job=in_job,
    )  # fmt: skip
    assumed = _assumed(judgement, unit=band.unit, at=words["at"], meter=meter, part=part)
    return Judged(name, words, allowed.unit, raw, resistance, estimate, band, judgement, meter, assumed, sentence(told))


def _estimate(
    words: Mapping[str, str], read: units.Readings, *, meter: Meter, part: Part | None, reading_id: str
) -> Estimate:
    """What is known from the readings; a refusal of the engine becomes a problem at the field it is about."""
    at, conductor = _celsius("at", words["at"]), _conductor(words["conductor"])
    zero = parsed("zero", lambda: units.readings(words["zero"], read.kind, unit=read.unit)) if words["zero"] else None
    try:
        if read.kind is not K.RESISTANCE:
            return plain_quantity(read.values, unit=read.kind.unit, meter=meter, reading_id=reading_id, seed=SEED)
        return winding_resistance(
            read.values, meter=meter, zero_ohm=zero.values if zero else None, part=part, conductor=conductor,
            reference_c=REFERENCE_C if at is None else at, reading_id=reading_id, seed=SEED,
        )  # fmt: skip
    except ValueError as refused:
        why = str(refused)
        field = next((name for begins, name in REFUSED_FIELDS if why.startswith(begins)), "read")
        raise Refused({field: why[0].upper() + why[1:]}) from refused


def _band(words: Mapping[str, str], allowed: units.Span, source: str | None) -> Band:
    """What is allowed, with the temperature that it is stated for."""
    at = words["at"] or (STATED_FOR if allowed.kind is K.RESISTANCE else "")
    condition = f"at {at}" if at else None
    return Band(allowed.lower, allowed.upper, allowed.kind.unit, condition, source, _rule(words["rule"]))


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


def _assumed(judgement: Judgement, *, unit: str, at: str, meter: Meter, part: Part | None) -> tuple[str, ...]:
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
    if unit == K.RESISTANCE.unit and not at:
        rows.append(f"limits stated for {STATED_FOR}")
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
        "further": further(judged),
    }


def further(judged: Judged) -> list[str]:
    """What is said beside the sentence: that nothing settles it, and where the two laws differ."""
    needed = units.show(judged.judgement.needed_uncertainty, judged.unit, difference=True)
    unsettled = f"Nothing listed settles it: it would take a standard uncertainty of {needed} or less."
    rows = [unsettled if judged.judgement.nothing_settles_it else None, judged.judgement.difference_said]
    return [row for row in rows if row]


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
        "further": further(judged),
        "program": __version__,
    }
