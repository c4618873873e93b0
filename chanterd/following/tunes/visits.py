"""From the reading of a take to the notes of the tune, each time that one was reached, in order of time."""

from collections.abc import Container, Sequence
from dataclasses import dataclass, field

from chanterd.following.cost import STANDARD_COSTS
from chanterd.following.reading import LEAD, Extra, ExtraKind, SegmentRead, Sound, StepFound, StepState
from chanterd.following.states import MERGED, MISSING, PLAYED, WRONG_NOTE
from chanterd.following.tunes.follow import Link
from chanterd.following.tunes.graph import Graph
from chanterd.music.fingering import is_little_finger, noise_notes
from chanterd.music.note import Note
from chanterd.music.segment import Segment
from chanterd.music.units import NS_PER_MS, Ns

CROSSING_NS = round(STANDARD_COSTS.short_ms * NS_PER_MS)
LITTLE_FINGER_NS = round(STANDARD_COSTS.little_finger_ms * NS_PER_MS)
"""A note on the way of the fingers that lasts longer was meant, as in drills."""


@dataclass(frozen=True, slots=True)
class HeardNotes:
    """Everything that was heard in a take, bounces left out; ends are None where a note sounded on."""

    notes: Sequence[Note]
    at: Sequence[int]
    ends: Sequence[int | None]

    def sound(self, onset: int) -> Sound:
        """One onset."""
        at, end = self.at[onset], self.ends[onset]
        return Sound(self.notes[onset], Ns(at), None if end is None else Ns(end - at))

    def left_over(self, onset: int) -> Extra:
        """One that is no part of the tune: a noise of crossing fingers, or a note too many."""
        sound, kind = self.sound(onset), ExtraKind.EXTRA_NOTE
        if 0 < onset < len(self.notes) - 1 and sound.length_ns is not None:
            before, after = self.notes[onset - 1], self.notes[onset + 1]
            if before is not after and sound.note in noise_notes(before, after):
                longest = LITTLE_FINGER_NS if is_little_finger(before, sound.note, after) else CROSSING_NS
                kind = ExtraKind.CROSSING_NOISE if sound.length_ns < longest else kind
        return Extra(sound, kind)


@dataclass(slots=True)
class Visit:
    """One coming-by of one melody note with its gracenotes. Onsets are indices of what was heard, from 0."""

    segment: int
    """Which segment of the score it is."""
    time_through: int
    """Which coming-by of it this is, from 1."""
    leap: bool
    """Whether the player came from elsewhere than the note before it."""
    clicks: float
    """When it is written, as far as the player came without a leap; counts on through repeats."""
    states: list[StepState]
    """Of each gracenote and, last, of the melody note."""
    onsets: list[int | None]
    """Which onset each of them was; None unless it is ``played`` or ``wrong note``."""
    extras: list[int] = field(default_factory=list)
    """The onsets before and within it that are no part of the tune."""
    by: int = -1
    """The onset by which it was reached: its own, or that of a later note where nothing of it sounded."""
    again: bool = False
    """Whether what is played over and over begins once more with it."""

    @property
    def reached(self) -> bool:
        """Whether anything of it was heard, be it only a note that sounds on."""
        return any(state is not MISSING for state in self.states)


def came_ns(visit: Visit, segment: Segment, heard: HeardNotes) -> float | None:
    """When a note came, by its own onset or, where it has none, by its gracenotes; None: nothing of it was heard."""
    for step in range(len(visit.onsets) - 1, -1, -1):
        onset = visit.onsets[step]
        if onset is not None:
            return float(heard.at[onset] - segment.from_beat_ns[step])
    return None


def readings_of(visits: Sequence[Visit], heard: HeardNotes, firsts: Container[int]) -> list[SegmentRead]:
    """What is handed to the judge of each visit; before those in ``firsts`` nothing was played that belongs to them."""
    found: list[SegmentRead] = []
    for turn, visit in enumerate(visits):
        before = found[-1].steps[-1] if found and turn not in firsts else None
        lead = StepFound(turn, LEAD, MISSING, None)
        if before is not None and before.sound is not None:
            lead = StepFound(turn, LEAD, before.state, before.sound)
        steps = tuple(
            StepFound(turn, step, state, None if onset is None else heard.sound(onset))
            for step, (state, onset) in enumerate(zip(visit.states, visit.onsets, strict=True))
        )
        found.append(SegmentRead(turn, lead, steps, tuple(heard.left_over(onset) for onset in visit.extras)))
    return found


RANG_ON_CLICKS = 0.3
"""A last note that rings this far into the next is that one too: who only ends late is not as late as that. Our own
choice."""


def visits_of(
    chain: Sequence[Link], heard: Sequence[Note], graph: Graph, *, over: bool = False, rings: float | None = None
) -> list[Visit]:
    """Every visit that a reading is made of.

    ``over``: nothing more will be heard, and the last note rang for ``rings`` clicks; None: nobody knows.
    """
    maker = _Visits(graph, heard)
    for link in chain:
        maker.take(link)
    if over and chain:
        maker.sound_on(rings)
    return maker.found


class _Visits:
    """Makes visits link by link."""

    def __init__(self, graph: Graph, heard: Sequence[Note]) -> None:
        self._graph = graph
        self._heard = heard
        self._through: dict[int, int] = {}
        self._last: tuple[int, int] | None = None
        """The onset and the event of the link before."""
        self._clicks = 0.0
        self._ends = {place for place, ways in enumerate(graph.edges) if any(way.loops for way in ways)}
        """The events from which it begins once more."""
        self._loops = bool(self._ends)
        self.found: list[Visit] = []

    def take(self, link: Link) -> None:
        """The next link of the chain."""
        events = self._graph.events
        last_onset, last_place = self._last or (-1, -1)
        sounding = self._heard[link.onset - 1] if link.onset else None
        extras = list(range(last_onset + 1, link.onset)) if self._last else []
        clicks = self._clicks
        fresh = link.leap
        again = self._loops and link.leap and self._last is not None and self._goes_back(link)
        for place in (*link.passed, link.place):
            event = events[place]
            begun = not self.found or fresh or event.segment != self.found[-1].segment or place <= last_place
            again = again or (self._loops and not link.leap and place == 0 and last_place in self._ends)
            if begun:
                written = event.at
                at = written if link.leap or self._last is None else clicks + self._since(link, place)
                self._begin(event.segment, at, link.onset, leap=fresh, again=again)
                fresh = again = False
            last_place = place
            if place != link.place:
                self.found[-1].states[event.step] = MERGED if event.note is sounding else MISSING
        event, visit = events[link.place], self.found[-1]
        visit.states[event.step] = PLAYED if link.right else WRONG_NOTE
        visit.onsets[event.step] = link.onset
        if extras and not link.leap:
            visit.extras += extras
        self._clicks = visit.clicks
        self._last = (link.onset, link.place)

    def sound_on(self, rings: float | None) -> None:
        """What is written after the last note and equals it melts into it.

        So does a note whose gracenotes were left out, if the last note rang on into it: ``rings`` is for how many
        clicks it did, None if nobody knows.
        """
        events, edges = self._graph.events, self._graph.edges
        if self._last is None:
            return
        onset, place = self._last
        sounding, since = self._heard[onset], 0.0
        while edges[place]:
            edge = edges[place][0]
            event = events[edge.to]
            if edge.loops or edge.way:
                return
            since += edge.gap
            place = edge.to
            fresh = event.segment != self.found[-1].segment
            if event.note is not sounding:
                while not events[place].theme:
                    place += 1
                long = rings is not None and rings >= since + RANG_ON_CLICKS
                if not (fresh and long and events[place].note is sounding):
                    return
            if fresh:
                self._begin(event.segment, self._clicks + edge.gap, onset, leap=False)
                self._clicks += edge.gap
            self.found[-1].states[events[place].step] = MERGED

    def _since(self, link: Link, place: int) -> float:
        """Clicks from the last link's melody note to that event on the way to this link."""
        events = self._graph.events
        back = events[link.place].at - events[place].at  # they are in one bar or near it; …
        return link.gap - back if 0 <= back <= link.gap else link.gap  # … unless a repeat is between them

    def _goes_back(self, link: Link) -> bool:
        """Whether a leap is to the beginning: the time through was broken off.

        The second note is near enough: the first may be the end of the bar before, and equal to what sounded.
        """
        to = self._graph.events[link.passed[0] if link.passed else link.place].segment
        return to <= 1 < self.found[-1].segment

    def _begin(self, segment: int, clicks: float, by: int, *, leap: bool, again: bool = False) -> None:
        through = self._through[segment] = self._through.get(segment, 0) + 1
        size = len(self._graph.score.segments[segment].drill.steps)
        self.found.append(Visit(segment, through, leap, clicks, [MISSING] * size, [None] * size, [], by, again))
