"""What a request may look like before any route sees it: its size, and the time it takes."""

from __future__ import annotations

import asyncio
from typing import Any, ClassVar

from uvicorn.protocols.http.httptools_impl import STATUS_LINE, HttpToolsProtocol

from tarebook.web.connections import Connection, Connections, State

MOST_WAITING = 8
"""Requests that one connection may send before the first of them is answered."""

BESIDE_A_BYTE = 8
"""Bytes for each of a body that may come beside it: a body in pieces of one byte each has five."""

LARGE_ANSWER = 256 * 1024
"""Bytes of an answer that wait to be taken, from which on all that wait are counted."""


class Protocol(HttpToolsProtocol):
    """HTTP as the library speaks it, within the limits of the app."""

    counted: ClassVar[Connections]

    _known: Connection | None = None
    _head_is_open = True
    _head_bytes = 0
    _body_bytes = 0
    _beside_bytes = 0
    _refused = False

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]  # as there
        """Begin a connection."""
        super().connection_made(transport)
        found: Any = transport.get_extra_info("socket")
        self._known = self.counted.of(found.fileno()) if found is not None else None
        if self._known is not None:
            self._known.unsent = transport.get_write_buffer_size

    def data_received(self, data: bytes) -> None:
        """Take what came."""
        if self._refused:
            return
        if self._head_is_open:
            self._head_bytes += len(data)
        else:
            self._beside_bytes += len(data)
        super().data_received(data)
        if self._refused:
            return
        most = self.counted.limits.head_bytes
        if self._head_is_open and self._head_bytes > most:
            self._refuse(431, "The head of the request is too large.")
        elif self._beside_bytes > most + BESIDE_A_BYTE * self._body_bytes:
            self._refuse(431, "What comes beside the body of the request is too large.")

    def on_header(self, name: bytes, value: bytes) -> None:
        """Take a line of the head; those after a body say nothing to us."""
        if self._head_is_open:
            super().on_header(name, value)

    def on_message_begin(self) -> None:
        """Note that a request begins."""
        super().on_message_begin()
        self._head_is_open = True
        self._enter(State.OPENING)

    def on_headers_complete(self) -> None:
        """Begin to answer a request whose head is there."""
        if self._refused:
            return
        self._head_is_open, self._head_bytes = False, 0
        self._body_bytes = self._beside_bytes = 0
        size = len(self.url) + sum(len(name) + len(value) for name, value in self.headers)
        if size > self.counted.limits.head_bytes:
            self._refuse(431, "The head of the request is too large.")
            return
        if len(self.pipeline) >= MOST_WAITING:
            self._refuse(429, "Too many requests at once on one connection.")
            return
        self._enter(State.SENDING)
        super().on_headers_complete()

    def on_body(self, body: bytes) -> None:
        """Take a piece of a body."""
        if not self._refused:
            self._body_bytes += len(body)
            self._beside_bytes -= len(body)
            super().on_body(body)

    def on_message_complete(self) -> None:
        """Note that a request is whole."""
        if self._refused:
            return
        self._head_is_open, self._head_bytes, self._beside_bytes = True, 0, 0
        super().on_message_complete()
        answered = self.cycle is not None and self.cycle.response_complete
        self._enter(State.IDLE if answered else State.BUSY)

    def on_response_complete(self) -> None:
        """Note that a request was answered."""
        super().on_response_complete()
        if self._known is None:
            return
        if self.pipeline or self.cycle.more_body:
            self._enter(State.BUSY if self.pipeline else State.SENDING)
        else:
            self._enter(State.IDLE)
        if self._known.unsent() > LARGE_ANSWER:
            self.counted.bound_unsent()

    def _enter(self, state: State) -> None:
        known = self._known
        # The time for a head runs from its first byte, and that of a first one from the beginning.
        if known is not None and known.state is not state:
            self.counted.enter(known, state)

    def _refuse(self, status: int, message: str) -> None:
        """Answer without a route and end the connection."""
        self._refused = True
        text = message.encode()
        self.transport.write(
            STATUS_LINE[status]
            + b"content-type: text/plain; charset=utf-8\r\nconnection: close\r\n"
            + b"content-length: %d\r\n\r\n" % len(text)
            + text
        )
        self.transport.close()


def protocol_of(connections: Connections) -> type[Protocol]:
    """Return the protocol whose connections are counted there."""
    return type("BenchProtocol", (Protocol,), {"counted": connections})
