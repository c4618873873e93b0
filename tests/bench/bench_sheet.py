"""What notation costs: a sheet of twenty pages in seconds and megabytes, one staff, and what the event loop feels.

Beside it in the same run, verovio alone: on the same lines, and on the whole document with pages of its own. Each
measurement is made in a process of its own that has printed one small sheet before the clock starts. Seconds are
processor time, which leaves out what other programs take in between; memory is the most that the process ever held.
The loop's wait is how much later than asked a sleep of half a millisecond ended, as the poll of a MIDI port would; it
is wall time, so read it beside the row in which nothing is done.

Run: ``python -m tests.bench.bench_sheet [--pages N]``
"""

import argparse
import asyncio
import resource
import time
from collections.abc import Awaitable, Callable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context
from typing import Any

import verovio
from rich.console import Console
from rich.table import Table

from chanterd.engraving.block import STAFF_SPACE
from chanterd.engraving.engraver import engrave
from chanterd.engraving.musicxml import MusicLine, music_xml
from chanterd.engraving.pages import sheet_pages
from chanterd.engraving.press import quiet, sheet_pdf, sheet_svg
from chanterd.engraving.sheet import Sheet, make_sheet
from chanterd.engraving.staff import staff_svg
from chanterd.engraving.workshop import Workshop
from chanterd.music.book import standard_book
from chanterd.music.drill import all_drills

MB = 1e6
KB_OF_RSS = 1024
SLEEP_S = 0.0005
ASKED: dict[str, Any] = {"stages": True, "tempo": "60-80", "title": "Twenty pages"}


def sheet_of(pages: int) -> Sheet:
    """A sheet that fills that many pages, from drills all over the book."""
    drills = [drill.words for drill in all_drills()]
    count = pages * 7
    while True:
        sheet = make_sheet(drills[:: max(1, len(drills) // count)][:count], **ASKED)
        found = len(sheet_pages(sheet, quiet))
        if found == pages or count == len(drills):
            return sheet
        count += 1 if found < pages else -1


def lines_alone(sheet: Sheet) -> int:
    """Every line of it through verovio, and nothing else."""
    width = sheet.paper.inner_width / STAFF_SPACE
    return sum(len(engrave(music_xml([MusicLine(line.drills)]), width)) for line in sheet.lines)


def pages_alone(sheet: Sheet) -> int:
    """The whole document through verovio, on A4 pages of its own with staves as high as ours."""
    toolkit = verovio.toolkit()
    toolkit.setOptions({"breaks": "encoded", "pageWidth": 2100, "pageHeight": 2970, "scale": 100, "beamMaxSlope": 0})
    toolkit.loadData(sheet.music_xml)
    return sum(len(toolkit.renderToSVG(number)) for number in range(1, toolkit.getPageCount() + 1))


def pdf(sheet: Sheet) -> int:
    """Our PDF."""
    return len(sheet_pdf(sheet))


def svg(sheet: Sheet) -> int:
    """Our SVG pages."""
    return sum(map(len, sheet_svg(sheet)))


def whole_music_xml(sheet: Sheet) -> int:
    """Our MusicXML."""
    return len(sheet.music_xml)


def measured(work: Callable[[Sheet], int], sheet: Sheet) -> tuple[float, int, float]:
    """Seconds, bytes made, and the most memory this process ever held, in MB."""
    sheet_pdf(make_sheet(["birl from E"]))
    start = time.process_time()
    made = work(sheet)
    took = time.process_time() - start
    return took, made, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * KB_OF_RSS / MB


def apart(work: Callable[[Sheet], int], sheet: Sheet) -> tuple[float, int, float]:
    """The same in a process of its own."""
    with ProcessPoolExecutor(1, get_context("spawn")) as pool:
        return pool.submit(measured, work, sheet).result()


def table_of_sheets(sheet: Sheet, pages: int) -> Table:
    """Ours and verovio's."""
    table = Table("what", "s", "ms a page", "MB made", "MB of memory", title=f"{len(sheet.lines)} lines, {pages} pages")
    rows: dict[str, Callable[[Sheet], int]] = {
        "PDF": pdf,
        "SVG pages": svg,
        "MusicXML": whole_music_xml,
        "verovio alone, the same lines": lines_alone,
        "verovio alone, the whole on its own pages": pages_alone,
    }
    for name, work in rows.items():
        took, made, memory = apart(work, sheet)
        table.add_row(name, f"{took:.2f}", f"{took / pages * 1e3:.0f}", f"{made / MB:.2f}", f"{memory:.0f}")
    return table


def table_of_staves() -> Table:
    """One drill after the other, new and kept."""
    table = Table("a staff", "ms", title="single staves")
    drills = [*all_drills()][::10]
    staff_svg(drills.pop())
    for name in ("new", "kept"):
        start = time.process_time()
        for one in drills:
            staff_svg(one)
        table.add_row(name, f"{(time.process_time() - start) / len(drills) * 1e3:.2f}")
    return table


async def waits(work: Callable[[], Awaitable[object]]) -> list[float]:
    """By how many ms sleeps ended late while the work was done, rising."""
    task, late = asyncio.ensure_future(work()), []
    while not task.done():
        start = time.perf_counter()
        await asyncio.sleep(SLEEP_S)
        late.append((time.perf_counter() - start - SLEEP_S) * 1e3)
    await task
    return sorted(late)


async def table_of_waits(sheet: Sheet) -> Table:
    """Nothing to do, a sheet made by a thread, and one made in the workshop."""
    table = Table("meanwhile", "median", "p99", "longest", title="ms that the event loop wakes late")
    shop = Workshop(standard_book())
    phrases = [line.drill.words for line in sheet.lines]
    works: dict[str, Callable[[], Awaitable[object]]] = {
        "nothing": partial(asyncio.sleep, 2.0),
        "a sheet, in a thread": partial(asyncio.to_thread, sheet_pdf, sheet),
        "a sheet, in the workshop": partial(shop.sheet, phrases, **ASKED),
    }
    for name, work in works.items():
        late = await waits(work)
        shown = (late[len(late) // 2], late[len(late) * 99 // 100], late[-1])
        table.add_row(name, *(f"{one:.2f}" for one in shown))
    shop.close()
    return table


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pages", type=int, default=20)
    pages = parser.parse_args().pages
    sheet, console = sheet_of(pages), Console()
    console.print(table_of_sheets(sheet, len(sheet_pages(sheet, quiet))))
    console.print(table_of_staves())
    console.print(asyncio.run(table_of_waits(sheet)))


if __name__ == "__main__":
    main()
