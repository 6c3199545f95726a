"""Which safety system a name speaks of, and what only sounds like one."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from knowngood.engine.tables import table
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate.words import TABLE, compiled, said

# What a sheet or a person says of a part that belongs to none of them.
NONE = "none"
Declared = SafetyKind | Literal["none"]
# Ours: texts of a few sheets and readings, each read once.
KEPT = 4096
# Nobody at home measures, unplugs, opens or fits anything of these.
SEALED = (SafetyKind.RESTRAINTS, SafetyKind.HIGH_VOLTAGE, SafetyKind.REFRIGERANT)


@dataclass(frozen=True)
class Hit:
    """A part of a safety system that a text names.

    Args:
        kind: The system.
        words: As the text says it, in one form.
        stops: What is handed over when it is done to this part.
        weak: The words alone only ask back.
        start: Where it begins in the text that `said` gives.
        end: Where it ends there.
    """

    kind: SafetyKind
    words: str
    stops: frozenset[str]
    weak: bool
    start: int
    end: int

    @property
    def sealed(self) -> bool:
        """Only looking is for home."""
        return self.kind in SEALED


@lru_cache(maxsize=KEPT)
def hits(text: str) -> tuple[Hit, ...]:
    """Return the parts of safety systems that a text names, in order; look-alikes and shorter phrases drop out.

    Args:
        text: As written; `said` brings it to one form.

    Example:
        >>> [(one.kind.value, one.words) for one in hits("Fuel pump relay, front brake flex hose, fuel gauge")]
        [('brakes', 'brake flex hose')]
    """
    form, taken = said(text), list[tuple[int, int]]()
    kept: list[Hit] = []
    for start, end, row in sorted(_matches(form), key=_longest_first):
        if any(start < other_end and other_start < end for other_start, other_end in taken):
            continue
        taken.append((start, end))
        if "kind" in row:
            weak = row.get("weak", False)
            kept.append(Hit(SafetyKind(row["kind"]), form[start:end], frozenset(row["stops"]), weak, start, end))
    return tuple(sorted(kept, key=lambda one: one.start))


def _longest_first(match: tuple[int, int, Mapping[str, Any]]) -> tuple[int, int, bool, int, int]:
    """The most words; of equals a look-alike, then a part that is handed over, then the first."""
    start, _, row = match
    return -row["words"], "kind" in row, row.get("weak", False), -len(row.get("stops", ())), start


def _matches(form: str) -> Iterator[tuple[int, int, Mapping[str, Any]]]:
    words = table(TABLE) if form.strip() else {"look_alikes": (), "parts": ()}
    for row in (*words["look_alikes"], *words["parts"]):
        for phrase in row["phrases"]:
            for match in compiled(phrase).finditer(form):
                start, end = match.start(), match.end() - 1  # without the space behind it
                yield start, end, {**row, "words": form.count(" ", start, end) + 1}


def sounds_like(name: str) -> SafetyKind | None:
    """Return which safety system a name speaks of; a sure word beats one that only asks back.

    Example:
        >>> sounds_like("Front brake hose, left"), sounds_like("Charging cable"), sounds_like("Drive belt tensioner")
        (<SafetyKind.BRAKES: 'brakes'>, None, None)
    """
    hit = _foremost(name)
    return hit.kind if hit else None


def _foremost(name: str) -> Hit | None:
    return min(hits(name), key=lambda one: (one.weak, not one.sealed, not one.stops), default=None)


def kind_of(name: str, declared: Declared | None = None) -> SafetyKind | None:
    """Return which safety system a part belongs to: what was declared, else what its name sounds like.

    Args:
        name: As written.
        declared: What the sheet or the person says of it; "none" when it belongs to none.

    Example:
        >>> kind_of("Brake hose"), kind_of("Brake of the winch", "none"), kind_of("Hose", SafetyKind.BRAKES)
        (<SafetyKind.BRAKES: 'brakes'>, None, <SafetyKind.BRAKES: 'brakes'>)
    """
    if declared is None:
        return sounds_like(name)
    return None if declared == NONE else SafetyKind(declared)


def declared_kind(word: str) -> Declared | None:
    """Return what a sheet declares by a word, such as "brake hose"; None when it names no system.

    Example:
        >>> declared_kind("Brake  hoses"), declared_kind("none"), declared_kind("coolant hose")
        (<SafetyKind.BRAKES: 'brakes'>, 'none', None)
    """
    form = said(word).strip()
    if form == NONE:
        return "none"
    named = {said(kind.value).strip(): kind for kind in SafetyKind} | {"wheel": SafetyKind.WHEELS}
    whole = [one.kind for one in hits(word) if not one.weak and one.words == form]
    return named.get(form) or next(iter(whole), None) or _weakly(word, form)


def _weakly(word: str, form: str) -> SafetyKind | None:
    """A weak word that stands alone is no longer doubtful once it is declared."""
    return next((one.kind for one in hits(word) if one.words == form), None)
