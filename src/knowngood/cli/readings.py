"""The command `readings`: what was read in a job, what no longer holds of it, and to judge one again."""

import argparse
import json
import secrets
from pathlib import Path
from typing import TYPE_CHECKING

from knowngood.cli.base import DONE, Parser, wrong_use

if TYPE_CHECKING:
    from knowngood.acts.job.garage import Garage, Job
    from knowngood.store.event import Event


def options(parser: Parser) -> None:
    """What can be written behind the command."""
    parser.set_defaults(command=readings)
    parser.add_argument("job", metavar="JOB", nargs="?", help="the job's id; left out when the garage has one job only")
    parser.add_argument("--garage", type=Path, help="the garage's folder")
    parser.add_argument("--again", default="", metavar="NUMBER", help="judge that reading again by what holds now")
    parser.add_argument("--json", action="store_true")


def readings(arguments: argparse.Namespace) -> int:
    """Print the readings of a job as they count, numbered, the oldest first."""
    from knowngood.acts.job.garage import existing_garage

    with existing_garage(arguments.garage) as garage:
        job_id = arguments.job or garage.only_job()
        if arguments.again:
            chosen = _chosen(garage.job(job_id), arguments.again)
            if chosen is None:
                return wrong_use({"again": f'no reading has the number "{arguments.again}". Leave it out to see them.'})
            _judge_again(garage, job_id, chosen)
        rows = [_row(garage, garage.job(job_id), event) for event in garage.job(job_id).state.counting]
    if arguments.json:
        print(json.dumps(rows, ensure_ascii=False, indent=1))
    else:
        print("\n".join(_lines(rows)) or "No reading yet.")
    return DONE


def _chosen(job: "Job", number: str) -> "Event | None":
    """The reading of that number; those attached from the toolbox were judged there."""
    numbered = {str(place): event for place, event in enumerate(job.state.counting, 1)}
    return numbered.get(number.strip())


def _judge_again(garage: "Garage", job_id: str, reading: "Event") -> None:
    from knowngood.acts.devices import HERE, sent_by
    from knowngood.acts.record.entries import Entry
    from knowngood.acts.record.take import take

    fields = {"again": reading.id}
    take(garage, Entry(secrets.token_hex(16), f"job/{job_id}", "reading_judged", fields, sent_by(HERE, "terminal")))


def _row(garage: "Garage", job: "Job", event: "Event") -> dict[str, str]:
    from knowngood.acts.book import reading_words
    from knowngood.acts.job.revised import mark_words, why_again

    why = "" if job.state.finished else why_again(garage, job, event)
    return {
        "id": event.id,
        "limit": event.data["limit"] or "",
        "words": reading_words(event.data),
        "mark": mark_words(job, event),
        "why_again": why,
    }


def _lines(rows: list[dict[str, str]]) -> list[str]:
    """Each reading with its number, and behind one that may be judged again how."""
    lines = []
    for number, row in enumerate(rows, 1):
        lines += [f"{number}. {row['words']}", *([f"   {row['mark']}"] if row["mark"] else [])]
        if row["why_again"]:
            why = "" if row["why_again"] in row["mark"] else f"{row['why_again']} "
            lines.append(f"   {why}Write --again {number} to judge it by what holds now.")
    return lines
