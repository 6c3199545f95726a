"""Which parts no price is weighed for."""

import pytest

from knowngood.engine.troubleshooting.safety import WORDS, SafetyKind, caution, safety_kind


@pytest.mark.parametrize("kind", SafetyKind)
def test_each_kind_is_found_by_each_of_its_words(kind):
    for word in (kind.value, *WORDS[kind]):
        assert safety_kind(word) == safety_kind(f"  {word.upper()} ") == safety_kind(word + "s") == kind


def test_no_word_belongs_to_two_kinds():
    words = [word for words in WORDS.values() for word in words]
    assert len(words) == len(set(words))


@pytest.mark.parametrize("word", ["", "coolant hose", "not a brake", "breaker", "brake light switch cover", "gearbox"])
def test_nothing_is_guessed(word):
    assert safety_kind(word) is None


def test_the_sentence():
    assert caution(SafetyKind.WHEELS) == (
        "Tyres and wheel bolts: a part in doubt is replaced, or handed over to a mechanic; do not drive on it."
    )
