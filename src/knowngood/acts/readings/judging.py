"""Judge a reading: typed words in, a judgement out, with everything nobody stated assumed wide and said so."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from statistics import fmean, stdev
from typing import Any

from knowngood import __version__, units
from knowngood.acts.readings.gated import ANY_PART, NOT_SAFETY, Gated, gated
from knowngood.acts.readings.judged_words import allowed_of, beyond_readings, kind_of_limits, rule_of, taken_in
from knowngood.acts.readings.lengths import refuse_long
from knowngood.acts.readings.sentences import READ, Told, sentence
from knowngood.acts.readings.settling import settled
from knowngood.acts.readings.unit_taken import with_unit
from knowngood.acts.readings.values import band_words, bare_value_words, size_words
from knowngood.acts.tools.instruments import meter_json, read_line
from knowngood.acts.tools.toolbox import in_air, instrument_for, others_for
from knowngood.engine.judgement import Band, Estimate, Judgement, Safety
from knowngood.engine.measurement.electrical.resistance import REFERENCE_C
from knowngood.engine.measurement.meters.checking import resolved
from knowngood.engine.measurement.meters.instruments import USUAL, Meter, typical
from knowngood.quantities.basic import AT, CONDUCTOR, WINDING, part_of
from knowngood.quantities.known import QUANTITIES, beyond_limits, quantity_for, unknown_words
from knowngood.quantities.model import Given, Quantity, without_known_error
from knowngood.quantities.refusing import refuse_typed, refused_limits
from knowngood.quantities.repeats import usual_scatter
from knowngood.refusal import Refused, parsed
from knowngood.store.folds import ToolboxState
from knowngood.words import capital

K = units.Kind
# What every quantity takes; each has asks of its own beside them.
COMMON = ("quantity", "limits", "read", "meter", "ambient", "rule")
# What a reading is called that nobody gave a name.
UNNAMED = "reading"
# Ours: a known error that is less than this share of the display's step is not worth a word.
SHOWS = 0.05
# Ours: of the whole doubt; what is less changes no verdict.
WORTH_A_WORD = 0.2
# Ours: of two readings that scatter as usual, one pair in four hundred lies so far apart.
FAR_APART = 3.0
DIFFER = "These readings differ more than such readings do. Look whether each was made the same way, then read again."
STATED_FOR = f"{REFERENCE_C:g} °C"


@dataclass(frozen=True)
class Judged:
    """A reading judged: what was typed, what was understood, and what follows.

    Args:
        quantity: Which model it went through.
        typed: The words.
        unit: The unit that is printed, as written with the limits.
        raw: The mean as read, without the instrument's known error. [unit inside]
        corrected: It was brought to other conditions, such as leads off and cold.
        assumed: What nobody stated, in words.
        as_read: What the display showed, where the instrument's known error was taken off it.
        unsettled: That nothing at hand settles it, and which kind of instrument would; None where something may.
        taken: Numbers that could have been read in another way, and as what they were taken.
        gate: Which safety system it belongs to, or why not.
        differ: That the readings lie further apart than such readings do; empty where they do not.
    """

    name: str
    quantity: str
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
    unsettled: str | None = None
    as_read: str = ""
    taken: tuple[str, ...] = ()
    gate: Gated = ANY_PART
    differ: str = ""


@dataclass(frozen=True)
class Occasion:
    """What a reading is taken for.

    Args:
        decides: The act that follows when it is out.
        source: Where the limits are printed.
        in_job: A job may say what depends on it.
        gate: What the gate says of it; None: by its name.
        checks_repair: It is read to see whether a repair has helped.
    """

    decides: str | None = None
    source: str | None = None
    in_job: bool = False
    gate: Gated | None = None
    checks_repair: bool = False


ALONE = Occasion()


def judge_typed(
    typed: Mapping[str, str],
    *,
    reading_id: str,
    name: str = "",
    toolbox: ToolboxState | None = None,
    occasion: Occasion = ALONE,
) -> Judged:
    """Judge what was typed. A limit and a reading are enough.

    Args:
        typed: quantity, limits, read, meter, ambient, rule, and what the quantity asks; all but limits and read may
            be empty.
        reading_id: Makes the keys of this reading's own errors.
        name: What was read.
        toolbox: Where the instrument typed as `meter` is looked for; else a line typed there counts, else a wide
            typical one. What else of it reads this may settle a doubt.
        occasion: What it is read for.

    Raises:
        Refused: A sentence at each field that cannot be used.
    """
    refuse_long(typed)
    named = typed.get("quantity", "").strip()
    typed, unit_taken = with_unit(typed, QUANTITIES.get(named))
    gate = occasion.gate or gated(name, typed)
    limits = typed.get("limits", "")
    beyond = beyond_limits(named, kind_of_limits(limits))
    allowed = allowed_of(limits, QUANTITIES.get(named), beyond)
    quantity = _quantity(named, allowed)
    fields = dict.fromkeys((*COMMON, *(ask.name for ask in quantity.asks)))
    words = {key: typed.get(key, "").strip() for key in fields} | {"at": typed.get(AT.name, "").strip()}
    tools = toolbox or ToolboxState()
    given = _given(words, quantity, allowed, tools, reading_id)
    estimate = _estimate(quantity, given)
    band = _band(words, allowed, occasion.source, quantity, gate)
    others = others_for(tools, words["meter"], quantity, given.read.values)
    judgement, unsettled = settled(quantity, given, estimate, band, toolbox=tools, others=others, unit=allowed.unit)
    values = given.read.values
    raw = sum(values) / len(values) if quantity.corrects else estimate.value
    told = Told(
        verdict=judgement.verdict, probability=judgement.probability_inside, value=estimate.value, raw=raw,
        lower=band.lower, upper=band.upper, allowed=band_words(band, allowed.unit),
        corrected=quantity.corrects and words.get(CONDUCTOR.name) != "alloy", at=_at(words["at"], allowed),
        decides=occasion.decides, safety=isinstance(band.rule, Safety), in_job=occasion.in_job,
        looks=READ if quantity is WINDING else {}, checks_repair=occasion.checks_repair,
        shows=bare_value_words(estimate, allowed.unit, band),
    )  # fmt: skip
    assumed = _assumed(estimate, quantity, given)
    taken = (*([unit_taken] if unit_taken else []), *taken_in(allowed, beyond, quantity, given))
    return Judged(
        name, quantity.name, given.typed, allowed.unit, raw, quantity.corrects, estimate, band, judgement, given.meter,
        assumed, sentence(told), unsettled, as_read_words(given), taken, gate,
        _differ_words(quantity, given, estimate),
    )  # fmt: skip


def _quantity(name: str, allowed: units.Span) -> Quantity:
    quantity = quantity_for(name, allowed.kind)
    if quantity is None:
        raise Refused({"quantity": unknown_words(name)})
    if quantity.judged is not allowed.kind:
        words = f"{quantity.judged.words}, such as {quantity.judged.example}"
        raise Refused({"limits": f'"{allowed.text}" is {allowed.kind.words}; this quantity is judged as {words}.'})
    if cannot_be := refused_limits(quantity, allowed):
        raise Refused({"limits": cannot_be})
    return quantity


def _given(
    words: dict[str, str], quantity: Quantity, allowed: units.Span, toolbox: ToolboxState, reading_id: str
) -> Given:
    """The readings read, and the instrument found; units that were left out are filled in."""
    unit = quantity.read_in(allowed.unit)
    words |= {"read": units.completed(words["read"], unit)}
    asks = [ask for ask in quantity.asks if ask.kind]
    words |= {ask.name: units.completed(words[ask.name], quantity.bare_unit(ask, unit)) for ask in asks}
    words["at"] = units.completed(words["at"], AT.unit)
    beyond = beyond_readings(quantity)
    read = parsed("read", lambda: units.readings(words["read"], quantity.reads, unit=unit, beyond=beyond))
    checked = instrument_for(toolbox, words["meter"], quantity.reads.unit, read.values)
    meter = checked.meter if checked else _meter(words["meter"], quantity.reads, read)
    displayed = Given(read, meter, words, reading_id, allowed.upper, quantity.name, checked)
    given = without_known_error(displayed, quantity)
    return replace(given, meter=in_air(given.meter, words["ambient"]))


def as_read_words(given: Given) -> str:
    """What the display showed, and what was taken off it; empty where nothing was."""
    if not given.displayed:
        return ""
    off = fmean(given.displayed) - fmean(given.read.values)
    if abs(off) < SHOWS * given.meter.step:
        return ""
    unit, (low, high) = given.read.unit, (min(given.displayed), max(given.displayed))
    shown = units.show(high, unit)
    if low < high:
        shown = units.between(units.show(low, unit).removesuffix(unit).strip(), shown)
    size = units.show(float(f"{abs(off):.2g}"), unit, difference=True)
    way = "taken off" if off > 0.0 else "added"
    return f"As read {shown}: {size} is {way}, as the check of the {given.meter.name} showed."


def _differ_words(quantity: Quantity, given: Given, estimate: Estimate) -> str:
    """That repeated readings scatter far more than such readings do."""
    values, key = given.read.values, f"reading:{given.reading_id}/scatter"
    if len(values) < 2 or all(row.key != key for row in estimate.rows):
        return ""
    usual = usual_scatter(quantity.name, quantity.reads.unit)
    far = FAR_APART * usual.standard_deviation(fmean(values), step=given.meter.step)
    return DIFFER if stdev(values) > far else ""


def _estimate(quantity: Quantity, given: Given) -> Estimate:
    """What is known from the readings; a refusal of the engine becomes a problem at the field it is about."""
    refuse_typed(given, quantity)
    try:
        return quantity.estimated(given)
    except ValueError as refused:
        why = str(refused)
        field = next((name for begins, name in quantity.refusals if why.startswith(begins)), "read")
        raise Refused({field: f"{capital(why)} {as_read_words(given)}".rstrip()}) from refused


def _at(text: str, allowed: units.Span) -> str:
    """The temperature that limits hold at; a resistance's is 20 °C when nobody says."""
    return text or (STATED_FOR if allowed.kind is K.RESISTANCE else "")


def _band(words: Mapping[str, str], allowed: units.Span, source: str | None, quantity: Quantity, gate: Gated) -> Band:
    """What is allowed, with the temperature that it is stated for."""
    at = _at(words["at"], allowed)
    condition = f"at {at}" if at else None
    rule = rule_of(words["rule"], quantity, gate.kind)
    return Band(allowed.lower, allowed.upper, allowed.kind.unit, condition, source, rule)


def _meter(line: str, kind: units.Kind, read: units.Readings) -> Meter:
    if not line:
        return typical(kind.unit, read.step)
    meter, reads = parsed("meter", lambda: read_line(line, name=line))
    if reads is not kind:
        raise Refused(
            {"meter": f'"{line}" is for {reads.words}; here {kind.words} was read. Give the line of that range.'}
        )
    return resolved(meter, max(read.values, key=abs))


def _assumed(estimate: Estimate, quantity: Quantity, given: Given) -> tuple[str, ...]:
    """What nobody stated, each once, in words with the value that was taken; the usual scatter where it matters."""
    least = WORTH_A_WORD * estimate.standard_uncertainty
    assumed = [row for row in estimate.budget if row.assumed and (row.says != USUAL or abs(row.contribution) >= least)]
    names = dict.fromkeys(row.says for row in assumed if not _of_meter(row.says))
    own = bool(given.typed.get("meter"))
    by_meter = any("meter" in row.remedies for row in assumed)
    rows = [_instrument_words(given.meter, quantity.reads, own=own)] if by_meter else []
    words = _of_a_winding(names, given) if quantity is WINDING else names
    scatter = next((row.input_uncertainty for row in assumed if row.says == USUAL), None) or 0.0
    usual = f"{USUAL}, about {size_words(scatter, given.read.unit)} (ours)"
    return (*rows, *(usual if one == USUAL else one for one in words))


def _instrument_words(meter: Meter, reads: units.Kind, *, own: bool) -> str:
    """What an instrument is taken to be off; `own` says that it was named, though nobody printed its figures."""
    parts = [
        f"{meter.percent:g} %" if meter.percent else "",
        f"{meter.absolute:g} {reads.unit}" if meter.absolute else "",
    ]
    whose = "what your instrument may be off" if own else "a cheap instrument"
    return f"{whose}, ± ({' + '.join(part for part in parts if part)})"


def _of_meter(name: str) -> bool:
    """The instrument is told as a whole."""
    return name.startswith(("display", "step of the display", "percent of the meter", "offset of the instrument"))


def _of_a_winding(names: Collection[str], given: Given) -> list[str]:
    part, rows = part_of(given), []
    if "test leads" in names:
        rows.append("test leads of 0.1 to 0.5 ohm")
    if "temperature of the part" in names:
        rows.append(
            f"the part at {part.celsius:g} ± {part.half_width_k:g} °C" if part else "the part anywhere from 10 to 90 °C"
        )
    if "what it is wound of" in names:
        rows.append("wound of anything from resistance alloy to copper")
    rows += [USUAL] if USUAL in names else []
    if not given.typed[AT.name]:
        rows.append(f"limits stated for {STATED_FOR}")
    return rows


def as_json(judged: Judged) -> dict[str, Any]:
    """What the terminal prints with --json."""
    return {
        "estimate": estimate_json(judged.estimate),
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
            {
                "remedy": one.remedy,
                "minutes": one.minutes,
                "money": one.money,
                "probability": one.probability,
                "uncertainty": one.uncertainty,
            }
            for one in judged.judgement.settle
        ],
        "assumed": list(judged.assumed),
        "further": further(judged),
        "quantity": judged.quantity,
    }


def estimate_json(estimate: Estimate) -> dict[str, Any]:
    """The value, and how the ± of its sentence follows from its standard uncertainty: the one times a coverage factor.

    The factor is near 2 where all is well known, larger where few readings are all that shows their scatter.

    Source:
        GUM, 6.2 and 7.2.4, expanded uncertainty and coverage factor.
    """
    low, high = estimate.interval(0.95)
    u, dof, expanded = estimate.standard_uncertainty, estimate.degrees_of_freedom, 0.5 * (high - low)
    return {
        "value": estimate.value,
        "unit": estimate.unit,
        "standard_uncertainty": u,
        "degrees_of_freedom": dof if dof < float("inf") else None,
        "coverage_factor": expanded / u if u else None,
        "expanded_uncertainty": expanded,
        "interval95": [low, high],
    }


def further(judged: Judged) -> list[str]:
    """What is said beside the sentence: how it was read, what the gate says, that nothing settles it, two laws."""
    taken = f"Taken: {', '.join(judged.taken)}." if judged.taken else None
    rows = (
        taken,
        judged.as_read,
        judged.differ,
        *judged.gate.words,
        judged.unsettled,
        judged.judgement.difference_said,
    )
    return [row for row in rows if row]


def event_data(judged: Judged) -> dict[str, Any]:
    """What an event keeps: what was typed, what was understood, what was told."""
    return {
        "name": judged.name or UNNAMED,
        "quantity": judged.quantity,
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
        **({NOT_SAFETY: judged.gate.reason} if judged.gate.reason else {}),
    }
