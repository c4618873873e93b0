"""Reading one row of an ornament table: what it may hold, and what is said when it holds something else.

The words of a row are explained in ``configs/ornaments/1-gracenotes.toml``. Steps count from 1 in a file, from 0 here.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, cast, get_args

from chanterd.config import ChanterdError, Complaints, did_you_mean
from chanterd.music.note import ABC, Note, note_from_abc, note_from_words
from chanterd.music.ornament import Kind, Motion, Ornament, SpelledStep, Spelling
from chanterd.music.sounding import why_silent

Taps = Mapping[Note, Note]
"""To each note the one below it that a tap is played on."""

KEYS = ("name", "also", "how", "beat", "disputed", "instead", "builds_on", "build", "spelled")
KINDS = (Kind.QUICK.value, Kind.HELD.value)
THEME, TAP = "T", "tap"
EVERY_NOTE = frozenset(Note)


@dataclass(frozen=True, slots=True)
class Row:
    """One ornament as written, and where its mistakes are told."""

    table: Mapping[str, Any]
    complaints: Complaints
    chapter: str
    by_rule: int = 0
    """How many of its spellings, the last ones, are made from another row's; these need not sound on every note."""

    @property
    def name(self) -> str:
        """Its name as written, or an empty text if there is none."""
        name = self.table.get("name")
        return name if isinstance(name, str) else ""

    def complain(self, sentence: str, place: str = "") -> None:
        """Note a mistake."""
        self.complaints.add(self.where + place, sentence)

    @property
    def where(self) -> str:
        """What it is called in a complaint."""
        return f"ornament ({self.name})"


def read_row(row: Row, taps: Taps) -> Ornament:
    """The ornament, not yet tied to the others that it names. Mistakes go to the row's complaints."""
    table, complaints, where = row.table, row.complaints, row.where
    complaints.unknown_keys(where, table, KEYS)
    name = complaints.take_text(where, table, "name")
    if " from " in name or "," in name:
        row.complain("'name' must hold no comma and no ' from ', since a drill is asked for as 'NAME from NOTE'.")
    written = _written(row)
    spelled = [_read_spelling(row, number, one, taps) for number, one in enumerate(written, 1)]
    fewest = min((len(spelling.steps) for spellings in spelled for spelling in spellings), default=1)
    beat = _read_beat(row, complaints.take_text(where, table, "beat"), fewest)
    by_rule_from = len(spelled) - row.by_rule
    return Ornament(
        name=name,
        also=tuple(complaints.take_texts(where, table, "also", default=[])),
        chapter=row.chapter,
        how=complaints.take_text(where, table, "how"),
        disputed=complaints.take_text(where, table, "disputed", default=""),
        beat=beat,
        instead=(),
        builds_on=None,
        build=tuple(_read_build(row, complaints.take_texts(where, table, "build", default=[]), fewest)),
        spellings=tuple(
            _that_sounds(row, spelling, beat, told=number < by_rule_from)
            for number, spellings in enumerate(spelled)
            for spelling in spellings
        ),
    )


def read_taps(complaints: Complaints, table: object) -> dict[Note, Note]:
    """The notes that taps are played on, from ``[taps]``."""
    taps: dict[Note, Note] = {}
    if not isinstance(table, dict):
        complaints.add("taps", 'must be a table of notes, such as "B" = "low G".')
        return taps
    for name in table:
        below = _read_notes(complaints, "taps", [complaints.take_text("taps", table, name)])
        for note in _read_notes(complaints, "taps", [name]):
            for tap in below:
                if tap < note:
                    taps[note] = tap
                else:
                    complaints.add("taps", f"'{name}' is '{tap.words}'; a tap must be lower than its note.")
    return taps


def _written(row: Row) -> list[Mapping[str, Any]]:
    written = row.table.get("spelled")
    if isinstance(written, list) and written and all(isinstance(one, dict) for one in written):
        return written
    row.complain("has no [[ornament.spelled]]; it needs at least one.")
    return []


def _read_spelling(row: Row, number: int, table: Mapping[str, Any], taps: Taps) -> list[Spelling]:
    """The spelling as written, once for each note that its taps may be on."""
    complaints, where = row.complaints, f"{row.where} spelled {number}"
    complaints.unknown_keys(where, table, ("themes", "leads", "motion", "steps"))
    motion = table.get("motion", "any")
    if motion not in get_args(Motion):
        complaints.add(where, f"'motion' is {motion!r}; it must be one of 'any', 'level', 'level or up'.")
        motion = "any"
    themes = _read_notes(complaints, where, complaints.take_texts(where, table, "themes"))
    leads = EVERY_NOTE
    if "leads" in table:
        leads = _read_notes(complaints, where, complaints.take_texts(where, table, "leads"))
    spelling = Spelling(themes, leads, cast("Motion", motion), ())
    steps = [
        _read_step(complaints, where, text)
        for text in complaints.take_texts(where, table, "steps", default=None if "steps" not in table else [])
    ]
    if TAP not in (name for name, _ in steps):
        return [replace(spelling, steps=_spelled(steps, None))]
    for theme in sorted(themes - taps.keys()):
        complaints.add(where, f"there is no note to tap on below {theme.words}; leave it out, or add it to [taps].")
    return [
        replace(spelling, themes=frozenset((theme,)), steps=_spelled(steps, taps[theme]))
        for theme in sorted(themes & taps.keys())
    ]


def _read_step(complaints: Complaints, where: str, text: str) -> tuple[str, Kind]:
    """What stands for the note, and the kind."""
    name, _, kind = text.partition(" ")
    if kind in KINDS and (name in (THEME, TAP) or (len(name) == 1 and name in ABC)):
        return name, Kind(kind)
    letters = " ".join(ABC)
    said = f"step '{text}' must be one of {letters}, T or tap, a blank, then 'quick' or 'held', as in 'g quick'."
    complaints.add(where, said + did_you_mean(kind, KINDS))
    return THEME, Kind.HELD


def _spelled(steps: Iterable[tuple[str, Kind]], tap: Note | None) -> tuple[SpelledStep, ...]:
    notes = {THEME: None, TAP: tap}
    return tuple(SpelledStep(notes[name] if name in notes else note_from_abc(name), kind) for name, kind in steps)


def _read_notes(complaints: Complaints, where: str, names: Iterable[str]) -> frozenset[Note]:
    notes = set()
    for name in names:
        try:
            notes.add(note_from_words(name))
        except ChanterdError as error:
            complaints.add(where, str(error))
    return frozenset(notes)


def _read_beat(row: Row, words: str, fewest: int) -> int | None:
    if words == "theme":
        return None
    number = words.removeprefix("step ")
    if number.isdecimal() and 1 <= int(number) <= fewest:
        return int(number) - 1
    row.complain(f"'beat' is '{words}'; it must be 'theme' or 'step 1' to 'step {fewest}'.")
    return None


def _read_build(row: Row, stages: Iterable[str], most: int) -> Iterator[tuple[int, ...]]:
    for stage in stages:
        numbers = stage.split()
        if all(number.isdecimal() and 1 <= int(number) <= most for number in numbers):
            yield tuple(int(number) - 1 for number in numbers)
        else:
            row.complain(f"'build' has '{stage}'; each stage is step numbers from 1 to {most}, such as '1 3'.")


def _that_sounds(row: Row, spelling: Spelling, beat: int | None, *, told: bool) -> Spelling:
    """The spelling without the theme notes on which it cannot sound after any note; if ``told``, these are mistakes."""
    sounding = set()
    kinds = spelling.kinds
    for theme in sorted(spelling.themes):
        notes = spelling.on(theme)
        leads = [lead for lead in Note if spelling.serves(lead, theme)]
        if any(why_silent(lead, notes, kinds, beat) is None for lead in leads):
            sounding.add(theme)
        elif told:
            reason = why_silent(leads[0], notes, kinds, beat) if leads else "no lead and motion lead to it"
            row.complain(f"on {theme.words} it cannot sound: {reason}. Leave that note out, or spell it otherwise.")
    return replace(spelling, themes=frozenset(sounding))
