"""Simulated reps with known faults, for the bench of the judge. Pure and seeded; never anybody's real playing.

Goal: onsets that go through the whole ``Run``, and for every rep the set of faults that are truly in it.

How: a steady player (3 ms a finger, 4 ms a beat, no bias) plays a drill; into some reps one fault is put, or two. What
a fault is, in sizes, is written here apart from the judge's own rules: a fault well beyond the limit of the standard
(1.4 to 3 times), or, where it has no size, simply there. A rep on either side of a faulty one is steady.

- ``late`` / ``early``: the whole run is, lead and all, as a habit (a single late rep is wound up to, or paused before).
- ``wound up``: the ornament comes later, and all that follows; the player comes back to the click over three reps.
- ``cut short``: the lead is left too soon (all that follows is earlier), or the theme is (only the next lead is early).
- ``paused``: the next lead alone comes late.
- ``added movement``: the theme note is left for the ornament's last gracenote or tap once more, and reached again.
- ``wrong ornament``: another one of the book is played between the same notes, its own beat on the beat.
- ``too slow``: the ornament as a whole is longer than the tempo allows, with all its steps in proportion.
- Whatever takes the beat off the click by more than the limit is late or early too.

What is left to be heard of two faults in one rep is settled in ``sounding``.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from random import Random

from chanterd.judging.limit import Limit
from chanterd.judging.standard import Standard
from chanterd.music.drill import Drill
from chanterd.music.fingering import crossing_notes, fingers_moved
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.segment import make_segment
from chanterd.music.spread import Spread
from chanterd.music.units import NS_PER_MS, Bpm, Ms, Ns
from tests.bench.audible_faults import Context, Played, Sounded, Truth, other_ornaments

STEP_SD_MS, BEAT_SD_MS = 3.0, 4.0
OF_THE_RUN = ("early", "late")
EVERY = 5
"""Every fifth rep has its fault; the others are steady, and come back to the click little by little."""
OPEN_HAND = Spread(0.06, Ms(60.0), 0.04, Ms(40.0))
"""The steady player's own steps: clear of every limit by four standard deviations."""
ROOM_FOR_EXTRA_MS = 250.0
"""So long the lead lasts before a note that nobody asked for is put into it: it is heard before that, and after."""
PUT_IN = (
    "uneven",
    "crushed",
    "wrong note",
    "missing step",
    "crossing noise",
    "extra note",
    "too long",
    "too slow",
    "added movement",
    "wrong ornament",
)
"""The order in which they are put in."""
COMING_BACK = {1: 2 / 3, 2: 1 / 2}
"""What is left of a shift in the rep after it, by the number of the rep in the five."""


@dataclass(frozen=True, slots=True)
class Performance:
    """What is heard, and which faults each rep truly has."""

    heard: tuple[Heard, ...]
    truth: dict[int, Truth | None]
    """None: the faults had no room in it."""


class FaultyPlayer:
    """Plays one drill with faults of one or two kinds."""

    def __init__(self, drill: Drill, click_bpm: Bpm, standard: Standard, random: Random) -> None:
        self.drill, self.random, self.standard = drill, random, standard
        self.click_ms = 60_000.0 / click_bpm
        table = make_segment(drill, click_bpm, OPEN_HAND)
        self.squeezed = any(
            length < OPEN_HAND.length_ns(step.kind, 0.0)
            for step, length in zip(drill.steps[:-1], table.lengths_ns[1:], strict=False)
        )
        self.notes = [drill.lead, *(step.note for step in drill.steps)]
        self.offsets = [offset / NS_PER_MS for offset in table.offsets_ns]
        self.rep_ms = table.lasts_ns / NS_PER_MS
        self.held = [i for i, step in enumerate(drill.steps[:-1]) if step.kind is Kind.HELD and step.sounds]
        self.short = [i for i, step in enumerate(drill.steps[:-1]) if step.sounds]
        self.table = table
        self.quick = [i for i in self.short if drill.steps[i].kind is Kind.QUICK and drill.steps[i + 1].sounds]
        self.others = other_ornaments(drill)
        self.wide = [
            place
            for place, (a, b) in enumerate(pairwise(self.notes), 1)
            if fingers_moved(a, b) > 1
            and crossing_notes(a, b)
            and (place == 1 or drill.steps[place - 2].kind is Kind.HELD)
        ]

    def can(self, fault: str) -> bool:
        """Whether this drill has room for the fault, at this tempo."""
        needs = {
            "missing step": self.short,
            "wrong note": self.short,
            "crushed": self.short,
            "uneven": len(self.held) > 1,
            "crossing noise": self.wide,
            "too long": self.quick,
            "added movement": self.quick,
            "wrong ornament": self.others,
            "too slow": self._slower(1.2) is not None,
        }
        return bool(needs.get(fault, True))

    def play(self, faults: Sequence[str], reps: int) -> Performance:
        """That many reps, every fifth with these faults; ``early`` and ``late`` are in all of them."""
        habit = [fault for fault in faults if fault in OF_THE_RUN]
        limit = self.standard.beat_within_ns(self.click_ms * NS_PER_MS) / NS_PER_MS
        shift = self._beyond(limit, 1.8) * (-1.0 if "early" in habit else 1.0) if habit else 0.0
        played: list[Played] = []
        moved, lead_at = 0.0, 0.0
        for rep in range(reps):
            mine = [one for one in faults if one not in OF_THE_RUN] if rep % EVERY == 1 else []
            one, moved, lead_at = self._rep(rep, mine, shift, moved, lead_at)
            one.habit = next(iter(habit), None)
            played.append(one)
            moved *= COMING_BACK.get(rep % EVERY, 0.0)
        asked = Context(self.drill, self.standard, self.click_ms, self.rep_ms, self.offsets)
        leads = [one.strokes[0].at_ms for one in played[1:]]
        truth = {
            rep: asked.truth(one, lead) for rep, (one, lead) in enumerate(zip(played, [*leads, None], strict=True))
        }
        return Performance(tuple(self._heard([stroke for one in played for stroke in one.strokes])), truth)

    def _rep(
        self, rep: int, faults: Sequence[str], shift: float, moved: float, lead_at: float
    ) -> tuple[Played, float, float]:
        """The rep, how far it was moved from the click, and how far the next lead will be."""
        random, due = self.random, rep * self.rep_ms
        standard, after = self.standard, 0.0
        played = Played(due, [], {one for one in faults if one in ("wound up", "paused", "cut short")})
        if "wound up" in faults:
            moved += self._around_ms(standard.wound_up)
        if "cut short" in faults:
            played.cut = (
                "theme" if "wound up" in faults or ("paused" not in faults and random.random() < 0.5) else "lead"
            )
            cut = self._around_ms(standard.cut_short)
            if played.cut == "lead":
                moved -= cut
            else:
                after = -cut
        if "paused" in faults:
            after = self._around_ms(standard.paused)
        back = played.cut is not None and len(played.put_in) > 1
        if back:
            after -= moved  # coming back to the click is no fault: the second one counts from there
        start = due + shift + random_beat(random)
        at = [start + offset + moved + random.gauss(0, STEP_SD_MS) for offset in self.offsets]
        at[0] += lead_at - moved
        strokes = played.strokes
        strokes += [
            Sounded(time, note, place - 1) for place, (time, note) in enumerate(zip(at, self.notes, strict=True))
        ]
        busy: set[int] = set()
        for fault in PUT_IN:
            if fault in faults and self._put(fault, played, busy):
                played.put_in.add(fault)
        return played, 0.0 if back else moved, moved + after

    def _around_ms(self, limit: Limit) -> float:
        return self._beyond(limit.of(self.click_ms * NS_PER_MS) / NS_PER_MS, 1.5)

    def _beyond(self, limit_ms: float, most: float) -> float:
        return limit_ms * self.random.uniform(1.4, most) + 4.0

    def _put(self, fault: str, played: Played, busy: set[int]) -> bool:
        """Put it in; False if there is no room for it beside what is there."""
        random, standard, strokes = self.random, self.standard, played.strokes
        by_step = {one.step: one for one in strokes}
        free = [step for step in self.short if step in by_step and step not in busy]
        if not free and fault in ("crushed", "wrong note", "missing step"):
            return False
        if fault == "uneven":
            played.stretched = self.held[0] if random.random() < 0.5 else self.held[-1]
            longer = max(standard.uneven_over_ms, 60.0 * (standard.uneven_times_over - 1)) * 1.5 + 15.0
            self._lengthen(strokes, played.stretched, longer)
            busy.update(self.held)
        elif fault == "crushed":
            step = played.crushed = random.choice(free)
            self._lengthen(strokes, step, random.uniform(4.0, 9.0) - self._length(strokes, step))
            busy.add(step)
        elif fault == "wrong note":
            step = random.choice(free)
            around = {by_step[step].note, self.notes[step], self.notes[step + 2]}
            by_step[step].note = random.choice([note for note in Note if note not in around])
            busy.update((step - 1, step, step + 1))
        elif fault == "missing step":
            step = random.choice(free)
            strokes.remove(by_step[step])
            busy.update((step - 1, step, step + 1))
        elif fault == "crossing noise":
            return self._cross(strokes, busy)
        elif fault in ("too long", "too slow", "added movement", "wrong ornament"):
            self._put_whole(fault, strokes, due_ms=played.due_ms)
        else:
            before, then = strokes[:2]
            if then.at_ms - before.at_ms < ROOM_FOR_EXTRA_MS:
                return False
            at_ms = before.at_ms + (then.at_ms - before.at_ms) * random.uniform(0.3, 0.5)
            note = random.choice([one for one in Note if one not in (before.note, then.note)])
            strokes[1:1] = [Sounded(at_ms, note), Sounded(at_ms + random.uniform(60.0, 100.0), before.note)]
        return True

    def _put_whole(self, fault: str, strokes: list[Sounded], due_ms: float) -> None:
        """What may be put into a rep by itself only."""
        random, theme = self.random, strokes[-1]
        if fault == "too long":
            step = random.choice(self.quick)
            most = self.standard.quick_over_ns(self.table.lengths_ns[step + 1]) / NS_PER_MS
            self._lengthen(strokes, step, most * random.uniform(1.15, 1.6) - self._length(strokes, step))
        elif fault == "too slow":
            scale = self._slower(random.uniform(1.08, 1.2)) or 1.0
            beat = next(one.at_ms for one in strokes if one.step == self.drill.anchor_step)
            for one in strokes[1:]:
                one.at_ms = beat + (one.at_ms - beat) * scale
        elif fault == "added movement":
            notes = [
                self.drill.steps[step].note for step in self.quick if self.drill.steps[step].note is not theme.note
            ]
            note = notes[-1] if notes else Note.F
            left = theme.at_ms + random.uniform(35.0, 60.0)
            strokes += [Sounded(left, note), Sounded(left + random.uniform(28.0, 45.0), theme.note)]
        else:
            other = random.choice(self.others)
            lengths = [OPEN_HAND.length_ns(step.kind, 0.0) / NS_PER_MS for step in other.steps[:-1]]
            beat = due_ms + self.offsets[self.drill.anchor_step + 1] - sum(lengths[: other.anchor_step])
            at = [beat + sum(lengths[:place]) + random.gauss(0, STEP_SD_MS) for place in range(len(other.steps))]
            steps = [Sounded(time, step.note) for time, step in zip(at, other.steps, strict=True)]
            steps[-1].step = theme.step
            strokes[1:] = steps

    def _slower(self, over: float) -> float | None:
        """By how much all steps must be longer to be so much over the limit; None if gracenotes are too long then."""
        lengths = [OPEN_HAND.length_ns(step.kind, 0.0) for step in self.drill.steps[:-1]]
        scale = over * self.standard.too_slow_over_ns(self.table) / sum(lengths)
        quick = [
            scale * OPEN_HAND.length_ns(Kind.QUICK, 0.0)
            < 0.9 * self.standard.quick_over_ns(self.table.lengths_ns[i + 1])
            for i in self.quick
        ]
        return scale if len(self.short) > 1 and scale > 1 and all(quick) else None

    def _length(self, strokes: list[Sounded], step: int) -> float:
        index = next(i for i, one in enumerate(strokes) if one.step == step)
        return strokes[index + 1].at_ms - strokes[index].at_ms

    def _lengthen(self, strokes: list[Sounded], step: int, by_ms: float) -> None:
        """Make a step longer (shorter) without moving the step on the beat: before it to the left, after it right."""
        anchor = self.drill.anchor_step
        for one in strokes:
            if one.step is None or one.step < 0:
                continue
            if step < anchor and one.step <= step:
                one.at_ms -= by_ms
            elif step >= anchor and one.step > step:
                one.at_ms += by_ms

    def _cross(self, strokes: list[Sounded], busy: set[int]) -> bool:
        places = [place for place in self.wide if place - 1 not in busy and place - 2 not in busy]
        present = {one.step for one in strokes}
        places = [place for place in places if {place - 1, place - 2} <= present]
        if not places:
            return False
        place = self.random.choice(places)
        index = next(i for i, one in enumerate(strokes) if one.step == place - 1)
        after, before = strokes[index], strokes[index - 1]
        long = self.standard.crossing_over_ms + self.random.uniform(5.0, 9.0)
        at_ms = after.at_ms - long
        room = at_ms - before.at_ms
        if room < self.standard.held_under_ms + 12.0 and before.step != -1:  # keep the step before long enough
            for one in strokes[:index]:
                if one.step is not None and one.step >= 0:
                    one.at_ms -= self.standard.held_under_ms + 12.0 - room
        note = self.random.choice(sorted(crossing_notes(before.note, after.note)) or [before.note])
        strokes.insert(index, Sounded(at_ms, note))
        return True

    def _heard(self, line: list[Sounded]) -> Iterator[Heard]:
        """Onsets in order, equal notes melted, and the silence at the end."""
        last: Note | None = None
        at_ms = 0.0
        for one in sorted(line, key=lambda one: one.at_ms):
            if one.note is not last:
                yield Onset(one.note, Ns(round((one.at_ms + 3_000.0) * NS_PER_MS)), bounce=False)
            last, at_ms = one.note, one.at_ms
        yield Silence(Ns(round((at_ms + 3_000.0 + self.click_ms) * NS_PER_MS)))


def random_beat(random: Random) -> float:
    """What the timekeeper adds to a rep."""
    return random.gauss(0, BEAT_SD_MS)
