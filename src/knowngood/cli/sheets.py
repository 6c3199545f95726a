"""A sheet that a command weighs suspects or parts of."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from knowngood.sheet.model import Sheet


def sound(path: Path) -> "Sheet | None":
    """Return a sheet of which a problem can be made; None when what stands against that was printed with its line."""
    from knowngood.acts import planning
    from knowngood.acts.faults.problem import NO_PROBLEM
    from knowngood.checks import check

    read = planning.read_file(path)
    found = [one for one in check(read) if read.sheet is None or one.code in NO_PROBLEM]
    for problem in found:
        print(f"{problem.severity}: {problem.message}", file=sys.stderr)
    return None if found else read.sheet
