"""``chanterd sheet``: prints drills on paper."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from chanterd.commands.options import DataFolder, data_folder, write_out
from chanterd.commands.progress_bar import OnProgress, progress_bar
from chanterd.config import ChanterdError
from chanterd.music.book import read_book
from chanterd.progress.words import count

if TYPE_CHECKING:
    from chanterd.engraving.sheet import Sheet

app = typer.Typer(add_completion=False)
KINDS = (".pdf", ".svg", ".musicxml")


@app.command()
def sheet(
    phrases: Annotated[
        list[str],
        typer.Argument(
            metavar="DRILLS...", help="Such as 'grip', 'taorluath from C', or other words in the names of drills."
        ),
    ],
    out: Annotated[
        Path, typer.Option(metavar="FILE", help="Where to write it; the name ends in .pdf, .svg or .musicxml.")
    ],
    title: Annotated[str, typer.Option(metavar="WORDS", help="Title. Without it, what is on the sheet.")] = "",
    tempo: Annotated[
        str,
        typer.Option(
            metavar="BPM", help="Boxes to tick, in clicks: '60-80', '60-80 by 4' or '60, 66, 72'; or '60-80 beats'."
        ),
    ] = "",
    paper: Annotated[str, typer.Option(metavar="NAME", help="a4 or letter.")] = "a4",
    data: DataFolder = None,
    *,
    stages: Annotated[bool, typer.Option("--stages", help="Show the stages of each build-up, side by side.")] = False,
) -> None:
    """Make sheets of drills for the music stand, as PDF, SVG or MusicXML."""
    kind = _kind(out)
    # The printer's libraries are large; no other command should wait for them.
    from chanterd.engraving.sheet import make_sheet  # noqa: PLC0415

    book = read_book(data_folder(data))
    made = make_sheet(phrases, book, stages=stages, tempo=tempo, title=title, paper=paper)
    with progress_bar("Engraving") as on_progress:
        files = _files(made, out, kind, on_progress)
    for path, content in files.items():
        write_out(path, [content])
    first, *others = files
    names = f"{first} to {others[-1].name}" if others else str(first)
    typer.echo(f"'{made.title}', {count(len(made.lines), 'line')}, is in {names}.")


def _kind(out: Path) -> str:
    """The file's suffix. Raises ChanterdError if there is no such kind, or no such folder."""
    kind = out.suffix.lower()
    if kind not in KINDS:
        raise ChanterdError(f"The file --out is '{out}'; its name must end in {', '.join(KINDS[:-1])} or {KINDS[-1]}.")
    if not out.parent.is_dir():
        raise ChanterdError(f"{out.parent}: there is no such folder; make it, or choose another with --out.")
    return kind


def _files(made: "Sheet", out: Path, kind: str, on_progress: OnProgress) -> dict[Path, bytes]:
    """What to write, in order; an SVG holds one page, so their names are numbered."""
    if kind == ".musicxml":
        return {out: made.music_xml.encode()}
    from chanterd.engraving.press import sheet_pdf, sheet_svg  # noqa: PLC0415

    if kind == ".pdf":
        return {out: sheet_pdf(made, on_progress)}
    pages = sheet_svg(made, on_progress)
    return {out.with_name(f"{out.stem}-{number}{out.suffix}"): page.encode() for number, page in enumerate(pages, 1)}
