"""Counts the steps that a pattern takes on a text, by walking what `re` compiles the way `re` backtracks.

Steps, not seconds: the same on every machine.
"""

import re
from re import _constants as op
from re import _parser

CATEGORIES = {
    op.CATEGORY_DIGIT: str.isdecimal, op.CATEGORY_NOT_DIGIT: lambda c: not c.isdecimal(),
    op.CATEGORY_SPACE: str.isspace, op.CATEGORY_NOT_SPACE: lambda c: not c.isspace(),
    op.CATEGORY_WORD: lambda c: c.isalnum() or c == "_",
    op.CATEGORY_NOT_WORD: lambda c: not (c.isalnum() or c == "_"),
}  # fmt: skip

ONE_LETTER = (op.LITERAL, op.NOT_LITERAL, op.ANY, op.IN)


class Work:
    """One pattern on one text.

    Args:
        pattern: Compiled.
        text: What it is held against.
        most: Steps after which counting ends.
    """

    def __init__(self, pattern, text, most=10_000_000):
        self.text, self.most, self.steps = text, most, 0
        self.tree = _parser.parse(pattern.pattern, pattern.flags & ~re.DEBUG)
        self.folds = bool(pattern.flags & re.IGNORECASE)
        self.groups, self.ends = {}, []

    def search_all(self):
        """Steps of finding every match, one behind the other, as sub, split and findall do."""
        at = 0
        while at <= len(self.text):
            end = self._first(at)
            self.ends += [end] if end is not None else []
            at = end if end is not None and end > at else at + 1
        return self.steps

    def match_all(self):
        """Steps of a match from the beginning to the end, every other way tried first."""
        for end in self._run(list(self.tree), 0):
            if end == len(self.text):
                break
        return self.steps

    def _first(self, at):
        return next(self._run(list(self.tree), at), None)

    def _tick(self):
        self.steps += 1
        if self.steps > self.most:
            raise OverflowError

    def _run(self, nodes, at):
        """Every end of a match of these nodes from a place on, in the order in which `re` tries them."""
        if not nodes:
            yield at
            return
        (kind, argument), rest = nodes[0], nodes[1:]
        for end in self._node(kind, argument, at):
            yield from self._run(rest, end)

    def _node(self, kind, argument, at):
        self._tick()
        if kind in ONE_LETTER:
            return [at + 1] if at < len(self.text) and self._is(kind, argument, self.text[at]) else []
        return {
            op.BRANCH: self._branch, op.SUBPATTERN: self._group, op.ATOMIC_GROUP: self._once, op.AT: self._at,
            op.ASSERT: self._ahead, op.ASSERT_NOT: self._not_ahead, op.GROUPREF: self._again,
            op.MAX_REPEAT: self._greedy, op.MIN_REPEAT: self._lazy, op.POSSESSIVE_REPEAT: self._possessive,
        }[kind](argument, at)  # fmt: skip

    def _branch(self, argument, at):
        for one in argument[1]:
            yield from self._run(list(one), at)

    def _group(self, argument, at):
        for end in self._run(list(argument[3]), at):
            self.groups[argument[0]] = self.text[at:end]
            yield end

    def _again(self, argument, at):
        said = self.groups.get(argument, "")
        return [at + len(said)] if self.text.startswith(said, at) else []

    def _ahead(self, argument, at):
        return [at] if self._holds(argument, at) else []

    def _not_ahead(self, argument, at):
        return [] if self._holds(argument, at) else [at]

    def _greedy(self, argument, at):
        return self._repeat(op.MAX_REPEAT, *argument, at)

    def _lazy(self, argument, at):
        return self._repeat(op.MIN_REPEAT, *argument, at)

    def _possessive(self, argument, at):
        return self._repeat(op.POSSESSIVE_REPEAT, *argument, at)

    def _once(self, nodes, at):
        end = next(self._run(list(nodes), at), None)
        if end is not None:
            yield end

    def _repeat(self, kind, least, most, body, at):
        body = list(body)
        if len(body) == 1 and body[0][0] in ONE_LETTER:
            yield from self._repeat_of_one(kind, least, most, body[0], at)
            return
        stack = [(at, self._run(body, at), 0)]
        if kind is op.MIN_REPEAT and least == 0:
            yield at
        while stack:
            place, tries, count = stack[-1]
            end = next(tries, None) if count < most else None
            if end is not None and end > place:
                if kind is op.MIN_REPEAT and count + 1 >= least:
                    yield end
                stack.append((end, self._run(body, end), count + 1))
                continue
            stack.pop()
            if kind is not op.MIN_REPEAT and count >= least:
                if kind is op.POSSESSIVE_REPEAT:
                    yield place
                    return
                yield place

    def _repeat_of_one(self, kind, least, most, node, at):
        end = at
        while end < len(self.text) and end - at < most and self._is(*node, self.text[end]):
            self._tick()
            end += 1
        places = range(at + least, end + 1)
        if kind is op.POSSESSIVE_REPEAT:
            places = places[-1:]
        for place in places if kind is op.MIN_REPEAT else reversed(places):
            self._tick()
            yield place

    def _holds(self, argument, at):
        ahead, nodes = argument
        if ahead > 0:
            return next(self._run(list(nodes), at), None) is not None
        low, high = nodes.getwidth()
        starts = range(max(0, at - high), at - low + 1)
        return any(at in self._run(list(nodes), start) for start in starts)

    def _at(self, where, at):
        if where in (op.AT_BEGINNING, op.AT_BEGINNING_STRING):
            holds = at == 0
        elif where in (op.AT_END, op.AT_END_STRING):
            holds = at == len(self.text)
        else:
            before, behind = (0 <= place < len(self.text) and _word(self.text[place]) for place in (at - 1, at))
            holds = (before != behind) is (where is op.AT_BOUNDARY)
        return [at] if holds else []

    def _is(self, kind, argument, letter):
        if kind is op.ANY:
            return letter != "\n"
        if kind is op.IN:
            found = [row for row in argument if row[0] is not op.NEGATE]
            return any(self._in(row, letter) for row in found) is (len(found) == len(argument))
        alike = ord(letter) == argument or (self.folds and letter.lower() == chr(argument).lower())
        return alike is (kind is op.LITERAL)

    def _in(self, row, letter):
        what, argument = row
        if what is op.CATEGORY:
            return CATEGORIES[argument](letter)
        letters = {letter, letter.lower(), letter.upper()} if self.folds else {letter}
        if what is op.RANGE:
            return any(argument[0] <= ord(one) <= argument[1] for one in letters if len(one) == 1)
        return any(ord(one) == argument for one in letters if len(one) == 1)


def _word(letter):
    return letter.isalnum() or letter == "_"


def samples(pattern):
    """One letter for each thing that a pattern names, so that hostile texts are made of what it likes."""
    return list(dict.fromkeys(_letters(_parser.parse(pattern.pattern, pattern.flags & ~re.DEBUG))))


def _letters(nodes):
    """Of a parsed pattern, wherever it stands: rows of what is named and its value, or lists of such rows."""
    for row in nodes:
        if isinstance(row, list | _parser.SubPattern):
            yield from _letters(row)
        elif isinstance(row, tuple):
            kind = row[0] if row else None
            if kind is op.LITERAL:
                yield chr(row[1])
            elif kind is op.RANGE:
                yield chr(row[1][0])
            elif kind is op.CATEGORY:
                yield next(one for one in "9 ax!" if CATEGORIES[row[1]](one))
            else:
                yield from _letters([one for one in row if isinstance(one, list | tuple | _parser.SubPattern)])
