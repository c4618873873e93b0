"""A request to assess a recording: the words of a command become the take, the exercise and the chanter."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from chanterd.assessing.alignment import shifted_take, transposed, transposed_words, transposition
from chanterd.assessing.assess import Assessment, assess, profile_for, tempo_of
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import Profile, find_profile
from chanterd.hearing.take import Take, parse_take, read_file
from chanterd.music.drill import Drill
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.practice.exercise import Exercise, ExerciseWords, resolve
from chanterd.tables import Tables

HOUR_MS = 3_600_000


@dataclass(frozen=True, slots=True)
class Request:
    """A take and the exercise that was played in it."""

    midi: bytes
    """The file as it is."""
    take: Take
    profile: Profile
    exercise: Exercise
    semitones: int = 0
    """How much higher the take is than the chanter's profile says; the profile here is transposed by as much."""

    @property
    def sequence(self) -> tuple[Drill, ...]:
        """The drills of reps 0, 1, 2, ..., over and over; one where every rep has the same."""
        return tuple(one.drill for one in self.exercise.score().segments)

    def assessed(self) -> Assessment:
        """The assessment. Raises ChanterdError if the chanter's profile knows none of the take's notes."""
        found = assess(self.take, self.profile, self.exercise)
        if self.semitones:
            found["whole_take"].insert(0, transposed_words(self.profile, self.semitones))
        return found


def read_request(
    path: Path, words: ExerciseWords, chanter: str | None, tables: Tables, offset_ms: object = None
) -> Request:
    """Read the file and resolve the words. Without a tempo the file's own is used, without a chanter the one that fits.

    ``offset_ms`` is when the first click falls in the file; times count from there. A take that is some semitones
    higher or lower than the chanter is heard with the chanter transposed.

    Raises ChanterdError with all mistakes in the words, or with what is wrong with the file.
    """
    if words.click_bpm is not None:  # the words first, so that a long file is not read in vain
        resolve(words, tables)
    midi = read_file(path)
    take = shifted_take(parse_take(path, midi), offset_ns(offset_ms))
    if words.click_bpm is None:
        words = replace(words, click_bpm=tempo_of(take))
    exercise = resolve(words, tables)
    profiles = tables.profiles if chanter is None else {chanter: find_profile(chanter, tables.profiles)}
    drills = list(dict.fromkeys(one.drill for one in exercise.score().segments))
    used = {message.note for message, _ in take.messages if message.type == "note_on" and message.velocity}
    if not any(_hears(profile, used, drills) for profile in profiles.values()):
        found = transposition(take, profiles.values(), drills)
        if found is not None and found[1]:
            profile, semitones = found
            return Request(midi, take, transposed(profile, semitones), exercise, semitones)
    profile = profile_for(take, tables.profiles, drills) if chanter is None else profiles[chanter]
    return Request(midi, take, profile, exercise)


def _hears(profile: Profile, used: set[int], drills: Sequence[Drill]) -> bool:
    """Whether the chanter knows the notes of the take, and hears one of the drills in them."""
    heard = {profile.notes[midi] for midi in used if midi in profile.notes}
    known = used <= {*profile.notes, *profile.drones}
    return known and any({drill.lead, *(step.note for step in drill.steps)} <= heard for drill in drills)


def offset_ns(offset_ms: object) -> Ns:
    """When the first click falls in the file. Raises ChanterdError if it is not a number of ms within an hour."""
    if offset_ms is None:
        return Ns(0)
    number = isinstance(offset_ms, int | float) and not isinstance(offset_ms, bool)
    if not (number and -HOUR_MS <= offset_ms <= HOUR_MS):  # type: ignore[operator]  # a number, or the first is False
        raise ChanterdError(
            f"The offset is {offset_ms!r}; it must be when the first click falls in the file, in ms from "
            f"-{HOUR_MS:g} to {HOUR_MS:g}, such as -650."
        )
    return Ns(round(float(offset_ms) * NS_PER_MS))  # type: ignore[arg-type]  # a number
