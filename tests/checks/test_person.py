import pytest

from knowngood.checks.person import axles

STEP = '  - {{id: {id}, do: Do it, zone: {zone}, time: "1 2 3 min", {rest}}}\n'


def job(*steps, start="parked, drivable"):
    rows = "".join(STEP.format(id=id, zone=zone, rest=rest) for id, zone, rest in steps)
    return f"start: [{start}]\nsteps:\n{rows}"


CHOCK = ("chock", "around", "makes: [chocked(rear)]")
JACK = ("jack", "around", "makes: [raised(front)]")
STANDS = ("stands", "wheel", "makes: [on_stands(front)]")
WORK = ("work", "under", "needs: []")


def test_a_person_under_a_vehicle_on_stands(told):
    body = job(CHOCK, JACK, STANDS, WORK)
    assert told(body, "under a jack") == []
    assert told(body, "restraint") == []


def test_a_person_under_a_jack(told):
    assert told(job(CHOCK, JACK, WORK), "under a jack") == [
        (
            "stop",
            'small.yaml:8: step "work": somebody is under the vehicle while the front is raised and not on stands. A '
            'jack alone holds nobody\'s life. Need "on_stands(front)" here, and make it in a step before.',
        )
    ]


def test_a_person_at_the_wheel_of_a_jacked_end(told):
    assert [one for _, one in told(job(CHOCK, JACK, ("wheel", "wheel", "needs: []")), "under a jack")] == [
        'small.yaml:8: step "wheel": somebody is at a wheel while the front is raised and not on stands. A jack alone '
        'holds nobody\'s life. Need "on_stands(front)" here, and make it in a step before.'
    ]


def test_stands_are_never_set_from_underneath(told):
    assert len(told(job(CHOCK, JACK, ("stands", "under", "makes: [on_stands(rear)]")), "under a jack")) == 1


@pytest.mark.parametrize(
    "held", ["on_stands(front)", "on_stands(all)", "on_ramps(front)", "on_stands(front), on_stands(rear)"]
)
def test_what_holds_a_raised_front(told, held):
    assert told(job(WORK, start=f"parked, raised(front), chocked(rear), {held}"), "under a jack") == []


@pytest.mark.parametrize("held", ["on_stands(rear)", "on_stands(left)", "chocked(front)"])
def test_what_does_not_hold_a_raised_front(told, held):
    assert len(told(job(WORK, start=f"parked, raised(front), {held}"), "under a jack")) == 1


def test_both_ends_raised_and_one_on_stands(told):
    [(_, words)] = told(job(WORK, start="raised(all), on_stands(front)"), "under a jack")
    assert "while the rear is raised" in words


def test_under_a_vehicle_on_its_wheels(problems):
    assert problems(job(WORK)) == []


def test_lifted_with_nothing_chocked(told):
    assert told(job(JACK), "restraint") == [
        (
            "stop",
            'small.yaml:6: step "jack": the front is raised and no wheel is chocked. The wheels that stay down are '
            'chocked before lifting. Need "chocked(rear)" here, and make it in a step before.',
        )
    ]


def test_chocks_brake_and_p_on_lifted_wheels(told, problems):
    body = job(JACK, start="parked, drivable, chocked(front), brake_set, in_park_or_neutral")
    assert told(body, "restraint", driven="front") == [
        (
            "stop",
            'small.yaml:6: step "jack": the front is raised and the chocks are at the front wheels, which are lifted '
            "(the parking brake acts on one end only; P or a gear holds the front wheels only). The wheels that stay "
            'down are chocked before lifting. Need "chocked(rear)" here, and make it in a step before.',
        )
    ]


def test_chocked_only_after_lifting(told):
    assert len(told(job(("jack", "around", "makes: [raised(front), chocked(rear)]")), "restraint")) == 1


@pytest.mark.parametrize(("chocked", "count"), [("rear", 0), ("all", 0), ("left", 0), ("front", 1)])
def test_chocks_at_the_wheels_that_stay_down(told, chocked, count):
    assert len(told(job(JACK, start=f"parked, drivable, chocked({chocked})"), "restraint")) == count


def test_chocks_taken_away_before_working_under_it(told):
    away = ("away", "around", "needs: [on_stands(front)], ends: [chocked(rear)]")
    [(_, words)] = told(job(CHOCK, JACK, STANDS, away, WORK), "restraint")
    assert words.startswith('small.yaml:10: step "work": the front is raised and no wheel is chocked.')


def test_ramps_are_chocked_after_driving_up(told):
    up = ("up", "inside", "makes: [on_ramps(front)]")
    assert told(job(up, CHOCK, WORK), "restraint") == []
    assert len(told(job(up, WORK), "restraint")) == 1


def test_with_all_wheels_up_nothing_can_be_chocked(told):
    assert told(job(WORK, start="on_stands(front), on_stands(rear)"), "restraint") == []


UP = "parked, outdoors, on_stands(front), chocked(rear)"
GEAR = ("gear", "inside", "makes: [in_gear]")


def test_a_gear_with_driven_wheels_up_and_nobody_on_the_brake(told):
    assert told(job(GEAR, start=f"{UP}, running(engine)"), "gear with wheels up", driven="front") == [
        (
            "stop",
            'small.yaml:6: step "gear": a gear is selected with driven wheels up and nobody on the brake. Wheels that '
            'begin to turn can throw the vehicle off its stands. Need "brake_held" here, with somebody in the seat.',
        )
    ]


def test_without_the_engine_it_is_a_caution(told):
    assert [severity for severity, _ in told(job(GEAR, start=UP), "gear with wheels up")] == ["caution"]


@pytest.mark.parametrize(
    ("start", "driven", "count"),
    [
        (f"{UP}, brake_held", "front", 0),
        (UP, "rear", 0),
        (UP, "front", 1),
        (UP, "all", 1),
        (UP, None, 1),
        ("parked", "front", 0),
        ("parked, on_ramps(front)", "front", 0),
    ],
)
def test_which_wheels_and_who_is_on_the_brake(told, start, driven, count):
    assert len(told(job(GEAR, start=start), "gear with wheels up", driven=driven)) == count


def test_the_foot_comes_off_while_the_gear_stays(told):
    off = ("off", "inside", "makes: [in_gear], ends: [brake_held]")
    assert len(told(job(off, start=f"{UP}, brake_held"), "gear with wheels up")) == 1


def test_the_sheets_own_driven_axle_counts_unless_the_vehicles_is_known(told):
    body = "driven: rear\n" + job(GEAR, start=UP)
    assert told(body, "gear with wheels up") == []
    assert len(told(body, "gear with wheels up", driven="front")) == 1


RUNS = f"{UP}, running(engine), in_park_or_neutral, brake_set"


def test_under_a_running_engine_with_all_it_takes(told):
    assert told(job(WORK, start=RUNS), "under a running engine") == []


def test_under_a_running_engine_without(told):
    assert told(job(WORK, start="running(engine), raised(front), in_gear"), "under a running engine") == [
        (
            "stop",
            'small.yaml:6: step "work": somebody is under the running engine without in_park_or_neutral, brake_set, '
            "outdoors, on_stands(front), not in_gear. It takes P or N, the parking brake, stands and open air. Need "
            "these here, or have the engine off.",
        )
    ]


@pytest.mark.parametrize("lacks", ["in_park_or_neutral", "brake_set", "outdoors"])
def test_each_of_them_counts(told, lacks):
    start = RUNS.replace(f", {lacks}", "")
    [(_, words)] = told(job(WORK, start=start), "under a running engine")
    assert f"without {lacks}. It takes" in words


def test_beside_a_running_engine(told):
    assert told(job(("look", "top", "needs: []"), start="running(engine)"), "under a running engine") == []


def test_the_engine_indoors(told):
    run = ("run", "inside", "makes: [running(engine)]")
    assert told(job(run), "engine indoors") == [
        (
            "stop",
            'small.yaml:6: step "run": the engine runs where "outdoors" does not hold. Exhaust gas in a closed place '
            'kills without a smell. Add "outdoors" to start or make it in a step before, and need it here.',
        )
    ]
    assert told(job(run, start="parked, outdoors"), "engine indoors") == []


def test_a_side_has_a_wheel_of_each_axle():
    assert (axles(["rear"]), axles(["right"]), axles([])) == ({"rear"}, {"front", "rear"}, set())


IDLES = f"{UP}, running(engine)"


def test_going_through_the_gears_selects_each(told):
    gears = ("gears", "inside", "makes: [gears_selected]")
    assert [one for one, _ in told(job(gears, start=IDLES), "gear with wheels up")] == ["stop"]
    assert told(job(gears, start=f"{IDLES}, brake_held"), "gear with wheels up") == []
    later = ("later", "inside", "after: [gears]")
    held = ("gears", "inside", "makes: [gears_selected], ends: [brake_held]")
    assert told(job(held, later, start=f"{IDLES}, brake_held"), "gear with wheels up") == []


def test_a_foot_on_the_brake_and_the_hands_elsewhere(told):
    assert told(job(WORK, start=f"{UP}, brake_held"), "two places at once") == [
        (
            "caution",
            'small.yaml:6: step "work": is done under the vehicle while somebody\'s foot is on the brake. One person '
            'cannot be in both places. Have a second person in the seat, or write "ends: [brake_held]" in a step '
            "before.",
        )
    ]
    assert told(job(("sit", "inside", "needs: []"), start=f"{UP}, brake_held"), "two places at once") == []
