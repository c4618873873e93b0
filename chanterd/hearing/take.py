"""Takes: Standard MIDI Files read to stamped messages, written, and replayed in real time.

Conventions: time counts in ns from the file's start, exact by the file's own tempo map and rounded once to whole ns; a
click is a quarter note. Where the file has a marker ``beat 0``, as those that ``track`` writes may, times count from
there, and what is before it has negative ones. The default tempo of 120 is the file format's own.
"""

import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from operator import itemgetter
from pathlib import Path

import mido

from chanterd import files
from chanterd.config import ChanterdError
from chanterd.hearing.cued import CuedSource, Timed
from chanterd.hearing.source import SourceStatus
from chanterd.hearing.structure import StructureError, check_structure
from chanterd.hearing.track import BEAT_0, whole_take
from chanterd.music.units import NS_PER_MINUTE, NS_PER_S, Bpm, Ns

DEFAULT_TEMPO_US = 500_000
MOST_BYTES = 4_000_000
"""Of a file; an hour of ornaments has a sixteenth of it."""
LONGEST_HOURS = 24
NS_PER_HOUR = 3600 * NS_PER_S
HOURS_PER_YEAR = 24 * 365
LONGEST_NS = LONGEST_HOURS * NS_PER_HOUR
_FILM_SECOND = {24: Fraction(24), 25: Fraction(25), 29: Fraction(30_000, 1001), 30: Fraction(30)}
"""SMPTE frames a second by the number in the file's header; 29 means 30 frames with two dropped a minute."""


@dataclass(frozen=True, slots=True)
class Take:
    """What was played once, as a file has it."""

    name: str
    """The file's name without its folder."""
    messages: tuple[Timed, ...]
    """In order of time; at least one note among them."""
    click_bpm: Bpm | None
    """The file's own tempo; None if it changes inside, or if the file counts film frames and so has no beat."""
    tempi: tuple[tuple[Ns, Bpm], ...]
    """Each tempo with the time from which it holds, so that a caller can say why ``click_bpm`` is None."""


class TakeSource(CuedSource):
    """A take replayed in real time: its time 0 falls on beat 0 of the cue.

    Raises ChanterdError, as ``read_take`` does.
    """

    def __init__(self, path: Path) -> None:
        take = read_take(path)
        self.take = take
        super().__init__(
            take.name,
            lambda _cue: take.messages,
            ready=SourceStatus("ready", "The take starts with the practice."),
            ended=SourceStatus(
                "ended", f"The take {take.name} has been played to the end; start again to hear it again."
            ),
        )


def read_take(path: Path) -> Take:
    """Read a Standard MIDI File of type 0 or 1, or of type 2 with notes in one track only.

    Raises ChanterdError: one sentence with the path, what is wrong, where, and the likely mend.
    """
    return parse_take(path, read_file(path))


def parse_take(path: Path, data: bytes) -> Take:
    """The take in a file's bytes; ``path`` is what to call it. Raises ChanterdError, as ``read_take`` does."""
    file = _parse(path, data)
    if file.type not in (0, 1, 2):
        raise ChanterdError(f"{path}: its type is {file.type}, but only 0, 1 and 2 exist; export it again as type 0.")
    tracks = _tracks_to_play(path, file)
    stamped = _stamp(path, _in_order(tracks), file.ticks_per_beat)
    beat0_ns = next((at for message, at in stamped if message.type == "marker" and message.text == BEAT_0), Ns(0))
    messages = tuple((message, Ns(at_ns - beat0_ns)) for message, at_ns in stamped if not message.is_meta)
    if not any(_begins_note(message) for message, _ in messages):
        raise ChanterdError(f"{path}: there is no note in it; was the recording armed, or is this another file?")
    last_ns = max(at_ns for _, at_ns in messages) - min(Ns(0), messages[0][1])
    if last_ns > LONGEST_NS:
        raise ChanterdError(
            f"{path}: lasts {_how_long(last_ns)}; a take may last {LONGEST_HOURS} hours. Is there a rest by mistake? "
            "Save the part you mean as a file of its own."
        )
    tempi = _tempi(stamped) if file.ticks_per_beat > 0 else ()
    return Take(path.name, messages, tempi[0][1] if len(tempi) == 1 else None, tempi)


def write_take(path: Path, messages: Iterable[Timed], click_bpm: float = 60.0) -> None:
    """Write messages, stamped in ns from beat 0, as a file with one tempo, rounded to its ticks (see ``track``)."""
    path.write_bytes(whole_take(messages, click_bpm))


def read_file(path: Path) -> bytes:
    """The file's bytes. Raises ChanterdError if it cannot be read, is longer than any take, or never ends."""
    return files.read_file(path, MOST_BYTES)


def _how_long(ns: int) -> str:
    hours = ns // NS_PER_HOUR
    return f"{hours:,} hours" if hours < HOURS_PER_YEAR else f"{hours // HOURS_PER_YEAR:,} years"


def _parse(path: Path, data: bytes) -> mido.MidiFile:
    if not data.startswith(b"MThd"):
        what = f"begins with {data[:4].decode('latin-1')!r} instead of 'MThd'" if data else "is empty"
        raise ChanterdError(
            f"{path}: this is not a MIDI file: it {what}; export the take as a Standard MIDI File (.mid)."
        )
    stream = io.BytesIO(data)
    try:
        check_structure(data)
        return mido.MidiFile(file=stream)
    except StructureError as error:
        raise ChanterdError(f"{path}: {error}") from error
    except EOFError as error:
        raise ChanterdError(
            f"{path}: is cut off: it ends at byte {len(data)} in the middle of a track; copy or export it again."
        ) from error
    except Exception as error:  # mido raises whatever a damaged byte leads it to, up to a bare Exception
        raise ChanterdError(
            f"{path}: is damaged near byte {stream.tell()} ({str(error) or type(error).__name__}); "
            "copy or export it again."
        ) from error


def _tracks_to_play(path: Path, file: mido.MidiFile) -> list[mido.MidiTrack]:
    """All tracks of a type 0 or 1 file; of type 2, whose tracks are takes of their own, the only one with notes."""
    if file.type != 2:  # noqa: PLR2004 - the file format's own number
        return list(file.tracks)
    played = [number for number, track in enumerate(file.tracks) if any(map(_begins_note, track))]
    if len(played) > 1:
        where = ", ".join(str(number) for number in played)
        raise ChanterdError(
            f"{path}: holds {len(played)} separate takes (type 2, tracks {where}); save the one you mean as a file of "
            "type 0."
        )
    return [file.tracks[number] for number in played]


def _begins_note(message: mido.Message) -> bool:
    return bool(message.type == "note_on" and message.velocity > 0)


def _in_order(tracks: Sequence[mido.MidiTrack]) -> Iterator[tuple[mido.Message, int]]:
    """Every message with its tick, in order of time; of those at one tick an earlier track's are first."""
    if len(tracks) == 1:
        return _with_ticks(tracks[0])
    every = [one for track in tracks for one in _with_ticks(track)]
    every.sort(key=itemgetter(1))
    return iter(every)


def _with_ticks(track: mido.MidiTrack) -> Iterator[tuple[mido.Message, int]]:
    tick = 0
    for message in track:
        tick += message.time
        yield message, tick


def _stamp(path: Path, ticked: Iterable[tuple[mido.Message, int]], division: int) -> list[Timed]:
    """Each message with its time; ``division`` is the header's signed word: ticks a quarter note, or SMPTE."""
    frames, ticks = _FILM_SECOND.get(-(division >> 8)), division & 0xFF
    if division == 0 or (division < 0 and (frames is None or ticks == 0)):
        raise ChanterdError(
            f"{path}: its header counts time in {division & 0xFFFF:#06x}, which is no division; export it again "
            "with ticks to the quarter note."
        )
    in_film = frames is not None and division < 0
    tick_ns = (
        NS_PER_S / (frames * ticks) if frames is not None and in_film else Fraction(DEFAULT_TEMPO_US * 1000, division)
    )
    # Time is since_ns + (tick - since) * num / den, rounded once, by whole numbers: it is exact, and quick.
    since_ns, since = Fraction(0), 0
    begin, num, den = 0, tick_ns.numerator, tick_ns.denominator
    stamped: list[Timed] = []
    for message, tick in ticked:
        whole, rest = divmod(begin + (tick - since) * num, den)
        if 2 * rest >= den and (2 * rest > den or whole % 2):  # halves to the even neighbour, as round() does
            whole += 1
        stamped.append((message, Ns(whole)))
        if message.type == "set_tempo" and not in_film:
            since_ns, since = since_ns + (tick - since) * tick_ns, tick
            if message.tempo == 0:
                raise ChanterdError(
                    f"{path}: the tempo set at {float(since_ns) / NS_PER_S:.3f} s is 0 us to the quarter note, and "
                    "must be 1 to 16777215; set a tempo and export it again."
                )
            tick_ns = Fraction(message.tempo * 1000, division)
            den = lcm(tick_ns.denominator, since_ns.denominator)
            num, begin = int(tick_ns * den), int(since_ns * den)
    return stamped


def _tempi(stamped: list[Timed]) -> tuple[tuple[Ns, Bpm], ...]:
    """The tempi in force up to the last message that is played, each once, equal neighbours joined."""
    end_ns = max(at_ns for message, at_ns in stamped if not message.is_meta)
    by_time = {Ns(0): DEFAULT_TEMPO_US}  # of several at one time the last one counts
    by_time |= {at: message.tempo for message, at in stamped if message.type == "set_tempo" and at <= end_ns}
    tempi: list[tuple[Ns, Bpm]] = []
    for at_ns, tempo_us in by_time.items():
        bpm = Bpm(NS_PER_MINUTE / (tempo_us * 1000))
        if not tempi or tempi[-1][1] != bpm:
            tempi.append((at_ns, bpm))
    return tuple(tempi)
