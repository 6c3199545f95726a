"""How far a number of each kind goes on anything that a home mechanic works on; beyond it stands a slip.

All ours, and wide: nothing real is refused. What is known better, such as a brake disc, has closer bounds of its own.
"""

from collections.abc import Callable
from dataclasses import dataclass

from knowngood.units.table import Kind, UnitsError, kind_of, show, to_inside


@dataclass(frozen=True)
class Reach:
    """Between which two values a kind lies: ours, and wide, so that nothing real is refused. [unit inside]"""

    most: float
    why: str
    least: float | None = None

    def holds(self, value: float) -> bool:
        """Can a value be at all?

        Example:
            >>> REACH[Kind.TEMPERATURE].holds(-300.0), REACH[Kind.VOLUME].holds(6.2)
            (False, True)
        """
        return (-self.most if self.least is None else self.least) <= value <= self.most


_END = "no instrument at home goes further"
REACH: dict[Kind, Reach] = {
    Kind.RESISTANCE: Reach(1e10, _END),
    Kind.VOLTAGE: Reach(1000.0, _END),
    Kind.CURRENT: Reach(5000.0, "no starter draws more"),
    Kind.TEMPERATURE: Reach(2000.0, "nothing on a vehicle is", least=-273.0),
    Kind.TEMPERATURE_DIFFERENCE: Reach(2000.0, "nothing on a vehicle is"),
    Kind.VOLUME: Reach(2000.0, "no vehicle holds more"),
    Kind.LENGTH: Reach(20_000.0, "no vehicle at home is longer"),
    Kind.TORQUE: Reach(3000.0, "no bolt at home takes more"),
    Kind.FORCE: Reach(1000.0, "no vehicle at home weighs more"),
    Kind.MASS: Reach(60_000.0, "no vehicle at home weighs more"),
    Kind.PRESSURE: Reach(500_000.0, "no vehicle holds more"),
    Kind.DURATION: Reach(1_000_000.0, "no job takes two years"),
    Kind.DISTANCE: Reach(10_000_000.0, "no vehicle goes that far"),
    Kind.ANGLE: Reach(3600.0, "no bolt is turned ten times round"),
    Kind.SHARE: Reach(1000.0, "no share is ten times the whole"),
    Kind.DENSITY: Reach(30.0, "nothing is heavier"),
}
# Of these nobody writes thousandths, so that a point before three digits may set thousands apart as well.
NO_THOUSANDTHS = frozenset({Kind.DISTANCE})


def beyond_in(unit: str, beyond: Callable[[float], bool] | None) -> Callable[[float], bool]:
    """Return what says of a value in a written unit that it cannot be.

    Args:
        unit: As printed.
        beyond: Says so of one in the unit inside; None takes the reach of the unit's kind.
    """
    cannot_be = beyond or (lambda value: not REACH[kind_of(unit)].holds(value))
    return lambda value: cannot_be(to_inside(value, unit))


def refuse_beyond(value: float, unit: str, shown: str) -> None:
    """Refuse a value that cannot be. [unit inside]

    Raises:
        UnitsError: With the end that it passes.
    """
    reach = REACH[kind_of(unit)]
    if reach.holds(value):
        return
    over = value > reach.most
    end = reach.most if over else -reach.most if reach.least is None else reach.least
    compared = f"more than {show(end, unit)}" if over else f"less than {show(end, unit)}"
    raise UnitsError(f'"{shown}" is {compared}: {reach.why}. Check the number and its unit.')
