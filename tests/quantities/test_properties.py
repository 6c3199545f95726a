"""What holds for every quantity: units change nothing, more doubt clears nothing, the shared instrument cancels."""

import re
from functools import cache

import pytest
from tests.quantities.handed import judged

from knowngood.acts.readings.judging import judge_typed
from knowngood.acts.tools.instruments import meter_json, read_line
from knowngood.engine.judgement import Band, Verdict, judge
from knowngood.engine.judgement.decide import STATED_DIFFERENCE
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.readings.plain import plain_quantity
from knowngood.quantities.known import QUANTITIES, example_words
from knowngood.store.event import Event
from knowngood.store.folds import ToolboxState, fold_toolbox

each = pytest.mark.parametrize("name", QUANTITIES)
# What a probability from the draws may be off when the same draws are put through another width.
NOISE = 1e-3
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
# Unit inside, another unit, and how a number changes from the one to the other.
SCALES = (
    ("mm", "inch", lambda x: x / 25.4), ("V", "mV", lambda x: 1000 * x),
    ("kPa", "psi", lambda x: x / 6.894757293168361),
    ("kPa", "bar", lambda x: x / 100), ("ohm", "kΩ", lambda x: x / 1000), ("°C", "°F", lambda x: 1.8 * x + 32),
    ("L", "qt", lambda x: x / 0.946352946), ("mA", "A", lambda x: x / 1000), ("kohm", "ohm", lambda x: 1000 * x),
    ("kg/L", "kg/m3", lambda x: 1000 * x),
)  # fmt: skip
# What a data sheet's line says for each unit inside: as it is, and twice as far off.
LINES = {
    "ohm": ("0.5 % + {0} digits, 0.1 ohm", 2), "V": ("0.5 % + {0} digits, 0.01 V", 2),
    "A": ("1 % + {0} digits, 0.001 A", 2), "°C": ("1 % + {0} digits, 0.1 °C", 10),
    "mm": ("0.1 % + {0} digits, 0.01 mm", 2), "kPa": ("1 % + {0} digits, 1 kPa", 2),
    "L": ("2 % + {0} digits, 0.1 L", 0.5), "kg": ("0.5 % + {0} digits, 0.01 kg", 2),
    "deg": ("0.1 % + {0} digits, 0.1 deg", 1), "kg/L": ("0.1 % + {0} digits, 0.005 kg/L", 1),
    "%": ("1 % + {0} digits, 1 %", 1),
}  # fmt: skip


def told(name, **changed):
    return judged_once(name, tuple(sorted(changed.items())))


@cache
def judged_once(name, changed):
    """Several properties look at the same reading."""
    return judged(QUANTITIES[name], **dict(changed))


def line(name, worse=1.0, percent=None):
    words, digits = LINES[QUANTITIES[name].reads.unit]
    stated = NUMBER.match(words)[0]
    percent = worse * float(stated) if percent is None else percent
    return words.format(f"{worse * digits:g}").replace(f"{stated} %", f"{percent:g} %", 1)


def scaled(words, unit, other, change):
    """Every number of some words in another unit."""
    if not re.search(rf"(?:\d|\s){re.escape(unit)}$", words):
        return words
    return NUMBER.sub(lambda found: f"{change(float(found[0])):.12g}", words.removesuffix(unit)) + other


def in_other_units(name):
    """The example with limits and readings in each other unit, where they have one."""
    words = example_words(QUANTITIES[name])
    for unit, other, change in SCALES:
        changed = {key: scaled(words[key], unit, other, change) for key in ("limits", "read")}
        if changed != {key: words[key] for key in changed}:
            yield other, changed


CASES = [
    pytest.param(name, changed, id=f"{name}-{other}") for name in QUANTITIES for other, changed in in_other_units(name)
]


@pytest.mark.parametrize(("name", "changed"), CASES)
def test_the_unit_that_was_written_changes_nothing(name, changed):
    # Described, so that how finely a unit is written says nothing of the instrument.
    one, other = (told(name, meter=line(name), **{**spelled_out(name), **more}) for more in ({}, changed))
    assert other.estimate.value == pytest.approx(one.estimate.value, rel=1e-9, abs=1e-9)
    assert other.judgement.probability_inside == pytest.approx(one.judgement.probability_inside, abs=1e-6)


def spelled_out(name):
    """What is asked in the unit of the readings, with that unit written."""
    words = example_words(QUANTITIES[name])
    unit = words["read"].split()[-1]
    alike = [ask.name for ask in QUANTITIES[name].asks if ask.kind is QUANTITIES[name].reads and not ask.unit]
    return {key: f"{words[key]} {unit}" for key in alike if key in words and words[key][-1].isdigit()}


def doubtful(name, meter):
    """The example with its limits moved so that what was read lies close inside: lower end, then upper end."""
    found = told(name, meter=meter).estimate
    reach = 1.2 * found.standard_uncertainty
    unit = found.unit
    if reach < found.value:
        yield f"min {found.value - reach:.9g} {unit}"
    if unit != "%" or found.value + reach < 100.0:
        yield f"max {found.value + reach:.9g} {unit}"


@each
def test_an_instrument_twice_as_bad_clears_nothing(name):
    for limits in doubtful(name, line(name)):
        good, bad = (told(name, meter=line(name, worse), limits=limits).judgement for worse in (1, 2))
        assert good.verdict is Verdict.CANT_TELL
        assert bad.verdict is Verdict.CANT_TELL
        assert bad.probability_linear <= good.probability_linear
        assert inside(bad) - inside(good) < NOISE
    good, bad = (told(name, meter=line(name, worse)).judgement for worse in (1, 2))
    surer = 1 if good.verdict is Verdict.WITHIN else -1
    assert surer * (inside(bad) - inside(good)) < NOISE


def inside(judgement):
    return judgement.probability_inside


def test_two_readings_right_at_the_rule_are_no_clearer_with_a_worse_instrument():
    """By the linear law they would be: Welch and Satterthwaite thin its tails as errors without scatter come in."""
    found = [
        judge(plain_quantity([12.60, 12.62], unit="V", meter=Meter("blue", 0, one, 0.01)), Band(None, 12.68, "V"))
        for one in (1, 2, 3, 4, 5)
    ]
    assert found[0].probability_linear < 0.95 < found[1].probability_linear
    assert [inside(one) for one in found] == sorted((inside(one) for one in found), reverse=True)
    assert (found[0].verdict, found[-1].verdict) == (Verdict.WITHIN, Verdict.CANT_TELL)


@each
def test_both_laws_agree_or_the_difference_is_said(name):
    for limits in (example_words(QUANTITIES[name])["limits"], *doubtful(name, line(name))):
        found = told(name, meter=line(name), limits=limits).judgement
        assert (found.difference_said is not None) == (found.difference > STATED_DIFFERENCE)
        other = found.probability_monte_carlo
        apart = 0.0 if other is None else abs(other - found.probability_linear)
        assert apart <= STATED_DIFFERENCE or "the second counts" in found.difference_said


@pytest.mark.parametrize("name", ["thickness_variation", "cylinder_spread"])
def test_what_all_readings_share_cancels(name):
    fine, coarse = (told(name, meter=line(name, percent=percent)).estimate for percent in (0.1, 10))
    assert coarse.standard_uncertainty == pytest.approx(fine.standard_uncertainty, rel=0.01)
    # Beside it a reading alone is ten percent off.
    alone = {"thickness_variation": "disc_thickness", "cylinder_spread": "cylinder_compression"}[name]
    found = told(alone, meter=line(alone, percent=10)).estimate
    assert found.standard_uncertainty > 0.05 * found.value


def test_percent_of_a_meter_counts_on_the_part_without_its_leads():
    short, long = (
        judge_typed({"limits": "9..11 ohm", "read": read, "zero": zero, "meter": "5 %, 0.1 ohm", "conductor": "alloy"},
                    reading_id="7").estimate
        for read, zero in (("10.1 ohm", "0.1 ohm"), ("12 ohm", "2 ohm"))
    )  # fmt: skip
    gains = [row.contribution for one in (short, long) for row in one.rows if row.key.endswith("/gain")]
    assert [abs(one) for one in gains] == pytest.approx([10.0 * 0.05 / 3**0.5] * 2)


def tool(at, name, quantity, worse):
    plain, reads = read_line(line(quantity, worse), name=name)
    data = {**meter_json(plain), "kind": "other", "line": "", "unit": reads.unit, "lower": None, "upper": None}
    return Event.new(
        id=f"{at:032}", stream="toolbox", kind="instrument_added", device="d", device_seq=at, happened="2026-01-01",
        recorded="2026-01-01", data=data,
    )  # fmt: skip


@each
def test_a_better_instrument_of_the_toolbox_may_settle_it_and_a_worse_one_not(name):
    rows = [tool(1, "mine", name, 1), tool(2, "fine", name, 0.2), tool(3, "coarse", name, 3)]
    toolbox = fold_toolbox(ToolboxState(), rows)
    *_, limits = doubtful(name, line(name))
    words = {**example_words(QUANTITIES[name]), "meter": "mine", "limits": limits}
    found = judge_typed(words, reading_id="7", toolbox=toolbox).judgement
    # A bubble's scale has doubts of its own, which no line of a data sheet moves.
    better = set() if name == "tilt_level" else {"own:fine"}
    assert {one.key for one in found.settle if one.key.startswith("own:")} == better
