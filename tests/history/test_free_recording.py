"""Free playing on its way to the writer."""

import mido
import pytest

from chanterd.hearing.chanter import DEFAULT_PROFILE, load_profiles
from chanterd.history.free_record import FreeBegun, FreePartPlayed
from chanterd.history.free_recording import LONGEST_NS, PART_NS, WAITS_NS, FreeRecording
from chanterd.history.wall_clock import WallTime
from chanterd.judging.standard import DEFAULT, read_standards
from chanterd.listening.judged import judge_found
from chanterd.listening.report import heard_ornament
from chanterd.music.units import NS_PER_S, Ns
from tests.listening.played_notes import found_in

WALL = WallTime(1_773_140_000 * NS_PER_S, 0)
BEGINS = Ns(900_000_000)
PLAYED = "B700 G60 d30 G60 c700 B700 G60 d30 G60 c700 e500 f900"


@pytest.fixture
def parts() -> list[FreePartPlayed]:
    """What was written."""
    return []


@pytest.fixture
def recording(parts: list[FreePartPlayed]) -> FreeRecording:
    """One that begins with the first note."""
    begun = FreeBegun("k" * 32, 1, "Ada", WALL, "steady", "hand", load_profiles(None)[DEFAULT_PROFILE], None)
    return FreeRecording(begun, BEGINS, parts.append, lambda: WALL)


def add(recording: FreeRecording) -> list[Ns]:
    """Two grips; when each began."""
    limits = read_standards()[DEFAULT]
    begins = []
    for one in found_in(PLAYED):
        judged = judge_found(one, limits)
        assert judged is not None
        recording.ornament(judged, heard_ornament(one, limits), in_tune=False)
        begins.append(judged.start_ns)
    return begins


def test_an_ornament_waits_and_is_then_written(recording: FreeRecording, parts: list[FreePartPlayed]) -> None:
    """Its times count from the beginning of the take."""
    first, later = add(recording)
    recording.tick(Ns(first + WAITS_NS - 1))
    assert parts == []
    recording.tick(Ns(first + WAITS_NS - 1 + PART_NS))
    (part,) = parts
    assert [one["start_ms"] for one in part.ornaments] == [(first - BEGINS) / 1e6, (later - BEGINS) / 1e6]
    assert (part.part, part.why, part.ways[0].row["played"]) == (0, None, 2)
    recording.end("rested")
    assert [(one.part, one.why) for one in parts] == [(0, None), (1, "rested")]


def test_what_was_played_since_a_tune_began_is_the_tunes(recording: FreeRecording, parts: list[FreePartPlayed]) -> None:
    """Also if it is noticed some bars later."""
    _, later = add(recording)
    recording.in_tune(later)
    recording.end("rested")
    assert [(way.in_tune, way.row["played"]) for way in parts[0].ways] == [(False, 1), (True, 1)]


def test_nothing_is_kept_of_notes_without_an_ornament(recording: FreeRecording, parts: list[FreePartPlayed]) -> None:
    """And a run does not go on for ever."""
    recording.take(mido.Message("note_on", note=67, velocity=64), BEGINS)
    recording.silence(Ns(BEGINS + NS_PER_S))
    recording.end("rested")
    assert parts == []
    assert not recording.too_long(Ns(BEGINS + LONGEST_NS))
    assert recording.too_long(Ns(BEGINS + LONGEST_NS + 1))
