"""Before the start: what the manual says and from where, confirmed or corrected there; stops gone past one by one."""

import html
import re

import pytest
from tests.garages import giving, go_on_all_the_same

from knowngood.acts.job.problems import open_problems

JOB = "job/box"
START = "/job/box/start"


@pytest.fixture
def give(home):
    """The gearbox's job on the demo's estate, whose first job has answered other questions."""
    handed = giving(home.garage, JOB)
    handed("job_opened", vehicle="tavrick", library="automatic_gearbox", scope="fluid")
    return handed


def forms(computer, ask=None, path=START):
    """Fields of the forms that answer a question, by name, and their buttons as (label, name, value)."""
    page = html.unescape(computer.get(path).text)
    found = []
    for form in re.findall(r'<form class="event".*?</form>', page, re.DOTALL):
        fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form.partition('class="buttons"')[0]))
        buttons = re.findall(r'<button [^>]*?(?:name="(\w+)" value="(\w+)")?>([^<]+)</button>', form)
        if fields["kind"] == "answered" and ask in (None, fields["ask"]):
            found.append((fields, {label: (name, value) for name, value, label in buttons}))
    return found


def press(computer, fields, button=("", ""), **typed):
    sent = {**fields, **typed, **({button[0]: button[1]} if button[0] else {})}
    return computer.post("/events", data=sent)


def text(computer, path=START):
    return html.unescape(re.sub(r"<[^>]+>", "", computer.get(path).text))


def test_the_radiator_plugs_torque_is_not_in_the_gearboxs_job(give, computer):
    assert forms(computer, "drain_torque")[0][0]["typed"] == ""
    bolts = html.unescape(computer.get("/job/box/bolts").text)
    assert "<h2>1 × drain plug<span>the manual's torque, not looked up</span>" in bolts


OFFER = (
    '8 N·m ± 1, from the job of 20 November 2026, "Runs hot: fan, relay, thermostat, coolant change and bleeding", '
    'asked there as "Torque of the undertray screws": still right? Such as 8 N·m ± 1.'
)


def test_what_both_sheets_ask_is_offered_with_job_and_date_and_confirmed_by_one_tap(home, give, computer):
    assert OFFER in text(computer)
    [(fields, buttons)] = forms(computer, "undertray_torque")
    assert list(buttons) == ["Still right", "Keep it", "My manual does not say"]
    assert press(computer, fields, buttons["Still right"]).status_code == 303
    assert home.garage.job("box").answers == {"undertray_torque": "8 N·m ± 1"}
    assert "Torque of the undertray's screws: 8 N·m ± 1Written in this job on 21 November 2026." in text(computer)
    assert OFFER not in text(computer)


def test_it_is_corrected_in_its_field_with_what_was_typed_over_it_kept(home, give, computer):
    [(fields, buttons)] = forms(computer, "undertray_torque")
    refused = press(computer, fields, buttons["Still right"], typed="9 N·m")
    assert refused.status_code == 422
    assert 'value="9 N·m"' in refused.text
    assert 'To correct it, press "Keep it".' in html.unescape(refused.text)
    press(computer, fields, buttons["Keep it"], typed="9 N·m")
    assert home.garage.job("box").answers == {"undertray_torque": "9 N·m"}
    assert home.garage.job("runs-hot").answers["undertray_torque"] == "8 N·m ± 1"


def test_an_empty_field_is_refused_and_the_button_answers(home, give, computer):
    [(fields, buttons)] = forms(computer, "drain_torque")
    refused = press(computer, fields, buttons["Keep it"])
    assert refused.status_code == 422
    assert "Nothing is written here." in refused.text
    assert "drain_torque" not in home.garage.job("box").answers
    press(computer, fields, buttons["My manual does not say"])
    assert home.garage.job("box").answers["drain_torque"] is None
    assert "Torque of the drain plug: your manual does not say" in text(computer)


def test_every_answer_stands_there_and_can_be_changed(home, computer):
    path = "/job/runs-hot/start"
    answered = home.garage.job("runs-hot").answers
    by_ask = {fields["ask"]: (fields, buttons) for fields, buttons in forms(computer, path=path)}
    assert {ask: fields["typed"] or None for ask, (fields, _) in by_ask.items()} == answered
    fields, buttons = by_ask["drain_torque"]
    assert "Still right" not in buttons
    press(computer, fields, typed="4 N·m")
    assert home.garage.job("runs-hot").answers["drain_torque"] == "4 N·m"


def test_the_same_sheet_again_counts_with_its_job_and_is_changed_there(home, computer):
    giving(home.garage)("job_opened", "job/again", vehicle="tavrick", library="runs_hot", scope="mend")
    path = "/job/again/start"
    said = "Torque of the radiator's drain plug: 3 N·m ± 0.5From the job of 20 November 2026, \"Runs hot"
    assert said in text(computer, path)
    press(computer, forms(computer, "drain_torque", path)[0][0], typed="4 N·m")
    answers = [home.garage.job(one).answers["drain_torque"] for one in ("again", "runs-hot")]
    assert answers == ["4 N·m", "3 N·m ± 0.5"]


def test_at_its_step_an_open_one_is_offered_too(home, give, computer):
    for ask in set(home.garage.job("box").sheet.asks) - {"jack_front"}:
        give("answered", ask=ask, **({"typed": "35..45 °C"} if ask == "window" else {"silent": "yes"}))
    for problem in open_problems(home.garage, home.garage.job("box")):
        for tap in problem.answers[:1]:  # what the other job left open is all put right
            give(tap.kind, **dict(tap.fields))
    go_on_all_the_same(home.garage, give, "box")
    give("started")
    while (step := home.garage.job("box").run.now).id != "lift_front":
        for limit in step.read:
            give("reading_judged", limit=limit, read="0.1 deg", step=step.id)
        give("step_done", step=step.id, **({"choice": next(iter(step.decide.choices))} if step.decide else {}))
    [(fields, buttons)] = forms(computer, "jack_front", "/job/box/now")
    assert "still right?" in text(computer, "/job/box/now")
    press(computer, fields, buttons["Still right"])
    assert home.garage.job("box").answers["jack_front"] == "crossmember in front; seams behind the front wheels"


def test_one_stop_is_gone_past_and_the_others_stay(home, give, computer):
    page = html.unescape(computer.get(START).text)
    stops = re.findall(r'name="problem" value="(\w+)"', page)
    assert (
        len(stops)
        == len(set(stops))
        == sum(one.severity == "stop" for one in open_problems(home.garage, home.garage.job("box")))
    )
    csrf = re.search(r'name="csrf" value="(\w+)"', page)[1]
    sent = {"id": "1" * 32, "stream": JOB, "kind": "overruled", "back": START, "csrf": csrf, "reason": "seen to"}
    assert computer.post("/events", data={**sent, "problem": stops[0]}).status_code == 303
    left = re.findall(r'name="problem" value="(\w+)"', computer.get(START).text)
    assert left == stops[1:]


def test_what_stands_against_the_start_comes_first_and_a_tap_before_the_rest(give, computer):
    severities = re.findall(r'<article class="problem is-(\w+)"', computer.get(START).text)
    assert severities == sorted(severities, key=["stop", "caution", "note"].index)
    assert len(set(severities)) == 3
    first = re.search(r'<article class="problem is-stop">.*?</article>', computer.get(START).text, re.DOTALL)[0]
    assert "stands_now" in first


def test_a_question_names_the_first_step_that_it_is_for_and_how_many_more(give, computer):
    page = html.unescape(computer.get(START).text)
    rows = re.findall(r'<p class="src">(For: .*?)</p>', page)
    assert "For: Raise the front at the manual's jacking point" in rows
    assert any(re.fullmatch(r"For: Idle, and write down .* laid ready, and \d more", row) for row in rows), rows
