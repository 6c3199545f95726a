"""Serving phones: which address, what the terminal says, and what a proxy's headers are worth."""

import http.client
import os
import re
import signal
import subprocess
import sys
from contextlib import contextmanager
from datetime import UTC, datetime

import pytest
from tests.patience import LONGEST_S
from tests.refusing import refused

from knowngood import cli
from knowngood.store.errors import StoreError
from knowngood.web.server import serve
from knowngood.web.server.checking import Checking
from knowngood.web.server.pairing import Lan, Pairing
from knowngood.words import clock_words

NOON = datetime(2026, 11, 21, 12, 0, tzinfo=UTC)
NO_ADDRESS = (
    "is not an address that a phone can open, such as 192.168.1.20. "
    "Give that of this machine, or --lan alone to have it found."
)
linux = pytest.mark.skipif(sys.platform != "linux", reason="only Linux has 127.0.0.2 without being set up")


@pytest.fixture
def lan():
    return Lan("192.168.1.20", 8321, Pairing(lambda: NOON, lambda: "AAAACCCCDDDDEEEE"))


@contextmanager
def served(folder, *more):
    """A real server on this machine only; yields the process, its port and what it said."""
    command = [
        sys.executable,
        "-m",
        "knowngood",
        "serve",
        "--garage",
        str(folder),
        "--port",
        "0",
        "--no-browser",
        *more,
    ]
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        command, env=environment, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    ) as process:
        try:
            said = []
            for line in process.stdout:
                said.append(line)
                if line.startswith(("Use this on", "The garage is kept") if not more else "Use this on"):
                    break
            yield process, int(re.search(r"127\.0\.0\.1:(\d+)", said[0])[1]), "".join(said)
        finally:
            if process.poll() is None:
                process.terminate()
            process.wait(timeout=LONGEST_S)


def get(address, port, path="/", **headers):
    asking = http.client.HTTPConnection(address, port, timeout=LONGEST_S)
    asking.request("GET", path, headers={name.replace("_", "-"): value for name, value in headers.items()})
    answer = asking.getresponse()
    answer.read()
    asking.close()
    return answer


@linux
def test_a_given_address_and_this_machine_are_listened_at_and_nothing_else(tmp_path):
    with served(tmp_path / "g", "--lan", "127.0.0.2") as (_, port, said):
        assert f"Phones on the same network pair at http://127.0.0.2:{port}/pair." in said
        assert get("127.0.0.1", port).status == 200
        assert get("127.0.0.2", port).status == 401
        assert get("127.0.0.2", port, "/pair").status == 200
        with pytest.raises(ConnectionRefusedError):
            get("127.0.0.3", port)


@linux
def test_without_lan_only_this_machine_is_listened_at(tmp_path):
    with served(tmp_path / "g") as (_, port, said):
        assert "phone" not in said.lower()
        assert get("127.0.0.1", port).status == 200
        assert get("127.0.0.1", port, "/pair").status == 404
        with pytest.raises(ConnectionRefusedError):
            get("127.0.0.2", port)


@linux
def test_a_proxys_headers_let_nobody_in_and_the_server_does_not_name_itself(tmp_path):
    with served(tmp_path / "g", "--lan", "127.0.0.2") as (_, port, _):
        told = {"x_forwarded_for": "127.0.0.1", "x_forwarded_host": "127.0.0.1", "x_forwarded_proto": "https"}
        answer = get("127.0.0.2", port, **told)
        assert answer.status == 401
        assert answer.getheader("server") is None


def test_a_code_goes_to_a_screen_and_never_into_a_file(tmp_path):
    with served(tmp_path / "g", "--lan", "127.0.0.1") as (_, port, said):
        assert f"The code is on the page http://127.0.0.1:{port}/phones.\n" in said
        assert not re.search(r"\w{4}-\w{4}-\w{4}|█", said)
        assert said.endswith(f"{serve.TRUST}\n")


def test_ctrl_c_ends_without_a_trace(tmp_path):
    with served(tmp_path / "g") as (process, port, _):
        assert get("127.0.0.1", port).status == 200
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=LONGEST_S) == 0
        assert process.stdout.read() == ""


@pytest.mark.parametrize("signal_", [signal.SIGTERM, signal.SIGINT])
@pytest.mark.skipif(sys.platform == "win32", reason="a signal ends a process there at once")
def test_stopping_leaves_one_file(tmp_path, signal_):
    with served(tmp_path / "g") as (process, port, _):
        assert get("127.0.0.1", port).status == 200
        process.send_signal(signal_)
        assert process.wait(timeout=60) == 0
        assert process.stdout.read() == ""
    assert [one.name for one in (tmp_path / "g").iterdir()] == ["garage.sqlite3"]


@pytest.mark.skipif(sys.platform == "win32", reason="a signal ends a process there at once")
def test_a_demo_that_is_stopped_leaves_nothing(tmp_path):
    command = [sys.executable, "-m", "knowngood", "demo", "--port", "0", "--no-browser"]
    environment = {**os.environ, "PYTHONUNBUFFERED": "1", "TMPDIR": str(tmp_path)}
    with subprocess.Popen(command, env=environment, text=True, stdout=subprocess.PIPE) as process:
        for line in process.stdout:
            if line.startswith("The garage is kept"):
                break
        process.terminate()
        assert process.wait(timeout=60) == 0
    assert list(tmp_path.iterdir()) == []


def test_all_entries_are_looked_at_beside_the_serving(demo_garage):
    with Checking(demo_garage.store) as checking:
        checking._thread.join()
    assert demo_garage.store._mark.seq == demo_garage.store.newest_seq()


def test_a_database_that_cannot_be_read_beside_the_serving_is_said_on_the_pages(demo_garage, monkeypatch):
    def unreadable(_):
        raise StoreError("{place}: the disk did not answer.", demo_garage.folder)

    monkeypatch.setattr(type(demo_garage.store), "check", lambda *_: unreadable(_))
    with Checking(demo_garage.store) as checking:
        checking._thread.join()
    assert [one.words for one in demo_garage.store.damage()] == ["The garage: the disk did not answer."]


def test_the_terminal_shows_the_picture_the_letters_and_the_time(lan):
    said = serve.invitation(lan, shown=True)
    first, *picture, letters, trust = said.splitlines()
    assert first == (
        "Phones on the same network pair at http://192.168.1.20:8321/pair. When one does not reach it, this machine "
        "has another address: give it with --lan ADDRESS."
    )
    squares = [line for line in picture if line]
    assert {len(line) for line in squares} == {len(squares) * 2 - 1}
    assert set("".join(squares)) <= set("█▀▄ ")
    until = clock_words(lan.pairing.code().until, None)
    assert letters == (
        f"Or type the code AAAA-CCCC-DDDD-EEEE. It is good until {until}, for one phone; "
        "another is on the page http://127.0.0.1:8321/phones."
    )
    assert trust == "Use this on a network that you trust: what is sent between phone and computer is not encrypted."


@pytest.mark.parametrize("given", ["x", "localhost", "0.0.0.0", "224.0.0.1", "::1", "192.168.1", "1.2.3.4:80"])
def test_what_is_no_address_is_one_sentence(tmp_path, capsys, given):
    assert cli.main(["serve", "--garage", str(tmp_path / "g"), "--lan", given, "--no-browser"]) == 2
    assert capsys.readouterr().err == f'--lan: "{given}" {NO_ADDRESS}\n'


def test_another_machines_address_is_one_sentence(tmp_path, capsys):
    command = ["serve", "--garage", str(tmp_path / "g"), "--lan", "203.0.113.7", "--port", "0", "--no-browser"]
    assert cli.main(command) == 1
    words = "--lan: 203.0.113.7 is not an address of this machine. Give its own, or --lan alone to have it found.\n"
    assert capsys.readouterr().err == words


@pytest.mark.parametrize(
    ("lan", "addresses"),
    [
        (None, ["127.0.0.1"]),
        ("", ["0.0.0.0"]),
        ("192.168.1.20", ["127.0.0.1", "192.168.1.20"]),
        ("127.0.0.1", ["127.0.0.1"]),
    ],
)
def test_who_may_connect_at_all_is_what_was_asked_for(monkeypatch, lan, addresses):
    asked = []
    monkeypatch.setattr(serve, "_own_address", lambda: "192.168.1.20")
    monkeypatch.setattr(serve, "_listen_at", lambda *more: asked.append(more) or [])
    assert serve.serve(None, port=8321, browser=False, lan=lan) is False
    assert asked == [(addresses, 8321)]


class Socket:
    """A socket of a machine that is on some network, or on none."""

    address: str | None = None

    def __init__(self, *_):
        pass

    def __enter__(self):
        return self

    def __exit__(self, *_):
        pass

    def connect(self, where):
        assert where[0].startswith("192.0.2.")
        if self.address is None:
            raise OSError("network is unreachable")

    def getsockname(self):
        return self.address, 5000


def test_the_address_is_found_without_sending_anything(monkeypatch):
    monkeypatch.setattr(serve.socket, "socket", type("Found", (Socket,), {"address": "192.168.1.20"}))
    assert serve.lan_address("") == "192.168.1.20"


@pytest.mark.parametrize("address", [None, "127.0.0.1", ""])
def test_a_machine_on_no_network_is_one_sentence(monkeypatch, address):
    monkeypatch.setattr(serve.socket, "socket", type("Alone", (Socket,), {"address": address}))
    words = (
        "--lan: this machine is on no network, so a phone cannot reach it. Join the network that the phone is on, or "
        "give this machine's address on it, such as --lan 192.168.1.20."
    )
    assert refused(serve.lan_address, "") == {"lan": words}
