"""A file's bytes are walked through before a library reads them: what would take for ever is refused."""

import io
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import mido
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.config import ChanterdError
from chanterd.hearing.structure import MOST_EVENTS, MOST_NOTES, StructureError, check_structure
from chanterd.hearing.take import LONGEST_HOURS, MOST_BYTES, parse_take, read_take

NOTE = b"\x00\x90\x43\x40"
PAIR = b"\x10\x43\x00\x10\x43\x40"
"""A note-off and a note-on by running status, 16 ticks each."""


def file_of(*tracks: bytes, division: int = 480) -> bytes:
    """A file with these events, whatever they are."""
    head = b"MThd" + (6).to_bytes(4) + (1).to_bytes(2) + len(tracks).to_bytes(2) + division.to_bytes(2)
    return head + b"".join(b"MTrk" + len(events).to_bytes(4) + events for events in tracks)


def said_of(data: bytes) -> str:
    """The sentence with which the file is refused."""
    with pytest.raises(ChanterdError) as error:
        parse_take(Path("a.mid"), data)
    return str(error.value)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (file_of(b"\xff" * 1_000_000), "is damaged near byte 22 (a number without an end); copy or export it again."),
        (file_of(NOTE + b"\x00\xff\x01" + b"\xff" * 1_000_000), "is damaged near byte 29 (a number without an end)"),
        (file_of(NOTE + b"\x80" * 1_000_000), "is damaged near byte 26 (a number without an end)"),
        (file_of(NOTE + PAIR * 1_000_000), "holds too much: a take may have 50,000 notes and 200,000 events. Save"),
        (file_of(NOTE + PAIR * MOST_NOTES), "holds too much"),
        (file_of(NOTE, b"\x00\xb0\x02\x40" + b"\x00\x02\x41" * MOST_EVENTS), "holds too much"),
        (file_of(*[NOTE + PAIR * 1000] * 60), "holds too much"),
        (file_of(NOTE + b"\x00\xff\x01\x00" * MOST_EVENTS), "holds too much"),
    ],
    ids=["FF", "FF in a text", "80", "a million notes", "one too many", "sensor", "many tracks", "texts"],
)
def test_what_would_take_for_ever_is_refused(data: bytes, said: str) -> None:
    """In one sentence with what is wrong, where, and the mend."""
    assert said_of(data).startswith("a.mid: ")
    assert said in said_of(data)


def test_a_file_too_long_or_without_an_end_is_refused(tmp_path: Path) -> None:
    """Before it is read."""
    (tmp_path / "a.mid").write_bytes(b"MThd" + bytes(MOST_BYTES))
    with pytest.raises(ChanterdError, match=r"is longer than the 4,000,000 bytes allowed\. Is it the file you mean\?"):
        read_take(tmp_path / "a.mid")
    (tmp_path / "b.mid").symlink_to("/dev/zero")
    with pytest.raises(ChanterdError, match="is a pipe or a device"):
        read_take(tmp_path / "b.mid")


def test_a_rest_of_many_years_is_refused() -> None:
    """As long as the format allows: 200 times 2 ** 28 - 1 ticks of 16.8 s each."""
    slowest = b"\x00\xff\x51\x03\xff\xff\xff"
    rests = b"\xff\xff\xff\x7f\x43\x00\xff\xff\xff\x7f\x43\x40" * 100
    said = said_of(file_of(slowest + NOTE + rests, division=1))
    assert "lasts 28," in said
    assert "years; a take may last 24 hours. Is there a rest by mistake?" in said
    assert "lasts 25 hours" in said_of(file_of(NOTE + b"\xad\xf9\x00\x43\x00" * 118))


def test_a_day_is_allowed() -> None:
    """The longest take that is."""
    take = parse_take(Path("a.mid"), file_of(NOTE + b"\xad\xf9\x00\x43\x00" * 110))
    assert 23 * 3600e9 < take.messages[-1][1] <= LONGEST_HOURS * 3600e9


def test_the_largest_take_is_read_within_bounds(tmp_path: Path) -> None:
    """10 s of processor time and 300 MB, the whole process: as many notes as are allowed, then as many events."""
    script = """
import re, resource, sys
from pathlib import Path
resource.setrlimit(resource.RLIMIT_CPU, (10, 10))
from chanterd.hearing.take import read_take
take = read_take(Path(sys.argv[1]))
# Not ru_maxrss: that one also counts what the process that started this one held.
most = re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())
print(len(take.messages), int(most[1]) // 1024)
"""
    notes = NOTE + PAIR * (MOST_NOTES - 1)
    sensor = b"\x00\xb0\x02\x40" + b"\x01\x02\x41" * (MOST_EVENTS - 2 * MOST_NOTES)
    (tmp_path / "a.mid").write_bytes(file_of(notes, sensor))
    done = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path / "a.mid")], capture_output=True, text=True, check=True
    )
    messages, megabytes = map(int, done.stdout.split())
    assert messages == MOST_EVENTS
    assert megabytes < 300


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(0, 2**28 - 1), st.integers(0, 127), st.integers(0, 127)), max_size=20))
def test_every_file_that_mido_writes_passes(events: list[tuple[int, int, int]]) -> None:
    """Mido (an outside writer): notes, controllers, programs, system exclusive and texts of any length."""
    track = mido.MidiTrack()
    for time, one, two in events:
        track.append(mido.Message("note_on", note=one, velocity=two, time=time))
        track.append(mido.Message("program_change", program=one, time=two))
        track.append(mido.Message("sysex", data=[one] * two))
        track.append(mido.MetaMessage("text", text="x" * (one + two)))
        track.append(mido.Message("pitchwheel", pitch=one))
    whole = io.BytesIO()
    mido.MidiFile(tracks=[track]).save(file=whole)
    check_structure(whole.getvalue())


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_are_walked_through(data: bytes) -> None:
    """Whatever they are, it ends, and in no other error than its own."""
    with suppress(StructureError):
        check_structure(file_of(data))
