"""The words and pictures of docs/how-a-reading-is-judged.md, worked out by the program."""

import shlex
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from statistics import NormalDist

from parts import Page, made, table
from parts import percent as _percent

from knowngood.acts.readings.history import History, Read
from knowngood.acts.readings.judging import Judged, event_data, judge_typed
from knowngood.acts.readings.values import band_words, left_words, value_words
from knowngood.engine.judgement import Confidence, judge, percent
from knowngood.engine.judgement.decide import STATED_DIFFERENCE, WORTH_TRYING
from knowngood.engine.judgement.propagate import DRAWS
from knowngood.engine.measurement.electrical.battery import SURFACE_V
from knowngood.engine.measurement.electrical.resistance import (
    LEADS_HALF_OHM,
    LEADS_OHM,
    PART_C,
    PART_HALF_K,
    REFERENCE_C,
    THERMOMETER_HALF_K,
)
from knowngood.engine.measurement.electrical.sensors import BETA_HALF_K, BETA_K, SENSOR_SHARE
from knowngood.engine.measurement.meters.instruments import OTHERWISE, TYPICAL, Meter
from knowngood.engine.measurement.pressures.cylinders import lowest_compression
from knowngood.engine.measurement.readings.relations import ratio
from knowngood.engine.measurement.sizes.wear import Dated, wear_line
from knowngood.engine.measurement.warmth.infrared import SURFACES, Surroundings
from knowngood.quantities.known import GROUPS
from knowngood.quantities.model import Quantity
from knowngood.report.pictures.picture import band_and_hump
from knowngood.report.pictures.views import picture_of
from knowngood.report.pictures.wear import wear_picture
from knowngood.units import Kind

NAME = "how-a-reading-is-judged"
SEED = 20
COIL = {"quantity": "winding_resistance", "conductor": "copper"}
WARM = {**COIL, "limits": "80..95 ohm", "read": "100.9 101.2 101.1 ohm", "zero": "0.4 ohm", "part": "48 ± 4 °C",
        "meter": "0.8 % + 3 digits, 0.1 ohm"}  # fmt: skip
DOUBT = {**COIL, "limits": "11.7..13.3 ohm", "read": "14.1 14.2 14.1 ohm", "zero": "0.3 ohm", "part": "35 °C"}
SETTLED = {**DOUBT, "read": "14.06 14.07 14.06 ohm", "zero": "0.28 ohm", "meter": "0.2 % + 3 digits, 0.01 ohm"}
RANDOM = {"quantity": "winding_resistance", "limits": "80..98 ohm", "read": WARM["read"], "zero": "0.4 ohm",
          "part": WARM["part"]}  # fmt: skip
SPREAD = {"quantity": "cylinder_spread", "limits": "min 75 %", "read": "1225 990 1190 1210 kPa",
          "meter": "5 % + 1 digit, 10 kPa"}  # fmt: skip
GAUGE = Meter("left", 5.0, 1.0, 10.0)
PADS = (
    (date(2025, 9, 20), "8.9 9.0 8.9 9.1 mm"),
    (date(2026, 4, 11), "7.1 7.0 7.1 7.2 mm"),
    (date(2026, 10, 31), "5.6 5.7 5.5 5.6 mm"),
)
PAD = {"quantity": "pad_thickness", "limits": "min 3 mm", "meter": "0 % + 2 digits, 0.05 mm", "zero_error": "0 mm"}
LABELS = {"limits": "limits", "read": "read", "zero": "probes touching", "part": "the part at", "meter": "meter"}


def page(docs: Path) -> Page:
    """The page as the program makes it now.

    Args:
        docs: Where the template lies.
    """
    judged = {name: judge_typed(words, reading_id="page", name=title) for name, (title, words) in _CASES.items()}
    judged["shared"] = judge_typed(SPREAD, reading_id="page", name="Lowest cylinder, one gauge")
    judged["apart"] = _two_gauges(judged["shared"])
    worn = _worn()
    words = {key: said for name, one in judged.items() for key, said in _case(name, one).items()}
    words |= _words(judged) | {"wear_alt": worn.words, "wear_says": worn.words, "wear_typed": _pads()}
    drawn = {file: band_and_hump(picture_of(event_data(judged[name]))) for name, file in _FILES.items()}
    drawn["wear.svg"] = wear_picture(worn)
    return made(docs, NAME, words, drawn)


_CASES = {
    "warm": ("Coil, read warm", WARM),
    "doubt": ("Small coil", DOUBT),
    "settled": ("Small coil, finer meter", SETTLED),
    "random": ("Coil of an unknown wire", RANDOM),
}
_FILES = {
    "warm": "warm-coil.svg",
    "doubt": "cant-tell.svg",
    "settled": "settled.svg",
    "random": "drawn-at-random.svg",
    "shared": "cylinders-one-gauge.svg",
    "apart": "cylinders-two-gauges.svg",
}


def _two_gauges(shared: Judged) -> Judged:
    """The same cylinders, as if the lowest and the highest had been read with a gauge each."""
    low, high = (
        lowest_compression([kpa], meter=replace(GAUGE, name=name), reading_id=name)
        for name, kpa in (("left", 990.0), ("right", 1225.0))
    )
    found = ratio(low, high, seed=SEED)
    return replace(shared, name="Lowest cylinder, two gauges", estimate=found, judgement=judge(found, shared.band))


def _worn() -> History:
    """A pad over three dates, and what its line says."""
    known = [(day, judge_typed({**PAD, "read": read}, reading_id=f"{day}").estimate) for day, read in PADS]
    wear = wear_line([Dated(float(day.toordinal()), one) for day, one in known], limit=3.0)
    first, last = (PADS[-1][0] + timedelta(days=wear.reached.quantile(level)) for level in (0.1, 0.9))
    says = f"It reaches 3 mm between {first:%B %Y} and {last:%B %Y} (4 times out of 5)."
    readings = tuple(Read(day, one.value, *one.interval(0.95)) for day, one in known)
    return History("Lining of a brake pad", "mm", readings, 3.0, wear, says)


def _pads() -> str:
    lows = ", ".join(f"{min(float(one) for one in read.split()[:-1]):g} mm in {day:%B %Y}" for day, read in PADS)
    return f"The lining of a brake pad by one caliper, at its thinnest: {lows}. At least 3 mm is allowed"


def _case(name: str, judged: Judged) -> dict[str, str]:
    data = event_data(judged)
    verdict = f"**{judged.judgement.verdict.value.capitalize()}**: {value_words(data)}"
    allowed = band_words(judged.band, judged.unit)
    return {
        f"{name}_typed": ", ".join(f"{LABELS[key]} {judged.typed[key]}" for key in LABELS if judged.typed.get(key)),
        f"{name}_alt": f"{judged.name}: {picture_of(data).description}",
        f"{name}_verdict": f"{verdict}, allowed {allowed}; {percent(judged.judgement.probability_inside)} within.",
        f"{name}_sentence": judged.sentence,
    }


def _words(judged: Mapping[str, Judged]) -> dict[str, str]:
    clear = Confidence().probability
    random = judged["random"].judgement.difference_said
    assert random is not None  # the example is there to show it
    return {
        "clear": _percent(clear),
        "unclear": _percent(1.0 - clear),
        "z": f"{NormalDist().inv_cdf(clear):.3f}",
        "worth": _percent(WORTH_TRYING),
        "stated": f"{STATED_DIFFERENCE:g}",
        "draws": f"{DRAWS:,}".replace(",", " "),
        "threshold": _percent(100 / 130),
        "random_says": random,
        "spread_typed": f"Cylinders read {SPREAD['read']}, at least 75 % allowed",
        "warm_rows": _rows(judged["warm"]),
        "doubt_settle": _settle(judged["doubt"]),
        "assumed": _assumed(),
        "otherwise": _off(OTHERWISE, ""),
        "rules": _rules(),
        "quantities": "\n\n".join(_group(title, rows) for title, rows in GROUPS.items()),
    }


def _rows(judged: Judged) -> str:
    """Where the doubt comes from, the largest first."""
    rows = [(row.says, f"{abs(row.contribution):.2g} {judged.unit}") for row in judged.estimate.budget]
    total = ("**all together**", f"**{judged.estimate.standard_uncertainty:.2g} {judged.unit}**")
    return table(("what could be wrong", "standard uncertainty"), [*rows, total])


def _settle(judged: Judged) -> str:
    return table(
        ("what to do", "minutes", "chance of a clear answer", "then known to"),
        [
            (one.remedy, f"{one.minutes:g}", _percent(one.probability), left_words(vars(one), judged.unit)[5:])
            for one in judged.judgement.settle
        ],
    )


def _off(figures: tuple[float, float, float], unit: str) -> str:
    percent, digits, offset = figures
    parts = [
        f"{percent:g} %" if percent else "",
        f"{digits:g} of the last place" if digits else "",
        f"{offset:g} {unit}" if offset else "",
    ]
    return f"± ({' + '.join(part for part in parts if part)})"


def _assumed() -> str:
    kinds = {kind.unit: kind.words.split(" ", 1)[1] for kind in Kind}
    around, surface = Surroundings(), SURFACES["unknown"]
    rows = [(f"instrument for {kinds[unit]} ({unit})", _off(figures, unit)) for unit, figures in TYPICAL.items()]
    rows += [
        ("test leads", f"{LEADS_OHM - LEADS_HALF_OHM:g} to {LEADS_OHM + LEADS_HALF_OHM:g} ohm"),
        ("temperature of the part", f"{PART_C - PART_HALF_K:g} to {PART_C + PART_HALF_K:g} °C"),
        ("a temperature stated without its doubt", f"± {THERMOMETER_HALF_K:g} °C"),
        ("what a winding is wound of", "anything from resistance alloy to copper"),
        ("temperature that limits of a resistance hold at", f"{REFERENCE_C:g} °C"),
        ("beta of a thermistor", f"{BETA_K - BETA_HALF_K:g} to {BETA_K + BETA_HALF_K:g} K"),
        ("a thermistor's own resistance", f"± {_percent(SENSOR_SHARE)}"),
        ("a battery that may just have been charged", f"shows up to {SURFACE_V:g} V too much"),
        ("what an infrared thermometer sees around it",
         f"{around.celsius - around.half_width_k:g} to {around.celsius + around.half_width_k:g} °C"),
        ("emissivity of a surface that is not bare metal",
         f"{surface.emissivity - surface.half_width:.2f} to {surface.emissivity + surface.half_width:.2f}"),
    ]  # fmt: skip
    return table(("not stated", "taken"), rows)


def _rules() -> str:
    rows = []
    for rule in ("usual", "safety", "100 30", "30 100"):
        found = judge_typed({**DOUBT, "rule": rule}, reading_id="page")
        rows.append((f"`{rule}`", found.judgement.verdict.value, found.sentence))
    return table(("rule", "answer", "what is said"), rows)


def _group(title: str, quantities: tuple[Quantity, ...]) -> str:
    return "\n\n".join([f"### {title}", *("\n\n".join(_quantity(one)) for one in quantities)])


def _quantity(one: Quantity) -> Iterator[str]:
    yield f"#### {one.title}\n\n`{one.name}`"
    if one.trap:
        yield one.trap
    if one.asks:
        asks = "; ".join(f"{ask.label[0].lower()}{ask.label[1:]} (`{ask.name}`)" for ask in one.asks)
        yield f"Asks: {asks}."
    yield "    ./dev run judge " + " \\\n        ".join(_wrapped(one.example))


def _wrapped(example: str) -> list[str]:
    """An example over as many lines as it needs, broken before an option."""
    words, lines = [shlex.quote(word) if " " in word else word for word in shlex.split(example)], [""]
    for option, value in zip(words[::2], words[1::2], strict=True):
        part = f"{option} {value}".replace("'", '"')
        if lines[-1] and len(lines[-1]) + len(part) > 96:
            lines.append(part)
        else:
            lines[-1] = f"{lines[-1]} {part}".strip()
    return lines
