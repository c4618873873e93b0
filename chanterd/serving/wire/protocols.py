"""The two protocols of a connection, HTTP and WebSocket, with limits on what a stranger may send before it is parsed.

The HTTP parser (llhttp) accepts any number of header bytes; a browser sends under 2 kB, plus the cookies of other
programs on this machine. The limits of one line and of their number are Apache's defaults (LimitRequestFieldSize
8190, LimitRequestFields 100, from memory); the statuses are those of RFC 6585 (431) and RFC 9110 (414).
"""

import asyncio
import json
import logging

from uvicorn.protocols.http.httptools_impl import STATUS_LINE, HttpToolsProtocol
from uvicorn.protocols.websockets.websockets_sansio_impl import WebSocketsSansIOProtocol
from websockets.frames import CloseCode

LOG = logging.getLogger(__name__)

MOST_HEAD = 32_768
"""Bytes of a request's first line and headers together."""
MOST_LINE = 8_000
"""Bytes of one header or of the address; the WebSocket library takes 8192 for a whole line."""
MOST_HEADERS = 100
LINGER_S = 1.0
"""How long a refused client has to read why, seconds."""
WHOLE_WITHIN_S = 10.0
"""How long a request from the network may take to arrive, seconds."""
HANG_UP_S = 2.0
"""How long a page has to say goodbye when its WebSocket is closed, seconds."""
UNREADABLE = 400
ADDRESS_TOO_LONG = 414
HEADERS_TOO_LARGE = 431


class HeadTooLargeError(Exception):
    """A head is too large; raised through the parser, which then reads no further."""


class BoundedHttp(HttpToolsProtocol):
    """HTTP that refuses a head that is too large, as soon as it is."""

    _head = 0
    """Bytes of an unfinished head so far."""
    _in_head = True
    _whole_heads = 0
    """How many heads ended in the latest data."""
    _refused = False
    _why = (UNREADABLE, "The request is not HTTP as in RFC 9112; send it again with an HTTP client.")

    def data_received(self, data: bytes) -> None:
        """Parse the data; throw away anything after a refusal."""
        if self._refused:
            return
        in_head, self._whole_heads = self._in_head, 0
        super().data_received(data)
        if in_head and not self._whole_heads and not self._refused:
            self._head += len(data)
            if self._head > MOST_HEAD:
                self._why = HEADERS_TOO_LARGE, f"The headers have over {MOST_HEAD} bytes; send fewer or shorter ones."
                self.send_400_response("")

    def on_headers_complete(self) -> None:
        """Answer a request whose head is whole. Raises HeadTooLargeError if the head is too large."""
        self._in_head, self._head = False, 0
        self._whole_heads += 1
        sizes = [len(name) + len(value) for name, value in self.headers]
        if len(self.url) > MOST_LINE:
            said = f"The address has over {MOST_LINE} bytes; put what is long into the body."
            self._why = ADDRESS_TOO_LONG, said
            raise HeadTooLargeError
        if len(sizes) > MOST_HEADERS or sum(sizes) > MOST_HEAD or max(sizes, default=0) > MOST_LINE:
            said = (
                f"There are {len(sizes)} headers with {sum(sizes)} bytes; the most are {MOST_HEADERS} headers with "
                f"{MOST_LINE} bytes each and {MOST_HEAD} together. Send fewer or shorter ones."
            )
            self._why = HEADERS_TOO_LARGE, said
            raise HeadTooLargeError
        super().on_headers_complete()

    def on_message_complete(self) -> None:
        """Get ready for the next head."""
        self._in_head = True
        super().on_message_complete()

    def send_400_response(self, msg: str) -> None:  # noqa: ARG002 - uvicorn's sentence is not for our users
        """Say why, as every refusal does, and hang up a little later: at once, the answer might get lost."""
        status, said = self._why
        body = json.dumps({"said": said}).encode()
        headers = (
            b"content-type: application/json\r\n",
            b"x-content-type-options: nosniff\r\n",
            b"connection: close\r\n",
            f"content-length: {len(body)}\r\n\r\n".encode(),
        )
        self._refused = True
        self.transport.write(b"".join([STATUS_LINE[status], *headers, body]))
        self.loop.call_later(LINGER_S, self.transport.close)


class PunctualHttp(BoundedHttp):
    """HTTP for the network: whoever connects sends a whole request soon, or is hung up on."""

    _deadline: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override] # as uvicorn has it
        """Wait for the first request."""
        super().connection_made(transport)
        self._begin_waiting()

    def data_received(self, data: bytes) -> None:
        """A part of a request arrived; the rest must follow."""
        if self._deadline is None:
            self._begin_waiting()
        super().data_received(data)

    def on_message_complete(self) -> None:
        """The request is whole."""
        self._stop_waiting()
        super().on_message_complete()

    def handle_websocket_upgrade(self) -> None:
        """From now on it is a WebSocket, which may be silent."""
        self._stop_waiting()
        super().handle_websocket_upgrade()

    def connection_lost(self, exc: Exception | None) -> None:
        """Nothing more will come."""
        self._stop_waiting()
        super().connection_lost(exc)

    def _begin_waiting(self) -> None:
        self._deadline = self.loop.call_later(WHOLE_WITHIN_S, self.transport.abort)

    def _stop_waiting(self) -> None:
        if self._deadline is not None:
            self._deadline.cancel()
            self._deadline = None


class TidySocket(WebSocketsSansIOProtocol):
    """A WebSocket that logs a stranger's mistake in one line, and that ends when the daemon has ended it."""

    def on_task_complete(self, task: asyncio.Task[None]) -> None:
        """The daemon has done with it: if the other side does not read that, hang up all the same."""
        super().on_task_complete(task)
        self.loop.call_later(HANG_UP_S, self.transport.abort)

    def send_receive_event_to_app(self) -> None:
        """Hand a whole message over; text that is not UTF-8 ends the connection (RFC 6455 section 8.1)."""
        if self.curr_msg_data_type == "text":
            try:
                b"".join(self.frames).decode()
            except UnicodeDecodeError as error:
                LOG.warning("A page sent a text frame that is not UTF-8 (%s); its connection is closed.", error.reason)
                self.conn.fail(CloseCode.INVALID_DATA, "not UTF-8")
                self.handle_parser_exception()
                return
        super().send_receive_event_to_app()
