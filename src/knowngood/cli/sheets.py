"""A sheet that a command weighs suspects or parts of."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from knowngood.sheet.model import Sheet


def sound(path: Path) -> "Sheet | None":
    """Return a sheet of which a problem can be made; None when what stands against that was printed with its line.

    What the gate stops is printed as well; it takes no part in a plan.
    """
    from knowngood.acts.faults.problem import NO_PROBLEM
    from knowngood.acts.job import planning
    from knowngood.checks import check
    from knowngood.checks.safety import GATE

    read = planning.read_file(path)
    told = [one for one in check(read) if read.sheet is None or one.code in NO_PROBLEM or one.code in GATE]
    found = [one for one in told if one.code not in GATE]
    for problem in told:
        print(f"{problem.severity}: {problem.message}", file=sys.stderr)
    return None if found else read.sheet
