"""The words and pictures of docs/how-fluids-are-worked-out.md, worked out by the program."""

from collections.abc import Iterator, Mapping
from pathlib import Path

from fluids_example import NOW, garage
from parts import Page, answered, made, percent, table

from knowngood import units
from knowngood.acts.fluids.coolant_mix import AIM_K, READ_WITH, UNKNOWN_HALF, UNKNOWN_PERCENT, coolant_mix
from knowngood.acts.fluids.ledger import LEFT_OFF, Told, ledger
from knowngood.acts.fluids.level import TOLERANCE_L, level_told
from knowngood.acts.fluids.renewal import Renewal, renewal
from knowngood.acts.fluids.topping_up import topped
from knowngood.acts.fluids.warm_not_hot import BURNS, CAUTIONS, warmth
from knowngood.acts.fluids.warming import READ_WITH as THERMOMETERS
from knowngood.acts.fluids.warming import Warming, followed
from knowngood.acts.fluids.words import litre_words
from knowngood.acts.job.garage import Garage, Job
from knowngood.engine.fluids import coolant, heating, level, topping, window
from knowngood.engine.fluids import ledger as pourings
from knowngood.engine.fluids import renewal as renewing
from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.densities import LUBRICATING, MOST_GLYCOL_PERCENT
from knowngood.engine.fluids.draining import WORTH_WARMING
from knowngood.engine.fluids.expansion import FITS, LIQUIDS, oil, volume_between
from knowngood.engine.fluids.pan import FREE_HALF, FREE_SHARE, PAN_HALF_SHARE, PAN_LENGTH_MM, PAN_WIDTH_MM, pan
from knowngood.engine.judgement import Band, Estimate
from knowngood.report.pictures.picture import band_and_hump
from knowngood.report.pictures.renewal import Renewed, renewal_picture
from knowngood.report.pictures.views import picture_of
from knowngood.report.pictures.window import Warming as Drawn
from knowngood.report.pictures.window import window_picture
from knowngood.report.terminal.fluids import clock
from knowngood.sheet.circuits import Fluid

NAME = "how-fluids-are-worked-out"
BAND = units.span("35..45 °C")
STEADY = ((0.0, 22.0), (60.0, 24.0), (120.0, 26.0), (180.0, 28.0), (240.0, 30.0))
SAYS: tuple[tuple[str, tuple[tuple[float, float], ...]], ...] = (
    ("one reading below it", ((0, 30),)),
    ("two readings, rising", ((0, 26), (120, 29))),
    ("rising, then standing, then rising faster", ((0, 20), (60, 26), (120, 26), (180, 26), (240, 31))),
    ("standing below it", ((0, 25), (60, 25), (120, 25), (180, 25), (240, 25))),
    ("within it, rising", ((0, 36), (60, 38))),
    ("above it, rising", ((0, 44), (60, 47))),
    ("above it, cooling", ((0, 60), (60, 56), (120, 52))),
    ("below it, cooling", ((0, 33), (60, 31), (120, 29))),
)
BY_LOG = './dev run window docs/example-warm-up.csv --band "35..45 °C"'
BY_HAND = (
    './dev run window --band "35..45 °C" --reading "0 min 26 °C" \\\n'
    '        --reading "2 min 29 °C" --read-with infrared'
)
LEDGER = "./dev run fluids"


def page(docs: Path) -> Page:
    """The page as the program makes it now.

    Args:
        docs: Where the template lies.
    """
    with garage() as (opened, folder):
        job = opened.job("fluids")
        words = {"ledger_command": LEDGER, "ledger_says": answered(LEDGER, "--garage", str(folder))}
        found, drawn = _of_job(opened, job)
    steady = _followed(STEADY)
    drawn["fluid-window.svg"] = window_picture(_drawn(steady))
    words |= {**found, **_window(steady), **_growth(), **_level(), **_assumed(), "log": _log(docs)}
    return made(docs, NAME, words, drawn)


# --- of the job -------------------------------------------------------------------------------------------------------


def _of_job(opened: Garage, job: Job) -> tuple[dict[str, str], dict[str, str]]:
    """What the acts say of the example, and its pictures."""
    told, new = ledger(job, "gearbox"), renewal(opened, job, "gearbox")
    check, mix = level_told(job, "gearbox"), coolant_mix(job, "coolant")
    gearbox, cooling = (warmth(job.sheet.circuits[circuit]) for circuit in ("gearbox", "coolant"))
    settles = check.data["judgement"]["settle"]
    words = {
        "owed_rows": _doubt(told.owed),
        "litre_says": str(litre_words(told)),
        **_renewed(told, new),
        "level_says": check.data["sentence"],
        "level_alt": check.data["sentence"],
        "level_rows": _doubt(check.error.litre),
        "level_settle": "; ".join(f"{one['remedy']} ({percent(one['probability'])} sure then)" for one in settles),
        "mix_says": mix.words,
        "mix_notes": " ".join(mix.notes),
        "drain_says": f"{gearbox.advice} {gearbox.behind}",
        "drain_burns": BURNS,
        "drain_coolant": f"{cooling.advice} {CAUTIONS[Fluid.COOLANT]}",
        "topping_says": topped(opened.vehicle("own"))[0].words.replace("\u00a0", " "),
    }
    return words, {
        "fluid-level.svg": band_and_hump(picture_of(check.data)),
        "fluid-freezing.svg": band_and_hump(picture_of(mix.data)),
        "fluid-renewal.svg": renewal_picture(
            Renewed("Gearbox: share renewed", new.sentence, new.drawn, new.wanted, new.done)
        ),
    }


def _renewed(told: Told, new: Renewal) -> dict[str, str]:
    series = [renewing.renewed_after(new.share, count).value for count in range(1, 6)]
    heads = ("changes", *(str(count) for count in range(1, 6)))
    return {
        "renewal_says": new.sentence,
        "renewal_alt": new.sentence,
        "renewal_further": "\n".join(f"- {one}" for one in new.further),
        "renewal_series": table(heads, [("new", *(percent(one) for one in series))]),
        "renewal_out": f"{sum(one.value for one in told.volumes):.2f}",
    }


def _doubt(known: Estimate) -> str:
    """Where the doubt comes from, the largest first; what is below a hundredth of it is left out."""
    least = 0.01 * known.standard_uncertainty
    rows = [(row.says, f"{size:.2g} L") for row in known.budget if (size := abs(row.contribution)) > least]
    total = ("**all together**", f"**{known.standard_uncertainty:.2g} L**")
    return table(("what could be wrong", "standard uncertainty"), [*rows, total])


# --- how fluids grow, and levels --------------------------------------------------------------------------------------


def _growth() -> dict[str, str]:
    rows = []
    for name, liquid in LIQUIDS.items():
        found = volume_between(5.0, 60.0, 20.0, liquid=liquid)
        low, high = found.interval(0.95)
        what = f"{liquid.depends_on}, {liquid.of:g} ± {liquid.half_width:g}" if liquid.half_width else "its own curve"
        rows.append((name, what, f"{found.value:.3f} ± {0.5 * (high - low):.3f} L", f"{5.0 - found.value:.2f} L"))
    taken = [(f"{warm:g} °C", *_back(warm)) for warm in (0.0, 20.0, 40.0, 60.0, 80.0, 100.0)]
    return {
        "growth": table(("fluid", "taken, when nobody states it", "5 L read at 60 °C are, at 20 °C", "less"), rows),
        "litre_table": table(("4 L drained at", "pour back at 20 °C", "litre for litre would be too much by"), taken),
        "lubricating": f"{LUBRICATING * 1000.0:g}",
        "fits": percent(FITS),
    }


def _back(warm_c: float) -> tuple[str, str]:
    one = pourings.Moved(pourings.Way.OUT, 4.0, warm_c)
    found = pourings.litre_for_litre([one], oil(0.85), pour_c=20.0)
    return f"{found.pour.value:.2f} L", f"{found.over.value:+.2f} L".replace("-", "−").replace("+0.00", "0.00")


def _level() -> dict[str, str]:
    rows = []
    for what, litre, sizes in (
        ("wide gearbox pan, plug 112 mm from its middle", 8.5, (350.0, 250.0, 100.0, 50.0)),
        ("small gearbox pan, plug 60 mm from its middle", 5.0, (250.0, 200.0, 60.0, 0.0)),
        ("axle housing, plug 80 mm from its middle", 1.2, (220.0, 180.0, 0.0, 80.0)),
    ):
        length, width, along, across = sizes
        where = pan(length_mm=length, width_mm=width, along_mm=along, across_mm=across)
        total = stated("total", litre, 0.05 * litre, unit="L")
        found = level.tilt_against_window(total, oil(0.85), Band(35.0, 45.0, "°C"), where)
        millimetres = (f"{one.value:.1f} mm" for one in (found.degree_mm, found.window_mm))
        rows.append((what, f"{litre:g} L", *millimetres, f"{found.times.value:.1f}"))
    heads = ("where it is read", "holds", "1° of tilt", "35 to 45 °C", "tilt counts so many times as much")
    return {"tilt_table": table(heads, rows)}


# --- the window -------------------------------------------------------------------------------------------------------


def _followed(rows: tuple[tuple[float, float], ...], read_with: str = "display") -> Warming:
    last = rows[-1][0]
    return followed([(at - last, celsius, 1.0, read_with) for at, celsius in rows], BAND, NOW, oil=True)


def _window(steady: Warming) -> dict[str, str]:
    states = [(_typed(rows), f"{told.heading}. {told.sentence}", _early(told)) for rows, told in _answers()]
    readers = []
    for key, tool in THERMOMETERS.items():
        told = _followed(STEADY, key).window
        off = f"± {tool.shared_k:g} °C for all alike, ± {tool.own_k:g} °C each time"
        readers.append((tool.words, off if tool.shared_k else "its last place only", _range(told.opens)))
    opens, closes = steady.window.opens, steady.window.closes
    return {
        "window_typed": _typed(STEADY),
        "window_says": steady.sentence,
        "window_alt": f"{steady.heading}: {steady.sentence}",
        "window_opens": _range(opens),
        "window_closes": _range(closes),
        "early_opens": clock(opens.p10),
        "early_closes": clock(closes.p10),
        "again": clock(steady.window.read_again_s),
        "states": table(("readings", "what is said", "be ready; be done (after the last)"), states),
        "readers": table(("read with", "may be off by", "opens (after the last)"), readers),
        "log_command": BY_LOG,
        "log_says": answered(BY_LOG),
        "hand_command": BY_HAND,
        "hand_says": answered(BY_HAND),
        **_law(),
    }


def _answers() -> Iterator[tuple[tuple[tuple[float, float], ...], Warming]]:
    for _, rows in SAYS:
        yield rows, _followed(rows)


def _early(told: Warming) -> str:
    """The early moment of each edge, as Now counts down to it."""
    after = {one.says: (one.at - told.last).total_seconds() for one in told.moments}
    return "; ".join(clock(after[says]) if says in after else "–" for says in ("Be ready", "Be done"))


def _range(one: window.Instants) -> str:
    return " to ".join("never" if end is None else clock(end) for end in (one.p10, one.p90))


def _typed(rows: tuple[tuple[float, float], ...]) -> str:
    return ", ".join(f"{celsius:g} °C at {at / 60.0:g} min" for at, celsius in rows)


def _law() -> dict[str, str]:
    """What the law is told before any reading, and where an answer changes."""
    return {
        "cold": f"{heating.COLD_C:g}",
        "usual": f"{heating.END_USUAL:g}",
        "usual_c": f"{heating.COLD_C + heating.END_USUAL * (45.0 - heating.COLD_C):.0f}",
        "constants": " to ".join(f"{one:g}" for one in heating.CONSTANTS_S).replace("20000", "20 000"),
        "shares": ", ".join(f"{100.0 * one:g}" for one in heating.SHARES),
        "begun": f"{heating.BEGUN:g}",
        "large": percent(heating.LARGE_SHARE),
        "draws": f"{heating.DRAWS:,}".replace(",", " "),
        "horizon": f"{heating.HORIZON_S / 3600.0:g}",
        "most_readings": f"{heating.MOST_READINGS}",
        "stalled": f"{window.STALLED_S / 60.0:g}",
        "soonest": f"{window.SOONEST_S:g}",
        "latest": f"{window.LATEST_S / 60.0:g}",
        "first": f"{window.FIRST_S:g}",
        "air": f"{window.AIR_SPREAD_K:g}",
    }


def _drawn(told: Warming) -> Drawn:
    curve, zero, there = told.window.curve, told.readings[0].seconds, told.window.opens.p10
    rows = zip(curve.seconds, curve.p10_c, curve.p50_c, curve.p90_c, strict=True)
    return Drawn(
        "Gearbox on its way to 35..45 °C", told.sentence,
        readings=tuple(((one.seconds - zero) / 60.0, one.celsius) for one in told.readings),
        lower=BAND.lower, upper=BAND.upper,
        curve=tuple(((at - zero) / 60.0, low, middle, high) for at, low, middle, high in rows),
        be_there=None if there is None else (there - zero) / 60.0,
    )  # fmt: skip


def _log(docs: Path) -> str:
    lines = (docs / "example-warm-up.csv").read_text(encoding="utf-8").splitlines()
    return "\n".join(f"    {line}" for line in lines)


# --- what is assumed --------------------------------------------------------------------------------------------------


def _assumed() -> Mapping[str, str]:
    jug, eye = pourings.JUG, pourings.BY_EYE
    middle, half = pourings.UNKNOWN_C["gone"]
    cold, cold_half = pourings.UNKNOWN_C["in"]
    rows = [
        ("a jug that nobody checked", f"± {jug.percent:g} %, and half of {jug.marks_l:g} L at each reading"),
        ("what was spilled, or left in a part, by eye", f"± {eye.percent:g} %"),
        ("what a sheet says stays in a part, without ±", f"± {percent(LEFT_OFF)} of it"),
        ("temperature of what came out", f"{middle - half:g} to {middle + half:g} °C"),
        ("temperature of what goes in", f"{cold - cold_half:g} to {cold + cold_half:g} °C"),
        ("a temperature that was taken",
         f"± {pourings.THERMOMETER_HALF_K:g} °C for the thermometer, ± {pourings.FLUID_HALF_K:g} °C for the fluid"),
        ("the manual's total, without ±", f"± {percent(renewing.TOTAL_HALF_SHARE)}"),
        ("what a drain renews, no total known",
         f"{percent(renewing.UNKNOWN_SHARE - renewing.UNKNOWN_SHARE_HALF)} to "
         f"{percent(renewing.UNKNOWN_SHARE + renewing.UNKNOWN_SHARE_HALF)}"),
        ("a pan that nobody measured",
         f"{PAN_LENGTH_MM:g} × {PAN_WIDTH_MM:g} mm, ± {percent(PAN_HALF_SHARE)} each way"),
        ("what corners and parts inside leave of its surface",
         f"{percent(FREE_SHARE - FREE_HALF)} to {percent(FREE_SHARE + FREE_HALF)}"),
        ("a driveway that nobody put a level on", f"level ± {level.DRIVEWAY_HALF_DEG:g}°"),
        ("how far off a level may be, where no manual says it", f"± {TOLERANCE_L:g} L"),
        ("share of glycol that nobody read",
         f"{UNKNOWN_PERCENT - UNKNOWN_HALF:g} to {UNKNOWN_PERCENT + UNKNOWN_HALF:g} % by volume"),
        ("a bottle of concentrate", f"{coolant.CONCENTRATE_PERCENT:g} ± {coolant.CONCENTRATE_HALF:g} % glycol"),
        *((f"a share by {words}", f"± {off:g} %") for words, off in READ_WITH.values()),
        ("a stick, at the first and at the last level", f"± {topping.LEVEL_HALF_L:g} L"),
    ]  # fmt: skip
    return {
        "assumed": table(("not stated", "taken"), rows),
        "additives": f"{coolant.ADDITIVES_HALF_K:g}",
        "most_glycol": f"{MOST_GLYCOL_PERCENT:g}",
        "aim": f"{AIM_K:g}",
        "worth_warming": f"{WORTH_WARMING:g}",
    }
