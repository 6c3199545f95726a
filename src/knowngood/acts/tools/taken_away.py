"""What was taken out of the toolbox last, so that a slip of the thumb can be put right."""

from dataclasses import replace

from knowngood.acts.tools.instrument_checks import Held, held
from knowngood.acts.tools.prices import priced
from knowngood.store.folds import ToolboxState


def taken_away(toolbox: ToolboxState) -> Held | None:
    """Return what was taken away last, in words, with the withdrawals that put it back when taken back in turn.

    Returns:
        None when nothing is to be put back, or when it was no instrument, wrench, tool or price.
    """
    gone = {event.id: event.kind for event in toolbox.withdrawn_events}
    standing = [
        one for one in toolbox.entries.values()
        if one.kind == "withdrawn" and one.id not in gone and gone.get(one.data["id"]) != "withdrawn"
    ]  # fmt: skip
    if not standing:
        return None
    last = standing[-1].data.get("with", standing[-1].id)
    together = {one.id: one.data["id"] for one in standing if one.data.get("with", one.id) == last}
    before = replace(toolbox, entries={id: one for id, one in toolbox.entries.items() if id not in together})
    back = [one for one in (*held(before), *priced(before)) if {*one.events} & {*together.values()}]
    return Held(tuple(words for one in back for words in one.words), tuple(together)) if back else None
