"""Simulated players of a drill, and what following makes of what they play."""

from dataclasses import dataclass
from math import inf

from chanterd.following.cost import STANDARD_COSTS as COSTS
from chanterd.following.follow import Follower
from chanterd.following.reading import Finding, SegmentRead
from chanterd.music.drill import Drill, drill_from_words
from chanterd.music.drill_score import drill_score
from chanterd.music.fingering import is_little_finger, noise_notes
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Onset, Silence
from chanterd.music.layout import read_layouts
from chanterd.music.note import Note
from chanterd.music.score import Score
from chanterd.music.units import Bpm, Ns
from tests.following.reading_prices import Heard, Rep, cheapest

MS = 1_000_000
DRILLS = (
    "grip from B to C",
    "grip from C to C",
    "grip from low G to low G",
    "doubling from low A to C",
    "throw on D from low G",
    "taorluath from C to low A",
    "G gracenote birl from E",
    "birl from low A",
)


@dataclass
class Player:
    """Plays asked notes at their time, plus what a test adds; keeps the list of what sounds."""

    score: Score
    grid: TempoGrid

    @property
    def drill(self) -> Drill:
        """The drill of the first rep, and of all if they are alike."""
        return self.score.segments[0].drill

    def rep(self, number: int, late_ms: float = 0.0) -> list[Onset]:
        """The onsets of one rep; steps equal to the note before them do not sound."""
        segment = self.score.segment(number)
        drill = segment.drill
        notes = (drill.lead, *(step.note for step in drill.steps))
        start = self.grid.at(2 * number) + round(late_ms * MS)
        onsets: list[Onset] = []
        for note, offset in zip(notes, segment.offsets_ns, strict=True):
            if not onsets or onsets[-1].note != note:
                onsets.append(Onset(note, Ns(start + offset)))
        return onsets


def player(words: str = "grip from B to C", bpm: float = 60.0) -> Player:
    """A player of that drill."""
    return Player(drill_score(drill_from_words(words), Bpm(bpm)), TempoGrid(Bpm(bpm), Ns(0)))


def walker(words: str, bpm: float = 60.0) -> Player:
    """A player of that ornament up and down the scale."""
    scale = read_layouts()["up and down the scale"]
    return Player(drill_score(drill_from_words(words), Bpm(bpm), layout=scale), TempoGrid(Bpm(bpm), Ns(0)))


def follow(plays: Player, onsets: list[Onset | Silence]) -> list[SegmentRead]:
    """The final readings of everything."""
    return [finding for finding in findings(plays, onsets) if isinstance(finding, SegmentRead)]


def findings(plays: Player, heard: list[Onset | Silence]) -> list[Finding]:
    """Every event."""
    follower = Follower(plays.score, plays.grid)
    shown: list[Finding] = []
    for one in heard:
        shown += follower.hear(one) if isinstance(one, Onset) else follower.silence(one.at_ns)
    return shown + follower.finish()


def states(read: SegmentRead) -> list[str]:
    """The states of all steps."""
    return [found.state.value for found in read.steps]


def melted(onsets: list[Onset]) -> list[Onset]:
    """Without onsets that equal the note before: on a chanter they cannot sound."""
    return [one for index, one in enumerate(onsets) if index == 0 or onsets[index - 1].note != one.note]


def priced(plays: Player, read: SegmentRead, heard: list[Onset], before: Note | None, after: Note | None) -> float:
    """The least price of the rep's own onsets, by trying every reading: an optimum found without the chain."""
    segment = plays.score.segment(read.rep)
    drill = segment.drill
    start = plays.grid.at(2 * read.rep) + read.shift_ns
    sounds = [*(one.sound for one in read.extras), *(one.sound for one in (read.lead, *read.steps) if one.sound)]
    lengths = {sound.onset_ns: sound.length_ns for sound in sounds}

    def priced_onset(index: int) -> Heard:
        one = heard[index]
        length = lengths[one.at_ns]
        left = heard[index - 1].note if index else before
        right = heard[index + 1].note if index + 1 < len(heard) else after
        short = length is not None and length < COSTS.short_ms * MS
        crossing = False
        if left is not None and right is not None and length is not None:
            little = length < COSTS.little_finger_ms * MS and is_little_finger(left, one.note, right)
            crossing = little or (short and one.note in noise_notes(left, right))
        price = COSTS.crossing if crossing else COSTS.short_extra if short else COSTS.extra
        odd = not crossing and (length is None or length >= COSTS.blip_ms * MS)
        return Heard(one.note, one.at_ns, price, odd, inf if length is None else length)

    rep = Rep(
        (drill.lead, *(step.note for step in drill.steps)),
        [start + offset for offset in segment.offsets_ns],
        plays.grid.click_ns,
        segment.lasts_ns,
        before,
        drill.anchor_step + 1,
    )
    return cheapest(rep, [priced_onset(index) for index in range(len(heard))])
