"""The long answers about the book."""

import asyncio
import gzip
import json
from collections.abc import Awaitable, Callable
from multiprocessing import active_children
from pathlib import Path
from typing import Any

import pytest
from starlette.requests import Request

from chanterd.config import ChanterdError
from chanterd.engraving.worker import Worker
from chanterd.music.book import standard_book
from chanterd.music.drill import all_drills
from chanterd.serving import book_answers
from chanterd.serving.book_answers import BookAnswers, BookPress, answered
from chanterd.tables import read_tables

Make = Callable[[Worker, Callable[[], Any]], Awaitable[Any]]
OWN = """
[[ornament]]
name = "my nod"
how = "As quick as a nod."
beat = "theme"
[[ornament.spelled]]
themes = ["C"]
steps = ["d quick"]
"""


def both(packed: BookAnswers) -> tuple[list[str], list[str]]:
    """The drills' words, and the ornaments' names."""
    drills, book = json.loads(gzip.decompress(packed.drills)), json.loads(gzip.decompress(packed.book))
    return [one["drill"] for one in drills], [one["name"] for one in book["ornaments"]]


def test_another_process_makes_them_and_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing of it is worked out here, where it would hold up what is heard, and the process does not stay."""
    book, every, before = standard_book(), [drill.words for drill in all_drills()], active_children()

    def here(_: object) -> None:
        pytest.fail("worked out in this process")

    monkeypatch.setattr(book_answers, "all_drills", here)
    monkeypatch.setattr(book_answers, "shown_book", here)
    assert both(asyncio.run(BookPress(book).answers())) == (every, [one.name for one in book.ornaments])
    assert set(active_children()) <= set(before)


def test_they_know_the_ornaments_of_the_users_own_tables(tmp_path: Path) -> None:
    """The other process gets the daemon's book; it does not read the tables again."""
    (tmp_path / "ornaments.toml").write_text(OWN)
    drills, ornaments = both(asyncio.run(BookPress(read_tables(tmp_path).book).answers()))
    assert "my nod" in ornaments
    assert any(one.startswith("my nod from ") for one in drills)


def failing_once(make: Make) -> Make:
    """The same, but the first call loses its process."""
    calls: list[Worker] = []

    async def lost() -> None:
        raise ChanterdError("It stopped; try again.")

    def made(worker: Worker, work: Callable[[], Any]) -> Awaitable[Any]:
        calls.append(worker)
        return lost() if len(calls) == 1 else make(worker, work)

    return made


def test_after_a_lost_process_the_next_request_tries_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever waited gets a sentence, and the daemon is not left without its book."""
    monkeypatch.setattr(Worker, "make", failing_once(Worker.make))

    async def ask() -> BookAnswers:
        press = BookPress(standard_book())
        with pytest.raises(ChanterdError, match="try again"):
            await press.answers()
        return await press.answers()

    assert len(both(asyncio.run(ask()))[0]) > 1000


def test_one_who_hangs_up_takes_it_from_nobody_else() -> None:
    """Two wait for the same answers; the first is cancelled."""

    async def ask() -> BookAnswers:
        press = BookPress(standard_book())
        first, second = asyncio.create_task(press.answers()), asyncio.create_task(press.answers())
        await asyncio.sleep(0)
        first.cancel()
        return await second

    assert len(both(asyncio.run(ask()))[0]) > 1000


def test_closing_gives_up_what_is_being_made() -> None:
    """A daemon that ends does not wait for its lists."""

    async def close_early() -> bool:
        press = BookPress(standard_book())
        waiting = asyncio.create_task(press.answers())
        await asyncio.sleep(0)
        await press.close()
        await asyncio.wait([waiting])
        return waiting.cancelled()

    assert asyncio.run(close_early())
    assert active_children() == []


@pytest.mark.parametrize(
    ("accepted", "packed"), [("gzip, deflate, br", True), ("br;q=1.0, gzip;q=0.5", True), ("br", False), (None, False)]
)
def test_an_answer_is_packed_for_whoever_can_unpack_it(accepted: str | None, *, packed: bool) -> None:
    """Accept-Encoding: RFC 9110 section 12.5.3, gzip: RFC 1952 (from memory)."""
    headers = [] if accepted is None else [(b"accept-encoding", accepted.encode())]
    answer = answered(gzip.compress(b"[]"), Request({"type": "http", "headers": headers}))
    assert answer.headers.get("content-encoding") == ("gzip" if packed else None)
    assert answer.headers["vary"] == "Accept-Encoding"
    assert (gzip.decompress(bytes(answer.body)) if packed else answer.body) == b"[]"
