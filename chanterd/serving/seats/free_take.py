"""What is played with nothing chosen at a seat, on its way into the history; and what was played so today already."""

from collections import deque
from collections.abc import Callable

import mido

from chanterd.config import ChanterdError
from chanterd.history.free_recording import FreeRecording
from chanterd.history.tune_record import TunePassage
from chanterd.history.tune_recording import TuneRecording
from chanterd.listening.judged import ShapeJudged
from chanterd.listening.report import HeardOrnament
from chanterd.listening.tally import SummaryRow
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.units import NS_PER_S, Ns
from chanterd.serving.seats.recorder import Recorder
from chanterd.serving.seats.unasked import Unasked

RESTED_NS = 60 * NS_PER_S
"""After so long a rest another run begins: our own choice."""
RESTED = "rested"
LONG = "another run began"
"""Why a run ended."""

Today = list[tuple[SummaryRow, str]]


class FreeTake:
    """A run begins with the first note, and ends with a long rest."""

    _recording: FreeRecording | None = None

    def __init__(self, unasked: Unasked, recorder: Callable[[], Recorder]) -> None:
        """``recorder`` gives what begins now its place in the history of whoever sits there."""
        self._unasked, self._recorder = unasked, recorder
        self._begun = False
        """Whether a run has begun; it may be one that is not kept."""
        self._latest: deque[tuple[mido.Message, Ns]] = deque(maxlen=1)
        self._silent_ns: Ns | None = None
        self._found: list[Today] = []
        self._look = 0
        """Counts the looks at the history: what an earlier one finds comes too late."""

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """A message came in, before the calibration is taken off."""
        self._latest.append((message, at_ns))
        if self._recording is not None:
            self._recording.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """The ear heard something in it."""
        if isinstance(heard, Silence):
            self._silent_ns = heard.at_ns
            if self._recording is not None:
                self._recording.silence(heard.at_ns)
        elif isinstance(heard, Onset):
            self._silent_ns = None
            if not self._begun:
                self._begun = True
                self._recording = self._recorder().free(self._unasked.standard.name, heard.at_ns)
                if self._recording is not None and self._latest:
                    self._recording.take(*self._latest[-1])

    def ornament(self, judged: ShapeJudged, heard: HeardOrnament, *, in_tune: bool) -> None:
        """An ornament is final."""
        if self._recording is not None:
            self._recording.ornament(judged, heard, in_tune=in_tune)

    def noticed(self, passage: TunePassage, since_ns: Ns) -> TuneRecording | None:
        """A tune is being played since then; its place in the history, None if it is not kept."""
        if self._recording is not None:
            self._recording.in_tune(since_ns)
        return self._recorder().noticed(passage, since_ns)

    def tick(self, now_ns: Ns) -> None:
        """Let time pass."""
        if self._recording is not None:
            self._recording.tick(now_ns)
            if self._recording.too_long(now_ns):
                self.end(LONG)
        if self._silent_ns is not None and now_ns - self._silent_ns >= RESTED_NS:
            self.end(RESTED)

    def end(self, why: str) -> None:
        """The run is over, and why."""
        if self._recording is not None:
            self._recording.end(why)
        self._recording, self._begun, self._silent_ns = None, False, None

    def look_up(self, day: str) -> None:
        """Have it looked up, beside the event loop, what was played so on that day already."""
        self._look += 1
        look, recorder = self._look, self._recorder()

        def read() -> None:
            try:
                found = recorder.today(day)
            except ChanterdError:  # the page says already what is wrong with the history
                return
            if look == self._look:
                self._found.append(found)

        self._unasked.beside(read)

    def looked_up(self) -> Today:
        """What was found, once."""
        return self._found.pop() if self._found else []
