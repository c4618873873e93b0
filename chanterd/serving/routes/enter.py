"""The routes of the entrance: to enter with a code, to see what one may do, to leave; the codes of the seats."""

import io
import json
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.responses import FileResponse, JSONResponse
from pydantic import BaseModel

from chanterd.config import ChanterdError, bundled
from chanterd.serving.access.entrance import LockedError
from chanterd.serving.access.gate import GrantOf, cookie_name, refusal, token_of
from chanterd.serving.access.grants import Grant, Role
from chanterd.serving.access.listeners import listener_of
from chanterd.serving.access.lockout import WINDOW_NS
from chanterd.serving.access.rights import home
from chanterd.serving.daemon import Daemon
from chanterd.serving.status import NS_PER_S

DONE, LOCKED = 204, 429
ENTER_BODY = {
    "required": True,
    "content": {
        "application/json": {
            "schema": {"type": "object", "required": ["code"], "properties": {"code": {"type": "string"}}}
        }
    },
}
PAGE = ["GET", "HEAD"]
QUIET_ZONE = 4
"""Modules of white around a QR code (ISO/IEC 18004, from memory)."""


class GrantShown(BaseModel):
    """What whoever asks may do."""

    role: Role
    seat: str | None
    """Which seat; null unless the role is a seat's."""
    page: str
    """The page that it is for."""


class WayShown(BaseModel):
    """How to get to one seat over the network."""

    seat: str
    name: str
    code: str
    url: str
    """Leads straight in, with the code; what the seat's QR code says."""


class WaysShown(BaseModel):
    """How to get to every seat over the network."""

    page: str | None
    """Where to type a code; null if the daemon can be reached from this machine only."""
    fingerprint: str | None
    """Of the certificate, if nobody but this machine vouches for it: SHA-256, as browsers show it."""
    seats: list[WayShown]


def add_enter_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them."""
    entrance = daemon.entrance

    @app.post("/api/enter", status_code=DONE, openapi_extra={"requestBody": ENTER_BODY})
    async def enter(request: Request) -> Response:
        """Enter with a code."""
        address = request.client.host if request.client is not None else ""
        try:
            token = entrance.enter(_code(await request.body()), address, daemon.clock())
        except LockedError:
            wait_s = WINDOW_NS // NS_PER_S
            said = f"There were too many wrong codes. Wait {wait_s} seconds, then try again."
            return JSONResponse({"said": said}, LOCKED, {"retry-after": str(wait_s)})
        if token is None:
            return refusal()
        answer = Response(status_code=DONE)
        listener = listener_of(request.scope)
        if listener is not None:  # this machine's own pages need no session
            answer.set_cookie(
                cookie_name(listener.port), token, httponly=True, samesite="strict", secure=listener.tls, path="/"
            )
        return answer

    @app.get("/api/grant")
    async def grant_shown(grant: GrantOf) -> GrantShown:
        """What whoever asks may do."""
        return GrantShown(role=grant.role, seat=grant.seat, page=home(grant))

    @app.delete("/api/grant", status_code=DONE)
    async def leave(request: Request) -> Response:
        """Leave: the session ends, and with it what it opened."""
        entrance.grants.leave(token_of(request.scope))
        return Response(status_code=DONE)

    @app.get("/api/ways")
    async def ways() -> WaysShown:
        """The code and the address of every seat, for the teacher to hand out."""
        page = f"{entrance.listeners[0].page}enter" if entrance.listeners else None
        seats = [] if page is None else [_way(daemon, seat) for seat in daemon.seats]
        return WaysShown(page=page, fingerprint=entrance.fingerprint, seats=seats)

    @app.get("/api/ways/{seat}.svg", response_class=Response)
    async def qr(seat: str) -> Response:
        """The QR code of a seat's address."""
        return Response(_qr_code(_way(daemon, daemon.seat(seat).id).url), media_type="image/svg+xml")

    @app.post("/api/ways/{seat}")
    async def renew(seat: str) -> WayShown:
        """Give a seat a new code; whoever entered with the old one is out."""
        entrance.grants.renew(Grant(Role.SEAT, daemon.seat(seat).id))
        return _way(daemon, seat)

    _add_pages(app)


def _add_pages(app: FastAPI) -> None:
    web = bundled("web")

    @app.api_route("/enter", methods=PAGE, include_in_schema=False)
    async def enter_page() -> Response:
        """The page to enter a code on."""
        return FileResponse(web / "enter" / "index.html")

    @app.api_route("/seat/{number:int}", methods=PAGE, include_in_schema=False)
    async def seat_page(number: int) -> Response:  # noqa: ARG001 - the page reads it from its own address
        """A seat's own page."""
        return FileResponse(web / "seat" / "index.html")


def _code(body: bytes) -> str:
    """The code in a request; an unreadable one is as wrong as any other guess."""
    try:
        read: Any = json.loads(body)
    except (ValueError, RecursionError):
        return ""
    code = read.get("code") if isinstance(read, dict) else None
    return code if isinstance(code, str) else ""


def _way(daemon: Daemon, seat_id: str) -> WayShown:
    seat, grant = daemon.seat(seat_id), Grant(Role.SEAT, seat_id)
    url = daemon.entrance.way_in(grant)
    if url is None:
        raise ChanterdError("Nobody can join over the network; start chanterd with --lan.")
    return WayShown(seat=seat.id, name=seat.player.name, code=daemon.entrance.grants.code_of(grant), url=url)


def _qr_code(text: str) -> bytes:
    # Only here, since whoever plays alone needs none.
    import segno  # noqa: PLC0415

    drawn = io.BytesIO()
    segno.make_qr(text, error="m").save(drawn, kind="svg", border=QUIET_ZONE, omitsize=True, light="#fff")
    return drawn.getvalue()
