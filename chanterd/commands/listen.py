"""``chanterd listen``: what is in a recording, without a word on what was played."""

import json
import shutil
import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer

from chanterd.assessing.listen import listen_to, tunes_at_hand
from chanterd.commands.assess import TAKE_HELP, Standard
from chanterd.commands.collector import collector_paused
from chanterd.commands.options import AsJson, DataFolder, data_folder, show
from chanterd.hearing.chanter import find_profile
from chanterd.hearing.take import read_take
from chanterd.judging.standard import DEFAULT, find_standard
from chanterd.listening.report import HeardOrnament, Listened, PassageRow
from chanterd.listening.tally import SummaryRow
from chanterd.music.tunes.shelf import Shelf
from chanterd.tables import read_tables

app = typer.Typer(add_completion=False)

BEFORE = " " * 16
"""In front of what is said of a passage."""
MOST_UNKNOWN = 5
"""Notes that are no ornament, which are shown one by one."""
MS_PER_S = 1000
S_PER_MINUTE = 60


@app.command("listen")
def listen_take(
    take: Annotated[Path, typer.Argument(metavar="TAKE", help=TAKE_HELP, show_default=False)],
    standard: Standard = DEFAULT,
    chanter: Annotated[
        str | None, typer.Option(metavar="NAME", help="The chanter's profile. Without it, the one that fits.")
    ] = None,
    data: DataFolder = None,
    *,
    as_json: AsJson = False,
) -> None:
    """Say what was played in a take: passages, ornaments, and how they went."""
    with collector_paused():
        folder = data_folder(data)
        tables = read_tables(folder)
        limits = find_standard(standard, tables.standards)
        profile = None if chanter is None else find_profile(chanter, tables.profiles)
        heard = listen_to(read_take(take), tables.profiles, tables.book, profile, tunes_at_hand(Shelf(folder)))
        found = heard.listed(limits)
    if as_json:
        show([listened_json(found)])
        return
    width = shutil.get_terminal_size().columns
    show([*([heard.said, ""] if heard.said else []), *listed(found, width)])


def listened_json(found: Listened) -> str:
    """One JSON object, an ornament or a passage a line."""
    members = [
        f'"{name}": [\n' + ",\n".join(json.dumps(row, allow_nan=False) for row in rows) + "\n]"
        for name, rows in (
            ("ornaments", found["ornaments"]),
            ("passages", found["passages"]),
            ("summary", found["summary"]),
        )
    ]
    return "{" + ",\n".join(members) + "}"


def listed(found: Listened, width: int) -> Iterator[str]:
    """Passages, then ornaments by name, for a terminal ``width`` columns wide."""
    yield "Passages"
    if not found["passages"]:
        yield "  Nothing was played."
    for row in found["passages"]:
        yield f"  {clock(row['start_ms'])} to {clock(row['end_ms'])}  {passage_words(row)}"
        if row["kind"] in ("drill", "tune"):
            yield from textwrap.wrap(
                row["placement"]["said"], max(width, 2 * len(BEFORE)), initial_indent=BEFORE, subsequent_indent=BEFORE
            )
    if not found["summary"]:
        yield ""
        yield "No ornament was recognised."
        return
    yield ""
    names = max(8, *(len(row["ornament"]) for row in found["summary"]))
    yield f"{'ornament':{names}}  played  clean  held  quick  faults"
    yield from (_summary(row, names) for row in found["summary"])
    yield ""
    yield "held, quick: how long held notes and gracenotes or taps last, in ms, as a rule."
    yield "Early and late are judged in drills at a steady tempo and in your tunes: elsewhere no beat is certain."
    unknown = [one for one in found["ornaments"] if one["ornament"] is None]
    if unknown:
        yield ""
        yield from _unknown(unknown)


def _summary(row: SummaryRow, width: int) -> str:
    held, quick = ("" if one is None else f"{one:.0f}" for one in (row["held_ms"], row["quick_ms"]))
    faults = ", ".join(f"{name} {count}" for name, count in row["faults"].items())
    line = f"{row['ornament']:{width}}  {row['played']:>6}  {row['clean']:>5}  {held:>4}  {quick:>5}  {faults}"
    return line.rstrip()


def _unknown(ones: list[HeardOrnament]) -> Iterator[str]:
    for one in ones[:MOST_UNKNOWN]:
        yield f"{clock(one['theme_ms'])}  {one['said']}"
    if ones[MOST_UNKNOWN:]:
        yield f"and {len(ones) - MOST_UNKNOWN} more like these"


def clock(at_ms: float) -> str:
    """Minutes and seconds into the take."""
    minutes, seconds = divmod(round(at_ms / MS_PER_S), S_PER_MINUTE)
    return f"{minutes}:{seconds:02d}"


def passage_words(row: PassageRow) -> str:
    """What a passage is."""
    if row["kind"] == "drill" and row["click_bpm"] is not None:
        return f"{row['drill']}, about {row['click_bpm']:.0f} clicks a minute"
    if row["kind"] == "tune":
        return f"{row['tune']}"
    return {"free": "free playing", "silence": "silence"}[row["kind"]]
