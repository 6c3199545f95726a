"""Every table names a document that is registered."""

from importlib.resources import files

import pytest

from knowngood.engine.tables import table
from knowngood.sources import SOURCES

NAMES = sorted(
    one.name.removesuffix(".toml") for one in files("knowngood.engine.tables").iterdir() if ".toml" in one.name
)


def test_there_are_tables():
    assert len(NAMES) >= 3


@pytest.mark.parametrize("name", NAMES)
def test_a_table_names_its_document(name):
    source = table(name)["source"]
    assert {source} <= SOURCES.keys() if isinstance(source, str) else set(source) <= SOURCES.keys()


def test_a_table_is_read_once():
    assert table(NAMES[0]) is table(NAMES[0])
