"""The form of what a limit decides: an act that follows when the reading is out, said as one says it to do."""

import re

# Ours: words that no such act begins with, but a name, a question or a state; any other is taken for a verb.
NO_VERB = re.compile(
    r"an?|the|th(is|at|[eo]se)|its?|s?he|they|you|your|my|our|i|we|t?here|is|are|was|were|be(ing|en)?|ha[sd]|have|can|"
    r"could|may|might|must|shall|should|will|would|if|when|where|which|what|who|why|how|yes|not?|nothing|none|good|"
    r"bad|ok|fine|mended|broken|all|any|every|some|each|to|for|of|by|with(out)?|on|in|at|from|and|or|but|new|old"
)
WHETHER = "whether"
# A verb that ends like a participle or a noun of an act, and is neither.
VERBS_ALL_THE_SAME = frozenset(("bring", "feed", "bleed", "need", "speed", "shed", "wring", "ring", "string", "embed"))


def names_act(decides: str) -> bool:
    """Does it say what to do, such as "renew the relay"?

    Example:
        >>> [names_act(one) for one in ("renew the relay", "bleed it again", "Open the gearbox")]
        [True, True, True]
        >>> [names_act(one) for one in ("whether to renew the relay", "the relay", "renewing it", "is it mended?")]
        [False, False, False, False]
    """
    first = re.match(r"[^\W\d_]+", decides.strip())
    if first is None or decides.rstrip().endswith(("?", ".", "!")):
        return False
    word = first[0].casefold()
    if word == WHETHER or NO_VERB.fullmatch(word):
        return False
    return word in VERBS_ALL_THE_SAME or not word.endswith(("ing", "ed"))
