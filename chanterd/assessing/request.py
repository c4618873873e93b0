"""A request to assess a recording: the words of a command become the take, the exercise and the chanter."""

from dataclasses import dataclass, replace
from pathlib import Path

from chanterd.assessing.assess import Assessment, assess, profile_for, tempo_of
from chanterd.hearing.chanter import Profile, find_profile
from chanterd.hearing.take import Take, parse_take, read_file
from chanterd.music.drill import Drill
from chanterd.practice.exercise import Exercise, ExerciseWords, resolve
from chanterd.tables import Tables


@dataclass(frozen=True, slots=True)
class Request:
    """A take and the exercise that was played in it."""

    midi: bytes
    """The file as it is."""
    take: Take
    profile: Profile
    exercise: Exercise

    @property
    def sequence(self) -> tuple[Drill, ...]:
        """The drills of reps 0, 1, 2, ..., over and over; one where every rep has the same."""
        return tuple(one.drill for one in self.exercise.course().timetables)

    def assessed(self) -> Assessment:
        """The assessment. Raises ChanterdError if the chanter's profile knows none of the take's notes."""
        return assess(self.take, self.profile, self.exercise)


def read_request(path: Path, words: ExerciseWords, chanter: str | None, tables: Tables) -> Request:
    """Read the file and resolve the words. Without a tempo the file's own is used, without a chanter the one that fits.

    Raises ChanterdError with all mistakes in the words, or with what is wrong with the file.
    """
    if words.click_bpm is not None:  # the words first, so that a long file is not read in vain
        resolve(words, tables)
    midi = read_file(path)
    take = parse_take(path, midi)
    if words.click_bpm is None:
        words = replace(words, click_bpm=tempo_of(take))
    exercise = resolve(words, tables)
    if chanter is None:
        profile = profile_for(take, tables.profiles, [one.drill for one in exercise.course().timetables])
    else:
        profile = find_profile(chanter, tables.profiles)
    return Request(midi, take, profile, exercise)
