"""Names that a sheet uses and does not define, and facts that nothing else knows."""

import difflib
from collections.abc import Collection, Iterator
from typing import Any

from knowngood.sheet.facts import WORDS, Fact, nearest
from knowngood.sheet.model import AskFor, AskRef, Circuit, Sheet, Step, WhenDecided, WhenLimit
from knowngood.sheet.same import answered_by
from knowngood.sheet.suspects import NONE_OF_THESE

AXLES = ("front", "rear", "left", "right", "all")
Path = tuple[str | int, ...]
Row = tuple[Path, str, str]


def dangling(sheet: Sheet) -> Iterator[Row]:
    """Each name that points nowhere: its path, a sentence, the name."""
    yield from _twice(sheet)
    yield from _asks(sheet)
    yield from _same(sheet)
    yield from _parts(sheet)
    yield from _limits(sheet)
    yield from _circuits(sheet)
    yield from _ends(sheet)
    yield from _steps(sheet)
    yield from _trouble(sheet)


def _parts(sheet: Sheet) -> Iterator[Row]:
    for name, fastener in sheet.fasteners.items():
        if fastener.single_use:
            yield from _known(("fasteners", name, "single_use"), fastener.single_use, sheet.parts, "part")
    for name, part in sheet.parts.items():
        for scope in part.scope:
            yield from _known(("parts", name, "scope"), scope, sheet.scopes, "scope")


def _limits(sheet: Sheet) -> Iterator[Row]:
    for name, limit in sheet.limits.items():
        if limit.again:
            yield from _known(("limits", name, "again"), limit.again, sheet.limits, "limit")


def _circuits(sheet: Sheet) -> Iterator[Row]:
    """Parts that keep fluid are parts, or come off; what a level depends on can come true."""
    off = {fact.of for step in sheet.steps for fact in step.makes if fact.word == "off" and fact.of}
    made = _made(sheet)
    for name, circuit in sheet.circuits.items():
        for part in circuit.left_in:
            yield from _known(("circuits", name, "left_in"), part, (*sheet.parts, *sorted(off)), "part")
        for side, limit in dict((circuit.level and circuit.level.tilt) or ()).items():
            if limit:
                yield from _known(("circuits", name, "level", "tilt", side), limit, sheet.limits, "limit")
        for index, fact in enumerate(circuit.level.depends if circuit.level else ()):
            path = ("circuits", name, "level", "depends", index)
            yield from _object(path, fact, sheet)
            yield from _lone_word(path, fact, made)


def _steps(sheet: Sheet) -> Iterator[Row]:
    ids = {step.id for step in sheet.steps}
    decisions = {step.decide.id: step.decide for step in sheet.steps if step.decide}
    for index, step in enumerate(sheet.steps):
        at: Path = ("steps", index)
        for key, what, defined in _uses(sheet, ids):
            for name in _listed(getattr(step, key)):
                yield from _known((*at, key), name, defined, what)
        if step.fill:
            yield from _known((*at, "fill"), step.fill.circuit, sheet.circuits, "circuit")
        for place, tool in enumerate(step.tools):
            for name in tool.fits:
                yield from _known((*at, "tools", place, "fits"), name, sheet.fasteners, "fastener")
        if isinstance(step.when, WhenLimit):
            yield from _known((*at, "when"), step.when.limit, sheet.limits, "limit")
        if isinstance(step.when, WhenDecided):
            yield from _decided((*at, "when"), step.when, decisions)
        yield from _facts(at, step, sheet)


def _trouble(sheet: Sheet) -> Iterator[Row]:
    """Suspects, tests, repairs and covers name each other, and steps, limits and parts."""
    if NONE_OF_THESE in sheet.suspects:
        words = (
            f'"{NONE_OF_THESE}" is kept for none of these, which is always there. Give the suspect another short name.'
        )
        yield ("suspects", NONE_OF_THESE), words, ""
    ids = [step.id for step in sheet.steps]
    for at, key, names, what, defined in _trouble_names(sheet, ids):
        for name in names:
            yield from _known((*at, key), name, defined, what)
    yield from _shown(sheet)
    for name, cover in sheet.covers.items():
        if cover.fact:
            yield from _object(("covers", name, "fact"), cover.fact, sheet)
    taken = set(sheet.tests)
    for group, names in (("repairs", sheet.repairs), ("covers", sheet.covers)):
        for name in names:
            if name in taken:
                words = f'"{name}" is the short name of a test, a repair or a cover already. Give each its own.'
                yield (group, name), words, ""
        taken |= set(names)


def _trouble_names(
    sheet: Sheet, ids: Collection[str]
) -> Iterator[tuple[Path, str, Collection[str], str, Collection[str]]]:
    for name, test in sheet.tests.items():
        at: Path = ("tests", name)
        yield at, "shows", test.shows, "suspect", sheet.suspects
        for outcome, one in test.outcomes.items():
            yield (*at, "outcomes", outcome), "shows", one.shows, "suspect", sheet.suspects
        yield at, "limit", _listed(test.limit), "limit", sheet.limits
        yield at, "step", test.step, "step", ids
        yield at, "cover", _listed(test.cover), "cover", sheet.covers
    for name, repair in sheet.repairs.items():
        at = ("repairs", name)
        yield at, "fixes", repair.fixes, "suspect", sheet.suspects
        yield at, "step", repair.step, "step", ids
        yield at, "part", repair.part, "part", sheet.parts
        yield at, "cover", _listed(repair.cover), "cover", sheet.covers
    for index, step in enumerate(sheet.steps):
        if step.decide and step.decide.about:
            for key, defined in (("suspect", sheet.suspects), ("repair", sheet.repairs), ("cover", sheet.covers)):
                at = ("steps", index, "decide", "about")
                yield at, key, _listed(getattr(step.decide.about, key)), key, defined
    for name, cover in sheet.covers.items():
        yield ("covers", name), "inside", _listed(cover.inside), "cover", sheet.covers
    if sheet.check_after:
        yield ("check_after",), "step", sheet.check_after.step, "step", ids
    if sheet.quote and sheet.quote.covers != "all":
        yield ("quote",), "covers", sheet.quote.covers, "suspect", sheet.suspects


def _shown(sheet: Sheet) -> Iterator[Row]:
    """What a test can show is among the choices of the decision that finds it."""
    decisions = {step.decide.id: step.decide for step in sheet.steps if step.decide}
    for name, test in sheet.tests.items():
        if test.decided is None:
            continue
        yield from _known(("tests", name, "decided"), test.decided, decisions, "decision")
        choices = decisions[test.decided].choices if test.decided in decisions else {}
        for outcome in (test.outcomes or ("yes", "no")) if choices else ():
            if outcome not in choices:
                path = ("tests", name, "outcomes", outcome) if test.outcomes else ("tests", name, "decided")
                words = (
                    f'the test can show "{outcome}", which the decision "{test.decided}" does not have; '
                    f"it has {', '.join(choices)}. Use these."
                )
                yield path, words, outcome


def _uses(sheet: Sheet, ids: Collection[str]) -> tuple[tuple[str, str, Collection[str]], ...]:
    return (
        ("after", "step", ids),
        ("scope", "scope", sheet.scopes),
        ("read", "limit", sheet.limits),
        ("loosen", "fastener", sheet.fasteners),
        ("tighten", "fastener", sheet.fasteners),
        ("fit", "part", sheet.parts),
        ("drain", "circuit", sheet.circuits),
        ("window", "circuit", sheet.circuits),
        ("level", "circuit", sheet.circuits),
        ("ask", "ask", sheet.asks),
    )


def _listed(value: Any) -> tuple[str, ...]:
    return () if value is None else (value,) if isinstance(value, str) else tuple(value)


def _known(path: Path, name: str, defined: Collection[str], what: str) -> Iterator[Row]:
    if name in defined:
        return
    near = difflib.get_close_matches(name, defined, n=1)
    hint = (
        f'did you mean "{near[0]}"?'
        if near
        else f"the sheet has {', '.join(defined) or 'none'}. Add it, or use one of these."
    )
    yield path, f'{path[-1]} names the {what} "{name}", which this sheet does not have; {hint}', name


def _decided(path: Path, when: WhenDecided, decisions: Any) -> Iterator[Row]:
    yield from _known(path, when.decided, decisions, "decision")
    if when.decided in decisions and when.is_ not in decisions[when.decided].choices:
        choices = ", ".join(decisions[when.decided].choices)
        yield (
            path,
            f'when waits for "{when.is_}" of the decision "{when.decided}", which has {choices}. Use one of these.',
            when.is_,
        )


def _twice(sheet: Sheet) -> Iterator[Row]:
    seen: set[str] = set()
    for index, step in enumerate(sheet.steps):
        if step.id in seen:
            yield ("steps", index, "id"), f'two steps are called "{step.id}". Give each its own short name.', ""
        seen.add(step.id)


def _asks(sheet: Sheet) -> Iterator[Row]:
    for path, value, *kinds in _askable(sheet):
        if not isinstance(value, AskRef):
            continue
        yield from _known(path, value.ask, sheet.asks, "ask")
        if value.ask in sheet.asks and sheet.asks[value.ask].answer not in kinds:
            found = sheet.asks[value.ask].answer.value
            needed = " or ".join(kind.value for kind in kinds)
            words = (
                f'{path[-1]} asks the manual "{value.ask}", which is answered by {found}; {needed} is needed here. '
                f"Write answer: {kinds[0].value} there, or ask another question."
            )
            yield path, words, value.ask


def _same(sheet: Sheet) -> Iterator[Row]:
    """What a question has in common with other sheets is answered in its kind, and is asked once in a sheet."""
    first: dict[str, str] = {}
    for name, ask in sheet.asks.items():
        if ask.same_as is None:
            continue
        path, needed = ("asks", name, "same_as"), answered_by(ask.same_as)
        if ask.answer != needed:
            words = f'same_as names "{ask.same_as}", which is answered by {needed}, and this question by {ask.answer}.'
            yield path, f"{words} Write answer: {needed}, or leave same_as out.", ""
        if ask.same_as in first:
            words = f'same_as names "{ask.same_as}", as "{first[ask.same_as]}" does already. Ask it once.'
            yield path, words, ""
        first.setdefault(ask.same_as, name)


def _askable(sheet: Sheet) -> Iterator[tuple[Path, Any, *tuple[AskFor, ...]]]:
    """Every value that may point to a question, and what kinds of answer it can use."""
    for name, fastener in sheet.fasteners.items():
        yield ("fasteners", name, "torque"), fastener.torque, AskFor.TORQUE
    for name, limit in sheet.limits.items():
        yield ("limits", name, "band"), limit.band, AskFor.LIMITS
    for name, circuit in sheet.circuits.items():
        yield from _asked_of(("circuits", name), circuit)
    for index, step in enumerate(sheet.steps):
        if step.fill:
            yield ("steps", index, "fill", "amount"), step.fill.amount, AskFor.VOLUME
        yield ("steps", index, "between"), step.between, AskFor.TEMPERATURES


def _asked_of(at: Path, circuit: Circuit) -> Iterator[tuple[Path, Any, *tuple[AskFor, ...]]]:
    yield (*at, "holds"), circuit.holds, AskFor.VOLUME
    yield (*at, "density"), circuit.density, AskFor.DENSITY
    yield (*at, "freezes"), circuit.freezes, AskFor.TEMPERATURE
    for part, volume in circuit.left_in.items():
        yield (*at, "left_in", part), volume, AskFor.VOLUME
    if level := circuit.level:
        yield (*at, "level", "window"), level.window, AskFor.TEMPERATURES
        yield (*at, "level", "tolerance"), level.tolerance, AskFor.LENGTH, AskFor.VOLUME
        for key, lengths in (("pan", level.pan), ("plug_to_middle", level.plug_to_middle)):
            for side, length in dict(lengths or ()).items():
                yield (*at, "level", key, side), length, AskFor.LENGTH


def _facts(at: Path, step: Step, sheet: Sheet) -> Iterator[Row]:
    made = _made(sheet)
    needed = {fact.word for one in sheet.steps for fact in one.needs} | {fact.word for fact in sheet.end}
    needed |= {fact.word for one in sheet.circuits.values() if one.level for fact in one.level.depends}
    for key in ("needs", "makes", "ends"):
        for index, fact in enumerate(getattr(step, key)):
            path = (*at, key, index)
            yield from _object(path, fact, sheet)
            yield from _lone_word(path, fact, needed if key == "makes" else made)
            if key != "needs" and not fact.holds:
                yield path, f'{key} has "{fact.text}". Only needs may say not; write {fact.text[4:]} under ends.', ""


def _made(sheet: Sheet) -> set[str]:
    """Words that hold at the start or that a step makes or ends."""
    return {fact.word for one in sheet.steps for fact in (*one.makes, *one.ends)} | {one.word for one in sheet.start}


def _lone_word(path: Path, fact: Fact, elsewhere: Collection[str]) -> Iterator[Row]:
    """A word that is neither known nor used elsewhere, and looks like one that is known."""
    near = nearest(fact.word)
    if fact.word not in WORDS and fact.word not in elsewhere and near:
        words = f'{path[-2]} has "{fact.text}", a word that nothing else in the sheet uses; did you mean "{near}"?'
        yield path, words, fact.word


def _ends(sheet: Sheet) -> Iterator[Row]:
    """What holds at the start and at the end."""
    for key in ("start", "end"):
        for index, fact in enumerate(getattr(sheet, key)):
            yield from _object((key, index), fact, sheet)
            if key == "start" and not fact.holds:
                yield (key, index), f'start has "{fact.text}". What is not named does not hold; leave it out.', ""


def _object(path: Path, fact: Fact, sheet: Sheet) -> Iterator[Row]:
    """The object of a known word is an axle, or something that the sheet names."""
    word, of = WORDS.get(fact.word), fact.of or ""
    takes = word.takes if word else None
    if takes == "axle" and of not in AXLES:
        near = difflib.get_close_matches(of, AXLES, n=1)
        hint = f'did you mean "{near[0]}"?' if near else f"write one of {', '.join(AXLES)}."
        yield path, f'"{fact.text}" is not of an axle; {hint}', of
    named: Collection[str] = ()
    if takes in ("circuit", "fastener"):
        named = sheet.circuits if takes == "circuit" else sheet.fasteners
    if named and of not in named:
        near = difflib.get_close_matches(of, named, n=1)
        hint = f'did you mean "{near[0]}"?' if near else f"write one of {', '.join(named)}."
        yield path, f'"{fact.text}" is of no {takes} that this sheet names; {hint}', of
