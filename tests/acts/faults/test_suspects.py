"""What could be wrong in a job: chances by hand and by another library, soft evidence, and taking findings back."""

import pytest
from tests.acts.suspect_sheets import NO_START, VOLTS, job_of, sheet_of
from tests.engine.troubleshooting.belief.test_posterior import pyagrum

from knowngood.acts.faults.problem import HOUR_OURS, Anyway, problem_of
from knowngood.acts.faults.suspects import suspected, suspected_of
from knowngood.acts.tools.prices import Prices
from knowngood.engine.troubleshooting.belief.posterior import Leaning, Shown
from knowngood.engine.troubleshooting.belief.readings import Reading
from knowngood.engine.troubleshooting.model.amounts import Price


@pytest.fixture
def no_start(tmp_path):
    return job_of(tmp_path, NO_START)


@pytest.fixture
def volts(tmp_path):
    return job_of(tmp_path, VOLTS)


def now(kept, further=()):
    return suspected(kept.garage, kept.job, further)


def after(found):
    return {one.key: one.after for one in found.suspects}


def test_before_any_finding_the_suspects_are_as_the_sheet_has_them(no_start):
    found = now(no_start)
    assert after(found) == pytest.approx({"relay": 0.4, "pump": 0.4, "other": 0.2})
    assert [(one.name, one.kind) for one in found.suspects] == [
        ("Starter relay", None), ("Fuel pump", "fuel"), ("none of these", None)
    ]  # fmt: skip
    assert found.evidence == ()


def test_no_click_speaks_for_the_relay(no_start):
    no_start.add("finding_noted", test="click", outcome="no")
    # .4 x .8, .4 x .2 and .2 x .2, together .44
    assert after(now(no_start)) == pytest.approx({"relay": 8 / 11, "pump": 2 / 11, "other": 1 / 11})


def test_a_repair_that_did_not_help_speaks_against_its_suspect(no_start):
    no_start.add("finding_noted", test="swap_relay", outcome="still there")
    # .4 x .1, .4 and .2, together .64
    assert after(now(no_start)) == pytest.approx({"relay": 1 / 16, "pump": 10 / 16, "other": 5 / 16})


def test_equal_to_another_library_with_three_outcomes():
    net = pyagrum.fastBN("cause{relay|pump|other}->click{yes|no};cause->hum{loud|faint|silent}")
    net.cpt("cause")[:] = [0.4, 0.4, 0.2]
    net.cpt("click")[:] = [[0.2, 0.8], [0.8, 0.2], [0.8, 0.2]]
    net.cpt("hum")[:] = [[0.7, 0.2, 0.1], [0.1, 0.3, 0.6], [0.7, 0.2, 0.1]]
    for click in ("yes", "no"):
        for hum in ("loud", "faint", "silent"):
            inference = pyagrum.LazyPropagation(net)
            inference.setEvidence({"click": click, "hum": hum})
            found = suspected_of(sheet_of(NO_START), [("hum", hum), ("click", click)])
            assert list(after(found).values()) == pytest.approx(inference.posterior("cause").tolist(), abs=1e-12)


def test_a_finding_taken_back_restores_the_belief_to_the_last_digit(no_start):
    no_start.add("finding_noted", test="hum", outcome="faint")
    before = now(no_start)
    (kept,) = no_start.add("finding_noted", test="click", outcome="no")
    assert after(now(no_start)) != after(before)
    no_start.add("withdrawn", event=kept.id)
    assert now(no_start) == before


def test_the_newest_word_on_a_test_counts(no_start):
    no_start.add("finding_noted", test="click", outcome="yes")
    no_start.add("finding_noted", test="click", outcome="no")
    assert [one.found.evidence for one in now(no_start).evidence] == [Shown("click", "no")]


def test_what_is_not_sure_counts_less(no_start):
    no_start.add("finding_noted", test="click", outcome="no", sure="not sure")
    found = now(no_start)
    assert found.evidence[0].found.evidence == Leaning("click", {"yes": pytest.approx(0.3), "no": 0.7})
    # no click, not sure: .7 x .8 + .3 x .2 = .62 with the relay, .7 x .2 + .3 x .8 = .38 with any other
    assert after(found)["relay"] == pytest.approx(0.4 * 0.62 / (0.4 * 0.62 + 0.6 * 0.38))


def test_what_a_finding_did_is_told_for_each_suspect(no_start):
    no_start.add("finding_noted", test="click", outcome="no", text="nothing at all")
    (evidence,) = now(no_start).evidence
    moved = evidence.weight_on("relay")
    assert (moved.before, moved.after) == pytest.approx((0.4, 8 / 11))
    assert moved.decibans == pytest.approx(6.0206, abs=1e-4)  # 4 to 1
    assert (evidence.found.words, evidence.weight_on("nobody")) == ("nothing at all", None)


def test_a_repair_that_helped_leaves_nothing_to_do(no_start):
    no_start.add("finding_noted", test="swap_relay", outcome="gone")
    found = now(no_start)
    assert (found.gone_by, found.left) == ("Swap the relay", None)


def test_typed_findings_stand_for_older_ones_of_the_same_test(no_start):
    no_start.add("finding_noted", test="click", outcome="yes")
    assert after(now(no_start, [("click", "no")])) == pytest.approx(
        after(suspected_of(sheet_of(NO_START), [("click", "no")]))
    )


def test_findings_of_a_test_that_a_revised_sheet_lacks_count_no_longer(no_start):
    no_start.add("finding_noted", test="hum", outcome="silent")
    no_start.add("sheet_revised", sheet=NO_START.replace("  hum:", "  sound:"), why="renamed")
    assert now(no_start).evidence == ()


def test_a_sheet_without_suspects_suspects_nothing(tmp_path):
    kept = job_of(tmp_path, NO_START[: NO_START.index("suspects:")] + NO_START[NO_START.index("steps:") :])
    assert now(kept) is None


def test_a_reading_is_evidence_as_its_judgement_has_it(volts):
    (read, *_) = volts.add("reading_judged", limit="rest", read="12.37 V", meter="0.5 % + 2 digits, 0.01 V")
    inside = read.data["judgement"]["probability_inside"]
    assert 0.05 < inside < 0.5
    found = now(volts)
    assert isinstance(found.evidence[0].found.evidence, Reading)
    battery, cable = (yes * (1.0 - inside) + (1.0 - yes) * inside for yes in (0.8, 0.1))
    total = 0.4 * battery + 0.6 * cable
    assert after(found) == pytest.approx(
        {"battery": 0.4 * battery / total, "cable": 0.4 * cable / total, "other": 0.2 * cable / total}, abs=1e-6
    )


def test_a_reading_of_which_nothing_is_known_moves_nobody(volts):
    volts.add("reading_judged", limit="rest", read="12.4 V", meter="2 %, 0.01 V")
    assert after(now(volts))["battery"] == pytest.approx(0.4, abs=0.01)


def test_two_readings_by_one_meter_are_not_two_witnesses_to_its_gain(volts):
    volts.add("instrument_added", "toolbox", name="blue meter", line="2 %, 0.01 V")
    for limit, typed in (("rest", "12.3 V"), ("load", "9.5 V")):
        volts.add("reading_judged", limit=limit, read=typed, meter="blue meter")
    both = now(volts)
    first, second = (one.found.evidence for one in both.evidence)
    shared = {row.key for row in first.estimate.rows} & {row.key for row in second.estimate.rows}
    assert shared
    apart = 1.0
    for evidence, yes in ((first, (0.8, 0.1)), (second, (0.9, 0.3))):
        out = evidence.estimate.below(evidence.band.lower)
        battery, cable = (one * out + (1.0 - one) * (1.0 - out) for one in yes)
        apart *= battery / cable
    odds = after(both)["battery"] / after(both)["cable"]
    # The gain that makes one read low makes the other read low too: both are out, or neither is.
    assert abs(odds - apart) > 0.05 * apart


def test_a_choice_made_at_a_step_is_a_finding_of_the_test_that_names_it(volts):
    volts.add("decided", decision="dimmed", choice="yes", why="both lamps")
    found = now(volts)
    assert [(one.found.evidence, one.found.words) for one in found.evidence] == [(Shown("dim", "yes"), "both lamps")]
    assert after(found)["battery"] == pytest.approx(0.4 * 0.7 / (0.4 * 0.7 + 0.6 * 0.2))


def test_that_the_cheapest_of_a_group_stands_for_it_is_told():
    grouped = VOLTS.replace("limit: rest,", "group: charge,").replace("limit: load,", "group: charge,")
    told = "of tests that see the same thing, the cheapest says as much as any"
    assert told in suspected_of(sheet_of(grouped)).assumed
    assert told not in suspected_of(sheet_of(grouped), [("low_rest", "yes")]).assumed
    assert told not in suspected_of(sheet_of(VOLTS)).assumed


def test_a_test_that_is_not_ones_own_work_or_tells_nothing_stands_for_no_other_of_its_group():
    grouped = VOLTS.replace("limit: rest,", "group: charge, step: gas,").replace("limit: load,", "group: charge,")
    gas = '  - {id: gas, do: "Gas out", zone: top, time: "1 1 1 min", licensed: air conditioning}\n'
    licensed = suspected_of(sheet_of(grouped + gas))
    assert "low_load" in licensed.left.test_of
    silent = grouped.replace('{battery: "8 of 10"}, without: "1 of 10"', "{}").replace("step: gas, ", "")
    assert "low_load" in suspected_of(sheet_of(silent)).left.test_of


def test_of_one_group_the_newest_counts_and_no_other_is_left_to_do(tmp_path):
    grouped = VOLTS.replace("limit: rest,", "group: charge,").replace("limit: load,", "group: charge,")
    kept = job_of(tmp_path, grouped)
    # Equally dear, so the first of them stands for both.
    assert [test.key for test in now(kept).left.tests] == ["low_rest", "dim"]
    kept.add("finding_noted", test="low_rest", outcome="yes")
    kept.add("finding_noted", test="low_load", outcome="no")
    found = now(kept)
    assert [(one.found.key, one.found.told_by, one.moved == ()) for one in found.evidence] == [
        ("low_rest", "low_load", True), ("low_load", None, False)
    ]  # fmt: skip
    assert after(found)["battery"] == pytest.approx(0.4 * 0.1 / (0.4 * 0.1 + 0.6 * 0.7))
    assert [test.key for test in found.left.tests] == ["dim"]


def test_steps_make_minutes_and_stated_prices_make_money():
    problem = problem_of(sheet_of(NO_START), prices=Prices({"relay": 8.5}, hour=24.0), quote=250.0)
    assert problem.test_of["click"].price == Price(1.0, 4.0)
    assert problem.repair_of["swap_relay"].price == Price(17.0, 6.0)  # two relays
    assert (problem.cover_of["tray"].opening, problem.cover_of["tray"].closing) == (Price(0.0, 10.0), Price(3.0, 12.0))
    assert (problem.check, problem.rate_per_hour) == (Price(0.0, 1.0), 24.0)
    assert problem.shop.price == Price(250.0, 30.0)  # the job's own sum, the sheet's minutes


def test_what_nobody_stated_is_said():
    found = suspected_of(sheet_of(NO_START))
    assert found.unpriced == ("Relay",)
    assert found.assumed == (f"an hour of your own time is worth {HOUR_OURS:g}",)
    stated = suspected_of(sheet_of(NO_START), prices=Prices({"relay": 8.0}), rate_per_hour=20.0)
    assert (stated.unpriced, stated.assumed, stated.problem.rate_per_hour) == ((), (), 20.0)


def test_what_the_job_does_anyway_costs_nothing_more():
    coming = Anyway(to_come=frozenset({"tray_off", "swap", "tray_on"}))
    problem = problem_of(sheet_of(NO_START), prices=Prices({"relay": 8.5}), anyway=coming)
    assert problem.own_price(problem.repair_of["swap_relay"]) == Price()
    assert problem.access(["tray"], ()) == Price()


def test_a_part_that_the_job_fits_anyway_is_not_paid_twice():
    text = NO_START.replace("step: swap, cover: tray", "step: [swap, tray_on], cover: tray")
    problem = problem_of(sheet_of(text), prices=Prices({"relay": 8.5}), anyway=Anyway(done=frozenset({"swap"})))
    assert problem.repair_of["swap_relay"].price == Price(0.0, 12.0)


def test_a_cover_that_is_off_costs_no_opening_and_one_that_is_on_again_does():
    steps = frozenset({"tray_off", "tray_on"})
    off = problem_of(sheet_of(NO_START), anyway=Anyway(done=steps, facts=frozenset({"off(tray)"})))
    on_again = problem_of(sheet_of(NO_START), anyway=Anyway(done=steps))
    assert off.open_at_start == {"tray"}
    assert on_again.access(["tray"], on_again.open_at_start) == Price(3.0, 22.0)


def test_a_job_knows_what_it_does_anyway(no_start):
    no_start.add("started")
    problem = now(no_start).problem
    assert problem.free == {"swap_relay", "tray"}
    no_start.add("step_done", step="tray_off")
    assert now(no_start).problem.open_at_start == {"tray"}
    no_start.add("step_put_off", step="swap", why="no relay")
    assert "swap_relay" not in now(no_start).problem.free


def test_work_that_takes_a_licence_is_not_proposed():
    text = NO_START.replace("fit: [relay],", 'fit: [relay], licensed: "high voltage",')
    assert not problem_of(sheet_of(text)).repair_of["swap_relay"].safe


def test_prices_of_the_garage_count(no_start):
    no_start.add("started")
    no_start.add("step_done", step="tray_off")
    no_start.add("step_put_off", step="swap", why="no relay")
    before = now(no_start)
    assert (before.unpriced, len(before.assumed)) == (("Relay",), 1)
    no_start.add("price_stated", "toolbox", what="part:no_start.relay", amount="12")
    no_start.add("price_stated", "toolbox", what="hour", amount="30")
    found = now(no_start)
    assert found.problem.repair_of["swap_relay"].price.money == 24.0
    assert (found.problem.rate_per_hour, found.unpriced, found.assumed) == (30.0, (), ())


def test_a_part_that_the_job_fits_anyway_needs_no_price(no_start):
    assert now(no_start).unpriced == ()


@pytest.mark.parametrize(
    ("finding", "says"),
    [
        (("clock", "yes"), '"clock" is no test or repair of this sheet. It has click, hum, swap_relay.'),
        (("click", "maybe"), 'test "Relay clicks" cannot show "maybe"; it shows yes, no. Write one of these.'),
        (
            ("swap_relay", "gone"),
            '"Swap the relay" cannot show "gone" here; only "still there" leaves something to find.',
        ),
    ],
)
def test_a_finding_that_nobody_defined_is_refused(finding, says):
    with pytest.raises(ValueError, match=r".") as refused:
        suspected_of(sheet_of(NO_START), [finding])
    assert str(refused.value) == says
