import pytest

JOB = """
circuits:
  cooling: {{name: Cooling system, fluid: {fluid}, holds: "6 L", refill: cap}}
start: [parked, drivable, outdoors{start}]
steps:
  - {{id: prove, do: Open the cap, zone: top, time: "1 2 3 min", {prove}}}
  - {{id: drain, do: Drain, zone: around, time: "1 2 3 min", drain: cooling, makes: [drained(cooling)], {drain}}}
  - {{id: fill, do: Fill, zone: top, time: "1 2 3 min", needs: [drained(cooling)], ends: [drained(cooling)]}}
"""


def job(prove="makes: [proven(cap)]", drain="needs: []", fluid="coolant", start=""):
    return JOB.format(prove=prove, drain=drain, fluid=fluid, start=start)


def test_drained_after_its_refill_is_proven_is_whole(problems):
    assert problems(job()) == []


def test_drained_before_its_refill_is_proven(told):
    assert told(job(prove="needs: []"), "refill not proven") == [
        (
            "stop",
            'small.yaml:9: step "drain": drains "Cooling system" before its refill is proven to open. A seized refill '
            'strands the vehicle. Add a step before it with "makes: [proven(cap)]", and need that here.',
        )
    ]


def test_proven_in_the_same_step_is_too_late(told):
    assert len(told(job(prove="needs: []", drain="ends: []").replace(
        "makes: [drained(cooling)]", "makes: [drained(cooling), proven(cap)]"), "refill not proven")) == 1  # fmt: skip


RUN = "makes: [running(engine)], after: [drain]"


def running(where):
    step = f'  - {{id: run, do: Run, zone: inside, time: "1 2 3 min", {where}}}\n'
    stop = (
        '  - {id: stop, do: Stop, zone: inside, time: "1 2 3 min", needs: [running(engine)], ends: [running(engine)]}\n'
    )
    return step + stop


def test_run_while_drained(told):
    body = job().replace("  - {id: fill", running("makes: [running(engine)]") + "  - {id: fill")
    assert told(body, "run empty") == [
        (
            "stop",
            'small.yaml:10: step "run": the engine runs while "Cooling system" is drained. An engine without '
            "coolant overheats within minutes, and its gauge may not show it. Fill it first, "
            'with "ends: [drained(cooling)]" in that step.',
        )
    ]


def test_an_automatic_gearbox_run_while_drained(told):
    body = job(fluid="gearbox oil").replace("  - {id: fill", running("makes: [running(engine)]") + "  - {id: fill")
    assert told(body, "run empty") == [
        (
            "stop",
            'small.yaml:10: step "run": the engine runs while "Cooling system" is drained. Its pump turns with the '
            "engine, draws air, and what it should press and cool burns. Fill it first, "
            'with "ends: [drained(cooling)]" in that step.',
        )
    ]


@pytest.mark.parametrize(("start", "severity"), [("", "caution"), (", in_gear", "stop")])
def test_gear_oil_may_be_of_what_stands_still_at_idle(told, start, severity):
    body = job(fluid="gear oil", start=start)
    body = body.replace("  - {id: fill", running("makes: [running(engine)]") + "  - {id: fill")
    assert [one for one, _ in told(body, "run empty")] == [severity]


@pytest.mark.parametrize(("fluid", "count"), [("engine oil", 1), ("gearbox oil", 1), ("brake fluid", 0), ("fuel", 0)])
def test_only_what_the_engine_needs_counts(told, fluid, count):
    body = job(fluid=fluid).replace("  - {id: fill", running("makes: [running(engine)]") + "  - {id: fill")
    assert len(told(body, "run empty")) == count


def test_run_once_filled_is_whole(problems):
    assert problems(job() + running("makes: [running(engine)], needs: [not drained(cooling)], after: [fill]")) == []


def test_drained_hot(told):
    hot = job(start=", hot(cooling)", drain='touches: "40 °C"')
    assert told(hot, "hot fluid") == [
        (
            "stop",
            'small.yaml:8: step "prove": opens "Cooling system" while it is hot. Above 48 °C it burns, and thin '
            "gloves are no protection. Let it cool first (wait), or write stand_aside: true.",
        ),
        (
            "stop",
            'small.yaml:9: step "drain": drains "Cooling system" while it is hot. Above 48 °C it burns, and thin '
            "gloves are no protection. Let it cool first (wait), or write stand_aside: true.",
        ),
    ]


def test_what_has_cooled_may_be_opened(told):
    cooled = job(start=", hot(cooling)", prove="makes: [cold]").replace(
        "steps:\n", 'steps:\n  - {id: cool, do: Cool, zone: around, time: "1 2 3 min", ends: [hot(cooling)]}\n'
    )
    assert told(cooled, "hot fluid") == []


@pytest.mark.parametrize(
    ("drain", "count"),
    [
        ('touches: "60 °C"', 1),
        ('touches: "120 °F"', 1),
        ('touches: "48 °C"', 0),
        ('touches: "60 °C", wait: "30 min"', 0),
        ('touches: "60 °C", stand_aside: true', 0),
        ('touches: "60 °C", cautions: [Wear gloves.]', 1),
    ],
)
def test_hot_over_the_hands_needs_a_wait_or_standing_aside(told, drain, count):
    assert len(told(job(drain=drain), "hot fluid")) == count


def test_hot_over_the_hands_in_words(told):
    assert told(job(drain='touches: "60 °C"'), "hot fluid") == [
        (
            "stop",
            'small.yaml:9: step "drain": fluid of 60 °C can run over the hands. Above 48 °C it burns, and thin '
            "gloves are no protection. Let it cool first (wait), or write stand_aside: true.",
        )
    ]
