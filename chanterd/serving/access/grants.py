"""Grants: what a code opens, and the sessions of those who have entered with one.

Codes and sessions live in memory and are new at every start, so that a code on last week's blackboard opens nothing.
"""

import asyncio
import hmac
import secrets
from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum

from chanterd.serving.access.codes import new_code, plain


class ForbiddenError(Exception):
    """Whoever asks may not do it."""


class Role(StrEnum):
    """The three rights."""

    DESK = "desk"
    """Everything: the teacher's."""
    WALL = "wall"
    """To watch the wall, and nothing else."""
    SEAT = "seat"
    """To play and to watch at one seat."""


@dataclass(frozen=True, slots=True)
class Grant:
    """What somebody may do."""

    role: Role
    seat: str | None = None
    """Which seat; None unless the role is a seat's."""

    def may_watch(self, seat: str | None, *, wall: bool = False, desk: bool = False) -> bool:
        """Whether they may watch the desk or the wall, or else what that seat plays by itself (None: every seat)."""
        if self.role is Role.DESK:
            return True
        if desk:
            return False
        return wall if self.role is Role.WALL else self.seat == seat and not wall


@dataclass(frozen=True, slots=True)
class Session:
    """Somebody who has entered."""

    grant: Grant
    ended: asyncio.Event = field(default_factory=asyncio.Event, compare=False)
    """Set when it ends: whatever was opened with it is to be shut."""


AT_THIS_MACHINE = Grant(Role.DESK)
"""Whoever sits at the machine that chanterd runs on may do everything, as ever."""

WALL = Grant(Role.WALL)

MOST_SESSIONS = 500
"""A class and its visitors have far fewer; the oldest one ends when there are more."""


class Grants:
    """The codes there are, and who has entered."""

    def __init__(self, seats: Iterable[str] = ()) -> None:
        """Make a code for the desk, one for the wall and one for each seat."""
        self._codes: dict[Grant, str] = {}
        self._sessions: dict[str, Session] = {}
        for grant in (AT_THIS_MACHINE, WALL, *(Grant(Role.SEAT, seat) for seat in seats)):
            self.renew(grant)

    def code_of(self, grant: Grant) -> str:
        """The code that opens it, made if there is none yet."""
        return self._codes.get(grant) or self.renew(grant)

    def renew(self, grant: Grant) -> str:
        """A new code; the old one opens nothing from now on, and who entered with it is out."""
        self.revoke(grant)
        code = self._codes[grant] = new_code()
        return code

    def revoke(self, grant: Grant) -> None:
        """Let nobody in by that grant any more."""
        self._codes.pop(grant, None)
        for token in [token for token, session in self._sessions.items() if session.grant == grant]:
            self.leave(token)

    def enter(self, code: str) -> str | None:
        """A new session's token for whoever has that code; None if it opens nothing.

        Every code is compared, in a time that does not depend on where a guess goes wrong.
        """
        guess = plain(code).encode(errors="surrogatepass")  # half a pair, which JSON allows, is as wrong as any
        found: Grant | None = None
        for grant, known in self._codes.items():
            if hmac.compare_digest(plain(known).encode(), guess):
                found = grant
        if found is None:
            return None
        token = secrets.token_urlsafe(32)
        while len(self._sessions) >= MOST_SESSIONS:
            self.leave(next(iter(self._sessions)))
        self._sessions[token] = Session(found)
        return token

    def leave(self, token: str | None) -> None:
        """End a session, if it is one."""
        session = None if token is None else self._sessions.pop(token, None)
        if session is not None:
            session.ended.set()

    def session(self, token: str | None) -> Session | None:
        """The session with that token; None if there is none."""
        return None if token is None else self._sessions.get(token)

    def of(self, token: str | None) -> Grant | None:
        """What the holder of a session's token may do; None if it is no session's."""
        session = self.session(token)
        return None if session is None else session.grant
