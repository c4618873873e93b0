"""A seat: one player's chanter and what is done with it. Everything about a player lives here, nothing is a global.

Runs in the event loop; only the source's callbacks run on its own thread, and hand over at once. The ear and the pages
get times as stamped; the calibration is taken off before a run follows them.
"""

import asyncio
import contextlib
import logging
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial

import mido

from chanterd.config import ChanterdError
from chanterd.hearing.chanter import Profile, find_profile, save_profile
from chanterd.hearing.ear import Ear
from chanterd.hearing.learn import Learner
from chanterd.hearing.remote import RemoteSource
from chanterd.hearing.source import Source, SourceStatus
from chanterd.history.players import Player
from chanterd.history.recording import Recording
from chanterd.music.heard import Heard, Silence, Stray
from chanterd.music.units import NS_PER_MS, Ms, Ns, ms
from chanterd.practice.exercise import Exercise
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.run import Run
from chanterd.serving.seats.activity import STOPPED, Activity, Output
from chanterd.serving.seats.arrangement import sound_delay_ms
from chanterd.serving.seats.calibrating import Calibrating
from chanterd.serving.seats.climbing import Climbing, Practice
from chanterd.serving.seats.free_playing import FreePlaying
from chanterd.serving.seats.learning import Teaching
from chanterd.serving.seats.practising import Practising
from chanterd.serving.seats.recorder import Recorder
from chanterd.serving.seats.services import Attended, Services
from chanterd.serving.seats.tune_climbing import TuneClimbing, TunePractice, tune_practice
from chanterd.serving.status import SeatStatus
from chanterd.serving.wire import frames, shapes
from chanterd.serving.wire.klass import SoundFrame
from chanterd.serving.wire.playing import TuneRunShown

LOG = logging.getLogger(__name__)

BREATH_NS = 40 * NS_PER_MS
"""A silence is shown when it has lasted so long: shorter ones lie between any two notes of some chanters."""

FAULT = "Internal error: practice stopped. Your reps are saved. Start again, and please report what the terminal shows."


class Seat:
    """One player."""

    def __init__(self, seat_id: str, source: Source, services: Services, player: Player) -> None:
        self._services = services
        self.player = player
        """Who sits here: whose history it is."""
        self._output = Output(seat_id, services.publish, services.clock)
        self.free = FreePlaying(services.unasked, self._output, self._recorder)
        self._activity: Activity | None = None
        self._over: Activity | None = None  # the last one that came to its end, until something else begins
        self._silent_since: Ns | None = None
        self._messages = 0
        self._changing_source = asyncio.Lock()
        self.distance_m = 0.0
        """From the loudspeaker of the room."""
        self._sounds = True
        self._take_source(source)

    @property
    def id(self) -> str:
        """The seat's own name, as every frame has it."""
        return self._output.seat

    @property
    def away(self) -> bool:
        """Whether its chanter is not there now."""
        return self._status.state not in ("ready", "ended")

    @property
    def source(self) -> Source:
        """What it listens to."""
        return self._source

    # --- the chanter

    def _take_source(self, source: Source) -> None:
        self._source = source
        self._status = SourceStatus("waiting", "Looking for the chanter.")
        self._calibration_ms: Ms | None = None
        self._use(next(iter(self._services.profiles.values())))
        self._remember()

    @property
    def _key(self) -> str:
        return self._services.memory.key(self.id, self._source.name)

    def _use(self, profile: Profile) -> None:
        self._profile, self._ear = profile, Ear(profile)

    def _remember(self) -> None:
        """Take what is known of the input by the name it has now; what is not known stays as it is."""
        self._known_as = self._source.name
        kept = self._services.memory.of(self._key)
        profile = self._services.profiles.get(kept.profile or "")
        if profile is not None and profile is not self._profile:
            self._use(profile)
        if kept.calibration_ms is not None:
            self._calibration_ms = Ms(kept.calibration_ms)

    def start(self) -> None:
        """Begin to listen; needs a running event loop."""
        source, loop = self._source, asyncio.get_running_loop()

        def deliver(message: mido.Message, at_ns: Ns) -> None:
            loop.call_soon_threadsafe(self._hear, source, message, at_ns)

        def report(status: SourceStatus) -> None:
            loop.call_soon_threadsafe(self._report, source, status)

        source.start(deliver, report)

    async def stop(self, why: str = "chanterd was stopped") -> None:
        """Stop listening, without holding up the loop while the source's thread ends; an activity is ended."""
        async with self._changing_source:
            self.end(why=why)
            self.free.put_down(self._corrected(self._services.clock()), why, now=True)
            await asyncio.to_thread(self._source.stop)

    async def plug(self, source: Source) -> None:
        """Listen to another input from now on; an activity is ended."""
        async with self._changing_source:  # of two pages that choose at once, the later one gets its way
            self.end(why="another input was chosen")
            self._quiet()
            old = self._source
            self._take_source(source)
            self._publish_chanter()
            await asyncio.to_thread(old.stop)
            self.start()

    def choose_profile(self, name: str) -> None:
        """Read this input by another profile, now and from now on.

        Raises ChanterdError, and changes nothing, if there is no such profile or it cannot be remembered.
        """
        profile = find_profile(name, self._services.profiles)
        self._services.memory.keep(self._key, profile=name)
        if profile is not self._profile:  # the rest of a run would be heard otherwise than its beginning
            self.stop_practice(why="another kind of chanter was chosen")
        self._quiet()
        self._use(profile)
        self._publish_chanter()

    def _report(self, source: Source, status: SourceStatus) -> None:
        if source is not self._source:
            return
        LOG.info("%s: %s: %s", source.name, status.state, status.said)
        self._status = status
        if source.name != self._known_as:  # asked for by a part of its name, and found
            self._remember()
        if status.state == "ended" and self._activity is not None:
            with self._outlived():
                self._activity.finish()
                self._put_away()
        if status.state in ("gone", "ended"):
            self._quiet()
        self._publish_chanter()

    def _hear(self, source: Source, message: mido.Message, at_ns: Ns) -> None:
        if source is not self._source:
            return
        self._messages += 1
        with self._outlived():
            (self._activity or self.free).take(message, at_ns)
            self._listen(self._ear.hear(message, at_ns))

    def _listen(self, heard: Iterable[Heard]) -> None:
        for one in heard:
            listens = self._activity or self.free
            listens.hear(replace(one, at_ns=self._corrected(one.at_ns)) if listens.corrected else one)
            if isinstance(one, Silence):
                self._silent_since = one.at_ns
                continue
            self._silent_since = None
            if isinstance(one, Stray):
                self._publish_note(None, one.at_ns, one.midi)
            elif not one.bounce:
                self._publish_note(one.note.words, one.at_ns)

    def _quiet(self) -> None:
        """Nothing sounds any longer: unplugged, or read in another way from now on."""
        self._listen(self._ear.quiet(self._services.clock()))
        self.free.put_down(self._corrected(self._services.clock()), "the chanter was put down")

    def _corrected(self, at_ns: Ns) -> Ns:
        correction_ms = self._correction_ms
        return at_ns if correction_ms is None else Ns(at_ns - round(correction_ms * NS_PER_MS))

    @property
    def _correction_ms(self) -> Ms | None:
        """What is taken off: as calibrated, and the way of the click from the room's loudspeaker if it sounds there."""
        if self._sounds or not self.distance_m:
            return self._calibration_ms
        return Ms((self._calibration_ms or 0.0) + sound_delay_ms(self.distance_m))

    def tick(self) -> None:
        """Let time pass: show a silence that lasts, and let the activity go on."""
        now_ns = self._services.clock()
        if isinstance(self._source, RemoteSource):  # what was played there may still be on its way
            now_ns = self._source.known_until(now_ns)
        with self._outlived():
            self._tick(now_ns)

    def _tick(self, now_ns: Ns) -> None:
        if self._silent_since is not None and now_ns - self._silent_since > BREATH_NS:
            self._publish_note(None, self._silent_since)
            self._silent_since = None
        if (activity := self._activity) is None:
            self.free.tick(self._corrected(now_ns))
        elif not activity.tick(self._corrected(now_ns) if activity.corrected else now_ns):
            self._put_away()
            self._source.cue(None)
            self._publish_chanter()

    def practise(
        self, exercise: Exercise, beat0_ns: Ns | None = None, attended: Attended | None = None
    ) -> shapes.PracticeShown:
        """Start a run or a ladder of them, after a count-in or, in a class, a run on its grid from ``beat0_ns``."""
        if exercise.ladder is None:
            activity: Practice = Practising(exercise, self._output, partial(self._record, attended=attended), beat0_ns)
        else:
            activity = Climbing(exercise, exercise.ladder, self._output, self._record, self._source.cue)
        self._begin(activity)
        return activity.practice()

    def play_tune(self, asked: TuneAsked) -> TuneRunShown:
        """Start a run through a tune or a passage of it, after a count-in."""
        activity = tune_practice(asked, self._output, lambda *run: self._recorder().tune(*run), self._source.cue)
        self._begin(activity)
        return activity.shown

    def guess(self, rep: int, word: str) -> None:
        """The player's guess about a rep. Raises ChanterdError if there is none to guess about now."""
        if not isinstance(self._activity, Practice | TunePractice):
            raise ChanterdError("There is nothing to guess: no run is going on. Start one with feedback 'say first'.")
        self._activity.guess(rep, word)

    def _record(self, run: Run, attended: Attended | None = None) -> Recording:
        """The run's place in the history."""
        return self._recorder().run(run, attended)

    def _recorder(self) -> Recorder:
        heard_by = (self._source.name, self._profile, self._correction_ms)
        return Recorder(self._services, self.player, heard_by, self._ear.held)

    def sit_down(self, player: Player) -> None:
        """Somebody else sits down, which ends an activity; or the player here has a new name."""
        if player.number != self.player.number:
            self.end(why="another player sat down")
            self._over = None  # neither that nor the hand that played is theirs
            self._output.played.clear()
            self.free.forget()
        self.player = player
        self._services.renew()

    def learn(self) -> None:
        """Learn the chanter from the scale, and read it so from then on."""
        self._begin(Teaching(Learner(f"{self._source.name} (learned)"), self._keep_profile, self._output))

    def calibrate(self, beat0_ns: Ns | None = None) -> None:
        """Measure what is left between the click and the note, and take it off from then on; see ``Calibrating``."""
        self._begin(Calibrating(self._keep_calibration, self._output, beat0_ns))

    def sound(self, *, sounds: bool) -> None:
        """Say whether this seat's own page sounds the click."""
        if sounds != self._sounds:
            self._sounds = sounds
            self._services.publish(SoundFrame(kind="sound", seat=self.id, sounds=sounds))

    def _begin(self, activity: Activity) -> None:
        if isinstance(self._activity, Climbing | TuneClimbing) and isinstance(activity, Practice | TunePractice):
            self._activity.change()
        self.end(why="something else was started")
        self.free.pause(self._corrected(self._services.clock()))
        self._activity, self._over = activity, None
        activity.begin()
        self._source.cue(activity.cue)

    def end(self, kind: type[Activity] | None = None, why: str = STOPPED) -> None:
        """End the activity, if it is of that kind, and say why."""
        if self._activity is not None and (kind is None or isinstance(self._activity, kind)):
            activity, self._activity = self._activity, None
            self._source.cue(None)
            activity.end(why)
            self._over = activity if isinstance(activity, Practice | TunePractice) else None

    def stop_practice(self, why: str = STOPPED) -> None:
        """Stop the run or ladder that goes on, or the tune, if there is one, and say why."""
        if self.practising is not None:
            self.end(why=why)
        elif self._activity is None:
            self.free.tunes.leave(hush=True)

    def _put_away(self) -> None:
        self._activity, self._over = None, self._activity

    @contextlib.contextmanager
    def _outlived(self) -> Iterator[None]:
        """An internal error ends the activity on this seat only, and the pages say so; the daemon lives on."""
        try:
            yield
        except Exception:
            LOG.exception("%s: %s", self._source.name, FAULT)
            self._services.publish(frames.ErrorFrame(kind="error", said=FAULT))
            try:
                self.end(why="an internal error")
            except Exception:  # as a rule the same one, since ending judges what was played last
                LOG.exception("%s: practice could not be ended cleanly.", self._source.name)
                self._services.renew()  # no frame has shown its end

    def _keep_profile(self, profile: Profile) -> None:
        save_profile(profile, self._services.folder)
        self._services.profiles[profile.name] = profile
        self._services.renew()  # first, so that no page gets a profile that it does not know
        self.choose_profile(profile.name)

    def _keep_calibration(self, calibration_ms: Ms) -> None:
        self._services.memory.keep(self._key, calibration_ms=calibration_ms)
        self._calibration_ms = calibration_ms

    # --- what is shown

    @property
    def busy(self) -> bool:
        """Whether anything goes on."""
        return self._activity is not None

    @property
    def practising(self) -> Practice | TunePractice | None:
        """What is practised now, if anything: a drill, a tune or a ladder of either."""
        return self._activity if isinstance(self._activity, Practice | TunePractice) else None

    def practice(self) -> shapes.PracticeShown | None:
        """The run in progress, if any."""
        return self._activity.practice() if isinstance(self._activity, Practice) else None

    def shown(self) -> shapes.SeatShown:
        """All that a page needs to draw this player."""
        activity = self._activity or self._over
        return shapes.SeatShown(
            seat=self._output.seat,
            name=self.player.name,
            player=shapes.PlayerShown(number=self.player.number, name=self.player.name),
            chanter=self._chanter(),
            practice=self.practice(),
            ended=activity.ended if isinstance(activity, Practice) else None,
            learning=activity.shown if isinstance(activity, Teaching) else None,
            calibration=activity.shown if isinstance(activity, Calibrating) else None,
            session=None,
            tune_run=activity.shown if isinstance(activity, TunePractice) else self.free.tunes.shown,
            free=self.free.shown(),
            sounds=self._sounds,
            distance_m=self.distance_m,
            placements=self._services.placements.shown(self.player.name),
        )

    def status(self) -> SeatStatus:
        """How it is, for the status page."""
        return SeatStatus(
            seat=self._output.seat,
            input=self._source.name,
            state=self._status.state,
            said=self._status.said,
            timing=self._status.timing,
            messages=self._messages,
        )

    def _chanter(self) -> shapes.ChanterShown:
        sounding = self._ear.sounding
        return shapes.ChanterShown(
            input=self._source.name,
            state=self._status.state,
            said=self._status.said,
            profile=self._profile.name,
            timing=self._status.timing,
            calibration_ms=self._calibration_ms,
            sounding=None if sounding is None else sounding.words,
        )

    def _publish_chanter(self) -> None:
        self._services.publish(frames.ChanterFrame(kind="chanter", seat=self._output.seat, chanter=self._chanter()))

    def _publish_note(self, note: str | None, at_ns: Ns, midi: int | None = None) -> None:
        run = self._activity.run if isinstance(self._activity, Practice) else None
        onset_ms = None if run is None else ms(self._corrected(at_ns) - run.grid.beat0_ns)
        frame = frames.NoteFrame(kind="note", seat=self._output.seat, note=note, at_ns=at_ns, onset_ms=onset_ms)
        if midi is not None:
            frame["midi"] = midi
        self._services.publish(frame)
