"""For every test: the published checks as a list, more rounds for those that draw numbers, garages of its own."""

import sqlite3
import sys
import zlib
from collections import defaultdict

import pytest
from hypothesis import HealthCheck, settings
from tests.patience import LONGEST_S


def pytest_addoption(parser):
    parser.addoption("--list-published", action="store_true", help="list checks against published documents and stop")
    parser.addoption("--long", action="store_true", help="ten times as many rounds where numbers are drawn")
    parser.addoption("--share", type=int, default=1, help="one test in so many, always the same; all with --long")


def pytest_configure(config):
    """The usual run draws the same examples each time; --long looks for new ones."""
    any_machine = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow]}
    settings.register_profile("usual", derandomize=True, **any_machine)
    settings.register_profile("long", max_examples=1000, **any_machine)
    settings.load_profile("long" if config.getoption("--long") else "usual")


@pytest.fixture
def rounds(request):
    """Return how many rounds to run: the usual number, or ten times that with --long."""
    return lambda usual: usual * (10 if request.config.getoption("--long") else 1)


# Whole jobs, servers and searches, a quarter of a second a test or more: a share takes one test of each. Of the others
# it takes one in so many and at least one of each file, which makes up for it.
LONG_ONES = {
    "tests/acts/faults/test_checked_again.py",
    "tests/acts/faults/test_worth_doing.py",
    "tests/acts/fluids/test_at_window.py",
    "tests/acts/test_battery_job.py",
    "tests/acts/cautions/test_said.py",
    "tests/acts/test_gearbox_job.py",
    "tests/acts/test_known_errors.py",
    "tests/acts/readings/test_offers.py",
    "tests/acts/test_record_once.py",
    "tests/acts/job/test_standing.py",
    "tests/checks/test_keys.py",
    "tests/checks/test_library.py",
    "tests/checks/test_limits.py",
    "tests/cli/test_window.py",
    "tests/engine/fluids/test_window.py",
    "tests/engine/troubleshooting/belief/test_posterior.py",
    "tests/engine/troubleshooting/bounds/test_gap.py",
    "tests/engine/troubleshooting/policy/test_exact.py",
    "tests/quantities/test_properties.py",
    "tests/quantities/test_settle_chances.py",
    "tests/report/paper/test_fill.py",
    "tests/sheet/test_reader.py",
    "tests/test_any_sheet.py",
    "tests/test_patterns.py",
    "tests/web/server/test_app.py",
    "tests/web/test_at_window.py",
    "tests/web/test_damage_pages.py",
    "tests/web/server/test_failing.py",
    "tests/web/server/test_guard.py",
    "tests/web/test_library_pages.py",
    "tests/web/pages/test_start.py",
    "tests/web/pages/test_why.py",
    "tests/web/parts/test_reading_form.py",
    "tests/web/server/test_serve.py",
    "tests/web/test_toolbox_forms.py",
    "tests/web/test_why_next.py",
}


def shared(items, share):
    """Return one item in `share`, of each file one at least; the same ones on every machine, in their order."""
    place = {item: zlib.crc32(item.nodeid.encode()) for item in items}
    least = {}
    for item in sorted(items, key=place.__getitem__):
        least.setdefault(_path(item), item)
    others = {item for item in items if _path(item) not in LONG_ONES and place[item] % share == 0}
    kept = others.union(least.values())
    return [item for item in items if item in kept]


def _path(item):
    return item.nodeid.partition("::")[0]


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config, items):
    share = config.getoption("--share")
    if share > 1 and not config.getoption("--long"):
        kept = shared(items, share)
        config.hook.pytest_deselected(items=list(set(items) - set(kept)))
        items[:] = kept
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


@pytest.fixture(autouse=True)
def every_connection_is_closed():
    """Whoever opens a database closes it; newer Pythons say so too, but in whichever test comes next."""
    from tests.garages import open_until_the_end

    opened, connect = [], sqlite3.connect

    def noted(*arguments, **more):
        opened.append(connect(*arguments, **more))
        return opened[-1]

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(sqlite3, "connect", noted)
        yield
        open_until_the_end.close()
    left = [connection for connection in opened if _is_open(connection)]
    for connection in left:
        connection.close()
    assert not left, f"This test left {len(left)} database connection(s) open. Close what it opened."


def _is_open(connection):
    try:
        connection.total_changes  # noqa: B018
    except sqlite3.ProgrammingError:
        return False
    return True


@pytest.fixture(autouse=True)
def nobody_hurries_the_worker(monkeypatch):
    """Who stops a server waits some seconds for the piece of a plan at hand; a test waits until it is done."""
    if worker := sys.modules.get("knowngood.web.server.worker"):
        monkeypatch.setattr(worker, "LONGEST_WAIT_S", LONGEST_S)


@pytest.fixture
def garage(tmp_path):
    """An empty garage."""
    from tests.garages import opened  # here, because tests of engines need none and are quicker without

    with opened(tmp_path / "garage") as made:
        yield made


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory):
    """The demo's garage, filled once, to be copied."""
    from tests.garages import opened

    from knowngood.demo import runs_hot

    folder = tmp_path_factory.mktemp("demo") / "garage"
    with opened(folder) as made:
        runs_hot.fill(made)
    return folder


@pytest.fixture
def demo_garage(tmp_path, demo_folder):
    """The demo's garage, for a test to write in."""
    from tests.garages import opened

    with opened(tmp_path / "garage", like=demo_folder) as made:
        yield made
