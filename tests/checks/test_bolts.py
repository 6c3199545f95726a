import pytest

from knowngood.checks import Toolbox
from knowngood.engine.fasteners.wrenches import Wrench

JOB = """
asks: {{plug: {{question: Torque of the plug?, answer: torque, like: 25 N·m ± 3}}}}
parts: {{washer: {{name: Crush washer, single_use: true}}, hose: {{name: Hose}}}}
fasteners:
  plug: {{name: Drain plug, {fastener}}}
steps:
  - {{id: undo, do: Undo, zone: top, time: "1 2 3 min", loosen: [plug], fit: [hose]}}
  - {{id: do, do: Tighten, zone: top, time: "1 2 3 min", {tighten}}}
"""
STATED = 'torque: "25 N·m ± 3"'
TIGHT = "tighten: [plug]"


def job(fastener=STATED, tighten=TIGHT):
    return JOB.format(fastener=fastener, tighten=tighten)


def test_tightened_by_a_stated_torque_is_whole(problems):
    assert problems(job()) == []


def test_loosened_and_never_tightened(told):
    assert told(job(tighten="needs: []"), "never tightened") == [
        (
            "stop",
            'small.yaml:9: step "undo": loosens "Drain plug", which no later step tightens. What is loosened is '
            'tightened before the end. Add "tighten: [plug]" to the step that does it.',
        )
    ]


def test_tightened_before_it_is_loosened_does_not_count(told):
    again = f'{TIGHT}}}\n  - {{id: again, do: Undo, zone: top, time: "1 2 3 min", loosen: [plug]'
    assert [one[1].split(":")[1] for one in told(job(tighten=again), "never tightened")] == ["11"]


def test_tightened_in_the_same_step_counts(told):
    one = job(tighten="needs: []").replace("loosen: [plug]", "loosen: [plug], tighten: [plug]")
    assert told(one, "never tightened") == []


def test_tightened_on_one_branch_only(told):
    body = job(tighten=f"{TIGHT}, when: {{decided: shut}}")
    body = body.replace(
        "loosen: [plug]", "loosen: [plug], decide: {id: shut, question: Shut?, choices: {yes: Yes, no: No}}"
    )
    body = body.replace("yes: Yes, no: No", '"yes": Yes, "no": No')
    assert told(body, "never tightened") == [
        (
            "stop",
            'small.yaml:9: step "undo": loosens "Drain plug", which no later step tightens when "shut" is no. What is '
            'loosened is tightened before the end. Add "tighten: [plug]" to the step that does it.',
        )
    ]


def test_a_loose_bolt_is_told_once(problems):
    body = job(tighten="needs: []").replace("loosen: [plug]", "loosen: [plug], makes: [loose(plug)]")
    assert [one.code for one in problems(body)] == ["never tightened"]


def test_no_torque(told):
    assert told(job(fastener="count: 1"), "no torque") == [
        (
            "stop",
            'small.yaml:10: step "do": tightens "Drain plug" with no torque. A bolt has a torque, a question to the '
            'manual, or hand_tight. Add "torque: {ask: …}" to the fastener "plug", or hand_tight: true.',
        )
    ]


@pytest.mark.parametrize("fastener", [STATED, "hand_tight: true", "torque: {ask: plug}"])
def test_a_torque_a_question_or_by_hand_will_do(told, fastener):
    assert told(job(fastener=fastener), "no torque") == []


def test_a_torque_and_by_hand_are_one_too_many(told):
    assert told(job(fastener=f"{STATED}, hand_tight: true"), "torque and by hand") == [
        (
            "stop",
            'small.yaml:7: "Drain plug" has a torque and hand_tight: true. A bolt is tightened one way. Keep the '
            "torque, or keep hand_tight for what only fingers tighten.",
        )
    ]
    assert told(job(fastener="hand_tight: true"), "torque and by hand") == []


def wrenches(*rows):
    return Toolbox(wrenches=tuple(Wrench(*row) for row in rows))


def test_no_wrench_reaches(told):
    small, large = ("small", 20.0, 5.0), ("large", 200.0)
    assert told(job(), "no wrench", toolbox=wrenches(small, large)) == [
        (
            "caution",
            'small.yaml:10: step "do": "Drain plug" takes 25 N·m ± 3; the toolbox has small from 5 to 20 N·m, large '
            "from 40 to 200 N·m. A torque must lie between a wrench's lowest and highest mark. Borrow one that reaches "
            "it, or add yours to the toolbox.",
        )
    ]


def test_an_empty_toolbox_has_no_wrench(told):
    assert told(job(), "no wrench", toolbox=Toolbox()) == [
        (
            "caution",
            'small.yaml:10: step "do": "Drain plug" takes 25 N·m ± 3; the toolbox has no torque wrench. A torque must '
            "lie between a wrench's lowest and highest mark. Borrow one that reaches it, or add yours to the toolbox.",
        )
    ]


@pytest.mark.parametrize(
    "known", [{}, {"toolbox": wrenches(("middle", 25.0, 5.0))}, {"toolbox": wrenches(("x", 125.0))}]
)
def test_a_wrench_that_reaches_and_an_unknown_toolbox(told, known):
    assert told(job(), "no wrench", **known) == []


@pytest.mark.parametrize(("answer", "count"), [("120 N·m", 1), ("10 N·m", 0), (None, 0)])
def test_the_manuals_torque_counts_once_it_is_known(told, answer, count):
    known = {"toolbox": wrenches(("middle", 50.0, 5.0)), "answers": {"plug": answer}}
    assert len(told(job(fastener="torque: {ask: plug}"), "no wrench", **known)) == count


NEW = f"{STATED}, single_use: washer"


def test_a_washer_that_is_not_in_the_kit(told):
    assert told(job(fastener=NEW), "part not in the kit", kit=["hose"]) == [
        (
            "caution",
            'small.yaml:9: step "undo": needs a new "Crush washer", which is not in the kit. A part for single use is '
            "not fitted again. Get it before you begin and tick it on the page Kit.",
        )
    ]


@pytest.mark.parametrize("kit", [None, ["washer"]])
def test_a_washer_that_is_there_and_an_unknown_kit(told, kit):
    assert told(job(fastener=NEW), "part not in the kit", kit=kit) == []


def test_a_part_for_single_use_that_is_fitted_and_one_that_is_not(told):
    body = job().replace("fit: [hose]", "fit: [hose, washer]")
    assert [one for _, one in told(body, "part not in the kit", kit=[])] == [
        'small.yaml:9: step "undo": needs a new "Crush washer", which is not in the kit. A part for single use is not '
        "fitted again. Get it before you begin and tick it on the page Kit."
    ]
