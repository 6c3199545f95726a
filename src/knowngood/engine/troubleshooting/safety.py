"""Parts that someone's safety hangs on: no price is weighed against them."""

import re
from enum import StrEnum


class SafetyKind(StrEnum):
    """What a part belongs to, when it is one of these."""

    BRAKES = "brakes"
    STEERING = "steering"
    SUSPENSION = "suspension"
    WHEELS = "tyres and wheel bolts"
    RESTRAINTS = "belts and airbags"
    FUEL = "fuel"


# Ours: the words by which a sheet may declare what a part belongs to. A word counts only as a whole, as it stands here
# or with an s: nothing is read out of a part's name, for what a name does not say would then go unprotected unseen.
WORDS: dict[SafetyKind, tuple[str, ...]] = {
    SafetyKind.BRAKES: (
        "brake", "brake pad", "brake shoe", "brake disc", "brake drum", "brake caliper", "brake cylinder",
        "brake hose", "brake line", "brake fluid", "brake servo", "parking brake", "abs",
    ),
    SafetyKind.STEERING: (
        "steering", "steering rack", "steering column", "steering joint", "steering pump", "tie rod", "track rod",
        "track rod end",
    ),
    SafetyKind.SUSPENSION: (
        "suspension", "ball joint", "control arm", "spring", "damper", "shock absorber", "strut", "anti-roll bar",
        "wheel bearing", "hub",
    ),
    SafetyKind.WHEELS: (
        "wheel", "wheels", "tyre", "tire", "tyres and wheel bolts", "wheel bolt", "wheel nut", "wheel stud", "rim",
    ),
    SafetyKind.RESTRAINTS: (
        "belt and airbag", "belts and airbags", "seat belt", "belt tensioner", "airbag", "child seat anchor",
    ),
    SafetyKind.FUEL: (
        "fuel", "fuel line", "fuel hose", "fuel pump", "fuel tank", "fuel filter", "fuel rail", "injector",
    ),
}  # fmt: skip

_KIND_OF = {
    form: kind
    for kind, words in WORDS.items()
    for word in (kind.value, *words)
    for form in (word, word + "s")  # "brake pads" as well as "brake pad"
}


def safety_kind(declared: str) -> SafetyKind | None:
    """Return which safety system a part belongs to, by the word that its sheet declares; None for any other.

    Args:
        declared: What the sheet says that the part is, such as "brake hose"; case and spaces do not matter.

    Returns:
        The system, or None when the word is not on the list: the part may then be weighed by its prices.

    Example:
        >>> safety_kind("Brake  hoses"), safety_kind("coolant hose")
        (<SafetyKind.BRAKES: 'brakes'>, None)
    """
    return _KIND_OF.get(" ".join(declared.casefold().split()))


def sounds_like(name: str) -> SafetyKind | None:
    """Return which safety system a part's name speaks of, to ask back; what it is, only its sheet declares.

    Args:
        name: As a person wrote it; only whole words count, and longer ones first.

    Example:
        >>> sounds_like("Front brake hose, left"), sounds_like("Charging cable")
        (<SafetyKind.BRAKES: 'brakes'>, None)
    """
    words = " ".join(re.findall(r"[\w-]+", name.casefold()))
    found = (form for form in sorted(_KIND_OF, key=len, reverse=True) if f" {form} " in f" {words} ")
    return next((_KIND_OF[form] for form in found), None)


def caution(kind: SafetyKind) -> str:
    """Return the sentence that stands where a doubtful part of this kind is decided about.

    Example:
        >>> caution(SafetyKind.BRAKES)
        'Brakes: a part in doubt is replaced, or handed over to a mechanic; do not drive on it.'
    """
    return f"{kind.value.capitalize()}: a part in doubt is replaced, or handed over to a mechanic; do not drive on it."
