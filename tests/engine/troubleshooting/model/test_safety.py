"""What is said of a part that safety hangs on."""

from knowngood.engine.troubleshooting.model.safety import SafetyKind, caution


def test_the_sentence():
    assert caution(SafetyKind.WHEELS) == (
        "Tyres and wheel bolts: a part in doubt is replaced, or handed over to a mechanic; do not drive on it."
    )


def test_what_is_no_work_for_home_is_handed_over():
    assert caution(SafetyKind.RESTRAINTS, own_work=False) == (
        "Belts and airbags: a part in doubt is handed over to a mechanic; do not drive on it."
    )
