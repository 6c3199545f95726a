"""What a sheet says of its suspects must hold together: chances, tests, repairs, covers and what handing over costs."""

import math
from collections.abc import Collection, Iterator

from knowngood.checks.chances import shown_with, stated_with
from knowngood.checks.walk import Walk, spelled
from knowngood.engine.troubleshooting.model.parts import ADDS_UP, LEAST_OTHER, OTHER
from knowngood.sheet.model import Sheet
from knowngood.sheet.problem import Problem, Severity


def chances_add_up(walk: Walk) -> Iterator[Problem]:
    """Of ten vehicles more than ten, or fewer with nobody left to be the rest."""
    sheet = walk.sheet
    counts = [one.of_10 for one in sheet.suspects.values() if one.of_10 is not None]
    stated = sheet.none_of_these
    none = stated.value / 10.0 if stated else LEAST_OTHER * 10.0
    total = math.fsum(counts)
    room, silent = 10.0 - none - total, len(sheet.suspects) - len(counts)
    says = f"the suspects are {total:g} of 10 vehicles, and none of these {none:g}"
    if counts and (room < -ADDS_UP or (silent and room < ADDS_UP)):
        more = f", so nothing is left for {silent} more" if silent else ""
        yield _adding(walk, f"{says}{more}. They must leave room in ten. Lower one, or rank them instead.")
    elif counts and stated and not silent and room > ADDS_UP:
        words = "Raise one, or leave none_of_these out: it is then what is left."
        yield _adding(walk, f"{says}, which makes {total + none:g}. Together they must be ten. {words}")


def _adding(walk: Walk, words: str) -> Problem:
    return walk.problem("chances do not add up", Severity.STOP, ("suspects",), words)


def outcomes_add_up(walk: Walk) -> Iterator[Problem]:
    """What a test shows with one suspect, in words whose ranges cannot make a whole."""
    for name, test in walk.sheet.tests.items():
        named = {key: None for one in test.outcomes.values() for key in one.shows}
        for suspect in (*named, OTHER) if test.outcomes else ():
            found = [one for one in stated_with(test, suspect) if one is not None]
            least, most = math.fsum(one.lowest for one in found), math.fsum(one.highest for one in found)
            whole = len(found) == len(test.outcomes)
            if least <= 1.0 + ADDS_UP and (not whole or most >= 1.0 - ADDS_UP):
                continue
            known = walk.sheet.suspects.get(suspect)
            whose = f'with "{known.name}"' if known else "with any other suspect"
            much = f"at least {10 * least:.2g}" if least > 1.0 else f"at most {10 * most:.2g}"
            yield walk.problem(
                "chances do not add up", Severity.STOP, ("tests", name, "outcomes"),
                f'the outcomes of "{test.name}" {whose} make {much} of 10 vehicles. Each vehicle shows one of them, so '
                "they make ten. Change one of the words, or leave one out: it is then what is left.",
            )  # fmt: skip
            break


def repair_fixes_nothing(walk: Walk) -> Iterator[Problem]:
    """A repair that no suspect hangs on."""
    for name, repair in walk.sheet.repairs.items():
        if all(often.of_10 == 0.0 for often in repair.fixes.values()):
            yield walk.problem(
                "fixes nothing", Severity.STOP, ("repairs", name, "fixes"),
                f'the repair "{repair.name}" fixes none of the suspects. A repair is there for at least one. '
                f"Name it, one of {', '.join(walk.sheet.suspects) or 'those to come'}, or take the repair out.",
            )  # fmt: skip


def cover_in_itself(walk: Walk) -> Iterator[Problem]:
    """Covers of which each lies inside the next, round and round."""
    covers = walk.sheet.covers
    told: set[str] = set()
    for name in covers:
        ring, inner = [name], covers[name].inside
        while inner is not None and inner not in ring:
            ring.append(inner)
            inner = covers[inner].inside
        if inner != name or told & set(ring):
            continue
        told |= set(ring)
        way = " inside ".join(f'"{covers[one].name}"' for one in (*ring, name))
        yield walk.problem(
            "cover inside itself", Severity.STOP, ("covers", name, "inside"),
            f"{way}: none of them could come off first. Take inside out of the outermost.",
        )  # fmt: skip


def cover_never_off(walk: Walk) -> Iterator[Problem]:
    """A cover that no step takes off."""
    made = {fact.text for step in walk.sheet.steps for fact in step.makes}
    made |= {fact.text for fact in walk.sheet.start}
    for name, cover in walk.sheet.covers.items():
        if cover.fact and cover.fact.text not in made:
            yield walk.problem(
                "cover never off", Severity.CAUTION, ("covers", name, "fact"),
                f'"{cover.name}" is off when {spelled([cover.fact.text])} holds, which no step makes. What lies behind '
                f'it would never be seen as in reach. Add "makes: [{cover.fact.text}]" to the step that takes it off.',
            )  # fmt: skip


def suspect_named_twice(walk: Walk) -> Iterator[Problem]:
    """Two suspects of one name, which then counts twice."""
    seen: set[str] = set()
    for name, suspect in walk.sheet.suspects.items():
        said = " ".join(suspect.name.casefold().split())
        if said in seen:
            yield walk.problem(
                "suspect named twice", Severity.CAUTION, ("suspects", name),
                f'"{suspect.name}" is among the suspects twice, so it counts as twice as likely. Take one of them out, '
                "or say in the name what differs.",
            )  # fmt: skip
        seen.add(said)


def suspect_untouched(walk: Walk) -> Iterator[Problem]:
    """A suspect of which no test and no repair speaks, where the others have some."""
    sheet = walk.sheet
    if not sheet.tests and not sheet.repairs:
        return
    named = _suspects_of(sheet)
    for name, suspect in sheet.suspects.items():
        if name not in named:
            yield walk.problem(
                "suspect untouched", Severity.NOTE, ("suspects", name),
                f'"{suspect.name}" is in no test and in no repair. It can then only be handed over. Name it in what a '
                "test shows or in what a repair fixes, or take it out.",
            )  # fmt: skip


def _suspects_of(sheet: Sheet) -> Collection[str]:
    named = {one for repair in sheet.repairs.values() for one in repair.fixes}
    for test in sheet.tests.values():
        named |= {*test.shows, *(one for outcome in test.outcomes.values() for one in outcome.shows)}
    return named


def test_tells_nothing(walk: Walk) -> Iterator[Problem]:
    """A test that shows the same whatever it is."""
    for name, test in walk.sheet.tests.items():
        rows = {tuple(one.value for one in shown_with(test, key)) for key in (*walk.sheet.suspects, OTHER)}
        if len(rows) == 1:
            yield walk.problem(
                "test tells nothing", Severity.NOTE, ("tests", name),
                f'the test "{test.name}" shows the same with every suspect, so it tells nothing and is never proposed. '
                "Say with which suspects it shows more often, or take it out.",
            )  # fmt: skip


def takes_no_time(walk: Walk) -> Iterator[Problem]:
    """A test or repair that counts as free because nobody said what it takes."""
    for group, things in (("tests", walk.sheet.tests), ("repairs", walk.sheet.repairs)):
        for name, one in things.items():
            if not one.step and one.minutes is None:
                yield walk.problem(
                    "no time stated", Severity.NOTE, (group, name),
                    f'"{one.name}" names no step and no minutes, so it counts as taking no time and comes too early. '
                    'Name the step that does it, or write minutes: "10 min".',
                )  # fmt: skip


def no_quote(walk: Walk) -> Iterator[Problem]:
    """Nothing to weigh the repairs against."""
    sheet = walk.sheet
    if walk.quoted is False and sheet.quote is None and (sheet.tests or sheet.repairs):
        yield walk.problem(
            "no quote", Severity.NOTE, ("suspects",),
            "no quote is known, in the job or in the sheet. What is none of the suspects only a shop mends, so what to "
            "do next hangs on its price. Ask one and write it in the job, or the most that you would pay.",
        )  # fmt: skip
