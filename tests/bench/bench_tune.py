"""What a tune costs: reading 64 bars of it, from ABC and from MusicXML, and naming its ornaments.

Beside it in the same run: Python's own XML parser (expat through xml.etree) on the same MusicXML, which is the least
that any reader has to do, and music21, which reads it too. The tune is the march that ships, written out to 64 bars.
Timed as ``bench_book`` is; the book is read before, as it is once in a daemon.

Run: ``python -m tests.bench.bench_tune [--repeats N]``
"""

import argparse
from xml.etree import ElementTree as ET

import music21
from rich.console import Console
from rich.table import Table

from chanterd.config import bundled
from chanterd.music.book import read_book
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.listing import list_tune
from chanterd.music.tunes.musicxml import read_musicxml
from chanterd.music.tunes.naming import Sounds, name_ornaments
from chanterd.music.tunes.tune import Tune
from tests.bench.bench_book import best_ms
from tests.music.tunes.tune_writer import Written, abc, musicxml

BARS = 64
AIM_MS = 20.0


def long_tune() -> list[list[Written]]:
    """The march, again and again, to 64 bars."""
    [tune] = read_abc((bundled("configs") / "tunes" / "lamp-at-quarry-hollow.abc").read_bytes())
    bars = list(full_bars(tune))
    return [bars[index % len(bars)] for index in range(BARS)]


def full_bars(tune: Tune) -> list[list[Written]]:
    """Its bars by number, the pick-up left out."""
    found: dict[int, list[Written]] = {}
    for note in tune.notes:
        found.setdefault(note.bar, []).append(Written(note.note, note.lasts, note.gracenotes))
    return [bar for number, bar in found.items() if number]


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description="What a tune costs.")
    parser.add_argument("--repeats", type=int, default=7)
    repeats = parser.parse_args().repeats
    bars = long_tune()
    text, document = abc(bars, meter="2/4").encode(), musicxml(bars, beats=2).encode()
    book = read_book()
    [tune] = read_abc(text)
    name_ornaments(tune, book)
    graced = sum(bool(note.gracenotes) for note in tune.notes)
    parsing = best_ms(lambda: ET.fromstring(document), repeats)  # noqa: S314 - our own document
    rows = {
        "xml.etree parses the MusicXML": parsing,
        f"ABC is read: {BARS} bars, {len(tune.notes)} notes": best_ms(lambda: read_abc(text), repeats),
        "MusicXML is read": best_ms(lambda: read_musicxml(document), repeats),
        f"{graced} ornaments are named": best_ms(lambda: name_ornaments(tune, book), repeats),
        "and listed for programs": best_ms(lambda: list_tune(tune, book), repeats),
        "ABC is read and named": best_ms(lambda: name_ornaments(read_abc(text)[0], book), repeats),
        "MusicXML is read and named": best_ms(lambda: name_ornaments(read_musicxml(document), book), repeats),
        "once a process: the book by sound": best_ms(lambda: Sounds(book), repeats),
        "music21 reads the MusicXML": best_ms(
            lambda: music21.converter.parseData(document.decode(), format="musicxml"), min(repeats, 3)
        ),
    }
    table = Table("what", "ms", "times the parsing")
    for what, spent in rows.items():
        table.add_row(what, f"{spent:.2f}", f"{spent / parsing:.1f}")
    Console().print(table)
    Console().print(f"Aim: under {AIM_MS:.0f} ms to read and name a tune.")


if __name__ == "__main__":
    main()
