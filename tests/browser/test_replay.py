"""The run as the phone replays it, against the program's own rules: on random sheets, and along random work."""

import base64
import json
import random
from dataclasses import asdict
from importlib import resources

import pytest
from tests.garages import giving, opened

from knowngood.acts.job.problems import open_problems
from knowngood.acts.job.rest import before_leaving
from knowngood.acts.job.run import Progress, Stood, start
from knowngood.acts.job.run_document import document, steps_and_rules
from knowngood.acts.job.standing import Against, at_step, said_together
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.refusal import Refused
from knowngood.sheet.model import Outcome, Sheet

pytestmark = pytest.mark.browser

FACTS = ["raised(front)", "on_stands(front)", "raised(rear)", "running(engine)", "off(pan)", "open(fill)", "brake_held"]
SHEETS = 400
REPLAY = (resources.files("knowngood.web") / "static/replay.js").read_bytes()
MODULE = "data:text/javascript;base64," + base64.b64encode(REPLAY).decode()
STAND = """async ([module, cases]) => {
  const { added, against, beforeLeaving, progress, stand } = await import(module);
  return cases.map(({ run, made, entries }) => {
    const log = (entries ?? []).reduce((known, entry) => added(run, known, entry), run.log ?? []);
    const { now, standing, facts, done } = stand(run, made ?? progress(log));
    const rows = now ? against(run, log, facts, now).map((row) => row.fact).sort() : [];
    return { now, standing, facts: [...facts].sort(), done, before: beforeLeaving(run, facts), against: rows };
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
        said=[
            Stood(rng.randint(0, len(done)), tuple(some(rng, FACTS, 2)), tuple(some(rng, FACTS, 4)))
            for _ in range(rng.randint(0, 2))
        ],
    )


def moved(progress):
    """Steps done and what was said between them, as the log has them."""
    rows = []
    for number, step in enumerate([*progress.done, None]):
        said = [one for one in progress.said if one.after == number]
        rows += [{"makes": list(one.makes), "ends": list(one.ends)} for one in said]
        rows += [{"step": step}] if step else []
    return rows


def test_random_sheets_stand_the_same(replayed, request):
    rng, cases, wanted = random.Random(3), [], []
    for _ in range(SHEETS * (10 if request.config.getoption("--long") else 1)):
        sheet = random_sheet(rng)
        progress = random_progress(rng, sheet)
        run = start(sheet, progress)
        made = {
            "moves": moved(progress),
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


SAID_TOGETHER = "async ([module, rows]) => (await import(module)).saidTogether(rows)"


def test_what_stands_against_a_step_is_said_alike(page_for):
    facts = [
        ("battery off", "ten", "Off"),
        ("coolant out", "noon", "Drain"),
        ("cap open", "noon", "Drain"),
        ("up", "", ""),
    ]
    rows = [
        Against(found, False, True, (), "g", found, since and f" since {since}", since and ", by “Hot”", step, why)
        for why in ("“Go” needs it", "“Look” is done under it")
        for found, since, step in facts
    ]
    assert page_for().evaluate(SAID_TOGETHER, [MODULE, [asdict(row) for row in rows]]) == said_together(rows)


def expected(run, rows=()):
    standing = {step: how.value for step, how in run.standing.items()}
    now, left = run.now.id if run.now else None, before_leaving(run.facts)
    told = {"facts": sorted(run.facts), "done": list(run.done), "before": left, "against": sorted(rows)}
    return {"now": now, "standing": standing, **told}


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


TWO = """
sheet: 1
id: {name}
title: "{name}"
start: {start}
steps:
{steps}
"""
SAID = ["raised(front)", "on_stands(front)", "running(engine)", "off(pan)", "drained(oil)", "drivable"]


def sheet_of_two(rng, name):
    steps = []
    for number in range(6):
        needs = [f"not {one}" if rng.random() < 0.4 else one for one in some(rng, SAID, 2)]
        facts = [f"needs: [{', '.join(needs)}]"] if rng.random() < 0.5 else []
        facts += [f"{word}: [{', '.join(some(rng, SAID, 2))}]" for word in ("makes", "ends")]
        zone = rng.choice(["under", "top"])
        facts += [f'do: "{name} {number}"', f"zone: {zone}", 'time: "1 2 3 min"']
        steps.append(f"  - {{id: {name}{number}, {', '.join(facts)}}}")
    return TWO.format(name=name, start=f"[{', '.join(some(rng, SAID, 2))}]", steps="\n".join(steps))


def test_two_jobs_on_one_vehicle_stand_the_same(tmp_path, replayed, rounds):
    """The phone goes on with one job from a document made midway, while nothing more comes of the other."""
    cases, wanted = [], []
    for seed in range(rounds(5)):
        with opened(tmp_path / f"garage-{seed}") as garage:
            for run, entries, expected_so in along_two_jobs(garage, random.Random(seed)):
                cases.append({"run": run, "entries": entries})
                wanted.append(expected_so)
    assert replayed(cases) == wanted
    assert any(one["against"] for one in wanted)


def along_two_jobs(garage, rng):
    """Yield the document of one of two jobs midway, what was entered since, and how it stands then."""
    give = giving(garage, "job/one")
    give("vehicle_named", "vehicle/own", name="Own")
    for name in ("one", "two"):
        give("job_opened", f"job/{name}", vehicle="own", sheet=sheet_of_two(rng, name), sheet_file="x.yaml")
        for stop in open_problems(garage, garage.job(name)):
            give("overruled", f"job/{name}", problem=stop.key, reason="to see")
        give("started", f"job/{name}")
    for _ in range(25):
        some_move(rng, garage, give, rng.choice(["one", "two"]))
    first, entries = document(garage.job("one"), made="now", moves=garage.moves_of("own")), []
    for number in range(12):
        entry = next_move(rng, garage.job("one"), number)
        try:
            take(garage, Entry(entry["id"], "job/one", entry["kind"], entry))
        except Refused:
            continue  # against how the vehicle stands: it comes back to its form
        entries.append(entry)
        job = garage.job("one")
        rows = [row.fact for row in at_step(garage, job, job.run.now)] if job.run.now else []
        yield first, list(entries), expected(job.run, rows)


def some_move(rng, garage, give, name):
    entry = next_move(rng, garage.job(name), 0)
    fields = {key: value for key, value in entry.items() if key not in ("id", "kind")}
    try:
        give(entry["kind"], f"job/{name}", **fields)
    except Refused:
        give("stands_now", f"job/{name}", words="so", ends=" ".join(some(rng, SAID[:3], 3)) or SAID[0], makes="")


def next_move(rng, job, number):
    name, log, what = f"abc{number:029x}", job.state.kept("step_done", "step_put_off"), rng.random()
    if what < 0.15:
        needed = sorted({fact.text for step in job.sheet.steps for fact in step.needs if fact.holds})
        ends, makes = " ".join(some(rng, SAID, 3)), " ".join(some(rng, needed, 2))
        return {"id": name, "kind": "stands_now", "words": "so", "ends": ends or SAID[0], "makes": makes}
    if log and (job.run.now is None or what < 0.35):
        return {"id": name, "kind": "withdrawn", "event": rng.choice(log[-3:]).id}
    step = job.run.now.id if job.run.now else rng.choice(list(job.run.standing))
    return {"id": name, "kind": "step_done", "step": step}


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
