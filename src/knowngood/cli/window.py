"""The command `window`: when a fluid enters and leaves its window, from typed temperatures or a log."""

import argparse
import json
import math
import secrets
import time
from collections.abc import Callable, Generator, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from knowngood.cli.base import DONE, Parser, wrong_use

if TYPE_CHECKING:
    from knowngood.acts.fluids.temperature_log import TemperatureLog
    from knowngood.acts.fluids.warming import Warming
    from knowngood.acts.job.garage import Garage

# How often a file that grows is looked at, and how far apart temperatures are kept. [s]
LOOK_S, APART_S = 1.0, 10.0


def options(parser: Parser) -> None:
    """What can be written behind the command."""
    parser.set_defaults(command=window)
    parser.add_argument("file", type=Path, nargs="?", metavar="FILE", help="a log of temperatures with their times")
    parser.add_argument("--band", required=True, help='the window: "35..45 °C"')
    parser.add_argument("--time", default="", metavar="COL", help="the log's column of times")
    parser.add_argument("--temperature", default="", metavar="COL", help="the log's column of temperatures")
    parser.add_argument("--unit", default="", help="the log's °C or °F, where it does not say itself")
    parser.add_argument(
        "--reading", action="append", default=[], metavar="WORDS", help='instead of a log: "0 min 24 °C", once for each'
    )
    parser.add_argument("--read-with", default="display", help="display, probe or infrared")
    parser.add_argument("--coolant", action="store_true", help="it is coolant, not oil")
    parser.add_argument("--follow", action="store_true", help="go on as the log grows, until the window is past")
    parser.add_argument("--garage", type=Path, help="keep the log's temperatures in a job of this garage, for Now")
    parser.add_argument("--job", default="", help="that job's id; left out when the garage has one job only")
    parser.add_argument("--circuit", default="", help="that job's circuit, such as gearbox")
    parser.add_argument("--json", action="store_true")


def window(arguments: argparse.Namespace) -> int:
    """Say when the window opens and closes, counted from the last reading."""
    from knowngood.refusal import Refused

    if bool(arguments.file) == bool(arguments.reading):
        return wrong_use({"reading": 'give a log, or readings such as --reading "0 min 24 °C", not both.'})
    try:
        with closing(_answers(arguments)) as answers:
            for told, notes in answers:
                _print(told, notes, as_json=arguments.json)
                if told.window.state.value == "past":
                    break
    except Refused as refused:
        return wrong_use(refused.problems)
    except KeyboardInterrupt:  # how following is ended
        pass
    return DONE


def _answers(arguments: argparse.Namespace) -> Generator[tuple["Warming", tuple[str, ...]], None, None]:
    """One answer; while a log is followed, one each time it has grown by a reading."""
    if not arguments.file:
        rows = _typed(arguments.reading)
        whole = all(celsius == round(celsius) for _, celsius in rows)
        yield _told(arguments, rows, 1.0 if whole else 0.1), ()
        return
    seen = 0
    with _keeper(arguments) as keep:
        while True:
            log = _log(arguments)
            if log and len(log.times_s) != seen:
                keep(log)
                seen = len(log.times_s)
                yield _told(arguments, tuple(zip(log.times_s, log.celsius, strict=True)), log.step_k), log.notes
            if not arguments.follow:
                return
            time.sleep(LOOK_S)


def _print(told: "Warming", notes: tuple[str, ...], *, as_json: bool) -> None:
    if as_json:
        from knowngood.acts.fluids.warming import as_json as document

        print(json.dumps(document(told, notes), ensure_ascii=False), flush=True)
    else:
        from knowngood.report.terminal import fluids

        print(fluids.warming(told, notes), flush=True)


def _told(arguments: argparse.Namespace, rows: tuple[tuple[float, float], ...], step_k: float) -> "Warming":
    from knowngood import units
    from knowngood.acts.fluids.warming import READ_WITH, followed
    from knowngood.refusal import Refused, parsed

    if arguments.read_with not in READ_WITH:
        raise Refused({"read-with": f'"{arguments.read_with}" is none of these: {", ".join(READ_WITH)}.'})
    allowed = parsed("band", lambda: units.span(arguments.band, units.Kind.TEMPERATURE, unit="°C"))
    last = rows[-1][0]
    readings = [(seconds - last, celsius, step_k, arguments.read_with) for seconds, celsius in rows]
    return followed(readings, allowed, datetime.now(UTC), oil=not arguments.coolant)


def _log(arguments: argparse.Namespace) -> "TemperatureLog | None":
    """The log as it stands; None while one that is followed holds no more than names of columns."""
    from knowngood.acts.fluids.temperature_log import temperature_log
    from knowngood.refusal import Refused

    try:
        written = arguments.file.read_bytes()
        # Spreadsheets write UTF-16 too; two bytes at its beginning tell.
        encoding = "utf-16" if written[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
        text = written.decode(encoding, errors="replace")
        if arguments.follow:
            text = text[: text.rfind("\n") + 1]  # its last line may be half written
            if text.count("\n") < 2:
                return None
    except OSError as trouble:
        why = (trouble.strerror or "it cannot be read").lower()
        raise Refused({"": f"{arguments.file}: {why}. Give the log's name and folder."}) from trouble
    try:
        return temperature_log(text, time=arguments.time, temperature=arguments.temperature, unit=arguments.unit)
    except Refused as refused:
        raise Refused({
            name: words if name else f"{arguments.file}: {words}" for name, words in refused.problems.items()
        }) from refused  # fmt: skip


@contextmanager
def _keeper(arguments: argparse.Namespace) -> Iterator[Callable[["TemperatureLog"], None]]:
    """What keeps a log's temperatures in a job, each once and not closer than can matter; without a garage nothing."""
    if not arguments.garage:
        yield lambda _: None
        return
    from knowngood.acts.job.garage import existing_garage

    with existing_garage(arguments.garage) as garage:
        stream = f"job/{arguments.job or garage.only_job()}"
        kept_until = [-math.inf]
        yield partial(_keep, garage, arguments, stream, kept_until)


def _keep(
    garage: "Garage", arguments: argparse.Namespace, stream: str, kept_until: list[float], log: "TemperatureLog"
) -> None:
    from knowngood.acts.record.entries import Entry
    from knowngood.acts.record.take import take

    written = arguments.file.stat().st_mtime
    if log.times_s[-1] < kept_until[0]:
        kept_until[0] = -math.inf  # its clock started anew
    for seconds, celsius in zip(log.times_s, log.celsius, strict=True):
        if seconds < kept_until[0] + APART_S:
            continue
        at = datetime.fromtimestamp(written - (log.times_s[-1] - seconds), UTC)
        fields = {"circuit": arguments.circuit, "celsius": f"{celsius:g} °C", "read_with": arguments.read_with}
        fields["again"] = fields["celsius"]  # a log has nobody who could be asked whether it is right
        take(garage, Entry(secrets.token_hex(16), stream, "temperature_read", fields, "log", 0, at.isoformat()))
        kept_until[0] = seconds


def _typed(readings: list[str]) -> tuple[tuple[float, float], ...]:
    """Seconds and °C."""
    from knowngood.acts.fluids.temperature_log import COLDEST_C, HOTTEST_C
    from knowngood.refusal import Refused, parsed
    from knowngood.units.timed import timed

    rows = tuple((60.0 * at, celsius) for at, celsius in parsed("reading", lambda: timed(", ".join(readings))))
    wrong = [celsius for _, celsius in rows if not COLDEST_C <= celsius <= HOTTEST_C]
    if wrong:
        raise Refused(
            {"reading": f"{wrong[0]:g} °C is no temperature of a fluid in a vehicle. Check it, and °C or °F."}
        )
    return rows
