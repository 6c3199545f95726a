"""The gate: whether something done to a part is for home, goes on with a caution, or is handed over.

One table of words (`engine/tables/safety_words.toml`) decides for every way in: a reading, a limit, a test, a step, a
suspect, a repair, a decision, a trouble code. What sounds like a part of a safety system counts as one until the sheet,
or the person, says that it is not.
"""

from knowngood.gate.deeds import Deed, Done, deeds
from knowngood.gate.follows import (
    CALLED,
    CAUTIONS,
    HANDED_OVER,
    hands_over,
    refusal_words,
    stopped_by_name,
    stopped_by_sentence,
)
from knowngood.gate.names import NONE, SEALED, Declared, Hit, declared_kind, hits, kind_of, sounds_like

__all__ = [
    "CALLED", "CAUTIONS", "HANDED_OVER", "NONE", "SEALED", "Declared", "Deed", "Done", "Hit", "declared_kind", "deeds",
    "hands_over", "hits", "kind_of", "refusal_words", "sounds_like", "stopped_by_name", "stopped_by_sentence",
]  # fmt: skip
