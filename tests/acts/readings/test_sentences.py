"""What the person is told: whole sentences, for every verdict and rule."""

from dataclasses import replace

import pytest

from knowngood.acts.readings.sentences import Told, sentence
from knowngood.engine.judgement import Verdict

COIL = Told(
    verdict=Verdict.WITHIN, probability=0.999, value=90.7, raw=101.1, lower=80.0, upper=95.0, allowed="80–95 ohm",
    corrected=True, at="20 °C",
)  # fmt: skip
PLAIN = replace(COIL, corrected=False, raw=90.7)
MAX = replace(PLAIN, lower=None, upper=13.3, value=12.1, raw=12.1, allowed="at most 13.3 V")


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (COIL, "Read warm, through the leads, it looks too high. At 20 °C it is within 80–95 ohm."),
        (replace(COIL, raw=78.0), "Read cold, it looks too low. At 20 °C it is within 80–95 ohm."),
        (replace(COIL, raw=94.0), "At 20 °C it is within 80–95 ohm (more than 99 %)."),
        (PLAIN, "It is within 80–95 ohm (more than 99 %)."),
        (replace(PLAIN, probability=0.97), "It is within 80–95 ohm (97 %)."),
        (MAX, "It is at most 13.3 V (more than 99 %)."),
        (
            replace(COIL, decides="buy the relay"),
            "Read warm, through the leads, it looks too high. At 20 °C it is within 80–95 ohm. "
            "No need to buy the relay.",
        ),
        (replace(PLAIN, probability=0.4), "40 % sure to be within 80–95 ohm: by your two costs, enough."),
    ],
)
def test_within(told, said):
    assert sentence(told) == said


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"value": 99.0, "probability": 0.01}, "Too high: not within 80–95 ohm (99 %)."),
        ({"value": 70.0, "probability": 0.0001}, "Too low: not within 80–95 ohm (more than 99 %)."),
        (
            {"value": 79.0, "raw": 81.0, "probability": 0.02, "corrected": True},
            "Too low: not within 80–95 ohm (98 %). It looked good as read.",
        ),
        (
            {"value": 99.0, "probability": 0.01, "decides": "buy the relay"},
            "Too high: not within 80–95 ohm (99 %). So: buy the relay.",
        ),
        (
            {"probability": 0.9, "safety": True},
            "Not shown to be within 80–95 ohm (90 %). A doubt counts as out where safety hangs on it.",
        ),
        ({"value": 99.0, "probability": 0.01, "safety": True}, "Too high: not within 80–95 ohm (99 %)."),
        (
            {"probability": 0.9},
            "Not shown to be within 80–95 ohm (90 %). By your two costs, that is too little: it counts as out.",
        ),
        (
            {"value": 90.0, "probability": 0.03},
            "Known too loosely for limits this close; hardly within 80–95 ohm (97 %).",
        ),
    ],
)
def test_out(changes, said):
    assert sentence(replace(PLAIN, verdict=Verdict.OUT, **changes)) == said


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"probability": 0.82}, "Leans within (82 %)."),
        ({"probability": 0.18}, "Leans out (82 %)."),
        ({"probability": 0.947}, "Leans within (94 %)."),
        ({"probability": 0.052}, "Leans out (94 %)."),
        (
            {"probability": 0.82, "in_job": True},
            "Leans within (82 %). Nothing in this job depends on it: carry on.",
        ),
        (
            {"probability": 0.82, "in_job": True, "decides": "buy the valve"},
            "Leans within (82 %). It decides whether to buy the valve.",
        ),
    ],
)
def test_doubtful(changes, said):
    assert sentence(replace(PLAIN, verdict=Verdict.CANT_TELL, **changes)) == said


@pytest.mark.parametrize("verdict", Verdict)
@pytest.mark.parametrize("probability", [0.0, 0.03, 0.5, 0.96, 1.0])
@pytest.mark.parametrize("value", [70.0, 90.0, 99.0])
def test_no_sentence_shows_a_missing_word(verdict, probability, value):
    said = sentence(replace(COIL, verdict=verdict, probability=probability, value=value))
    assert "None" not in said
    assert said.endswith(".")
    assert "100 %" not in said


CURRENT = Told(Verdict.OUT, 0.001, 181.0, 181.0, None, 50.0, "at most 50 mA", False, "", in_job=True, shows="181 mA")


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({}, "Not mended: still 181 mA, allowed at most 50 mA."),
        ({"decides": "look again"}, "Not mended: still 181 mA, allowed at most 50 mA. So: look again."),
        ({"decides": "whether it is mended"}, "Not mended: still 181 mA, allowed at most 50 mA."),
        ({"probability": 0.3, "safety": True}, "Not shown to be mended: 181 mA, allowed at most 50 mA."),
        (
            {"verdict": Verdict.WITHIN, "probability": 0.999, "shows": "21 mA", "decides": "look again"},
            "Mended: 21 mA, allowed at most 50 mA.",
        ),
        (
            {"verdict": Verdict.CANT_TELL, "probability": 0.57, "shows": "49 mA"},
            "Cannot be told yet whether it is mended: 49 mA, allowed at most 50 mA. Leans within (57 %).",
        ),
    ],
)
def test_a_check_after_a_repair_has_sentences_of_its_own(changed, words):
    assert sentence(replace(CURRENT, checks_repair=True, **changed)) == words


@pytest.mark.parametrize("verdict", list(Verdict))
@pytest.mark.parametrize(
    ("decides", "words"),
    [("whether it is mended", "It decides whether it is mended."), ("the relay", "It decides: the relay.")],
)
def test_what_names_no_act_is_said_to_hang_on_it_and_no_more(verdict, decides, words):
    """Appended to any wording, yes and no said the opposite of what was found."""
    said = sentence(replace(CURRENT, verdict=verdict, decides=decides))
    assert said.endswith(words)
    assert ": yes" not in said
    assert "no need" not in said
