"""A seat: one player's chanter and what is done with it. Everything about a player lives here, nothing is a global.

Runs in the event loop; only the two callbacks of the source run on its own thread, and hand over at once. Stamps are
the source's; what was calibrated is taken off before anybody follows them.
"""

import asyncio
import logging
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import mido

from chanterd.hearing.chanter import Profile, find_profile, load_profiles, save_profile
from chanterd.hearing.ear import Ear
from chanterd.hearing.learn import Learner
from chanterd.hearing.source import Source, Status
from chanterd.judging.standard import Standard
from chanterd.practice.run import make_run
from chanterd.serving import frames
from chanterd.serving.activity import Activity, Voice
from chanterd.serving.calibrating import Calibrating
from chanterd.serving.kept import Memory
from chanterd.serving.learning import Teaching, learning_of
from chanterd.serving.practising import Practising, practice_of
from chanterd.trade.drill import Drill
from chanterd.trade.heard import Heard, Silence, Stray
from chanterd.trade.units import NS_PER_MS, Bpm, Ms, Ns, ms

LOG = logging.getLogger(__name__)

BREATH_NS = 40 * NS_PER_MS
"""A silence is shown when it has lasted so long: shorter ones lie between any two notes of some chanters."""


@dataclass(frozen=True, slots=True)
class House:
    """What every seat shares: where frames go, the clock, and where things are kept."""

    publish: Callable[[frames.Frame], None]
    clock: Callable[[], Ns]
    folder: Path
    memory: Memory


class Seat:
    """One player."""

    def __init__(self, player: str, source: Source, house: House) -> None:
        self._house = house
        self._voice = Voice(player, house.publish, house.clock)
        self._profiles = load_profiles(house.folder)
        self._activity: Activity | None = None
        self._silent_since: Ns | None = None
        self._take_source(source)

    @property
    def source_name(self) -> str:
        """What it listens to."""
        return self._source.name

    # --- the chanter

    def _take_source(self, source: Source) -> None:
        self._source = source
        kept = self._house.memory.of(source.name)
        self._calibration_ms = None if kept.calibration_ms is None else Ms(kept.calibration_ms)
        self._profile = self._profiles.get(kept.profile or "", next(iter(self._profiles.values())))
        self._ear = Ear(self._profile)
        self._status = Status("waiting", "Looking for the chanter.")

    def start(self) -> None:
        """Begin to listen; needs a running event loop."""
        source, loop = self._source, asyncio.get_running_loop()

        def deliver(message: mido.Message, at_ns: Ns) -> None:
            loop.call_soon_threadsafe(self._hear, source, message, at_ns)

        def report(status: Status) -> None:
            loop.call_soon_threadsafe(self._report, source, status)

        source.start(deliver, report)

    async def stop(self) -> None:
        """Stop listening, without holding up the loop while the source's thread ends."""
        await asyncio.to_thread(self._source.stop)

    async def plug(self, source: Source) -> None:
        """Listen to another input from now on; what goes on is ended."""
        self.end()
        old, self._silent_since = self._source, None
        self._take_source(source)
        self._publish_chanter()
        await asyncio.to_thread(old.stop)
        self.start()

    def profiles(self) -> list[frames.Choice]:
        """The profiles to choose from."""
        return [frames.Choice(name=profile.name, said=profile.said) for profile in self._profiles.values()]

    def choose_profile(self, name: str) -> None:
        """Read this input by another profile, now and from now on. Raises ChanterdError if there is no such profile."""
        self._profile = find_profile(name, self._profiles)
        self._ear = Ear(self._profile)
        self._house.memory.keep(self._source.name, profile=name)
        self._publish_chanter()

    def _report(self, source: Source, status: Status) -> None:
        if source is not self._source:
            return
        LOG.info("%s: %s: %s", source.name, status.state, status.said)
        self._status = status
        if status.state in ("gone", "ended"):
            self._listen(self._ear.quiet(self._corrected(self._house.clock())))
        if status.state == "ended" and self._activity is not None:
            activity, self._activity = self._activity, None
            activity.finish()
            source.cue(None)
        self._publish_chanter()

    # --- listening

    def _corrected(self, at_ns: Ns) -> Ns:
        if self._calibration_ms is None or (self._activity is not None and not self._activity.corrected):
            return at_ns
        return Ns(at_ns - round(self._calibration_ms * NS_PER_MS))

    def _hear(self, source: Source, message: mido.Message, at_ns: Ns) -> None:
        if source is not self._source:
            return
        if self._activity is not None:
            self._activity.take(message, at_ns)
        self._listen(self._ear.hear(message, self._corrected(at_ns)))

    def _listen(self, heard: Iterable[Heard]) -> None:
        for one in heard:
            if self._activity is not None:
                self._activity.hear(one)
            if isinstance(one, Silence):
                self._silent_since = one.at_ns
                continue
            self._silent_since = None
            if isinstance(one, Stray):
                self._publish_note(None, one.at_ns, one.midi)
            elif not one.bounce:
                self._publish_note(one.note.words, one.at_ns)

    def tick(self) -> None:
        """Let time pass: show a silence that lasts, and let the activity go on."""
        now = self._corrected(self._house.clock())
        if self._silent_since is not None and now - self._silent_since > BREATH_NS:
            self._publish_note(None, self._silent_since)
            self._silent_since = None
        activity = self._activity
        if activity is not None and not activity.tick(now):
            self._activity = None
            self._source.cue(None)
            self._publish_chanter()

    # --- what the player does

    def practise(self, drill: Drill, click_bpm: Bpm, standard: Standard) -> frames.Practice:
        """Start a run after a count-in."""
        run = make_run(drill, click_bpm, self._voice.first_beat(click_bpm), standard)
        self._begin(Practising(run, self._voice))
        return practice_of(run)

    def learn(self) -> None:
        """Learn the chanter from the scale, and read it so from then on."""
        self._begin(Teaching(Learner(f"{self._source.name} (learned)"), self._keep_profile, self._voice))

    def calibrate(self) -> None:
        """Measure what is left between the click and the note, and take it off from then on."""
        self._begin(Calibrating(self._keep_calibration, self._voice))

    def _begin(self, activity: Activity) -> None:
        self.end()
        self._activity = activity
        activity.begin()
        self._source.cue(activity.cue)

    def end(self, kind: type[Activity] | None = None) -> None:
        """Break off what goes on, if it is of that kind."""
        if self._activity is not None and (kind is None or isinstance(self._activity, kind)):
            activity, self._activity = self._activity, None
            self._source.cue(None)
            activity.end()

    def _keep_profile(self, profile: Profile) -> None:
        save_profile(profile, self._house.folder)
        self._profiles[profile.name] = profile
        self.choose_profile(profile.name)

    def _keep_calibration(self, calibration_ms: Ms) -> None:
        self._calibration_ms = calibration_ms
        self._house.memory.keep(self._source.name, calibration_ms=calibration_ms)

    # --- what is told

    def practice(self) -> frames.Practice | None:
        """The run in progress, if any."""
        return practice_of(self._activity.run) if isinstance(self._activity, Practising) else None

    def shown(self) -> frames.Player:
        """All that a page needs to draw this player."""
        activity = self._activity
        return frames.Player(
            player=self._voice.player,
            chanter=self._chanter(),
            practice=self.practice(),
            learning=learning_of(activity.learned) if isinstance(activity, Teaching) else None,
            calibration=activity.shown if isinstance(activity, Calibrating) else None,
        )

    def _chanter(self) -> frames.Chanter:
        sounding = self._ear.sounding
        return frames.Chanter(
            input=self._source.name,
            state=self._status.state,
            said=self._status.said,
            profile=self._profile.name,
            timing=self._status.timing,
            calibration_ms=self._calibration_ms,
            sounding=None if sounding is None else sounding.words,
        )

    def _publish_chanter(self) -> None:
        self._house.publish(frames.ChanterFrame(kind="chanter", player=self._voice.player, chanter=self._chanter()))

    def _publish_note(self, note: str | None, at_ns: Ns, midi: int | None = None) -> None:
        run = self._activity.run if isinstance(self._activity, Practising) else None
        frame = frames.NoteFrame(
            kind="note",
            player=self._voice.player,
            note=note,
            at_ns=at_ns,
            onset_ms=None if run is None else ms(at_ns - run.grid.beat0_ns),
        )
        if midi is not None:
            frame["midi"] = midi
        self._house.publish(frame)
