"""Notation made in other processes."""

import asyncio
import os
import signal
from collections.abc import Iterator

import pytest

from chanterd.config import ChanterdError
from chanterd.engraving.staff import staff_svg
from chanterd.engraving.workshop import Workshop
from chanterd.music.book import standard_book
from chanterd.music.drill import drill_from_words


@pytest.fixture
def workshop() -> Iterator[Workshop]:
    """One that is closed in the end."""
    one = Workshop(standard_book())
    yield one
    one.close()


def test_a_staff_comes_back_as_if_it_were_made_here(workshop: Workshop) -> None:
    """The same text, from a process that is not this one."""
    assert asyncio.run(workshop.staff("grip from B to C")) == staff_svg(drill_from_words("grip from B to C"))
    assert asyncio.run(workshop._staves.make(os.getpid)) != os.getpid()


def test_the_event_loop_goes_on_meanwhile(workshop: Workshop) -> None:
    """While staves are engraved, whatever else waits for the loop has its turn."""

    async def both() -> int:
        staff = asyncio.ensure_future(workshop.staff("taorluath from B to low A"))
        turns = 0
        while not staff.done():
            turns += 1
            await asyncio.sleep(0)
        return turns

    assert asyncio.run(both()) > 10


def test_a_refusal_comes_through(workshop: Workshop) -> None:
    """In the words in which it was said."""
    with pytest.raises(ChanterdError, match="is not understood"):
        asyncio.run(workshop.staff("grip"))
    with pytest.raises(ChanterdError, match=r"^The paper is 'a5'"):
        asyncio.run(workshop.sheet(["birl"], paper="a5"))


def test_warming_up_says_nothing_of_what_goes_wrong(workshop: Workshop) -> None:
    """Nobody has asked for that stave yet; whoever does is refused."""
    asyncio.run(workshop.warm_up("gripp from B to C"))


def test_a_sheet_is_a_pdf(workshop: Workshop) -> None:
    """From what a page asks for."""
    made = asyncio.run(workshop.sheet(["birl from E"], stages=True, tempo="60-80", title="One", paper="letter"))
    assert made.startswith(b"%PDF-")


def test_closing_does_not_wait_for_a_long_sheet(workshop: Workshop) -> None:
    """Printing the whole book does not hold up the end: the sheet is cancelled, and the request gets an error."""

    async def give_up(*, started: bool) -> None:
        if started:
            await workshop._sheets.make(os.getpid)
        printing = asyncio.ensure_future(workshop.sheet(["from"]))
        await asyncio.sleep(0)
        await asyncio.to_thread(workshop.close)
        await printing

    for started in (True, False):
        with pytest.raises(ChanterdError, match=r"^The engraver stopped"):
            asyncio.run(give_up(started=started))


def test_a_process_that_dies_is_reported_and_replaced(workshop: Workshop) -> None:
    """Whoever waits for it gets a sentence; the next request gets a staff."""

    async def die() -> None:
        number = await workshop._staves.make(os.getpid)
        waiting = asyncio.ensure_future(workshop.staff("grip from B to C"))
        os.kill(number, signal.SIGKILL)
        await waiting

    with pytest.raises(ChanterdError, match=r"^The engraver stopped"):
        asyncio.run(die())
    assert "<svg" in asyncio.run(workshop.staff("grip from B to C"))


def test_a_sheet_shows_its_progress(workshop: Workshop) -> None:
    """From nothing known, through what rises, to all of it: two steps a line, as setting and printing count."""
    reports: list[tuple[int, int]] = []
    asyncio.run(workshop.sheet(["grip", "birl"], on_progress=lambda done, of: reports.append((done, of))))
    known = [one for one in reports if one[1]]
    assert reports[0] == (0, 0)
    assert known == sorted(known)
    assert {of for _, of in known} == {2 * (46 + 9)}


def test_a_sheet_that_nobody_waits_for_any_more_is_given_up(workshop: Workshop) -> None:
    """Its process ends at once, and the next sheet is made."""

    async def change_of_mind() -> bytes:
        begun = asyncio.Event()
        printing = asyncio.ensure_future(
            workshop.sheet(["from"], on_progress=lambda _, of: begun.set() if of else None)
        )
        await begun.wait()
        process = workshop._sheets._process
        assert process is not None
        printing.cancel()
        with pytest.raises(asyncio.CancelledError):
            await printing
        with pytest.raises(ProcessLookupError):
            os.kill(process, 0)
        return await workshop.sheet(["birl from E"])

    assert asyncio.run(change_of_mind()).startswith(b"%PDF-")
