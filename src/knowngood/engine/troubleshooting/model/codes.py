"""Trouble codes decoded by their structure alone; what a code says in words is in the vehicle's manual."""

from dataclasses import dataclass
from enum import StrEnum
from itertools import product

HEX = "0123456789ABCDEF"


class Area(StrEnum):
    """What part of the vehicle a code is about: its letter."""

    POWERTRAIN = "engine and gearbox"
    CHASSIS = "chassis"
    BODY = "body"
    NETWORK = "network between the control units"


class SetBy(StrEnum):
    """Who laid down what the number means."""

    STANDARD = "the standard: it means the same on every vehicle"
    MAKER = "the maker: look it up in this vehicle's manual"
    EITHER = "the standard or the maker: the manual says which"
    RESERVED = "nobody yet: reserved, so read it once more"


class Group(StrEnum):
    """What a powertrain code is about: its third sign."""

    FUEL_AIR = "fuel, air and emissions"
    IGNITION = "ignition and misfires"
    AUXILIARY = "auxiliary emission controls"
    SPEED_IDLE = "speed and idle"
    COMPUTER = "control unit and its outputs"
    TRANSMISSION = "transmission"
    HYBRID = "hybrid drive"


AREAS = {"P": Area.POWERTRAIN, "C": Area.CHASSIS, "B": Area.BODY, "U": Area.NETWORK}

# By the first two signs. Source: DTC_STRUCTURE, groupings.
_SET_BY = {
    **{letter + "0": SetBy.STANDARD for letter in AREAS},
    **{letter + "1": SetBy.MAKER for letter in AREAS},
    **{letter + "2": SetBy.MAKER for letter in "CBU"},
    "P2": SetBy.STANDARD,
    "C3": SetBy.RESERVED,
    "B3": SetBy.RESERVED,
    "U3": SetBy.EITHER,
}
# P3 is split by its third sign, from memory. Source: DTC_STRUCTURE; beyond 9 nothing was found.
_SET_BY_P3 = {sign: SetBy.MAKER if sign in "0123" else SetBy.STANDARD for sign in HEX[:10]}
# Source: DTC_STRUCTURE, powertrain; above 9 for P0 alone, what P2 means there was not found.
_GROUPS = {
    **dict.fromkeys("012", Group.FUEL_AIR),
    "3": Group.IGNITION,
    "4": Group.AUXILIARY,
    "5": Group.SPEED_IDLE,
    "6": Group.COMPUTER,
    **dict.fromkeys("789", Group.TRANSMISSION),
}
_GROUP_OF = {
    **{"P" + second + third: group for second, (third, group) in product("012", _GROUPS.items())},
    **{"P0" + third: Group.HYBRID for third in "ABC"},
}

# What each of the five signs may be: the signs, and how a person says it.
_PLACES = (
    ("first", "".join(AREAS), "a code begins with P, C, B or U"),
    ("second", "0123", "it is 0, 1, 2 or 3"),
    *((place, HEX, "it is 0 to 9 or A to F") for place in ("third", "fourth", "fifth")),
)
# Letters that are no sign of a code, and the digit that they look like.
_LOOKS_LIKE = str.maketrans("OIL", "011")


@dataclass(frozen=True)
class TroubleCode:
    """A trouble code.

    Args:
        code: Its five signs, such as "P0300".
        failure_type: The two signs that some tools add after a dash; None without.
        area: What part of the vehicle.
        set_by: Who laid down what it means.
        group: What a powertrain code is about; None where that is not laid down.
    """

    code: str
    failure_type: str | None
    area: Area
    set_by: SetBy
    group: Group | None

    @property
    def group_sure(self) -> bool:
        """Laid down by the standard; a maker's own codes follow its groups only as a habit."""
        return self.group is not None and self.set_by == SetBy.STANDARD


def decode(typed: str) -> TroubleCode:
    """Return what the structure of a trouble code says.

    Args:
        typed: As the tool shows it; small letters and spaces do not matter.

    Raises:
        ValueError: No code, or a sign that cannot stand where it stands.

    Source:
        DTC_STRUCTURE, groupings and powertrain groups.
        The split of P3, P30 to P33 and P34 to P39, is from memory.

    Example:
        >>> found = decode("p 0300")
        >>> found.code, found.group.value, found.set_by.value
        ('P0300', 'ignition and misfires', 'the standard: it means the same on every vehicle')
    """
    signs, dash, failure_type = "".join(typed.upper().split()).partition("-")
    _check(signs)
    if dash and not (len(failure_type) == 2 and set(failure_type) <= set(HEX)):
        raise ValueError(
            f'{signs}-{failure_type}: after the dash stands "{failure_type}"; two signs of 0 to 9 or A to F belong '
            "there. Leave the dash out when the tool shows none."
        )
    by_third = _SET_BY_P3.get(signs[2], SetBy.EITHER)
    return TroubleCode(
        signs, failure_type or None, AREAS[signs[0]], _SET_BY.get(signs[:2], by_third), _GROUP_OF.get(signs[:3])
    )


def _check(signs: str) -> None:
    if not signs:
        raise ValueError("no code is written; write it as the tool shows it, such as P0300.")
    for sign, (place, allowed, says) in zip(signs, _PLACES, strict=False):
        if sign not in allowed:
            raise ValueError(f"{signs}: the {place} sign is {sign}; {says}. {_remedy(signs)}")
    if len(signs) != len(_PLACES):
        raise ValueError(
            f"{signs}: {len(signs)} signs; a code has five, a letter and four more. Read it once more from the tool."
        )


def _remedy(signs: str) -> str:
    meant = signs[:1] + signs[1:].translate(_LOOKS_LIKE)
    fits = len(meant) == len(_PLACES) and all(
        one in allowed for one, (_, allowed, _) in zip(meant, _PLACES, strict=True)
    )
    return f"Did you mean {meant}?" if fits else "Read it once more from the tool."


class Status(StrEnum):
    """How far the vehicle itself is sure of a code."""

    PENDING = "pending"
    CONFIRMED = "confirmed"
    PERMANENT = "permanent"

    @property
    def says(self) -> str:
        """What that means, for the mechanic.

        Source:
            ISO_15031_5, for all three.
        """
        return _STATUS_SAYS[self]


_STATUS_SAYS = {
    Status.PENDING: "seen, but not often enough to be sure; it goes by itself if it is not seen again",
    Status.CONFIRMED: "seen often enough to be stored; note its conditions before anything is cleared",
    Status.PERMANENT: "it cannot be cleared; the vehicle drops it when its own check has run and passed",
}


def status(typed: str) -> Status:
    """Return the status that a word names.

    Raises:
        ValueError: Not one of the three.

    Example:
        >>> status(" Pending").value
        'pending'
    """
    word = typed.strip().casefold()
    if word not in set(Status):
        raise ValueError(f'"{typed.strip()}" is no status of a code; write {", ".join(Status)}.')
    return Status(word)
