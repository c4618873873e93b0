"""Simulated playing that nobody chose a drill for, with known truth: drills, tunes and scraps, by hands of all sizes.

What a simulated player does is a ``Condition``. A hand is how long its held steps are, and its gracenotes; both are
drawn for each performance, from tight to wide open. Where an ornament is played twice or begun again, what was not
meant to be the ornament is neither asked for nor counted. Times in ms from the start of a performance. Pure, seeded.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from math import inf
from pathlib import Path

import numpy as np

from chanterd.config import bundled
from chanterd.following.reading import LEAD
from chanterd.hearing.ear import Ear
from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, all_drills, make_drill
from chanterd.music.fingering import crossing_notes
from chanterd.music.heard import Heard, Onset
from chanterd.music.note import Note
from chanterd.music.segment import make_segment
from chanterd.music.sounding import melted
from chanterd.music.spread import Spread
from chanterd.music.tunes.naming import sounds_of as naming_of
from chanterd.music.tunes.read import read_tunes
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_MS, Bpm, Ms, Ns
from tests.bench.conditions import Condition
from tests.bench.performances import Player, Stroke, _ns, as_messages, as_sounded, written_pitch

SLOWEST, FASTEST = 40.0, 200.0
TIGHTEST, WIDEST = 0.02, 0.2
"""The share of a click that a held step takes."""
SHORTEST_MELODY_MS = 90.0
"""A melody note that somebody can play keeps so long beside its ornament: a cut note of a quick strathspey."""
PLAIN = 2
"""Notes of a plain change."""
CRUSHED_MS = 15.0
"""A step this short is heard as a blip."""
SHORT_MS = 90.0
"""A melody note beside an ornament that is no longer than this looks like one of its steps."""
MISSING, WRONG, NOISE, BOUNCE, CRUSHED, SHORT = (
    "a step left out", "a wrong note", "a crossing noise", "a bounce", "a step crushed", "a short melody note",
)  # fmt: skip
LEAST_FIT = 0.5
"""An ornament that would have to be squeezed to less than this share of its size is left out."""
RHYTHMS = ((2.0, 2.0), (3.0, 1.0), (1.0, 3.0), (4.0,), (2.0, 1.0, 1.0), (2.0, 2.0, 2.0))
"""Of generated melodies, in quarters of a beat."""
USUAL = (
    "G gracenote", "G gracenote", "G gracenote", "D gracenote", "E gracenote", "doubling", "doubling", "half doubling",
    "throw on D", "grip", "taorluath", "birl", "G gracenote birl", "strike", "thumb gracenote", "thumb doubling",
    "G gracenote strike", "thumb strike", "half strike", "shake", "heavy throw on D",
)  # fmt: skip
"""What generated melodies hold, the commonest more than once (common practice, from memory)."""


@dataclass(frozen=True, slots=True)
class Meant:
    """One ornament that was played."""

    theme_ns: Ns
    ornament: str
    drill: str | None
    chapter: str
    steps: int
    """How many of its steps sound."""
    also: frozenset[str] = frozenset()
    """What it may be called besides, since after a slip it sounds just like that."""
    slips: frozenset[str] = frozenset()
    """What went wrong in it: words of ``SLIPS``."""


@dataclass(frozen=True, slots=True)
class Playing:
    """What was played and heard, with the truth about it."""

    kind: str
    words: str
    bpm: float
    heard: tuple[Heard, ...]
    meant: tuple[Meant, ...]
    ignored: tuple[tuple[Ns, Ns], ...]
    """Where ornaments were broken off or played twice: what is found there is neither right nor wrong."""

    @property
    def onsets(self) -> int:
        """How many notes began."""
        return sum(isinstance(one, Onset) for one in self.heard)


def hand(rng: np.random.Generator) -> Spread:
    """A hand from tight to wide open."""
    share = float(np.exp(rng.uniform(np.log(TIGHTEST), np.log(WIDEST))))
    least = float(rng.uniform(30.0, 50.0))
    quick = float(rng.uniform(0.45, 0.85))
    return Spread(share, Ms(least), min(share * quick, 0.12), Ms(max(20.0, quick * least)))


def heard_of(strokes: list[Stroke], condition: Condition, rng: np.random.Generator) -> tuple[Heard, ...]:
    """Through the real ear."""
    ear = Ear(written_pitch())
    return tuple(one for message, at_ns in as_messages(strokes, condition, rng) for one in ear.hear(message, at_ns))


def _meant(drill: Drill, theme_ms: float) -> Meant:
    return Meant(_ns(theme_ms), drill.ornament.name, drill.words, drill.ornament.chapter, len(drill.sounding) - 1)


def _mistakes(drill: Drill, strokes: Sequence[Stroke]) -> frozenset[str]:
    """What a rep lacks, or has another note for."""
    asked = {stroke.asked[1] for stroke in strokes if stroke.asked}
    left_out = not asked.issuperset(drill.sounding[:-1])
    return frozenset({MISSING} if left_out else ()) | {WRONG for stroke in strokes if not stroke.right}


def _slips(sounded: Sequence[Stroke], theme: int, steps: set[int], known: set[int]) -> frozenset[str]:
    """What else went wrong before a theme note: by what sounded since the melody note before it."""
    slips: set[str] = set()
    after = next((one.at_ms for one in sounded[theme + 1 :] if id(one) in known), inf)
    if after - sounded[theme].at_ms < SHORT_MS:
        slips.add(SHORT)
    for place in range(theme - 1, -1, -1):
        one, later = sounded[place], sounded[place + 1]
        length = later.at_ms - one.at_ms
        if id(one) not in known:
            slips.add(BOUNCE if place and sounded[place - 1].note is one.note else NOISE)
        elif id(one) in steps:
            slips |= {CRUSHED} if length < CRUSHED_MS else set()
        else:
            slips |= {SHORT} if length < SHORT_MS else set()
            break
    return frozenset(slips)


def play_drill(drill: Drill, bpm: float, condition: Condition, rng: np.random.Generator, reps: int = 12) -> Playing:
    """A drill over and over."""
    segment = make_segment(drill, Bpm(bpm), hand(rng))
    strokes = Player(segment, condition, rng).play(reps)
    # Before sounds melt: which reps were doubled or broken off, and which lack what makes them an ornament.
    theme = len(drill.steps) - 1
    last_step = drill.sounding[-1]
    spare: list[tuple[Ns, Ns]] = []
    whole: set[int] = set()
    again: dict[int, frozenset[str]] = {}
    by_rep: dict[int, list[Stroke]] = {}
    for index, stroke in enumerate(strokes):
        if stroke.asked is None:
            end = next((one for one in strokes[index:] if one.asked is not None), strokes[-1])
            spare.append((_ns(stroke.at_ms - 60), _ns(end.at_ms + 60)))
        else:
            by_rep.setdefault(stroke.asked[0], []).append(stroke)
    for rep, mine in by_rep.items():
        right = {stroke.asked[1] for stroke in mine if stroke.asked and stroke.right and 0 <= stroke.asked[1] < theme}
        if right & set(drill.sounding):
            whole.add(rep)
        before = strokes[strokes.index(mine[1 if mine[0].asked == (rep, LEAD) else 0]) - 1].note
        if before is not drill.lead:  # after a first pass it leads from another note
            again[rep] = _by_sound().get(melted(before, *(step.note for step in drill.steps)), frozenset())
    steps = {id(one) for one in strokes if one.asked is not None and 0 <= one.asked[1] < theme}
    known = {id(one) for one in strokes}
    sounded = as_sounded(strokes, condition, rng)
    meant = [
        replace(
            _meant(drill, stroke.at_ms),
            slips=_slips(sounded, place, steps, known) | _mistakes(drill, by_rep[stroke.asked[0]]),
            also=again.get(stroke.asked[0], frozenset()),
        )
        for place, stroke in enumerate(sounded)
        if stroke.asked is not None
        and stroke.asked[1] == last_step
        and stroke.asked[0] in whole
        and len(drill.sounding) > 1
    ]
    return Playing("drill", drill.words, bpm, heard_of(sounded, condition, rng), tuple(meant), tuple(spare))


@cache
def shipped_tunes() -> tuple[Tune, ...]:
    """The tunes that ship with the program."""
    folder = Path(bundled("configs")) / "tunes"
    return tuple(read_tunes(path)[0] for path in sorted(folder.glob("*.abc")))


@dataclass(slots=True)
class MelodyNote:
    """A note of a melody, and the ornament on it."""

    note: Note
    at_ms: float
    drill: Drill | None


def tune_melody(tune: Tune, beat_ms: float) -> list[MelodyNote]:
    """A tune as written, without its repeats; what has no drill from the note before is left out."""
    sounds = naming_of(standard_book())
    found: list[MelodyNote] = []
    for note in tune.notes:
        way = sounds.find(found[-1].note, note.gracenotes, note.note) if found and note.gracenotes else None
        drill = None if way is None else make_drill(way.ornament, way.lead, way.theme)
        found.append(MelodyNote(note.note, float(note.start) * 4 * beat_ms, drill))
    return found


@cache
def _ways() -> dict[tuple[Note, Note], list[Drill]]:
    found: dict[tuple[Note, Note], list[Drill]] = {}
    for drill in all_drills():
        found.setdefault((drill.lead, drill.theme), []).append(drill)
    return found


def any_melody(notes: int, beat_ms: float, rng: np.random.Generator) -> list[MelodyNote]:
    """A melody made up, with usual ornaments on half of its notes and more."""
    found: list[MelodyNote] = []
    note, at = Note(int(rng.integers(9))), 0.0
    while len(found) < notes:
        for length in RHYTHMS[int(rng.integers(len(RHYTHMS)))]:
            step = int(rng.choice([-3, -2, -1, -1, 0, 1, 1, 2, 3]))
            after = Note(min(8, max(0, note + step)))
            usual = [drill for drill in _ways()[note, after] if drill.ornament.name in USUAL] if found else []
            weights = [USUAL.count(drill.ornament.name) for drill in usual]
            ornamented = usual and (after is note or rng.random() < 0.6)
            if after is note and not usual and found:
                continue
            drill = usual[int(rng.choice(len(usual), p=np.array(weights) / sum(weights)))] if ornamented else None
            found.append(MelodyNote(after, at, drill))
            note = after
            at += length / 4 * beat_ms
    return found


@cache
def _by_sound() -> dict[tuple[Note, ...], frozenset[str]]:
    found: dict[tuple[Note, ...], frozenset[str]] = {}
    for drill in all_drills():
        sound = melted(drill.lead, *(step.note for step in drill.steps))
        found[sound] = found.get(sound, frozenset()) | {drill.words}
    return found


def _as_noise(sound: tuple[Note, ...]) -> bool:
    """Whether what is left of an ornament is a note that the fingers pass through on a plain change."""
    return len(sound) == PLAIN + 1 and sound[1] in crossing_notes(sound[0], sound[2])


def play_melody(
    melody: Sequence[MelodyNote], words: str, bpm: float, condition: Condition, rng: np.random.Generator
) -> Playing:
    """A melody with its ornaments, each by its own place on the beat."""
    spread = hand(rng)
    strokes: list[Stroke] = []
    steps: set[int] = set()
    truth: list[_Truth] = []
    error = taken = 0.0
    for index, one in enumerate(melody):
        error = 0.5 * error + float(rng.normal(0, condition.beat_sd_ms))
        at_ms = one.at_ms + error
        already, taken = taken, 0.0
        if one.drill is None:
            strokes.append(Stroke(at_ms, one.note, None))
            continue
        before = one.at_ms - melody[index - 1].at_ms if index else 500.0
        after = melody[index + 1].at_ms - one.at_ms if index + 1 < len(melody) else 500.0
        drill = one.drill
        lengths = [
            sum(spread.length_ns(kind, 30_000 / bpm * NS_PER_MS) / NS_PER_MS for kind in step.stands_for)
            for step in drill.steps[:-1]
        ]
        lead_part, after_part = sum(lengths[: drill.anchor_step]), sum(lengths[drill.anchor_step :])
        room_before, room_after = before - already - SHORTEST_MELODY_MS, after - SHORTEST_MELODY_MS
        fits = min(1.0, room_before / max(1.0, lead_part), room_after / max(1.0, after_part))
        if fits < LEAST_FIT:  # nobody plays it there
            strokes.append(Stroke(at_ms, one.note, None))
            continue
        lengths, taken = [length * fits for length in lengths], after_part * fits
        start = at_ms - sum(lengths[: drill.anchor_step])
        mine = [
            Stroke(start + sum(lengths[:place]) + float(rng.normal(0, condition.step_sd_ms)), step.note, None)
            for place, step in enumerate(drill.steps)
        ]
        slips, theme = _mistaken(drill, mine, condition, rng), mine[-1]
        strokes += mine
        steps |= {id(one) for one in mine[:-1]}
        sound = melted(drill.lead, *(one.note for one in mine))
        if len(sound) > PLAIN and not (MISSING in slips and _as_noise(sound)):
            truth.append(_Truth(theme, drill, _by_sound().get(sound, frozenset()), slips))
    for stroke, later in pairwise(strokes):
        later.at_ms = max(later.at_ms, stroke.at_ms + 4.0)
    for number, true in enumerate(truth):
        true.theme.asked = (number, 0)
    known = {id(one) for one in strokes}
    sounded = as_sounded(strokes, condition, rng)
    meant: list[Meant] = []
    ignored: list[tuple[Ns, Ns]] = []
    for place, stroke in enumerate(sounded):
        if stroke.asked is None:
            continue
        true = truth[stroke.asked[0]]
        asked = _meant(true.drill, stroke.at_ms)
        slips = true.slips | _slips(sounded, place, steps, known)
        if WRONG in slips and asked.steps == 1:  # it is another ornament now
            ignored.append((Ns(asked.theme_ns - 1), Ns(asked.theme_ns + 1)))
            continue
        meant.append(replace(asked, also=true.also, slips=slips))
    return Playing("tune", words, bpm, heard_of(sounded, condition, rng), tuple(meant), tuple(ignored))


@dataclass(frozen=True, slots=True)
class _Truth:
    """An ornament of a melody as it was played, before sounds melt."""

    theme: Stroke
    drill: Drill
    also: frozenset[str]
    slips: frozenset[str]


def _mistaken(drill: Drill, strokes: list[Stroke], condition: Condition, rng: np.random.Generator) -> frozenset[str]:
    """Put another note in place of a step, or leave one out; what was done."""
    slips: set[str] = set()
    sounding = list(drill.sounding[:-1])
    if sounding and rng.random() < condition.wrong:
        place = int(rng.choice(sounding))
        around = {strokes[place].note, strokes[place + 1].note, strokes[place - 1].note if place else drill.lead}
        strokes[place].note = Note(rng.choice([note for note in Note if note not in around]))
        slips.add(WRONG)
    if sounding and rng.random() < condition.missing:
        del strokes[int(rng.choice(sounding))]
        slips.add(MISSING)
    return frozenset(slips)


def playings(condition: Condition, onsets: int, seed: int) -> Iterator[Playing]:
    """Drills, shipped tunes, and melodies made up, in turn, until ``onsets`` onsets were heard."""
    rng = np.random.default_rng([seed, *condition.name.encode()])
    drills: dict[str, list[Drill]] = {}
    for drill in all_drills():
        if drill.ornament.name != "change":
            drills.setdefault(drill.ornament.name, []).append(drill)
    ornaments = list(drills.values())
    calm = replace(condition, late_entry=0.0)
    heard = turn = 0
    while heard < onsets:
        if turn % 3 == 0:
            ways = ornaments[turn // 3 * 7 % len(ornaments)]
            bpm = float(rng.uniform(SLOWEST, FASTEST))
            one = play_drill(ways[int(rng.integers(len(ways)))], bpm, calm, rng)
        elif turn % 3 == 1:
            tunes, bpm = shipped_tunes(), float(rng.uniform(40.0, 120.0))
            tune = tunes[turn // 3 % len(tunes)]
            one = play_melody(tune_melody(tune, 60_000 / bpm), tune.title, bpm, calm, rng)
        else:
            bpm = float(rng.uniform(40.0, 120.0))
            one = play_melody(any_melody(80, 60_000 / bpm, rng), "a melody made up", bpm, calm, rng)
        heard += one.onsets
        turn += 1
        yield one
