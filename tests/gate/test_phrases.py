"""Names and sentences of the trade, on both sides: what the gate must know, and what it must leave alone."""

import pathlib
import tomllib

import pytest

from knowngood.gate import Deed, deeds, sounds_like, stopped_by_sentence

PHRASES = tomllib.loads(pathlib.Path(__file__).with_name("phrases.toml").read_text(encoding="utf-8"))
WORK = {Deed.OPEN, Deed.FIT, Deed.MEND, Deed.BLEED, Deed.ADJUST}


@pytest.mark.parametrize("kind", PHRASES["names"])
def test_each_name_speaks_of_its_system(kind):
    assert {name: sounds_like(name) for name in PHRASES["names"][kind]} == dict.fromkeys(PHRASES["names"][kind], kind)


def test_names_close_to_one_of_a_system_speak_of_none():
    assert {name: kind.value for name in PHRASES["innocent"] if (kind := sounds_like(name))} == {}


def test_what_a_workshop_does_stops():
    assert [one for one in PHRASES["handed_over"] if stopped_by_sentence(one) is None] == []


def test_what_is_for_home_does_not_stop():
    assert [one for one in PHRASES["at_home"] if stopped_by_sentence(one)] == []


@pytest.mark.parametrize(
    "sentence",
    [
        "Park level outdoors, handbrake on, in neutral",
        "Make sure the handbrake is on",
        "Wheels chocked, handbrake hard on",
        "Parking brake is fully on",
        "Have someone step on the brake and look at the lamps",
        "Lift the car until the wheels hang free",
        "Move the coolant hose aside from the fuel line and the brake pipe",
        "Ease the alternator out between the fuel lines and the A/C hose",
        "Keep the jack clear of the fuel tank",
    ],
)
def test_what_only_sets_or_is_near_is_no_work(sentence):
    assert [one for one in deeds(sentence) if one.deed in WORK and not one.hit.weak] == []


@pytest.mark.parametrize(
    "sentence",
    [
        "Pull away the fuel hose",
        "Fuel line aside",
        "Undo the airbag's bolt beside the airbag plug, and the airbag itself",
    ],
)
def test_a_word_of_place_hides_no_work(sentence):
    assert stopped_by_sentence(sentence)
