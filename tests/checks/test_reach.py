import pytest

WHOLE = """
steps:
  - {id: lift, do: Lift, zone: around, time: "1 2 3 min", needs: [chocked(rear)], makes: [on_stands(front)]}
  - {id: chock, do: Chock, zone: around, time: "1 2 3 min", makes: [chocked(rear)]}
  - {id: lower, do: Lower, zone: around, time: "1 2 3 min", needs: [on_stands(front)],
     ends: [on_stands(front), raised(front)], after: [lift]}
  - {id: take, do: Take away, zone: around, time: "1 2 3 min",
     needs: [not raised(front)], ends: [chocked(rear)], after: [lower]}
"""


def test_a_whole_job_has_no_problem(problems):
    assert problems(WHOLE) == []


def test_a_sheet_with_mistakes_of_form_has_only_those(problems):
    from knowngood.checks import check
    from knowngood.sheet.reader import read

    reading = read("sheet: 1\n", file="small.yaml")
    assert check(reading) == list(reading.problems)
    assert reading.problems


def test_a_need_nothing_makes(told):
    assert told(
        """
        steps:
          - id: bleed
            do: Bleed
            zone: top
            time: "1 2 3 min"
            needs: [warm(coolant)]
        """,
        "need never made",
    ) == [
        (
            "stop",
            'small.yaml:9: step "bleed": needs "warm(coolant)", which no step makes and which does not hold at the '
            'start. A need must come true before its step. Write "makes: [warm(coolant)]" in the step that does it, '
            "or add it to start.",
        )
    ]


def test_a_need_not_to_hold_that_nothing_ends(told):
    body = """
        start: [parked, drivable, hot(coolant)]
        steps:
          - {id: open, do: Open, zone: top, time: "1 2 3 min", needs: [not hot(coolant)]}
        """
    assert told(body, "need never made") == [
        (
            "stop",
            'small.yaml:6: step "open": needs "not hot(coolant)", which holds from the start and nothing ends. A need '
            'must come true before its step. Write "ends: [hot(coolant)]" in the step that does it.',
        )
    ]
    cool = '          - {id: cool, do: Cool, zone: around, time: "1 2 3 min", ends: [hot(coolant)]}'
    assert told(f"{body.rstrip()}\n{cool}\n", "need never made") == []


SCOPED = """
scopes: {fluid: The fluid, fan: The fan}
steps:
  - {id: warm, do: Warm, zone: top, time: "1 2 3 min", makes: [warm(coolant)], scope: [fluid]}
  - {id: bleed, do: Bleed, zone: top, time: "1 2 3 min", needs: [warm(coolant)], after: [warm]}
"""


def test_a_need_only_a_left_out_step_makes(told):
    assert told(SCOPED, "need never made", scope=["fan"]) == [
        (
            "stop",
            'small.yaml:7: step "bleed": needs "warm(coolant)", which only step "warm" makes, and that one is not in '
            'the chosen scope. A need must come true before its step. Choose its scope as well, or take "scope" off '
            "that step.",
        )
    ]


@pytest.mark.parametrize("scope", [(), ("fluid",), ("fluid", "fan")])
def test_a_step_of_a_chosen_scope_counts(problems, scope):
    assert problems(SCOPED, scope=scope) == []


def test_nobody_waits_for_a_left_out_step(problems):
    assert problems(SCOPED.replace("needs: [warm(coolant)], ", ""), scope=["fan"]) == []


def test_steps_that_wait_for_each_other_cannot_be_reached(told):
    body = """
        steps:
          - {id: one, do: One, zone: top, time: "1 2 3 min", after: [two]}
          - {id: two, do: Two, zone: top, time: "1 2 3 min", after: [one]}
        """
    assert told(body, "unreachable step") == [
        (
            "stop",
            f'small.yaml:{line}: step "{one}": cannot be reached: step "{other}" cannot come before it. Every step '
            "must be able to come. Look at what it needs and at what the steps before it make and end.",
        )
        for line, one, other in ((5, "one", "two"), (6, "two", "one"))
    ]


BRANCHED = """
limits: {{coil: {{name: Coil, band: "11..15 ohm"}}}}
steps:
  - {{id: read, do: Read, zone: top, time: "1 2 3 min", read: [coil]}}
  - {{id: new, do: Fit a new one, zone: top, time: "1 2 3 min", when: {{limit: coil, is: out}}, makes: [fitted]}}
  {more}
  - {{id: plug, do: Plug in, zone: top, time: "1 2 3 min", needs: [fitted]}}
"""
WITHIN = (
    '- {id: old, do: Fit the old one, zone: top, time: "1 2 3 min", when: {limit: coil, is: within}, makes: [fitted]}'
)
OPEN = '- {id: keep, do: Fit it too, zone: top, time: "1 2 3 min", when: {limit: coil, is: cant_tell}, makes: [fitted]}'


def test_what_one_conditional_step_makes_is_not_surely_made(told):
    assert told(BRANCHED.format(more="").replace("  \n", ""), "unreachable step") == [
        (
            "stop",
            'small.yaml:8: step "plug": cannot be reached when "coil" is within: "fitted" does not hold. Every step '
            "must be able to come. Look at what it needs and at what the steps before it make and end.",
        )
    ]


def test_two_of_three_outcomes_are_not_all(told):
    assert [one for _, one in told(BRANCHED.format(more=WITHIN), "unreachable step")] == [
        'small.yaml:9: step "plug": cannot be reached when "coil" is can\'t tell: "fitted" does not hold. Every step '
        "must be able to come. Look at what it needs and at what the steps before it make and end."
    ]


def test_what_the_steps_of_all_outcomes_make_is_surely_made(problems):
    assert problems(BRANCHED.format(more=f"{WITHIN}\n  {OPEN}")) == []


def test_a_step_waiting_for_a_finding_that_nothing_makes(told):
    body = """
        limits: {coil: {name: Coil, band: "11..15 ohm"}}
        steps:
          - {id: read, do: Read, zone: top, time: "1 2 3 min"}
          - {id: new, do: Fit, zone: top, time: "1 2 3 min", when: {limit: coil, is: out}}
        """
    assert told(body, "unreachable step") == [
        (
            "stop",
            'small.yaml:7: step "new": waits for a finding that no step before it makes. A step with when needs a step '
            "that reads the limit or takes the decision. Add it, or take when off.",
        )
    ]


DECIDED = """
steps:
  - {id: ask, do: Decide, zone: top, time: "1 2 3 min",
     decide: {id: swap, question: Replace it?, choices: {now: Now, later: Later}}}
  - {id: off, do: Take off, zone: top, time: "1 2 3 min", when: {decided: swap, is: now}, makes: [off(relay)]}
"""


def test_what_stands_on_one_branch_only_is_told_with_the_branch(told):
    assert told(DECIDED, "left standing") == [
        (
            "stop",
            'small.yaml:7: step "off": "relay off" still holds at the end when "swap" is now. A vehicle is handed back '
            'without it. Add a step with "ends: [off(relay)]".',
        )
    ]


def test_a_branch_that_puts_back_what_it_took_is_whole(problems):
    back = (
        '  - {id: on, do: Put on, zone: top, time: "1 2 3 min", when: {decided: swap, is: now}, '
        "needs: [off(relay)], ends: [off(relay)]}\n"
    )
    assert problems(DECIDED + back) == []


def test_what_the_sheet_ends_with_must_hold(told):
    body = """
        end: [drivable, level, not off(cover)]
        steps:
          - {id: strip, do: Strip, zone: top, time: "1 2 3 min", ends: [drivable], makes: [off(cover)]}
        """
    assert [one for _, one in told(body, "left standing")] == [
        'small.yaml:4: the sheet ends with "drivable", which is not so after the last step. What end names must be '
        "true then. Add the step that does it, or take it off end.",
        'small.yaml:4: the sheet ends with "standing level", which is not so after the last step. What end names must '
        "be true then. Add the step that does it, or take it off end.",
        'small.yaml:4: the sheet ends with "not: cover off", which is not so after the last step. What end names must '
        "be true then. Add the step that does it, or take it off end.",
        'small.yaml:6: step "strip": "cover off" still holds at the end. A vehicle is handed back without it. '
        'Add a step with "ends: [off(cover)]".',
    ]


def many_findings(count):
    names = [f"l{one}" for one in range(count)]
    limits = "\n".join(f'  {one}: {{name: {one}, band: "1..2 V"}}' for one in names)
    steps = "\n".join(
        f'  - {{id: r{one}, do: Read, zone: top, time: "1 2 3 min", read: [{one}]}}\n'
        f'  - {{id: f{one}, do: Fit, zone: top, time: "1 2 3 min", when: {{limit: {one}, is: out}}}}'
        for one in names
    )
    return f"limits:\n{limits}\nsteps:\n{steps}\n"


def test_so_many_findings_that_not_every_way_is_walked(told):
    assert told(many_findings(8), "not every way walked") == []
    assert told(many_findings(9), "not every way walked") == [
        (
            "note",
            "small.yaml:14: the findings of this job combine in more ways than are followed here; each was varied "
            "alone. Up to 256 ways are followed. Split the job in two sheets to have every way looked at.",
        )
    ]


def test_what_waits_for_a_stuck_step_is_counted_and_not_told(told):
    body = """
        steps:
          - {id: off, do: Off, zone: top, time: "1 2 3 min", makes: [off(cover)]}
          - {id: on, do: On, zone: top, time: "1 2 3 min", needs: [off(cover)], ends: [off(cover)]}
          - {id: look, do: Look, zone: top, time: "1 2 3 min", needs: [off(cover)], makes: [seen], after: [on]}
          - {id: note, do: Note, zone: top, time: "1 2 3 min", needs: [seen], makes: [noted]}
          - {id: file, do: File, zone: top, time: "1 2 3 min", needs: [noted], ends: [seen, noted]}
        """
    assert told(body, "unreachable step") == [
        (
            "stop",
            'small.yaml:7: step "look": cannot be reached: "cover off" does not hold. Every step must be able to come. '
            "Look at what it needs and at what the steps before it make and end. 2 steps after it cannot come either.",
        )
    ]


def test_what_waits_for_a_need_that_nothing_makes_is_counted_with_it(told):
    body = """
        steps:
          - {id: look, do: Look, zone: top, time: "1 2 3 min", needs: [off(cover)], makes: [seen]}
          - {id: note, do: Note, zone: top, time: "1 2 3 min", needs: [seen], ends: [seen]}
        """
    assert told(body, "unreachable step") == []
    [(_, words)] = told(body, "need never made")
    assert words.endswith("or add it to start. 1 step after it cannot come either.")


def test_a_bolt_whose_tightening_is_stuck_is_not_told_as_well(problems):
    body = """
        fasteners: {plug: {name: Plug, hand_tight: true}}
        steps:
          - {id: undo, do: Undo, zone: top, time: "1 2 3 min", loosen: [plug]}
          - {id: close, do: Close, zone: top, time: "1 2 3 min", needs: [clean], tighten: [plug]}
        """
    assert [one.code for one in problems(body)] == ["need never made"]
