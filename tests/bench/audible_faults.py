"""What is truly to be heard of the faults put into a simulated rep: decided from what sounds, never from our reading.

Two faults in one rep may change each other. What becomes of them is settled here by these rules, and counted:

- Undone (the rep does not have the fault, and whoever names it is wrong): a crushed step that sounds on, since the step
  after it is missing; a note that was held too long or left too soon, where the steps beside it began sooner or ended
  later by so much that in sound the note was not.
- Not told (neither naming it nor passing it over counts): early and late where the step on the beat has no onset, and
  what the click would have to tell of the note before; the evenness of steps of which fewer than two have a beginning
  and an end of their own; a note within ``NEAR_MS`` of its limit; a steady hand that was uneven by chance.
- Named otherwise: notes left out, wrong or put in that make another ornament of the book exactly are a wrong ornament,
  but for one wrong note, and for notes left out that make an ornament of another chapter. In a wrong ornament nothing
  else is counted.
- No room (the rep is not counted): notes that overtake each other, or a note of the melody that is shorter than
  ``MELODY_MS`` or than a step of the ornament.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise

from chanterd.judging.fault import ORDER
from chanterd.judging.limit import Limit
from chanterd.judging.standard import Standard
from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, make_drill
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.segment import make_segment
from chanterd.music.units import NS_PER_MS, Bpm
from chanterd.music.ways import find_spelling

NEAR_MS = 14.0
"""Two placements are off by 4 ms each and two fingers by 3 ms: two standard deviations of all of them together."""
SLOW_MELODY_MS = 45.0
"""What an ornament that is too slow for the tempo may leave of the notes beside it."""
MELODY_MS, APART_MS = 100.0, 3.0
"""As long as a held step and a gracenote of the simulated hand; two onsets that the ear can still separate."""


@dataclass(slots=True)
class Sounded:
    """A note about to sound, ms from beat 0."""

    at_ms: float
    note: Note
    step: int | None = None
    """-1: the lead; None: nobody asked for it."""


@dataclass(slots=True)
class Played:
    """One rep as it was played, and what was put into it."""

    due_ms: float
    """When its lead was due, from beat 0."""
    strokes: list[Sounded]
    put_in: set[str] = field(default_factory=set)
    crushed: int | None = None
    stretched: int | None = None
    cut: str | None = None
    """Which note was cut short: ``lead`` or ``theme``."""
    habit: str | None = None
    """Whether the whole run was meant ``early`` or ``late``."""


@dataclass(frozen=True, slots=True)
class Truth:
    """Which faults a rep has, and what became of those that were put in besides."""

    faults: frozenset[str]
    undone: dict[str, str]
    """Fault, reason."""
    untold: dict[str, str]


@dataclass(frozen=True, slots=True)
class Context:
    """What was asked, and by which standard it is judged."""

    drill: Drill
    standard: Standard
    click_ms: float
    rep_ms: float
    offsets: list[float]
    """When the lead and each step are due, ms from the rep's beginning."""

    def truth(self, played: Played, next_lead_ms: float | None) -> Truth | None:
        """What is to be heard of that rep; None: it had no room."""
        strokes = sorted(played.strokes, key=lambda one: one.at_ms)
        least_ms = SLOW_MELODY_MS if "too slow" in played.put_in else MELODY_MS
        if strokes != played.strokes or not self._has_room(strokes, next_lead_ms, least_ms):
            return None
        at, sounds = _own(strokes)
        faults, undone, untold = set(played.put_in), dict[str, str](), dict[str, str]()
        if self._is_other(
            strokes if "wrong ornament" in faults else [one for one in strokes if not self._is_noise(one, strokes)]
        ):
            faults = {"wrong ornament"}
            return Truth(
                frozenset(faults), {}, {name: "another ornament was played" for name in ORDER if name not in faults}
            )
        off = self._beat_off(played, at)
        if off is None:
            if played.habit:
                untold[played.habit] = "the step on the beat was not heard"
        elif abs(off) > self.standard.beat_within_ns(self.click_ms * NS_PER_MS) / NS_PER_MS:
            faults.add("late" if off > 0 else "early")
        for name, long_ms, limit in self._notes(played, at, next_lead_ms):
            most = limit.of(self.click_ms * NS_PER_MS) / NS_PER_MS
            if off is None:
                untold[name] = "the step on the beat was not heard"
            elif long_ms < most - NEAR_MS:
                undone[name] = "the steps beside the note took up or gave back what it lost or won"
            elif long_ms < most + NEAR_MS:
                untold[name] = f"the note was within {NEAR_MS:g} ms of its limit"
        if played.crushed is not None and "crushed" in faults:
            kind = self.drill.steps[played.crushed].kind
            if sounds[played.crushed] >= self.standard.crushed_under_ns(kind) / NS_PER_MS:
                undone["crushed"] = "it sounded on, since the step after it was missing"
        self._lengths(at, faults, untold, broken="extra note" in played.put_in)
        uneven = self._uneven(at, played.stretched)
        if "uneven" in faults and not uneven:
            untold["uneven"] = "no two steps had a beginning and an end of their own, the longer one among them"
        elif uneven and "uneven" not in faults:
            untold["uneven"] = "the steady hand was uneven by chance"
        return Truth(frozenset(faults - undone.keys() - untold.keys()), undone, untold)

    def _is_noise(self, one: Sounded, strokes: list[Sounded]) -> bool:
        """Whether it is one of the crossing noises that were put in."""
        after = next((other.at_ms for other in strokes if other.at_ms > one.at_ms), one.at_ms + 1_000)
        return one.step is None and after - one.at_ms < self.standard.crossing_over_ms + 10

    def _is_other(self, strokes: list[Sounded]) -> bool:
        """Whether what sounds between lead and theme is another ornament of the book."""
        first = next((index for index, one in enumerate(strokes) if (one.step or 0) > -1 and one.step is not None), 0)
        lead = max((index for index, one in enumerate(strokes[:first]) if one.note is self.drill.lead), default=0)
        heard = melted([one.note for one in strokes[lead:]])
        return heard in {
            melted([self.drill.lead, *(step.note for step in one.steps)]) for one in other_ornaments(self.drill)
        }

    def _lengths(self, at: dict[int, float], faults: set[str], untold: dict[str, str], *, broken: bool) -> None:
        """Gracenotes that were too long in sound, and the ornament as a whole."""
        table = make_segment(self.drill, Bpm(60_000 / self.click_ms))
        last = len(self.drill.steps) - 1
        over = [
            at[step + 1] - at[step] - self.standard.quick_over_ns(table.lengths_ns[step + 1]) / NS_PER_MS
            for step, asked in enumerate(self.drill.steps[:-1])
            if asked.kind is Kind.QUICK and step in at and step + 1 in at
        ]
        self._over("too long", max(over, default=-NEAR_MS - 1), faults, untold)
        steps = [step for step in at if 0 <= step < last]
        if len(steps) > 1 and last in at and not broken:
            long = at[last] - at[min(steps)] - self.standard.too_slow_over_ns(table) / NS_PER_MS
            self._over("too slow", long, faults, untold)
        else:
            untold["too slow"] = "it has no length of its own"

    def _over(self, name: str, over_ms: float, faults: set[str], untold: dict[str, str]) -> None:
        faults.discard(name)
        if over_ms > 0:
            faults.add(name)
        if abs(over_ms) < NEAR_MS / 2:
            untold[name] = f"it was within {NEAR_MS / 2:g} ms of its limit"

    def _has_room(self, strokes: list[Sounded], next_lead_ms: float | None, least_ms: float) -> bool:
        end_ms = strokes[-1].at_ms + self.click_ms if next_lead_ms is None else next_lead_ms
        asked = [(one.step, one.at_ms) for one in strokes if one.step is not None]
        ends = [*(at_ms for _, at_ms in asked[1:]), end_ms]
        lengths = {step: end - at_ms for (step, at_ms), end in zip(asked, ends, strict=True)}
        last = len(self.drill.steps) - 1
        melody = min(lengths[-1], lengths[last])
        inside = [length for step, length in lengths.items() if -1 < step < last]
        apart = [after.at_ms - one.at_ms for one, after in pairwise(strokes)]
        longest = max(inside, default=0.0) if least_ms == MELODY_MS else 0.0
        return melody >= max(least_ms, longest) and min(apart) >= APART_MS

    def _beat_off(self, played: Played, at: dict[int, float]) -> float | None:
        anchor = self.drill.anchor_step
        return None if anchor not in at else at[anchor] - played.due_ms - self.offsets[anchor + 1]

    def _notes(
        self, played: Played, at: dict[int, float], next_lead_ms: float | None
    ) -> Iterator[tuple[str, float, Limit]]:
        """Name, how much too long or too short the note was in sound, and the limit, of each such fault put in."""
        last = len(self.drill.steps) - 1
        lead = next(one.at_ms for one in played.strokes if one.step == -1)
        theme = next(one.at_ms for one in played.strokes if one.step == last)
        first = min(step for step in at if step >= 0)
        lead_ms = at[first] - lead - self.offsets[first + 1]
        theme_ms = (next_lead_ms or 0.0) - theme - self.rep_ms + self.offsets[-1]
        if "wound up" in played.put_in:
            yield "wound up", lead_ms, self.standard.wound_up
        if "paused" in played.put_in:
            yield "paused", theme_ms, self.standard.paused
        if "cut short" in played.put_in:
            yield "cut short", -lead_ms if played.cut == "lead" else -theme_ms, self.standard.cut_short

    def _uneven(self, at: dict[int, float], stretched: int | None) -> bool:
        """Whether steps of one kind differ by more than the standard allows, in sound."""
        for kind in (Kind.HELD, Kind.QUICK):
            least = self.standard.crushed_under_ns(kind) / NS_PER_MS
            steps = {
                step: at[step + 1] - at[step]
                for step, asked in enumerate(self.drill.steps[:-1])
                if asked.kind is kind and step in at and step + 1 in at and at[step + 1] - at[step] >= least
            }
            if len(steps) < 2 or (kind is Kind.HELD and stretched is not None and stretched not in steps):
                continue
            short, long = min(steps.values()), max(steps.values())
            if long - short > self.standard.uneven_over_ms and long > self.standard.uneven_times_over * short:
                return True
        return False


def melted(notes: list[Note]) -> tuple[Note, ...]:
    """What sounds of them, without the first."""
    return tuple(note for before, note in pairwise(notes) if note is not before)


@cache
def other_ornaments(drill: Drill) -> tuple[Drill, ...]:
    """Those of the book between the same notes that whoever plays them for this one is to be said to have played."""
    asked = melted([drill.lead, *(step.note for step in drill.steps)])
    found = []
    for ornament in standard_book().ornaments:
        if ornament.name == drill.ornament.name or not find_spelling(ornament, drill.lead, drill.theme):
            continue
        other = make_drill(ornament, drill.lead, drill.theme)
        heard = melted([drill.lead, *(step.note for step in other.steps)])
        rest = iter(asked)
        part = all(note in rest for note in heard) and ornament.chapter != drill.ornament.chapter
        one_wrong = len(heard) == len(asked) and sum(a is not b for a, b in zip(heard, asked, strict=True)) == 1
        more = heard[len(asked) :] if heard[: len(asked)] == asked else ()
        closes = bool(more) and set(more) == {asked[-2] if len(asked) > 1 else drill.theme, drill.theme}
        if heard != asked and len(heard) > 1 and not (part or one_wrong or closes):
            found.append(other)
    return tuple(found)


def _own(strokes: list[Sounded]) -> tuple[dict[int, float], dict[int, float]]:
    """By step, when those began that have an onset of their own; and how long each one's sound lasted in all."""
    at: dict[int, float] = {}
    sounds: dict[int, float] = {}
    begins = [strokes[0], *(one for before, one in pairwise(strokes) if one.note is not before.note)]
    for one in begins:
        if one.step is not None:
            at[one.step] = one.at_ms
    for one in strokes:
        since = max(begin.at_ms for begin in begins if begin.at_ms <= one.at_ms)
        until = min((begin.at_ms for begin in begins if begin.at_ms > one.at_ms), default=float("inf"))
        if one.step is not None:
            sounds[one.step] = until - since
    return at, sounds
