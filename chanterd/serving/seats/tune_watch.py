"""Watches somebody who just plays for the tunes at hand: notices one, has it followed, and lets go when it is left."""

from collections import deque
from collections.abc import Callable, Iterable

import mido

from chanterd.config import ChanterdError
from chanterd.history.tune_record import TunePassage, to_keep
from chanterd.history.tune_recording import TuneRecording
from chanterd.listening.noticing import LEFT_NS, Left, Noticed, Noticing
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.note import ABC
from chanterd.music.tunes.excerpts import chosen
from chanterd.music.tunes.passage import make_passage
from chanterd.music.units import Bpm, Ns
from chanterd.practice.passage.asked import TuneAsked
from chanterd.serving.seats.activity import Output
from chanterd.serving.seats.noticed_tune import NoticedTune, tempo_of
from chanterd.serving.seats.unasked import Unasked
from chanterd.serving.wire.playing import TuneRunShown

MOST_KEPT = 600
"""What was heard last is kept, to be followed once a tune is noticed: more than a minute of it."""
USUAL_BPM = Bpm(80.0)
"""Where the notes that were heard show no tempo: in the middle of what tunes are played at."""


Record = Callable[[TunePassage, Ns], TuneRecording | None]
"""Gives a run that began at that time its place in the history; None if it is not kept."""


class TuneWatch:
    """On one seat, between its activities."""

    def __init__(self, unasked: Unasked, output: Output, record: Record) -> None:
        self._for, self._output, self._record = unasked, output, record
        self._noticing: Noticing | None = None
        self._kept: deque[Heard] = deque(maxlen=MOST_KEPT)
        self._messages: deque[tuple[mido.Message, Ns]] = deque(maxlen=2 * MOST_KEPT)
        """The same as messages, for the take."""
        self._tune: NoticedTune | None = None
        self._next: NoticedTune | None = None
        """One that is ready to be followed, made beside the event loop."""
        self._since: list[Heard] | None = None
        """What is heard while that is made."""
        self._over: list[NoticedTune] = []
        """Those whose judgement is ready to be shown."""
        self._last: NoticedTune | None = None
        self._hushed_ns: Ns | None = None
        """The player wants no tune followed, until they rest."""

    @property
    def following(self) -> bool:
        """Whether a tune is followed."""
        return self._tune is not None

    def plays(self, at_ns: Ns) -> bool:
        """Whether what was played then is part of the tune that is followed."""
        return self._tune is not None and at_ns >= self._tune.since_ns

    @property
    def shown(self) -> TuneRunShown | None:
        """The tune that is followed, or the last one; None if there is none."""
        tune = self._tune or self._last
        return None if tune is None else tune.shown

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Take a message with its stamp, before what is heard in it."""
        self._messages.append((message, at_ns))
        if self._tune is not None:
            self._tune.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """Take what is heard next, in order of time."""
        self._for.tunes.want(self._output.clock())
        self._kept.append(heard)
        if self._since is not None:
            self._since.append(heard)
        if self._tune is not None:
            self._tune.hear(heard)
        noticing = self._noticing
        if noticing is None:
            return
        if isinstance(heard, Silence):
            noticing.silence(heard.at_ns)
        elif isinstance(heard, Onset) and not heard.bounce:
            if self._hushed_ns is not None and heard.at_ns - self._hushed_ns >= LEFT_NS:
                self._hushed_ns = None
            noticing.onset(ABC[heard.note], heard.at_ns)
        if self._hushed_ns is not None:
            self._hushed_ns = heard.at_ns

    def steps(self, onsets_ns: Iterable[Ns]) -> None:
        """These notes were steps of an ornament, not of a melody."""
        if self._noticing is not None:
            self._noticing.steps(onsets_ns)

    def tick(self, now_ns: Ns) -> None:
        """Let time pass."""
        self._show_over()
        index = self._for.tunes.index
        if index is not None and (self._noticing is None or self._noticing.index is not index):
            self._noticing = Noticing(index) if self._tune is None else self._noticing
        if self._noticing is not None:
            changed = self._noticing.tick(now_ns)
            if isinstance(changed, Left):
                self.leave()
            elif isinstance(changed, Noticed) and self._hushed_ns is None and self._since is None:
                self._prepare(changed)
        if self._next is not None:
            self._take_next(self._next)
        if self._tune is not None:
            self._tune.tick(now_ns)

    def leave(self, *, hush: bool = False, now: bool = False) -> None:
        """The tune is played no longer, or (``hush``) the player wants it followed no longer.

        With ``now`` it is judged at once, since nothing is done beside the event loop any more.
        """
        if hush:
            self._hushed_ns = self._output.clock()
        self._next = self._since = None
        if self._noticing is not None:
            self._noticing.forget()
        if self._tune is None:
            return
        tune, self._tune = self._tune, None
        self._last = tune
        tune.leave()
        tune.publish()

        def judge() -> None:
            tune.judge()
            self._over.append(tune)

        if now:
            judge()
        else:
            self._for.beside(judge)

    def forget(self, *, now: bool = False) -> None:
        """Something else begins, or somebody else sits down: what is shown of a tune goes."""
        self.leave(now=now)
        self._last = None
        self._kept.clear()
        self._messages.clear()

    def _show_over(self) -> None:
        while self._over:
            tune = self._over.pop()
            if tune is self._last and self._tune is None:
                tune.publish()

    def _prepare(self, noticed: Noticed) -> None:
        """Have what follows the tune made, with what was heard of it; what is heard meanwhile waits."""
        index, tunes = self._noticing.index if self._noticing else None, self._for.tunes
        found = None if index is None else tunes.tune(index, noticed.tune)
        if found is None:
            return
        key, tune = found
        before = [one for one in self._kept if one.at_ns >= noticed.since_ns]
        since: list[Heard] = []
        self._since = since

        def make() -> None:
            try:
                passage = make_passage(tune, 0, None, loops=True)
            except ChanterdError:  # nothing in it can be followed
                if self._since is since:
                    self._since = None
                return
            bpm = tempo_of(tune, noticed.pairs, USUAL_BPM)
            asked = TuneAsked(
                *(key, tune.title or key, passage, self._for.book, self._for.standard, bpm),
                click_off=True,
                excerpt=chosen(tune, passage.first, passage.last),
            )
            made = NoticedTune(asked, self._output, before, noticed.since_ns)
            if self._since is since:
                self._next = made

        self._for.beside(make)

    def _take_next(self, made: NoticedTune) -> None:
        waited = self._since or []
        self._next = self._since = None
        if self._tune is not None:
            noticing, self._noticing = self._noticing, None  # it knows already which tune it is now
            self.leave()
            self._noticing = noticing
        for one in waited:
            made.hear(one)
        self._tune, self._last = made, None
        made.record(self._record(to_keep(made.asked), made.since_ns), self._messages)
