"""The run as the phone replays it, against the program's own rules: on random sheets, and along random work."""

import base64
import json
import random
from importlib import resources

import pytest

from knowngood.acts.entries import Entry
from knowngood.acts.record import take
from knowngood.acts.rest import before_leaving
from knowngood.acts.run import Progress, start
from knowngood.acts.run_document import document, steps_and_rules
from knowngood.sheet.model import Outcome, Sheet

pytestmark = pytest.mark.browser

FACTS = ["raised(front)", "on_stands(front)", "raised(rear)", "running(engine)", "off(pan)", "open(fill)", "brake_held"]
SHEETS = 400
REPLAY = (resources.files("knowngood.web") / "static/replay.js").read_bytes()
MODULE = "data:text/javascript;base64," + base64.b64encode(REPLAY).decode()
STAND = """async ([module, cases]) => {
  const { added, beforeLeaving, progress, stand } = await import(module);
  return cases.map(({ run, made, entries }) => {
    const log = (entries ?? []).reduce((known, entry) => added(run, known, entry), run.log ?? []);
    const { now, standing, facts } = stand(run, made ?? progress(log));
    return { now, standing, facts: [...facts].sort(), before: beforeLeaving(run, facts) };
  });
}"""


@pytest.fixture
def replayed(page_for):
    page = page_for()
    return lambda cases: page.evaluate(STAND, [MODULE, json.loads(json.dumps(cases))])


def some(rng, things, most):
    return rng.sample(list(things), rng.randint(0, min(most, len(things))))


def random_sheet(rng):
    ids = [f"s{number}" for number in range(rng.randint(1, 12))]
    limit = {"name": "coil", "band": "80..95 ohm"}
    steps = [_random_step(rng, one, ids) for one in ids]
    decides = [step for step in steps if step.get("decide")]
    for again in decides[1:]:
        del again["decide"]
    start_facts = some(rng, FACTS, 2)
    sheet = {"sheet": 1, "id": "x", "title": "X", "limits": {"coil": limit}, "start": start_facts, "steps": steps}
    return Sheet.model_validate(sheet)


def _random_step(rng, own, ids):
    needs = [f"not {one}" if rng.random() < 0.3 else one for one in some(rng, FACTS, 2)]
    after = some(rng, [one for one in ids if one != own], 2)
    step = {
        "id": own, "do": own, "zone": "top", "time": "1 2 3 min", "repeat": rng.choice([1, 1, 1, 2, 3]), "needs": needs,
        "makes": some(rng, FACTS, 2), "ends": some(rng, FACTS, 2), "after": after,
    }  # fmt: skip
    if rng.random() < 0.3:
        outcome = rng.choice(["within", "out", "cant_tell"])
        step["when"] = rng.choice([{"limit": "coil", "is": outcome}, {"decided": "part", "is": rng.choice("ab")}])
    if rng.random() < 0.2:
        step["read"] = ["coil"]
    if rng.random() < 0.3:
        step["decide"] = {"id": "part", "question": "?", "choices": {"a": "A", "b": "B"}}
    return step


def random_progress(rng, sheet):
    ids = [step.id for step in sheet.steps]
    planned = some(rng, ids, len(ids))
    done = [rng.choice(planned) for _ in range(rng.randint(0, 10))] if planned else []
    return Progress(
        order=planned,
        done=done,
        put_off=dict.fromkeys(some(rng, ids, 3), "stuck"),
        found={"coil": rng.choice(list(Outcome))} if rng.random() < 0.6 else {},
        decided={"part": rng.choice("ab")} if rng.random() < 0.6 else {},
    )


def test_random_sheets_stand_the_same(replayed, request):
    rng, cases, wanted = random.Random(3), [], []
    for _ in range(SHEETS * (10 if request.config.getoption("--long") else 1)):
        sheet = random_sheet(rng)
        progress = random_progress(rng, sheet)
        run = start(sheet, progress)
        made = {
            "done": progress.done,
            "put_off": progress.put_off,
            "found": progress.found,
            "decided": progress.decided,
        }
        cases.append({"run": steps_and_rules(run), "made": made})
        wanted.append(expected(run))
    assert replayed(cases) == wanted
    reached = {how for one in wanted for how in one["standing"].values()}
    assert reached == {"done", "now", "later", "put off", "not needed", "waits for a finding"}
    assert any(one["before"] for one in wanted)


def expected(run):
    standing = {step: how.value for step, how in run.standing.items()}
    now = run.now.id if run.now else None
    return {"now": now, "standing": standing, "facts": sorted(run.facts), "before": before_leaving(run.facts)}


@pytest.mark.parametrize("seed", range(3))
def test_work_along_the_demo_stands_the_same(demo_garage, replayed, seed):
    """Steps done, decided, put off and taken back: the phone from its first document on, the program from its store."""
    garage, rng, cases, wanted, entries = demo_garage, random.Random(seed), [], [], []
    first = document(garage.job("runs-hot"), made="now")
    for number in range(60):
        entry = random_entry(rng, garage.job("runs-hot"), number)
        take(garage, Entry(entry["id"], "job/runs-hot", entry["kind"], entry))
        entries.append(entry)
        cases.append({"run": first, "entries": list(entries)})
        wanted.append(expected(garage.job("runs-hot").run))
    assert replayed(cases) == wanted


def random_entry(rng, job, number):
    name, run, log = f"{number:032x}", job.run, job.state.kept("step_done", "step_put_off")
    if run.now is None or rng.random() < 0.2:
        return {"id": name, "kind": "withdrawn", "event": rng.choice(log[-3:]).id}
    entry = {"id": name, "kind": "step_done", "step": run.now.id}
    if run.now.decide:
        entry["choice"] = rng.choice(list(run.now.decide.choices))
    if run.now.read or rng.random() < 0.15:
        return {**entry, "kind": "step_put_off", "why": "stuck"}
    return entry
