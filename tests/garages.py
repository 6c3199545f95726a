"""Garages for tests, and a hand that gives them entries as a page would."""

import itertools
import shutil
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime

from knowngood.acts.job.garage import open_garage
from knowngood.acts.job.problems import open_problems
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.store.event import Event

NOW = datetime(2026, 11, 21, 12, 0, tzinfo=UTC)
# What a test opens and keeps until its end; tests/conftest.py closes it there.
open_until_the_end = ExitStack()


@contextmanager
def opened(folder, *, like=None, clock=lambda: NOW):
    """A garage in a folder, open as long as it is needed; `like` is a folder that it begins as a copy of."""
    if like:
        shutil.copytree(like, folder)
    with open_garage(folder, clock=clock) as garage:
        yield garage


def giving(garage, stream="toolbox"):
    """give(kind, stream, **fields): hand an entry over, as typed, with an id of its own."""
    numbers = itertools.count(1)

    def give(kind, stream=stream, *, device="this computer", happened="", **fields):
        return take(garage, Entry(f"{next(numbers):032x}", stream, kind, fields, device, 0, happened))

    return give


def work_to_the_thermostat(garage, give):
    """Go on with the demo's first job, by its hand, until the thermostat is to be decided about."""
    read = {"coil": "101.1 ohm", "heater": "15.9 ohm"}
    while (step := garage.job("runs-hot").run.now).id != "decide_thermostat":
        for limit in step.read:
            give("reading_judged", limit=limit, read=read[limit], zero="0.4 ohm", part="48 °C", step=step.id)
        give("step_done", step=step.id, **({"amount": "4 L"} if step.drain or step.fill else {}))


def keep_old(garage, number, kind, stream, **data):
    """Keep an event in the first shape of its kind, as an older program did."""
    when = garage.now()
    return garage.store.append([
        Event.new(
            id=f"{number:032x}", stream=stream, kind=kind, device="old", device_seq=0,
            happened=when, recorded=when, data=data, version=1,
        )
    ])  # fmt: skip


def go_on_all_the_same(garage, give, job):
    """Overrule every stop that stands against a job."""
    for problem in open_problems(garage, garage.job(job)):
        if problem.severity == "stop":
            give("overruled", f"job/{job}", problem=problem.key, reason="seen to")
