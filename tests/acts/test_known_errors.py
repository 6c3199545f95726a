"""What an instrument is known to be off is taken off, in every quantity and by every kind of check, exactly once.

Metamorphic: an instrument that is off, and whose checks say so, must lead to what one that is right leads to.
"""

import random
from datetime import date, timedelta
from itertools import count

import pytest

from knowngood import units
from knowngood.acts.readings.judging import judge_typed
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.tools import added, checked_data
from knowngood.engine.judgement import Verdict
from knowngood.quantities.known import QUANTITIES, example_words
from knowngood.quantities.model import By, Given
from knowngood.refusal import Refused
from knowngood.store.event import Event
from knowngood.store.folds import ToolboxState, fold_toolbox

TODAY = date(2026, 11, 21)
OHM = units.Kind.RESISTANCE
# What stands in an example beside these is not what such an instrument would show, so it is written anew.
RIGHT_AT_ZERO = {"zero_error": "0 mm"}


def plain(number):
    """A number as people write it, without an exponent."""
    return f"{number:.12f}".rstrip("0").rstrip(".")


class Bench:
    """A toolbox with one instrument, its checks entered in some order."""

    def __init__(self, unit, *, off, step, percent=0.0, sets_zero=False, kind="own"):
        self.state, self.unit, self.ids = ToolboxState(), unit, count(1)
        absolute = f"{plain(off)} points" if unit == "%" else f"{plain(off)} {unit}"
        of_reading = f"{percent:g} % of reading + " if percent else ""
        line = f"± ({of_reading}{absolute}), {plain(step)} {unit}"
        kind = "scale" if sets_zero else kind
        for data in added(Entry("1", "toolbox", "instrument_added", {"name": "held", "line": line, "kind": kind})):
            self._keep("instrument_added", data)

    def check(self, known, shown, *, day=0, **instead):
        fields = {
            "name": "held", "known": f"{known:.12g} {self.unit}", "shown": f"{shown:.12g} {self.unit}",
            "give": plain(1e-6 + 1e-4 * abs(known)), "date": (TODAY - timedelta(days=100 - day)).isoformat(),
        }  # fmt: skip
        entry = Entry("1", "toolbox", "instrument_checked", fields)
        kept = checked_data(self.state, entry, today=TODAY.isoformat())
        self._keep("instrument_checked", {**kept, **instead})

    def _keep(self, kind, data):
        moment = {"happened": "2026-11-21T12:00:00", "recorded": "2026-11-21T12:00:00"}
        event = Event.new(
            id=f"{next(self.ids):032x}", stream="toolbox", kind=kind, device="d", device_seq=0, data=data, **moment
        )
        self.state = fold_toolbox(self.state, [event])


class Shown:
    """The words of an example, as an instrument that is right or off would have led to them."""

    def __init__(self, quantity, *, with_asks):
        self.quantity = quantity
        self.words = example_words(quantity)
        mine = [ask for ask in quantity.asks if ask.by is not By.OTHER]
        self.asks = [ask for ask in mine if self.words.get(ask.name)] if with_asks else []
        for ask in mine:
            kept = RIGHT_AT_ZERO.get(ask.name, self.words.get(ask.name, "")) if ask in self.asks else ""
            self.words[ask.name] = kept
        self.read = units.readings(self.words["read"], quantity.reads, unit=quantity.read_unit or None)
        self.differences = quantity.differences(Given(self.read, None, self.words, "7"))

    @property
    def values(self):
        """All that the instrument showed, the readings first."""
        return [*self.read.values, *(value for ask in self.asks for value in self._of(ask))]

    def by(self, error):
        """The words as one would show them that reads too high by so much, given what is true."""
        zero = error(0.0)
        read = [one + error(one) - (zero if self.differences else 0.0) for one in self.read.values]
        words = {**self.words, "meter": "held", "read": self._write(read)}
        for ask in self.asks:
            less = zero if ask.by is By.DIFFERENCE else 0.0
            words[ask.name] = self._write([one + error(one) - less for one in self._of(ask)])
        return words

    def _of(self, ask):
        return units.readings(self.words[ask.name], ask.kind, unit=ask.unit or self.read.unit).values

    def _write(self, values):
        return " ".join(f"{one:.12g}" for one in values) + f" {self.quantity.reads.unit}"


def judged(shown, error, bench):
    return judge_typed(shown.by(error), reading_id="7", toolbox=bench.state)


def same(shown, error, make, *, straight=True):
    """Judge by an instrument that is off and by one that is right, each with its own checks.

    A line that a check has broken may bend more, so that only its value is the same; its doubt is wider.
    """
    found, right = (judged(shown, one, make(one)) for one in (error, lambda _: 0.0))
    u = right.estimate.standard_uncertainty
    assert found.estimate.value == pytest.approx(right.estimate.value, abs=0.02 * u)
    assert right.as_read == ""
    if not shown.differences and not any(ask.by is By.ZERO for ask in shown.asks):
        assert "As read" in found.as_read
    if not straight:
        assert found.estimate.standard_uncertainty >= 0.95 * u
        return
    assert found.estimate.standard_uncertainty == pytest.approx(u, rel=0.05)
    assert found.judgement.verdict is right.judgement.verdict
    assert found.judgement.probability_inside == pytest.approx(right.judgement.probability_inside, abs=0.02)


EVERY = [pytest.param(QUANTITIES[name], id=name) for name in sorted(QUANTITIES)]
EITHER = pytest.mark.parametrize("with_asks", [True, False], ids=["asks", "bare"])
# In classes: an error that the data sheet allows, and one far outside.
HOW_FAR = pytest.mark.parametrize("classes", [0.4, -8.0], ids=["within", "outside"])


@pytest.mark.parametrize("quantity", EVERY)
@EITHER
@HOW_FAR
def test_a_zero_that_is_known(quantity, with_asks, classes):
    shown = Shown(quantity, with_asks=with_asks)
    size = max(map(abs, shown.values))

    def bench(error):
        held = Bench(quantity.reads.unit, off=0.005 * size, step=1e-5 * size, sets_zero=True)
        held.check(0.0, error(0.0), day=20)
        held.check(0.0, 0.3 * size, day=10)  # entered last, and older
        return held

    if quantity.reads is OHM:
        with pytest.raises(Refused, match="Probes that touch show their leads"):
            bench(lambda _: 0.1)
    elif shown.differences:
        found, right = (judged(shown, one, bench(one)) for one in (lambda _: 0.005 * classes * size, lambda _: 0.0))
        assert (found.estimate.value, found.as_read) == (right.estimate.value, "")
    else:
        same(shown, lambda _: 0.005 * classes * size, bench)


@pytest.mark.parametrize("quantity", EVERY)
def test_an_error_that_is_known_at_one_point(quantity):
    shown = Shown(quantity, with_asks=False)
    middle = sum(shown.values) / len(shown.values)
    if shown.differences or min(shown.values) < 0.0:
        pytest.skip("one point alone does not tell a share from a size, which a difference or a sign would ask for")

    def bench(error):
        held = Bench(quantity.reads.unit, off=0.05 * middle, step=1e-5 * middle)
        held.check(middle, middle + error(middle), day=20)
        held.check(1.01 * middle, 1.04 * middle, day=10)  # nearly the same point, entered last, and older
        return held

    same(shown, lambda _: 0.002 * middle, bench)


@pytest.mark.parametrize("quantity", EVERY)
@EITHER
@HOW_FAR
def test_an_error_that_is_known_at_several_points(quantity, with_asks, classes):
    shown = Shown(quantity, with_asks=with_asks)
    size = max(map(abs, shown.values))
    low = 0.9 * min(map(abs, shown.values)) if quantity.reads is OHM else min(0.0, 1.2 * min(shown.values))

    def error(true):
        return 0.005 * classes * (0.6 * size + 0.4 * true)

    def bench(off):
        held = Bench(quantity.reads.unit, off=0.005 * size, step=1e-5 * size, percent=0.0 if with_asks else 0.5)
        checks = [(low, off(low), 20), (1.2 * size, off(1.2 * size), 30), (1.21 * size, -0.2 * size, 10),
                  (low, 0.2 * size, 15)]  # fmt: skip
        random.Random(f"{quantity.name} {classes}").shuffle(checks)
        for known, more, day in checks:
            held.check(known, known + more, day=day)
        return held

    same(shown, error, bench, straight=classes > 0.0)


@pytest.mark.parametrize("quantity", [one for one in EVERY if one.values[0].reads is not OHM])
@EITHER
@HOW_FAR
def test_a_zero_and_points_stand_together_although_the_zero_was_set_in_between(quantity, with_asks, classes):
    shown = Shown(quantity, with_asks=with_asks)
    size = max(map(abs, shown.values))
    low = 1.2 * min(0.0, *shown.values)

    def share(true):
        return 0.004 * classes * true

    def error(true):
        return 0.003 * size + share(true)

    def bench(off):
        held = Bench(quantity.reads.unit, off=0.005 * size, step=1e-5 * size, sets_zero=True)
        slope, zero = (share, off(0.0)) if off is error else (lambda _: 0.0, 0.0)
        checks = [(0.0, -0.01 * size, 10), (1.2 * size, slope(1.2 * size) - 0.01 * size, 20), (0.0, zero, 30)]
        checks += [(low, slope(low) - 0.01 * size, 21)] if low else []
        random.Random(f"{quantity.name} {classes}").shuffle(checks)
        for known, more, day in checks:
            held.check(known, known + more, day=day)
        return held

    same(shown, error, bench, straight=classes > 0.0)


@pytest.mark.parametrize("how", ["total", ""])
def test_of_a_total_no_zero_is_taken_off(how):
    bench = Bench("mm", off=0.005, step=0.001, sets_zero=True)
    bench.check(0.0, 0.03)
    typed = {"quantity": "runout", "limits": "max 0.1 mm", "meter": "held", "shown": how}
    read = "0.052 0.053 mm" if how else "0.052 mm"
    found = judge_typed({**typed, "read": read}, reading_id="7", toolbox=bench.state)
    needle = judge_typed({**typed, "shown": "", "read": "-0.022 0.03 mm"}, reading_id="7", toolbox=bench.state)
    assert found.as_read == ""
    assert found.estimate.value == pytest.approx(needle.estimate.value, abs=0.005)


def test_a_worn_disc_does_not_pass_because_the_caliper_shows_too_much():
    bench = Bench("mm", off=0.03, step=0.01, sets_zero=True)
    bench.check(0.0, 0.3)
    typed = {"quantity": "disc_thickness", "limits": "min 22.0 mm", "read": "22.15 22.14 22.16 22.15 mm"}
    found = judge_typed({**typed, "meter": "held"}, reading_id="7", toolbox=bench.state)
    assert found.judgement.verdict is Verdict.OUT
    assert found.estimate.value == pytest.approx(21.84)
    assert found.as_read == "As read 22.14–22.16 mm: 0.3 mm is taken off, as the check of the held showed."
    assert "zero of the gauge" not in found.assumed
    closed = judge_typed({**typed, "meter": "held", "zero_error": "0.3"}, reading_id="7", toolbox=bench.state)
    assert closed.estimate.value == pytest.approx(21.84)  # once, not twice


@pytest.mark.parametrize("kind", ["own", "multimeter"])  # with no kind chosen, the toolbox keeps the second
def test_the_zero_of_a_gauge_that_is_none_of_the_kinds_counts_for_all_its_readings(kind):
    bench = Bench("mm", off=0.03, step=0.01, kind=kind)
    bench.check(0.0, 0.3, day=10)
    typed = {"quantity": "disc_thickness", "limits": "min 22.0 mm", "meter": "held"}
    worn = judge_typed({**typed, "read": "22.14 22.15 mm"}, reading_id="7", toolbox=bench.state)
    assert worn.judgement.verdict is Verdict.OUT
    bench.check(10.0, 10.3, day=10)
    bench.check(30.0, 30.3, day=10)
    bench.check(0.0, 0.0, day=20)  # its zero was set right, and with it all that was known from it
    right = judge_typed({**typed, "read": "22.15 22.16 mm"}, reading_id="7", toolbox=bench.state)
    assert right.as_read == ""
    assert right.judgement.verdict is Verdict.WITHIN


def test_a_zero_that_an_older_program_took_for_a_point_gives_way_to_a_newer_one():
    bench = Bench("mm", off=0.03, step=0.01)
    bench.check(0.0, 0.3, day=10, zero=False)
    bench.check(0.0, 0.0, day=20)
    typed = {"quantity": "disc_thickness", "limits": "min 22.0 mm", "read": "22.15 mm", "meter": "held"}
    assert judge_typed(typed, reading_id="7", toolbox=bench.state).as_read == ""


@pytest.mark.parametrize("checks", [
    [(0.0, 0.3), (10.0, 10.3), (30.0, 30.3), (0.0, 0.0)],  # its zero was set right after the others, or
    [(10.0, 10.3), (30.0, 30.3), (0.0, 0.3)],  # read only then, and not set
    [(0.0, 0.3), (0.0, 0.0), (10.0, 10.0), (30.0, 30.0)],
], ids=["set last", "read last", "set first"])  # fmt: skip
def test_checks_of_one_day_count_from_the_zero_that_they_were_read_from(checks):
    bench = Bench("mm", off=0.03, step=0.01, sets_zero=True)
    for known, shown in checks:
        bench.check(known, shown)
    now = checks[-1][1] if checks[-1][0] == 0.0 else 0.0
    typed = {"quantity": "disc_thickness", "limits": "min 22.0 mm", "meter": "held"}
    found = judge_typed({**typed, "read": f"{22.15 + now:.2f} mm"}, reading_id="7", toolbox=bench.state)
    assert found.judgement.verdict is Verdict.WITHIN
    assert found.estimate.value == pytest.approx(22.15, abs=0.03)


def test_turned_end_for_end_the_zero_cancels_once():
    bench = Bench("deg", off=0.2, step=0.1, sets_zero=True)
    bench.check(0.0, 0.7)
    typed = {"quantity": "tilt", "limits": "max 0.5 deg", "read": "1.1 deg", "meter": "held"}
    alone = judge_typed(typed, reading_id="7", toolbox=bench.state)
    turned = judge_typed({**typed, "turned": "0.3"}, reading_id="7", toolbox=bench.state)
    assert (alone.estimate.value, turned.estimate.value) == pytest.approx((0.4, 0.4), abs=1e-3)
    assert turned.estimate.standard_uncertainty < alone.estimate.standard_uncertainty


def test_what_is_left_of_a_known_error_is_one_error_of_two_readings():
    bench = Bench("mm", off=0.02, step=0.01, sets_zero=True)
    bench.check(0.0, 0.3)
    typed = {"quantity": "spring_length", "limits": "min 44.5 mm", "read": "45.2 mm", "meter": "held"}
    one, other = (judge_typed(typed, reading_id=key, toolbox=bench.state).estimate for key in ("1", "2"))
    common = {row.key for row in one.rows} & {row.key for row in other.rows}
    assert "meter:held/digits" in common


def test_a_refusal_of_what_is_left_says_what_was_read():
    bench = Bench("V", off=0.01, step=0.01)
    bench.check(0.0, 0.4)
    bench.check(10.0, 10.4)
    typed = {"quantity": "voltage_drop", "limits": "max 0.2 V", "read": "0.10 V", "meter": "held"}
    with pytest.raises(Refused) as refused:
        judge_typed(typed, reading_id="7", toolbox=bench.state)
    assert refused.value.problems["read"].endswith(
        "As read 0.1 V: 0.4 V is taken off, as the check of the held showed."
    )
