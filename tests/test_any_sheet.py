"""Sheets at random: every page, paper and command answers, whatever of the manual is open, answered or not said."""

import warnings
from random import Random

import pytest
from tests.garages import giving, opened
from tests.random_sheets import askable, random_sheet

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

from knowngood import cli
from knowngood.acts.job import planning, problems
from knowngood.quantities.known import QUANTITIES, example_words
from knowngood.refusal import Refused
from knowngood.web.server.app import JOB_PAGES, application

LOOKED_THROUGH = 40
SAID = ("open", "not said", "answered", "mixed")
AT = {"base_url": "http://127.0.0.1", "client": ("127.0.0.1", 50000)}
PATHS = (*JOB_PAGES, "now?cant=1", "fluids?wanted=2", "why.json", "run.json")
COMMANDS = (
    "card --json", "book --json", "handover --json", "fluids", "fluids --json", "suspects", "suspects --json",
    "decide --job one", "decide --job one --json", "check",
)  # fmt: skip


class Drawn:
    """A job from a sheet at random, and whoever looks at it."""

    def __init__(self, seed, garage, folder):
        self.random, self.garage, self.folder = Random(seed), garage, folder
        text, self.asked_at = random_sheet(seed)
        self.file = folder / "drawn.yaml"
        self.file.write_text(text, encoding="utf-8")
        self.give = giving(garage, "job/one")
        self.give("vehicle_named", "vehicle/own", name="Own")
        self.give("job_opened", vehicle="own", sheet=text, sheet_file="drawn.yaml", complaint="It whistles.")

    @property
    def job(self):
        return self.garage.job("one")

    def try_to(self, kind, **fields):
        """Hand an entry over; a refusal in words is an answer too, anything else is not."""
        try:
            self.give(kind, **fields)
        except Refused:
            return False
        return True

    def say(self, said):
        """What the manual says to all questions, or now this and now that."""
        for name, ask in self.job.sheet.asks.items():
            how = self.random.choice(SAID[:3]) if said == "mixed" else said
            if how != "open":
                self.give("answered", ask=name, **({"typed": ask.like} if how == "answered" else {"silent": "yes"}))

    def start(self):
        for problem in problems.open_problems(self.garage, self.job):
            if problem.severity == "stop":
                self.try_to("overruled", problem=problem.key, reason="for a trial")
        assert self.try_to("started"), [one.message for one in problems.open_problems(self.garage, self.job)]

    def go_on(self):
        """Do the step at hand, with what it asks for, or put it off."""
        step = self.job.run.now
        if step is None or self.random.random() < 0.15:
            return step is not None and self.try_to("step_put_off", step=step.id, why="no daylight")
        for limit in step.read:
            self.read(limit, step.id)
        fields = {"amount": "2 L"} if step.drain or step.fill else {}
        fields |= {"choice": self.random.choice([*step.decide.choices])} if step.decide else {}
        if step.window or step.level:
            self.try_to("temperature_read", circuit=step.window or step.level, celsius="31 °C", read_with="display")
        return self.try_to("step_done", step=step.id, **fields) or self.try_to("step_put_off", step=step.id, why="x")

    def read(self, name, step):
        """Judge the example of the quantity, or a number of the limits' own."""
        limit = self.job.sheet.limits[name]
        example = example_words(QUANTITIES[limit.quantity]) if limit.quantity else {}
        like = next((ask.like for key, ask in self.job.sheet.asks.items() if getattr(limit.band, "ask", "") == key), "")
        own = planning.read_answer(like or limit.band.text, "limits")
        ends = [end for end in (own.lower, own.upper) if end is not None]
        read = example.get("read") or f"{sum(ends) / len(ends):g} {own.kind.unit}"
        fields = {**example, "limits": like, "read": read, "limit": name, "step": step}
        fields.pop("quantity", None)
        return self.try_to("reading_judged", **fields)

    def look(self):
        """Open every page."""
        with TestClient(application(self.garage), **AT) as client:
            for path in ("/", "/judge", *(f"/job/one/{one}" for one in PATHS)):
                answer = client.get(path)
                assert answer.status_code == 200, (path, answer.text[:300])
                assert "A fault of the program" not in answer.text, path
            client.app.app.state.worker.stop()

    def ask(self):
        """Ask every command."""
        for words in COMMANDS:
            command, *options = words.split()
            of = [str(self.file)] if command == "check" else []
            assert cli.main([command, *of, "--garage", str(self.garage.folder), *options]) in (0, 1, 2), words


@pytest.fixture
def drawn(tmp_path):
    with opened(tmp_path / "garage") as garage:
        yield lambda seed: Drawn(seed, garage, tmp_path)


def covering():
    """Seeds whose sheets together ask wherever a question may stand, the one that adds most first."""
    asked = {seed: random_sheet(seed)[1] for seed in range(LOOKED_THROUGH)}
    chosen, missing = [], askable()
    while missing:
        best = max(asked, key=lambda seed: len(asked[seed] & missing))
        assert asked[best] & missing, f"No sheet of {LOOKED_THROUGH} asks at {sorted(missing)}."
        chosen.append(best)
        missing -= asked[best]
    return chosen


def pytest_generate_tests(metafunc):
    if "seed" in metafunc.fixturenames:
        long = metafunc.config.getoption("--long")
        metafunc.parametrize("seed", range(LOOKED_THROUGH) if long else covering())
        metafunc.parametrize("said", SAID if long else SAID[:3])


def test_every_page_and_command_answers(seed, said, drawn, capsys):
    job = drawn(seed)
    job.say(said)
    job.look()
    job.ask()
    job.start()
    job.look()
    while job.go_on():
        pass
    job.look()
    job.ask()
