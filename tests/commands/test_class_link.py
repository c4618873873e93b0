"""The link to a class; what a whole program does with it is in test_join.py and test_joiner.py."""

import asyncio
import contextlib
from pathlib import Path

from chanterd.commands.class_link import Entered, enter, stay
from chanterd.hearing.inputs import open_input
from chanterd.hearing.joiner import Joiner
from chanterd.serving.access.address_watch import Network
from chanterd.serving.access.grants import Grant, Role
from tests.serving.routes.test_enter import LAN
from tests.serving.running_daemon import served


def test_clocks_are_compared_on_more_than_one_link_at_first(tmp_path: Path) -> None:
    """So that what is played within the first seconds is stamped well already."""
    with served(tmp_path, [open_input("join")], Network([LAN])) as (_, daemon):
        code = daemon.entrance.grants.code_of(Grant(Role.SEAT, "1"))
        entered = enter(daemon.entrance.listeners[0].page, code, None)
        joiner = Joiner("Ailsa", "a chanter")

        async def two_seconds() -> None:
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(stay(entered, joiner), 2)

        asyncio.run(two_seconds())
        assert joiner.seat == "1"
        assert joiner.answers > 60  # each of four links asks 20 times a second; one alone would have 40


def test_without_a_code_there_is_no_session() -> None:
    """At this machine a class needs none."""
    assert enter("http://127.0.0.1:1/", None, None) == Entered("http://127.0.0.1:1/", "", None)
