import pytest

JOB = """
asks:
  plug: {{question: Torque of the plug?, answer: torque, like: 25 N·m ± 3}}
  holds: {{question: How much goes in?, answer: volume, like: 6 L}}
circuits: {{oil: {{name: Engine oil, fluid: engine oil, holds: {{ask: holds}}, refill: cap}}}}
fasteners: {{plug: {{name: Drain plug, torque: {{ask: plug}}}}}}
start: [parked, drivable, proven(cap)]
steps:
  - {{id: look, do: Look, zone: top, time: "1 2 3 min", {look}}}
  - {{id: drain, do: Drain, zone: around, time: "1 2 3 min", {drain}}}
  - {{id: shut, do: Shut, zone: around, time: "1 2 3 min", tighten: [plug]}}
"""


def job(look="needs: []", drain="irreversible: true"):
    return JOB.format(look=look, drain=drain)


def test_an_open_question_behind_what_cannot_be_undone(told):
    assert told(job(), "open question", answers={"holds": None}) == [
        (
            "stop",
            'small.yaml:5: "Torque of the plug?" is open, and step "shut" needs it once there is no way back. It must '
            "be answered before the start. Look it up in the manual, or answer that yours does not say.",
        )
    ]


def test_draining_counts_as_no_way_back_and_needs_what_the_circuit_holds(told):
    assert [one for _, one in told(job(drain="drain: oil"), "open question", answers={})] == [
        'small.yaml:5: "Torque of the plug?" is open, and step "shut" needs it once there is no way back. It must be '
        "answered before the start. Look it up in the manual, or answer that yours does not say.",
        'small.yaml:6: "How much goes in?" is open, and step "drain" needs it once there is no way back. It must be '
        "answered before the start. Look it up in the manual, or answer that yours does not say.",
    ]


@pytest.mark.parametrize("answer", ["25 N·m ± 3", None])
def test_an_answer_and_a_silent_manual_close_it(told, answer):
    assert told(job(), "open question", answers={"plug": answer}) == []


def test_no_vehicle_and_no_way_back_tell_nothing(told):
    assert told(job(), "open question") == []
    assert told(job(drain="needs: []"), "open question", answers={}) == []


def test_a_question_needed_only_before_it_stays_open(told):
    assert told(job(look="ask: [holds]"), "open question", answers={"plug": None}) == []


def test_all_steps_that_need_it_are_named(told):
    [(_, words)] = told(job(drain="irreversible: true, ask: [plug]"), "open question", answers={})
    assert 'step "drain", "shut" needs it' in words


def test_an_answer_of_another_kind(told):
    assert told(job(), "unreadable answer", answers={"plug": "25 mm", "holds": "6 L", "gone": "1"}) == [
        (
            "stop",
            'small.yaml:5: "Torque of the plug?" was answered "25 mm". It takes torque with a unit. Write it like '
            '"25 N·m ± 3".',
        )
    ]


def test_work_that_says_it_takes_a_licence(told):
    assert told(job(look="licensed: gas systems"), "licensed work") == [
        (
            "stop",
            'small.yaml:11: step "look": is licensed work: gas systems. It is for who holds the licence. Hand this '
            "step to the licensed trade.",
        )
    ]


@pytest.mark.parametrize(
    "does", ["drain: oil", "makes: [drained(oil)]", "makes: [open(cap)]", 'fill: {circuit: oil, amount: "1 L"}']
)
def test_refrigerant_drained_opened_or_filled(told, does):
    cold = job(drain=does).replace("fluid: engine oil", "fluid: refrigerant")
    assert told(cold, "licensed work") == [
        (
            "stop",
            'small.yaml:12: step "drain": is licensed work: "Engine oil" holds refrigerant. It is for who holds the '
            "licence. Hand this step to the licensed trade.",
        )
    ]
    assert told(job(drain=does), "licensed work") == []
