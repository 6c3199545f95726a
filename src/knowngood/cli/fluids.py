"""The command `fluids`: what a job moved, circuit by circuit, what is owed, and what to have at hand."""

import argparse
import json
from pathlib import Path

from knowngood.cli.base import DONE, Parser


def options(parser: Parser) -> None:
    """What can be written behind the command."""
    parser.set_defaults(command=fluids)
    parser.add_argument("job", metavar="JOB", nargs="?", help="the job's id; left out when the garage has one job only")
    parser.add_argument("--garage", type=Path, help="the garage's folder")
    parser.add_argument("--json", action="store_true")


def fluids(arguments: argparse.Namespace) -> int:
    """Print the ledger of each circuit of a job."""
    from knowngood.acts.fluids.at_hand import fluid_at_hand
    from knowngood.acts.fluids.ledger import ledger
    from knowngood.acts.job.garage import existing_garage
    from knowngood.report.terminal import ledger_lines

    with existing_garage(arguments.garage) as garage:
        job = garage.job(arguments.job or garage.only_job())
        found = [(ledger(job, circuit), fluid_at_hand(garage, job, circuit)) for circuit in job.sheet.circuits]
    if arguments.json:
        rows = [ledger_lines.as_json(told, hand) for told, hand in found]
        print(json.dumps(rows, ensure_ascii=False, indent=1))
    else:
        print("\n\n".join(ledger_lines.ledger(job, told, hand) for told, hand in found) or "This job moves no fluid.")
    return DONE
