"""What cannot be used, as sentences at their fields."""

import pytest

from knowngood.refusal import Refused


def refused(call, *words, **fields):
    """The sentences with which a call is refused, by field."""
    with pytest.raises(Refused) as found:
        call(*words, **fields)
    return found.value.problems


def refused_by_engine(call):
    """The sentence with which an engine refuses."""
    with pytest.raises(ValueError, match=r"\.$") as found:
        call()
    return str(found.value)
