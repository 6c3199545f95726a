"""On Now: what stands against the step because the vehicle stands otherwise, and the taps that say how it stands."""

from dataclasses import replace
from typing import Any

from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.standing import Against, Assumed, against, answers, at_step, checked_start, said_together
from knowngood.acts.job.vehicle_log import elsewhere
from knowngood.sheet.model import Step
from knowngood.sheet.problem import Answer
from knowngood.web.parts.forms import Button, Form, Kept


def answer_form(job: Job, one: Answer, back: str) -> Form:
    """The one tap that settles a problem."""
    return Form(one.kind, f"job/{job.id}", back, (), [Button(one.words)], dict(one.fields))


def articles(garage: Garage, job: Job, step: Step, kept: Kept | None) -> list[dict[str, Any]]:
    """One for each group of facts that stands against any step of the run; those of other steps are put aside.

    A phone that is cut off shows and hides them as it goes from step to step.
    """
    stops, known = checked_start(job), elsewhere(garage.moves_of(job.vehicle_id), job.id)
    now = [replace(row, stops=row.stops and stops) for row in at_step(garage, job, step)]
    groups: dict[str, list[Against]] = {row.group: [] for row in now}
    for one in job.run.standing:
        for row in against(Assumed.by(job.sheet.step(one)), known, known.holds, known.gone):
            groups.setdefault(row.group, []).append(row)
    return [_article(garage, job, group, rows, [row for row in now if row.group == group], kept)
            for group, rows in groups.items()]  # fmt: skip


def _article(
    garage: Garage, job: Job, group: str, rows: list[Against], now: list[Against], kept: Kept | None
) -> dict[str, Any]:
    taps = answers(garage, job, list({row.fact: row for row in (*now, *rows)}.values()))
    return {
        "group": group,
        "severity": "stop" if any(row.stops for row in now) else "caution",
        "words": said_together(now),
        "forms": [answer_form(job, tap, f"/job/{job.id}/now").shown(kept) for tap in taps],
        "hidden": not now,
    }
