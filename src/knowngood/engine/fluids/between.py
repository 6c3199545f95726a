"""Between the rows of a printed table: straight lines that carry floats, complex numbers and arrays alike."""

from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]


def on_line(x: Any, nodes: Array, values: Array) -> Any:
    """Return the value at x on straight lines between the nodes; the end lines go on beyond the table.

    Args:
        x: Where; a float, a complex number or an array.
        nodes: Rising places of the table.
        values: What it says there.

    Example:
        >>> float(on_line(1.5, np.array([0.0, 1.0, 2.0]), np.array([0.0, 10.0, 30.0])))
        20.0
    """
    at, share = _cell(x, nodes)
    return values[at] * (1.0 - share) + values[at + 1] * share


def on_grid(x: Any, y: Any, rows: Array, columns: Array, values: Array) -> Any:
    """Return the value at x, y of a table with rows and columns, straight in each of them.

    Args:
        x: Along the rows.
        y: Along the columns.
        rows: Rising places of the rows.
        columns: Rising places of the columns.
        values: One row of it for each of the rows.

    Example:
        >>> edge = np.array([0.0, 1.0])
        >>> float(on_grid(0.5, 0.25, edge, edge, np.array([[0.0, 4.0], [2.0, 6.0]])))
        2.0
    """
    down, share_down = _cell(x, rows)
    across, share_across = _cell(y, columns)

    def line(row: Any) -> Any:
        return values[row, across] * (1.0 - share_across) + values[row, across + 1] * share_across

    return line(down) * (1.0 - share_down) + line(down + 1) * share_down


def _cell(x: Any, nodes: Array) -> tuple[Any, Any]:
    """Which cell x lies in, and how far along it; the real part of a complex number decides."""
    at = np.clip(np.searchsorted(nodes, np.real(x)) - 1, 0, len(nodes) - 2)
    return at, (x - nodes[at]) / (nodes[at + 1] - nodes[at])
