"""``chanterd assess --tune``: judges a recording of a whole tune, as a table or as JSON."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from chanterd.assessing.alignment import shifted_take
from chanterd.assessing.assess import tempo_of
from chanterd.assessing.request import offset_ns
from chanterd.assessing.tune import TuneAssessment, assess_tune, profile_for_tune, tune_assessment_json
from chanterd.commands.collector import collector_paused
from chanterd.commands.options import number_or_words, show, whole_number
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import find_profile
from chanterd.hearing.take import parse_take, read_file
from chanterd.judging.naming import say_ms
from chanterd.judging.standard import find_standard
from chanterd.judging.tunes.report import TuneSummary
from chanterd.music.grid import click_bpm
from chanterd.music.spread import spread_asked
from chanterd.music.tunes.passage import make_passage
from chanterd.music.tunes.read import read_tunes
from chanterd.music.units import NS_PER_MS
from chanterd.progress.words import count
from chanterd.tables import Tables


@dataclass(frozen=True, slots=True)
class TuneWords:
    """What was typed; None is the usual choice."""

    take: Path
    tune: Path
    number: str | None
    click: str | None
    click_off: bool
    standard: str
    chanter: str | None
    spread: str | None
    offset: str | None


def assess_tune_take(words: TuneWords, tables: Tables, *, as_json: bool) -> None:
    """Assess a take of a tune and print what was found. Raises ChanterdError, one sentence."""
    if words.click is not None and words.click_off:
        raise ChanterdError("--click and --click-off exclude each other; leave one of them out.")
    bpm = None if words.click is None else click_bpm(number_or_words(words.click))
    standard = find_standard(words.standard, tables.standards)
    spread = spread_asked(number_or_words(words.spread))
    tunes = read_tunes(words.tune)
    number = 1 if words.number is None else whole_number("tune --number", words.number, 1, len(tunes), 1)
    passage = make_passage(tunes[number - 1])
    with collector_paused():
        take = shifted_take(parse_take(words.take, read_file(words.take)), offset_ns(number_or_words(words.offset)))
        if bpm is None and not words.click_off:
            bpm = tempo_of(take)
        if words.chanter is None:
            profile, said = profile_for_tune(take, tables.profiles, passage.tune)
        else:
            profile, said = find_profile(words.chanter, tables.profiles), ""
        found = assess_tune(take, profile, passage, tables.book, standard, spread, bpm)
    found["whole_take"] += [said] if said else []
    show([tune_assessment_json(found)] if as_json else list(_table(found)))


def _table(found: TuneAssessment) -> Iterator[str]:
    """For a reader."""
    summary = found["summary"]
    tempo = "your own tempo, about" if summary["click_off"] else "clicks a minute:"
    yield f"{found['tune'] or 'Untitled'}, {tempo} {found['click_bpm']:g}, standard '{found['standard']}'."
    yield from found["whole_take"]
    if found["unknown_notes"]:
        yield f"Left out, because this chanter has no such notes: MIDI {', '.join(map(str, found['unknown_notes']))}."
    yield f"{summary['said']}"
    yield from melody_lines(summary)
    yield from out_lines(summary)


def out_lines(summary: TuneSummary) -> Iterator[str]:
    """What to take out next, and what is not played alike."""
    if summary["take_out"]:
        yield ""
        yield "To take out next:"
        width = max(len(one["words"]) for one in summary["take_out"])
        for one in summary["take_out"]:
            yield f"  {one['words']:{width}}  {one['clean']} of {one['times']} clean. {one['said']}"
    if summary["alike"]:
        yield ""
        yield from summary["alike"]


def melody_lines(summary: TuneSummary) -> Iterator[str]:
    """How the melody went: its notes, the leaps and stops, and where the beats were."""
    slips = [
        *([count(summary["missing"], "note") + " left out"] if summary["missing"] else []),
        *([count(summary["wrong"], "wrong note")] if summary["wrong"] else []),
        *([f"you leapt {count(summary['restarts'], 'time')}"] if summary["restarts"] else []),
        *([f"you stopped {count(summary['stops'], 'time')}"] if summary["stops"] else []),
    ]
    yield f"{count(summary['notes'], 'note')} followed{'; ' if slips else ''}{', '.join(slips)}."
    off, scatter = summary["deviation_ms"], summary["scatter_ms"]
    if off is not None and scatter is not None and not summary["click_off"]:
        side = "after" if off > 0 else "before"
        beat = f"On the beats you were {say_ms(round(off * NS_PER_MS))} {side} the click as a rule"
        yield f"{beat}, half of them within {say_ms(round(scatter * NS_PER_MS))} of that."
