"""The command `stands`: what stands open on each vehicle, with job and step."""

import argparse
import json
from pathlib import Path

from knowngood.cli.base import DONE, Parser


def options(parser: Parser) -> None:
    """What can be written behind the command."""
    parser.set_defaults(command=stands)
    parser.add_argument("--garage", type=Path, help="the garage's folder")
    parser.add_argument("--json", action="store_true")


def stands(arguments: argparse.Namespace) -> int:
    """Print how each vehicle stands, over all its jobs."""
    from knowngood.acts.job.garage import existing_garage
    from knowngood.acts.job.standing import open_words

    with existing_garage(arguments.garage) as garage:
        found = {one.name: open_words(garage.moves_of(vehicle)) for vehicle, one in garage.vehicles().items()}
    if arguments.json:
        print(json.dumps(found, ensure_ascii=False, indent=1))
        return DONE
    for name, rows in found.items():
        print(f"{name}: {'nothing stands open.' if not rows else ''}".rstrip())
        for words in rows:
            print(f"  {words}")
    return DONE
