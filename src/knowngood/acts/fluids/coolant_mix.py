"""The mix in a coolant circuit: where what is in it freezes after all that went out and in, and what to pour in."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from knowngood import units
from knowngood.acts.fluids.circuit_facts import total_of
from knowngood.acts.fluids.ledger import Told, ledger
from knowngood.acts.fluids.words import unwritten_words
from knowngood.acts.job.garage import Job
from knowngood.acts.readings.values import decimals_for
from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.coolant import (
    Part,
    concentrate,
    freezing_point,
    frozen_at,
    mixture,
    share,
    share_for,
    to_fill,
    to_swap,
)
from knowngood.engine.fluids.densities import MOST_GLYCOL_PERCENT
from knowngood.engine.fluids.ledger import Way
from knowngood.engine.judgement import Band, Estimate, Verdict, combine, judge, percent
from knowngood.sheet.circuits import Circuit, Fluid
from knowngood.store.event import Event
from knowngood.words import capital

# Ours: how far off a share is by what it was read with. [% by volume]
READ_WITH = {
    "refractometer": ("a refractometer", 3.0),
    "hydrometer": ("a hydrometer or floating balls", 6.0),
    "label": ("the label of what was filled last", 5.0),
}


K = units.Kind
# Ours: what is in a circuit of which nobody knows. [% by volume]
UNKNOWN_PERCENT, UNKNOWN_HALF = 45.0, 15.0
# Ours: it is aimed so much colder than it gets, for additives and age make a mixture's freezing point uncertain. [K]
AIM_K = 3.0
# Ours: with less room than this a circuit is full. [L]
FULL_L = 0.3
POISON = "Glycol tastes sweet and poisons: keep it from children and animals, and catch all of it."
NO_WATER = "Take distilled or soft water, or what your manual says; never mix kinds of coolant that it does not allow."


@dataclass(frozen=True)
class Mix:
    """What is in a coolant circuit now.

    Args:
        now: How much is in, and its share of glycol.
        freezing: Where ice begins. [°C]
        wanted_c: Down to where it must not freeze; None when nobody said. [°C]
        data: As of a reading that was judged; None without a wanted freezing point.
        words: What is in, where it freezes, and what to pour in.
        notes: What else to know.
    """

    now: Part
    freezing: Estimate
    wanted_c: float | None
    data: Mapping[str, Any] | None
    words: str
    notes: tuple[str, ...]


# --- what follows -----------------------------------------------------------------------------------------------------


def coolant_mix(job: Job, circuit: str) -> Mix | None:
    """Return what is in a coolant circuit and where it freezes; None for another fluid.

    Raises:
        ValueError: More came out than it holds, or more than 60 % glycol is in it.
    """
    one = job.sheet.circuits[circuit]
    if one.fluid is not Fluid.COOLANT:
        return None
    now = _now(job, circuit, one)
    freezing = frozen_at(now.percent)
    wanted = _wanted(job, circuit, one)
    room = combine([(1.0, total_of(one)), (-1.0, now.litre)])
    words = [_in_words(now, freezing)]
    notes = [NO_WATER, POISON]
    if wanted is None:
        return Mix(now, freezing, None, None, words[0], tuple(notes))
    judgement = judge(freezing, Band(None, wanted, "°C"))
    if room.value > FULL_L:
        words.append(_fill_words(now, room, wanted))
    elif judgement.verdict is not Verdict.WITHIN:
        words.append(_swap_words(now, wanted))
    sentence = " ".join([_judged_words(judgement.verdict, judgement.probability_inside, wanted), *words])
    data = {
        "name": f"{one.name}: where it freezes",
        "unit": "°C",
        "raw": freezing.value,
        "corrected": False,
        "estimate": freezing.to_json(),
        "band": Band(None, wanted, "°C").to_json(),
        "judgement": judgement.to_json(),
        "assumed": list(dict.fromkeys(row.says for row in freezing.budget if row.assumed)),
        "sentence": sentence,
        "further": notes,
    }
    return Mix(now, freezing, wanted, data, sentence, tuple(notes))


def _wanted(job: Job, circuit: str, one: Circuit) -> float | None:
    """Down to where it must not freeze: as typed last, or as the sheet says."""
    typed = [event.data["freezes_c"] for event in job.state.kept("mix_read") if event.data["circuit"] == circuit]
    newest = [celsius for celsius in typed if celsius is not None][-1:]
    if newest:
        return float(newest[0])
    return one.freezes.value if isinstance(one.freezes, units.Tolerance) else None


def _now(job: Job, circuit: str, one: Circuit) -> Part:
    """What is in, one event after the other; a full circuit at the beginning.

    Fillings mix all at once, when something else follows or at the end: concentrate that water follows is no mistake.
    """
    told = ledger(job, circuit)
    if told.unwritten:
        raise ValueError(unwritten_words(told))
    parts = [Part(total_of(one), _unknown("coolant/share"))]
    for number, (event, poured) in enumerate(_in_order(job, circuit, told)):
        if poured is None:
            now = _mixed(parts, checked=event.data["percent"] is None)
            parts = [Part(now.litre, _as_read(event.data, now.percent, number))]
        elif poured.way is Way.IN:
            parts.append(Part(poured.litre, _filled(event.data.get("mix"), number)))
        else:
            now = _mixed(parts)
            parts = [Part(combine([(1.0, now.litre), (-1.0, poured.litre)]), now.percent)]
            if parts[0].litre.value <= 0.0:
                total = total_of(one).value
                raise ValueError(f"all of the {total:.3g} L that it holds came out, or more: check what was written.")
    return _mixed(parts)


@dataclass(frozen=True)
class _Poured:
    way: Way
    litre: Estimate


def _in_order(job: Job, circuit: str, told: Told) -> list[tuple[Event, _Poured | None]]:
    """Each pouring, and each reading of the mix as a pouring of nothing, where it belongs among the others."""
    read = [(event, None) for event in job.state.kept("mix_read") if event.data["circuit"] == circuit]
    pouring = zip(told.entries, told.volumes, strict=True)
    moved = [(one.event, _Poured(one.moved.way, litre)) for one, litre in pouring]
    return sorted([*moved, *read], key=lambda pair: job.state.places[pair[0].id])


def _mixed(parts: list[Part], *, checked: bool = True) -> Part:
    """The parts as one; unchecked, only their volume counts, for a share that was read follows."""
    if len(parts) == 1 or not checked:
        return Part(combine([(1.0, one.litre) for one in parts]), parts[-1].percent)
    found = mixture(parts)
    return Part(found.litre, found.percent)


def _unknown(key: str) -> Estimate:
    return stated(key, UNKNOWN_PERCENT, UNKNOWN_HALF, unit="%", assumed=True,
                  name="share of glycol that nobody read", remedy="tester")  # fmt: skip


def _as_read(data: Mapping[str, Any], before: Estimate, number: int) -> Estimate:
    if data["percent"] is None:
        return before
    return share(data["percent"], data["half_width"], key=f"coolant/share/{number}")


def _filled(mix: Mapping[str, Any] | None, number: int) -> Estimate:
    if mix is None:
        return _unknown(f"coolant/filled/{number}")
    if mix["typed"] == "concentrate":
        return concentrate()
    return share(mix["percent"], mix["half_width"], key=f"coolant/filled/{mix['typed']}")


# --- in words ---------------------------------------------------------------------------------------------------------


def _about(estimate: Estimate, unit: str) -> str:
    """A value with half of its 95 % interval."""
    low, high = estimate.interval(0.95)
    half = 0.5 * (high - low)
    places = decimals_for(half) if half else 1
    return units.signed(f"{estimate.value:.{places}f} ± {half:.{places}f} {unit}")


def _in_words(now: Part, freezing: Estimate) -> str:
    litre = f"{now.litre.value:.1f} L are in"
    return f"{litre}, with {_about(now.percent, '%')} glycol by volume: ice begins at {_about(freezing, '°C')}."


def _judged_words(verdict: Verdict, inside: float, wanted_c: float) -> str:
    cold = units.signed(f"{wanted_c:g} °C")
    match verdict:
        case Verdict.WITHIN:
            return f"Good to {cold} ({percent(inside)})."
        case Verdict.OUT:
            return f"Not good to {cold} ({percent(1.0 - inside)})."
        case Verdict.CANT_TELL:
            return f"{percent(inside)} sure to be good to {cold}: a refractometer would tell."


def _fill_words(now: Part, room: Estimate, wanted_c: float) -> str:
    """What the room is to be filled with."""
    wanted = share_for(max(wanted_c - AIM_K, freezing_point(MOST_GLYCOL_PERCENT)))
    try:
        poured = to_fill(now, room, wanted, concentrate())
    except ValueError as refused:
        return capital(str(refused))
    return (
        f"There is room for {room.value:.1f} L: {_about(poured, 'L')} of concentrate first, then water up to the mark, "
        f"make {wanted:.0f} %, good to {AIM_K:g} °C colder than it gets."
    )


def _swap_words(now: Part, wanted_c: float) -> str:
    """What is to be exchanged in a full circuit."""
    wanted = share_for(max(wanted_c - AIM_K, freezing_point(MOST_GLYCOL_PERCENT)))
    if wanted <= now.percent.value:
        return ""
    swapped = to_swap(now, wanted, concentrate())
    return (
        f"It is full: let {_about(swapped, 'L')} out and pour as much concentrate in, for {wanted:.0f} %, good to "
        f"{AIM_K:g} °C colder than it gets."
    )
