"""Gives what is played at a seat its place in the history; a take begins with what sounds already."""

from collections.abc import Iterable
from typing import TypeVar

import mido

from chanterd.hearing.chanter import Profile
from chanterd.history.free_recording import FreeRecording
from chanterd.history.free_runs import free_today
from chanterd.history.players import Player
from chanterd.history.recording import Recording
from chanterd.history.tune_record import TunePassage, to_keep
from chanterd.history.tune_recording import TuneRecording
from chanterd.listening.tally import SummaryRow
from chanterd.music.units import Ms, Ns
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.run import Run
from chanterd.serving.seats.services import Attended, Services

Begun = TypeVar("Begun", Recording, TuneRecording)


class Recorder:
    """What begins at a seat now."""

    def __init__(
        self, services: Services, player: Player, heard_by: tuple[str, Profile, Ms | None], held: Iterable[int]
    ) -> None:
        """``heard_by``: the input's name, the profile, the calibration in ms; ``held``: the MIDI notes that sound."""
        self._history = services.history
        self._player = player
        self._heard_by = heard_by
        self._held = held
        self._now_ns = services.clock()
        self._keeps_free = player.number not in services.arrangement.now.unkept

    def run(self, run: Run, attended: Attended | None = None) -> Recording:
        """Of a drill."""
        keep = attended is None or attended.keep
        recording = self._history.record(self._player, run, self._heard_by, self._now_ns, keep=keep)
        if attended is not None and keep:
            attended.began(recording.key)
        return self._with_held(recording)

    def tune(self, asked: TuneAsked, begins_ns: Ns) -> TuneRecording:
        """Of a tune whose first note is due at that time."""
        recording = self._history.record_tune(self._player, to_keep(asked), self._heard_by, self._now_ns, begins_ns)
        return self._with_held(recording)

    def noticed(self, passage: TunePassage, since_ns: Ns) -> TuneRecording | None:
        """Of a tune that began then, unasked; its messages up to now are still to be taken."""
        if not self._keeps_free:
            return None
        return self._history.record_tune(
            self._player, passage, self._heard_by, since_ns, since_ns, ago_ns=self._now_ns - since_ns
        )

    def free(self, standard: str, begins_ns: Ns) -> FreeRecording | None:
        """Of playing with nothing chosen that begins then."""
        if not self._keeps_free:
            return None
        return self._history.record_free(self._player, standard, self._heard_by, begins_ns)

    def today(self, day: str) -> list[tuple[SummaryRow, str]]:
        """How each ornament went with nothing chosen on that day, and its drill. Not for the event loop: it reads."""
        self._history.writer.settle()
        with self._history.store.reading() as connection:
            return free_today(connection, self._player.number, day)

    def _with_held(self, recording: Begun) -> Begun:
        _, profile, _ = self._heard_by
        for midi in self._held:
            recording.take(mido.Message("note_on", note=midi, channel=(profile.channel or 1) - 1), self._now_ns)
        return recording
