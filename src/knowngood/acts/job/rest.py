"""Where a person may walk away, and what to do first where not."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from knowngood.sheet.facts import Fact

# Ours: what nobody may walk away from, and what to do about it.
NEVER_LEFT = {
    "running": "Switch the {} off.",
    "brake_held": "Set the parking brake and chock the wheels, then take the foot off the brake.",
}
RAISED = "Lower the {} to the ground, or set it on two stands: a jack alone must not hold it."
HELD = ("on_stands", "on_ramps")


@dataclass(frozen=True)
class Rule:
    """While `fact` holds and none of `unless` does, `do` comes before walking away."""

    fact: str
    unless: tuple[str, ...]
    do: str


def rules(facts: Iterable[str]) -> list[Rule]:
    """Return the rules for those of the facts that may not be left alone."""
    found = []
    for text in sorted(set(facts)):
        fact = Fact.read(text)
        plain = (fact.of or fact.word).replace("_", " ")
        if fact.word in NEVER_LEFT:
            found.append(Rule(text, (), NEVER_LEFT[fact.word].format(plain)))
        elif fact.word == "raised":
            held = tuple(Fact(word, fact.of).text for word in HELD)
            found.append(Rule(text, held, RAISED.format(plain)))
    return found


def before_leaving(facts: Collection[str]) -> list[str]:
    """Return what to do before walking away with these facts holding; nothing where it is safe to stop.

    Example:
        >>> before_leaving(["raised(front)", "on_stands(front)"])
        []
        >>> before_leaving(["running(engine)"])
        ['Switch the engine off.']
    """
    return [rule.do for rule in rules(facts) if not set(rule.unless) & set(facts)]
