"""A garage that phones may be let into, and whoever asks for its pages: the computer, a phone, a stranger."""

import re
import warnings
from datetime import timedelta
from types import SimpleNamespace

import pytest
from tests.garages import NOW, opened

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

from knowngood.web.server import failing
from knowngood.web.server.app import application
from knowngood.web.server.pairing import Lan, Pairing

LAN = "192.168.1.20"


@pytest.fixture(autouse=True)
def plain_spaces(monkeypatch):
    """Pages are compared with plain spaces; `test_unbroken` looks at those that keep a number and its unit together."""
    monkeypatch.setattr("knowngood.web.server.answers.unbroken", str)


@pytest.fixture(autouse=True)
def every_part_is_drawn(request, monkeypatch):
    """A page that stands with a part missing would look well; where no fault was put in, that fault ends the test."""
    faults, keep_trace = [], failing.keep_trace

    def noted(garage, fault, about):
        faults.append(fault)
        return keep_trace(garage, fault, about)

    monkeypatch.setattr(failing, "keep_trace", noted)
    yield
    if faults and request.path.name != "test_failing.py":
        raise faults[0]


@pytest.fixture
def home(tmp_path, demo_folder):
    """The demo's garage, its application, the clock and the codes; `ask` makes clients of it."""
    clock = SimpleNamespace(now=NOW)

    def ask(base, client):
        return TestClient(app, base_url=base, client=(client, 5000), follow_redirects=False)

    def wait(**how_long):
        clock.now += timedelta(**how_long)

    with opened(tmp_path / "garage", like=demo_folder, clock=lambda: clock.now) as garage:
        lan = Lan(LAN, 8321, Pairing(garage.clock))
        app = application(garage, lan)
        yield SimpleNamespace(garage=garage, app=app, lan=lan, ask=ask, wait=wait)
        app.app.state.worker.stop()


@pytest.fixture
def computer(home):
    """The browser of the computer that keeps the garage."""
    return home.ask("http://127.0.0.1:8321", "127.0.0.1")


@pytest.fixture
def stranger(home):
    """A phone on the network that is not paired."""
    return home.ask(f"http://{LAN}:8321", "192.168.1.30")


@pytest.fixture
def phone(home):
    """A phone that is paired."""
    client = home.ask(f"http://{LAN}:8321", "192.168.1.31")
    answer = client.post("/pair", data={"code": home.lan.pairing.code().text, "phone": "Old phone"})
    assert answer.status_code == 303
    return client


@pytest.fixture
def token():
    """What a page's forms carry to show that they are ours: token(client)."""
    return lambda client: re.search(r'name="csrf" value="([0-9a-f]{64})"', client.get("/judge").text)[1]
