"""What stands against a sheet and a job, with this garage's toolbox and this vehicle's answers."""

from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.overruled import overrules
from knowngood.acts.job.planning import read_file
from knowngood.acts.job.standing import standing_problems
from knowngood.acts.tools.instruments import from_json
from knowngood.acts.tools.toolbox import instrument_for, standing, unit_of
from knowngood.checks import Toolbox, ToolMeter, check
from knowngood.engine.fasteners.wrenches import Wrench
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.sheet.problem import Problem
from knowngood.store.folds import ToolboxState


def check_file(path: Path, *, garage: Garage | None) -> list[Problem]:
    """Find every problem of a sheet in a file; with a garage, its toolbox counts too.

    Raises:
        Refused: The file cannot be read.
    """
    return check(read_file(path), toolbox=toolbox_of(garage) if garage else None)


def open_problems(garage: Garage, job: Job) -> list[Problem]:
    """What the checks find for a job with this garage's toolbox, this vehicle's answers and the kit so far.

    What was overruled with a reason is left out; the book keeps it.
    """
    found = check(
        job.reading_as_said,
        toolbox=toolbox_of(garage),
        answers=job.answers,
        kit=[event.data["part"] for event in job.state.kit],
        scope=job.scope,
        driven=job.vehicle.driven,
        quoted=job.quote is not None,
    )
    found += standing_problems(garage, job)
    overrulings = [event.data for event in job.state.overruled]
    return [problem for problem in found if not any(overrules(data, problem, found) for data in overrulings)]


def toolbox_of(garage: Garage) -> Toolbox:
    """The wrenches, and the lines of the meters that stand, as far as they are known."""
    toolbox = garage.toolbox()
    wrenches = (event.data for event in toolbox.wrenches)
    rows = dict.fromkeys((event.data["name"], unit_of(event)) for event in toolbox.instruments)
    lines = [
        (name, unit, line.data)
        for name, unit in rows
        for line in standing([one for one in toolbox.instruments if one.data["name"] == name], unit)
    ]
    return Toolbox(
        tuple(Wrench(one["name"], one["upper_nm"], one["lower_nm"], one["percent"]) for one in wrenches),
        tuple(
            ToolMeter(from_json(one), unit, one.get("lower"), one.get("upper"), _known(toolbox, name, unit))
            for name, unit, one in lines
        ),
    )


def _known(toolbox: ToolboxState, name: str, unit: str) -> Callable[[float], Meter]:
    """The instrument at a reading that one of its lines holds, with what its checks have shown."""

    def at(reading: float) -> Meter:
        found = instrument_for(toolbox, name, unit, [reading])
        assert found is not None  # a line of that name stands
        return found.trusted(reading)

    return at


def problem_json(problem: Problem) -> dict[str, Any]:
    """A problem as plain JSON."""
    return {**asdict(problem), "severity": problem.severity.value}
