"""Small pictures of instruments: one for each kind, sound markup, silent to a screen reader."""

from xml.etree import ElementTree

import pytest

from knowngood.engine.measurement.meters.classes import PRESETS
from knowngood.report.pictures.instruments import DRAWN, OTHER, instrument_picture


@pytest.mark.parametrize("key", [*PRESETS, OTHER])
def test_every_kind_has_a_sound_small_picture(key):
    svg = instrument_picture(key)
    drawn = ElementTree.fromstring(svg)
    assert drawn.attrib["aria-hidden"] == "true"
    assert len(drawn) > 0
    assert "style" not in svg
    assert len(svg) < 1024


def test_kinds_that_differ_look_different():
    assert len(set(DRAWN.values())) == len(DRAWN)
