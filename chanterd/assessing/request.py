"""What a recording is asked, understood: from the words of a command to all that it takes to assess the file."""

from dataclasses import dataclass
from pathlib import Path

from chanterd.assessing.assess import Assessment, assess, profile_for, tempo_of
from chanterd.hearing.chanter import Profile, find_profile
from chanterd.hearing.take import Take, parse_take, read_file
from chanterd.judging.standard import DEFAULT, Standard, find_standard
from chanterd.music.course import make_course
from chanterd.music.drill import Drill, drill_from_words
from chanterd.music.grid import click_bpm
from chanterd.music.layout import Layout, find_layout
from chanterd.music.timetable import Spread, spread_asked
from chanterd.music.units import Bpm
from chanterd.tables import Tables


@dataclass(frozen=True, slots=True)
class Wanted:
    """In words, as they come from outside; None: what ships, what the file says, or what fits."""

    drill: str
    click: object = None
    """Clicks a minute."""
    standard: str = DEFAULT
    chanter: str | None = None
    spread: object = None
    """The share of a click that a held step takes."""
    layout: str | None = None
    click_off: bool = False
    """It was played without a click."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A take and everything that it is held against."""

    midi: bytes
    """The file as it is."""
    take: Take
    profile: Profile
    drill: Drill
    click_bpm: Bpm
    standard: Standard
    spread: Spread
    layout: Layout
    sequence: tuple[Drill, ...]
    """What reps 0, 1, 2, ... ask in turn, over and over; one where every rep asks the same."""
    click_off: bool

    def assessed(self) -> Assessment:
        """What was found. Raises ChanterdError if the chanter's profile knows none of the take's notes."""
        return assess(
            self.take,
            self.profile,
            self.drill,
            self.click_bpm,
            self.standard,
            self.spread,
            self.layout,
            click_off=self.click_off,
        )


def understood(path: Path, wanted: Wanted, tables: Tables) -> Asked:
    """Read the file, and understand what is wanted of it. Raises ChanterdError for the first thing that is wrong."""
    drill, level = drill_from_words(wanted.drill, tables.book), find_standard(wanted.standard, tables.standards)
    bpm = None if wanted.click is None else click_bpm(wanted.click)
    hand, lay = spread_asked(wanted.spread), find_layout(wanted.layout, tables.layouts)
    midi = read_file(path)
    take = parse_take(path, midi)
    bpm = tempo_of(take) if bpm is None else bpm
    sequence = tuple(one.drill for one in make_course(drill, bpm, hand, lay).timetables)
    if wanted.chanter is None:
        profile = profile_for(take, tables.profiles, sequence)
    else:
        profile = find_profile(wanted.chanter, tables.profiles)
    return Asked(midi, take, profile, drill, bpm, level, hand, lay, sequence, wanted.click_off)
