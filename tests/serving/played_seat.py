"""A chanter played by hand in a test, and a seat in a loop of its own, with a clock that the test turns."""

import asyncio
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, Self

import jsonschema
import mido

from chanterd.hearing.source import Cue, Deliver, Report, SourceState, SourceStatus
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.practice.exercise import ExerciseWords
from chanterd.serving.daemon import Daemon
from chanterd.serving.seats.seat import Seat
from chanterd.serving.wire.frames import frames_schema
from chanterd.serving.wire.hub import Viewer
from chanterd.serving.wire.shapes import PracticeShown

SCHEMA = frames_schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)
BY_KIND = {
    one["properties"]["kind"]["const"]: jsonschema.Draft202012Validator({"$defs": SCHEMA["$defs"], **one})
    for one in SCHEMA["$defs"].values()
    if "const" in one["properties"].get("kind", {})
}
"""For each kind its own part of the schema: what the whole one comes to, without trying the other ten."""
BEGIN_NS = 7_000_000_000_000_123
"""What the clock shows at first: some months after the machine was started, and no round figure."""


class HandSource:
    """An input that does what a test says; notes are sent as the written pitch unless ``midi`` says otherwise."""

    def __init__(self, name: str = "hand", midi: Mapping[Note, int] | None = None) -> None:
        self.name = name
        self.cues: list[Cue | None] = []
        self.started = 0
        self.stopped = 0
        self._midi = midi or {note: note.midi for note in Note}
        self._sounding: Note | None = None

    def start(self, deliver: Deliver, report: Report) -> None:
        """There at once."""
        self.started += 1
        self._deliver, self._report = deliver, report
        self.status("ready")

    def stop(self) -> None:
        """Noted down."""
        self.stopped += 1

    def cue(self, cue: Cue | None) -> None:
        """Noted down."""
        self.cues.append(cue)

    def status(self, state: SourceState, said: str = "As the test says.") -> None:
        """Report a status."""
        self._report(SourceStatus(state, said))

    def send(self, message: mido.Message, at_ns: int) -> None:
        """Any message."""
        self._deliver(message, Ns(at_ns))

    def press(self, note: Note, at_ns: int) -> None:
        """Begin a note, letting go of the one before."""
        self.release(at_ns)
        self.send(mido.Message("note_on", note=self._midi[note], velocity=64), at_ns)
        self._sounding = note

    def release(self, at_ns: int) -> None:
        """End what sounds."""
        if self._sounding is not None:
            self.send(mido.Message("note_off", note=self._midi[self._sounding]), at_ns)
        self._sounding = None


def rep_line(cue: Cue, rep: int = 0, off_ms: float = 0.0) -> list[tuple[Note, int]]:
    """One rep of what is cued, every note of it that many ms late."""
    start_ns = cue.beat0_ns + rep * cue.rep_ns + round(off_ms * NS_PER_MS)
    phrase = cue.phrase(rep)
    return [(note, start_ns + offset) for note, offset in zip(phrase.notes, phrase.offsets_ns, strict=True)]


def at_tempo(cue: Cue, reps: int, times: float) -> list[tuple[Note, int]]:
    """Reps of what is cued, that many times as fast as the click, the ornament itself as long as ever."""
    return [
        (note, at_ns - round(rep * cue.rep_ns * (1 - 1 / times)))
        for rep in range(reps)
        for note, at_ns in rep_line(cue, rep)
    ]


class Notebook(Viewer):
    """A viewer that notes every frame down, checked against the schema."""

    def __init__(self, daemon: Daemon) -> None:
        super().__init__(daemon.state)
        self.frames: list[dict[str, Any]] = []

    def put(self, text: str, *, passing: bool, seat: str | None = None) -> None:  # noqa: ARG002 - the budget is a page's
        """Take a frame; only notes and provisional steps may be lost on the way to a page."""
        frame = loads(text)
        assert passing == (
            frame["kind"] in ("note", "cursor") or (frame["kind"] in ("step", "rep") and not frame["final"])
        )
        self.frames.append(frame)


class Sitting:
    """A daemon with hand-played sources, without a server; time passes when the test says so.

    Every frame that is published is checked against the schema and kept in ``frames``.
    """

    def __init__(self, folder: Path, sources: Iterable[HandSource] | None = None) -> None:
        self.sources = list(sources or [HandSource()])
        self.now_ns = BEGIN_NS
        self.daemon = Daemon(self.sources, folder, lambda: Ns(self.now_ns))
        notebook = Notebook(self.daemon)
        self.daemon.hub.join(notebook)
        self.frames = notebook.frames
        self._runner = asyncio.Runner()

    def __enter__(self) -> Self:
        self._runner.run(self._start())
        self.settle()
        return self

    def __exit__(self, *_: object) -> None:
        self._runner.run(self.daemon.stop())
        self._runner.close()

    async def _start(self) -> None:
        self.daemon.start()

    @property
    def source(self) -> HandSource:
        """The first source."""
        return self.sources[0]

    @property
    def seat(self) -> Seat:
        """The first seat."""
        return self.daemon.seats["1"]

    def run(self, coroutine: Any) -> Any:
        """Let the loop run until that is done."""
        return self._runner.run(coroutine)

    def practise(self, drill: str, click_bpm: object, seat: str | None = None, **more: Any) -> PracticeShown:
        """Start a run; ``more`` are further words of the exercise."""
        return self.daemon.practise(seat, ExerciseWords(drill, click_bpm, **more))

    def settle(self) -> None:
        """Let the loop do what is handed over to it."""
        self._runner.run(asyncio.sleep(0))

    def until(self, at_ns: int) -> None:
        """Let time pass until then, a tick every 20 ms."""
        self.settle()
        while self.now_ns < at_ns:
            self.now_ns = min(self.now_ns + 20 * NS_PER_MS, at_ns)
            self.daemon.tick()

    def cue(self) -> Cue:
        """What the first source was asked to play last."""
        cue = self.source.cues[-1]
        assert cue is not None
        return cue

    def play(self, line: Iterable[tuple[Note, int]]) -> None:
        """Play on the first source, time passing with the notes; the last one goes on sounding."""
        for note, at_ns in line:
            self.until(at_ns)
            self.source.press(note, at_ns)
            self.settle()

    def perform(self, seconds: float, seed: int = 1) -> None:
        """What the simulated player plays of the tune that is cued, for so long, from the first source."""
        cue = self.cue()
        assert cue.performance is not None
        for message, at_ns in cue.performance(seed):
            if at_ns > seconds * 1e9:
                break
            self.until(cue.beat0_ns + at_ns)
            self.source.send(message, cue.beat0_ns + at_ns)
            self.settle()
        self.until(self.now_ns + 20 * NS_PER_MS)

    def of(self, kind: str) -> list[dict[str, Any]]:
        """All frames of a kind so far; of verdicts the final ones."""
        return [frame for frame in self.frames if frame["kind"] == kind and (kind != "rep" or frame["final"])]

    def kinds(self) -> list[str]:
        """The kinds of all frames so far, in order."""
        return [frame["kind"] for frame in self.frames]


def loads(text: str) -> dict[str, Any]:
    """A frame's text read again, checked against the schema; NaN, which JSON lacks, is refused."""

    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    frame: dict[str, Any] = json.loads(text, parse_constant=refuse)
    BY_KIND[frame["kind"]].validate(frame)
    return frame
