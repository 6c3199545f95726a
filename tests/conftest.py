"""Options for every test: the published checks as a list, and more rounds for those that draw numbers."""

from collections import defaultdict

import pytest
from hypothesis import settings


def pytest_addoption(parser):
    parser.addoption("--list-published", action="store_true", help="list checks against published documents and stop")
    parser.addoption("--long", action="store_true", help="ten times as many rounds where numbers are drawn")


def pytest_configure(config):
    """The usual run draws the same examples each time; --long looks for new ones."""
    settings.register_profile("usual", derandomize=True, deadline=None)
    settings.register_profile("long", max_examples=1000, deadline=None)
    settings.load_profile("long" if config.getoption("--long") else "usual")


@pytest.fixture
def rounds(request):
    """Return how many rounds to run: the usual number, or ten times that with --long."""
    return lambda usual: usual * (10 if request.config.getoption("--long") else 1)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config, items):
    if not config.getoption("--list-published"):
        return
    tests = defaultdict(list)
    for item in items:
        for mark in item.iter_markers("published"):
            tests[mark.args[0]].append(item.nodeid)
    for document, found in sorted(tests.items()):
        print(f"\n{document}: {len(found)}")
        print("\n".join(f"    {one}" for one in found))
    items.clear()
