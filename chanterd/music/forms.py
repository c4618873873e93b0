"""The forms of an ornament: spelled like it but for the gracenote that opens it, which is another one or left out."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from chanterd.config import ChanterdError
from chanterd.music.note import Note, note_from_words
from chanterd.music.row import Row

NONE = "none"
QUICK = " quick"


def form_row(family: Row, form: Row, siblings: Sequence[str]) -> Row:
    """A form as a row of its own: what it does not say itself it has from its family.

    ``siblings`` are the other members of the family, each of which may take its place.
    """
    opening = _read_opening(form)
    made = list(_spelled(family.table.get("spelled"), opening))
    table = {
        "beat": _beat(family.table.get("beat"), dropped=opening is None),
        "disputed": family.table.get("disputed", ""),
        "instead": list(siblings),
        **{key: value for key, value in form.table.items() if key != "opening"},
    }
    own = table.get("spelled", [])
    table["spelled"] = [*own, *made] if isinstance(own, list) else own
    return Row(table, form.complaints, form.chapter, by_rule=len(made))


def _read_opening(form: Row) -> Note | None:
    """The note that opens the form; None: the opening gracenote is left out."""
    words = form.complaints.take_text(form.where, form.table, "opening")
    if words in ("", NONE):
        return None
    try:
        return note_from_words(words)
    except ChanterdError as error:
        form.complain(f"'opening' must be a note or '{NONE}'. {error}")
        return None


def _spelled(written: object, opening: Note | None) -> Iterator[Mapping[str, Any]]:
    """The family's spellings with the other opening; those that do not open with a quick step have no such form."""
    for spelling in written if isinstance(written, list) else []:
        steps = spelling.get("steps") if isinstance(spelling, dict) else None
        if isinstance(steps, list) and len(steps) > 1 and str(steps[0]).endswith(QUICK):
            first = [] if opening is None else [opening.abc + QUICK]
            yield {**spelling, "steps": [*first, *steps[1:]]}


def _beat(words: object, *, dropped: bool) -> object:
    """The family's beat; where its first step is dropped, steps count one less, and the beat stays on the first."""
    if not dropped or not isinstance(words, str) or not words.startswith("step "):
        return words
    number = words.removeprefix("step ")
    return f"step {max(int(number) - 1, 1)}" if number.isdecimal() else words
