"""What every command stands on: exit codes, and a parser that says wrong use in one sentence."""

import argparse
import re
import sys
from collections.abc import Callable, Mapping
from typing import Any, NoReturn

DONE, PROBLEMS, WRONG_USE = 0, 1, 2
# The argument parser's wording, and ours.
PLAIN_WORDS = (
    (r"argument COMMAND: invalid choice: ('.*?') \(choose from (.*)\)", r"\1 is no command; there are \2"),
    (r"argument (--\w+): invalid int value: ('.*')", r"\1 is \2; a whole number belongs there"),
    (r"the following arguments are required: (.*)", r"\1 is missing"),
)


class Parser(argparse.ArgumentParser):
    """Wrong use in one sentence, with where to look; more help is made only when it is asked for."""

    further_help: Callable[[], str] | None = None

    def format_help(self) -> str:
        """The options, and behind them what is only made when it is asked for."""
        return super().format_help() + (self.further_help() if self.further_help else "")

    def error(self, message: str) -> NoReturn:
        """Say what is wrong in our words, and end."""
        for found, instead in PLAIN_WORDS:
            message = re.sub(found, instead, message)
        self.exit(WRONG_USE, f"{self.prog}: {message}. See {self.prog} --help.\n")


def wrong_use(problems: Mapping[str, str]) -> int:
    """Say what cannot be used, each sentence at its option; return the exit code for it."""
    for name, sentence in problems.items():
        print(f"--{name}: {sentence}" if name else sentence, file=sys.stderr)
    return WRONG_USE


def command(commands: Any, name: str, run: Callable[[argparse.Namespace], int], what: str) -> argparse.ArgumentParser:
    """Add a command that runs a function."""
    parser: argparse.ArgumentParser = commands.add_parser(name, help=what, description=what)
    parser.set_defaults(command=run)
    return parser
