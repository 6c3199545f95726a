"""Connections that stand still: against a real server with little patience, and by a clock of the test's own."""

import asyncio
import socket
import threading
from contextlib import contextmanager

import h11
import pytest
import uvicorn
from uvicorn.server import ServerState

from knowngood.web.server.patience import HEAD_S, STILL_S, Patience

GET = b"GET / HTTP/1.1\r\nHost: a\r\n\r\n"
HEAD = b"POST / HTTP/1.1\r\nHost: a\r\nContent-Length: 4\r\n\r\n"


async def endless(scope, receive, send):
    """Answers with more than any buffer holds."""
    await send({"type": "http.response.start", "status": 200, "headers": []})
    for _ in range(400):
        await send({"type": "http.response.body", "body": bytes(100_000), "more_body": True})


@contextmanager
def served(**patience):
    """A server that waits as long as it is told to; yields a connection to it, and what is set when it gave up."""
    lost = threading.Event()

    def connection_lost(self, exc):
        Patience.connection_lost(self, exc)
        lost.set()

    protocol = type("Little", (Patience,), {**patience, "connection_lost": connection_lost})
    config = uvicorn.Config(endless, http=protocol, log_level="critical", lifespan="off")
    server = uvicorn.Server(config)
    with socket.create_server(("127.0.0.1", 0)) as listening:
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        try:
            with socket.create_connection(listening.getsockname(), timeout=60) as connection:
                yield connection, lost
        finally:
            server.should_exit = True
            thread.join(timeout=60)


@pytest.mark.parametrize(
    "sent", [b"", GET[:20], HEAD + b"ab", GET], ids=["nothing", "head", "body", "answer not taken"]
)
def test_a_connection_that_stands_still_is_given_up(sent):
    with served(head_s=0.2, still_s=0.2) as (connection, lost):
        connection.sendall(sent)
        assert lost.wait(timeout=60)


class Task:
    def add_done_callback(self, _):
        """It is never done."""


class Clock:
    """A loop that only keeps what is to be done later, and tasks without doing them."""

    def __init__(self):
        self.timers = []

    def call_later(self, seconds, what):
        timer = asyncio.TimerHandle(seconds, what, (), self)
        self.timers.append(timer)
        return timer

    def create_task(self, work, **_):
        work.close()
        return Task()

    def get_debug(self):
        return False

    def _timer_handle_cancelled(self, _):
        """As a loop has it."""

    @property
    def waits(self):
        return [timer.when() for timer in self.timers if not timer.cancelled()]


class Wire(asyncio.Transport):
    def abort(self):
        """Nothing is connected."""


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def connection(clock):
    config = uvicorn.Config(endless, http=Patience, log_level="critical", lifespan="off")
    config.load()
    made = Patience(config, ServerState(), {}, clock)
    made.connection_made(Wire())
    return made


def test_a_request_that_came_whole_is_not_hurried(connection, clock):
    assert clock.waits == [HEAD_S]
    connection.data_received(GET)
    assert clock.waits == []


def test_the_head_has_one_time_for_all_of_it_and_each_piece_of_a_form_its_own(connection, clock):
    for byte in HEAD[:-1]:
        connection.data_received(bytes([byte]))
    assert len(clock.timers) == 1
    connection.data_received(HEAD[-1:])
    assert clock.waits == [STILL_S]
    for byte in b"abc":
        connection.data_received(bytes([byte]))
        assert clock.waits == [STILL_S]
    assert len(clock.timers) == 5
    connection.data_received(b"d")
    assert clock.waits == []


def test_the_head_of_the_next_request_has_its_time(connection, clock):
    connection.data_received(GET)
    connection.conn.send(h11.Response(status_code=204, headers=[]))
    connection.conn.send(h11.EndOfMessage())
    connection.conn.start_next_cycle()
    connection.data_received(GET[:9])
    connection.data_received(GET[9:12])
    assert clock.waits == [HEAD_S]
    connection.connection_lost(OSError())
    assert clock.waits == []
