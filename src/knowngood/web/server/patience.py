"""Connections that are not waited for without end: a request comes, and its answer is taken, within a time."""

import asyncio

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

# Ours: a phone on one bar of signal sends the head of a request, less than 2 kB, in far less.
HEAD_S = 10.0
# Ours: how long a connection may stand still in the middle of a form, or of an answer.
STILL_S = 60.0


class Patience(H11Protocol):
    """The server's own protocol, which waits for a slow sender for ever, with an end to that.

    Between two requests of one connection the server's own `timeout_keep_alive` holds.
    """

    head_s, still_s = HEAD_S, STILL_S
    _waits: asyncio.TimerHandle | None = None
    _for_head = False
    _untaken: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to wait for the first request."""
        super().connection_made(transport)
        self._wait(self.head_s, for_head=True)

    def data_received(self, data: bytes) -> None:
        """Take what came, and wait for what is left of it."""
        super().data_received(data)
        self._wait_on()

    def on_response_complete(self) -> None:
        """Go on to what came meanwhile."""
        super().on_response_complete()
        self._wait_on()

    def connection_lost(self, exc: Exception | None) -> None:
        """Wait no more."""
        self._wait_no_more()
        self.resume_writing()
        super().connection_lost(exc)

    def pause_writing(self) -> None:
        """Begin to wait for the answer to be taken."""
        super().pause_writing()
        self._untaken = self.loop.call_later(self.still_s, self.transport.abort)

    def resume_writing(self) -> None:
        """Some of it was taken."""
        super().resume_writing()
        if self._untaken is not None:
            self._untaken.cancel()
            self._untaken = None

    def _wait_on(self) -> None:
        if self.conn.their_state is h11.SEND_BODY:
            self._wait(self.still_s, for_head=False)
        elif self.conn.their_state is not h11.IDLE:  # all of the request is here
            self._wait_no_more()
        elif self.conn.trailing_data[0] and not self._for_head:
            self._wait(self.head_s, for_head=True)

    def _wait(self, seconds: float, *, for_head: bool) -> None:
        self._wait_no_more()
        self._waits, self._for_head = self.loop.call_later(seconds, self.transport.abort), for_head

    def _wait_no_more(self) -> None:
        if self._waits is not None:
            self._waits.cancel()
        self._waits, self._for_head = None, False
