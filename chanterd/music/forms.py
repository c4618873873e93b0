"""The forms of an ornament: spelled like it but for the gracenote that opens it, which is another one or left out."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from chanterd.music.note import Note
from chanterd.music.ornament import Kind, SpelledStep
from chanterd.music.row import Row, SpellingTable


def form_row(family: Row, form: Row, siblings: Sequence[str]) -> Row:
    """A form as a row of its own: what it does not say itself it has from its family.

    ``siblings`` are the other members of the family, each of which may take its place.
    """
    form.note_if_missing("opening")
    opening: Note | None = form.values.get("opening")
    made = list(_spelled(family.values.get("spelled", ()), opening)) if "opening" in form.values else []
    inherited = {key: family.values[key] for key in ("beat", "or_beat", "disputed") if key in family.values}
    if opening is None and "beat" in inherited:
        inherited["beat"] = _beat_without_opening(inherited["beat"])
    if opening is None and "or_beat" in inherited:
        inherited["or_beat"] = [_beat_without_opening(words) for words in inherited["or_beat"]]
    values = {"instead": list(siblings), **inherited, **form.values}
    values["spelled"] = [*form.values.get("spelled", ()), *made]
    return replace(form, values=values, written=form.written | family.written, by_rule=len(made))


def _spelled(written: Iterable[SpellingTable], opening: Note | None) -> Iterator[SpellingTable]:
    """The family's spellings with the other opening; those that do not open with a quick step have no such form."""
    for spelling in written:
        steps = spelling.get("steps", ())
        if len(steps) > 1 and steps[0][1].kind is Kind.QUICK:
            first = [] if opening is None else [(opening.abc, SpelledStep(None, Kind.QUICK))]
            yield {**spelling, "steps": [*first, *steps[1:]]}


def _beat_without_opening(words: str) -> str:
    """The family's beat where its first step is left out: steps count one less, and the beat stays on the first."""
    number = words.removeprefix("step ")
    if number == words or not number.isdecimal() or len(number) > 3:  # noqa: PLR2004 - the row says what is wrong
        return words
    return f"step {max(int(number) - 1, 1)}"
