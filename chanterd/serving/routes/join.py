"""The route of those who join with a chanter from another machine: a program there, or a page with Web MIDI."""

import asyncio

from fastapi import FastAPI, WebSocket

from chanterd.hearing.inputs import JOIN, JOINER
from chanterd.hearing.remote import RemoteSource
from chanterd.serving.access.gate import refusal, session_of
from chanterd.serving.access.grants import Grant, Role
from chanterd.serving.daemon import Daemon
from chanterd.serving.seats.seat import Seat
from chanterd.serving.wire.joining import Join, host


def add_join_route(app: FastAPI, daemon: Daemon) -> None:
    """Add it."""
    joining = asyncio.Lock()

    @app.websocket("/join")
    async def join(socket: WebSocket) -> None:
        session = session_of(socket)
        if session is None or session.grant.role is Role.WALL:
            await socket.send_denial_response(refusal())
            return

        async def welcome(first: Join) -> tuple[str, RemoteSource]:
            async with joining:  # of two that come at once, each gets a place of its own
                return await _place(daemon, session.grant, first)

        await host(socket, session, daemon.clock, welcome)


async def _place(daemon: Daemon, grant: Grant, first: Join) -> tuple[str, RemoteSource]:
    """The seat of a joiner: a seat's own with its code; else where it sat, a free place, or a new one.

    Raises ChanterdError if there is no place left, or its player sits elsewhere.
    """
    if grant.role is Role.SEAT:
        seat = daemon.seat(grant.seat)
        source = await _plugged(daemon, seat)
        if source.who != first.who:
            await daemon.name_seat(seat, first.name)
        return seat.id, source
    for seat in daemon.seats.values():
        if isinstance(seat.source, RemoteSource) and seat.source.who in ("", first.who):
            if not seat.source.who:
                await daemon.name_seat(seat, first.name)
            return seat.id, seat.source
    source = RemoteSource(JOINER, daemon.clock)
    seat = await daemon.room.add(source, first.name)
    return seat.id, source


async def _plugged(daemon: Daemon, seat: Seat) -> RemoteSource:
    """The source of that seat for what is played elsewhere, in place of any other."""
    if not isinstance(seat.source, RemoteSource):
        await daemon.plug(seat, JOIN)
    source = seat.source
    if not isinstance(source, RemoteSource):
        raise TypeError(source)
    return source
