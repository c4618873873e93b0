"""The classroom: what a teacher does with all seats at once, and what wall and desk show of it.

Everything that the seats publish passes by here; nothing of it is held up or changed. The click of a class sounds at
one place, which the teacher chooses: the other pages are silent.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import ceil

from chanterd.config import ChanterdError
from chanterd.judging.ensemble import BandRep
from chanterd.music.grid import TempoGrid
from chanterd.music.units import NS_PER_MS, Bpm, Ns, ms
from chanterd.practice.calibrate import CALIBRATION_BPM, CLICKS
from chanterd.practice.exercise import Exercise
from chanterd.practice.ladder.class_ladder import ClassRule
from chanterd.practice.run import COUNT_IN_CLICKS
from chanterd.serving.seats.activity import LEAD_IN_NS, beat_after_count_in
from chanterd.serving.seats.arrangement import Arrangement
from chanterd.serving.seats.calibrating import Calibrating
from chanterd.serving.seats.class_records import Attending, ClassRecords
from chanterd.serving.seats.class_run import ClassRun
from chanterd.serving.seats.climbing import NEXT_TEMPO, TO_READ_NS
from chanterd.serving.seats.seat import Seat
from chanterd.serving.wire.band import band_frame
from chanterd.serving.wire.frames import Frame
from chanterd.serving.wire.klass import DESK, NOWHERE, WALL, ClassFrame, ClassLadderShown, ClassShown
from chanterd.serving.wire.shapes import ClickShown, PracticeShown
from chanterd.serving.wire.views import grid_view
from chanterd.serving.wire.wall import Board, Names, WallFrame

STALE_NS = 500 * NS_PER_MS
"""How often the wall looks at who is there, while nothing else happens."""


class Classroom:
    """All seats, as a class."""

    def __init__(
        self,
        seats: Mapping[str, Seat],
        publish: Callable[[Frame], None],
        clock: Callable[[], Ns],
        arrangement: Arrangement,
        records: ClassRecords,
    ) -> None:
        """``publish`` sends a frame to every page that watches that kind."""
        self._seats = seats
        self._publish = publish
        self._clock = clock
        self._arrangement = arrangement
        self._records = records
        self._run: ClassRun | None = None
        self._exercise: Exercise | None = None
        self._rule: ClassRule | None = None
        self._rows: dict[str, int] = {}
        self._alone: str | None = None
        self._changing_tempo = False
        self._measured_by: TempoGrid | None = None
        self._measuring: list[str] = []
        now = arrangement.now
        self.board = Board(now.picture_m, now.last_row_m, now.names)
        self._looked_ns = Ns(0)
        self._said: ClassShown | None = None
        for seat in seats.values():
            seat.distance_m = now.seats_m.get(seat.id, 0.0)

    @property
    def run(self) -> ClassRun | None:
        """The class under way, if any."""
        return self._run

    # --- playing

    def begin(self, exercise: Exercise, rule: ClassRule | None = None) -> PracticeShown:
        """Start all seats after one count-in, on one grid; what each of them did is ended.

        Raises ChanterdError for what a class cannot do together.
        """
        if exercise.ladder is not None or exercise.click_off:
            what = "a player's ladder" if exercise.ladder is not None else "the click off"
            raise ChanterdError(f"A class plays on one click, so it cannot have {what}; leave that out.")
        if rule is not None:
            rule.check(exercise.click_bpm)
        self.stop()
        self._rule = rule
        self._records.begin(exercise, rule)
        return self._start(exercise, beat_after_count_in(exercise.click_bpm, self._clock()))

    def _start(self, exercise: Exercise, beat0_ns: Ns) -> PracticeShown:
        self._measured_by = self._alone = None
        self._measuring.clear()
        self._rows.clear()
        self._exercise = exercise
        self._run = run = ClassRun(exercise, TempoGrid(exercise.click_bpm, beat0_ns), self._together)
        for seat in self._seats.values():
            self._join(run, seat)
        shown = next(iter(self._seats.values())).practice()
        if shown is None:
            raise ChanterdError("No seat could begin; see the log for why.")
        self.board.begin(shown["asked"], exercise.click_bpm)
        self._tell()
        return shown

    def _join(self, run: ClassRun, seat: Seat) -> None:
        seat.sound(sounds=self._arrangement.now.sound == seat.id)  # first, since the seat's recording has its distance
        run.join(Attending(seat, self._records))

    def stop(self) -> None:
        """End the class for everybody, or the measuring; its last rep stays on the wall."""
        for seat_id in list(self._measuring):
            if seat_id in self._seats:
                self._seats[seat_id].end(Calibrating)
        self._measuring.clear()
        if self._run is not None:
            self._alone = None
            self._run.stop()  # the last verdicts come with it
            self._run = None
            self._records.end()
            self.board.over()
        self._tell()

    def _change_tempo(self, run: ClassRun, click_bpm: Bpm) -> None:
        """Go on at another tempo, counted in from a bar line of the old one."""
        bar = run.exercise.layout.clicks
        ready = run.grid.beats(Ns(self._clock() + TO_READ_NS))
        counted_in = TempoGrid(click_bpm, run.grid.at(bar * ceil(ready / bar)))
        self._changing_tempo = True
        run.stop(NEXT_TEMPO)
        self._changing_tempo = False
        self._start(replace(run.exercise, click_bpm=click_bpm), counted_in.at(COUNT_IN_CLICKS))

    def alone(self, seat_id: str | None) -> None:
        """Have one seat play and the others rest; None: everybody plays again. Raises ChanterdError without a class."""
        run = self._under_way()
        if seat_id is not None:
            self._there(seat_id)
        self._alone = seat_id
        for seat in self._seats.values():
            if seat_id in (None, seat.id):
                self._join(run, seat)
        for seat in self._seats.values():
            if seat_id not in (None, seat.id):
                run.leave(seat.id, "another seat plays alone")
        self._tell()

    def welcome(self, seat: Seat) -> None:
        """A seat was added: it plays along from the next rep on, unless one plays alone."""
        seat.distance_m = self._arrangement.now.seats_m.get(seat.id, 0.0)
        if self._run is not None and not self._alone:
            self._join(self._run, seat)
        self._tell()

    def miss(self, seat: Seat) -> None:
        """A seat was taken away; the click that sounded there sounds at the desk."""
        if self.board.spotlight == seat.id:
            self.board.light(None)
        if self._arrangement.now.sound == seat.id:
            self.sound_at(DESK)
        self._tell()

    # --- measuring

    def measure(self, seat_id: str | None) -> None:
        """Have a seat, or all of them at once (None), answer the click from the room's loudspeaker.

        What is measured has the way of the sound in it, so the distance of the seat becomes 0. Raises ChanterdError if
        there is no such seat.
        """
        seats = list(self._seats.values()) if seat_id is None else [self._there(seat_id)]
        self.stop()
        beat0_ns = beat_after_count_in(CALIBRATION_BPM, self._clock())
        self._measured_by = TempoGrid(CALIBRATION_BPM, beat0_ns)
        self._measuring = [seat.id for seat in seats]
        for seat in seats:
            seat.sound(sounds=self._arrangement.now.sound == seat.id)
            seat.calibrate(beat0_ns)
        self._tell()

    def place(self, seat_id: str, distance_m: float) -> None:
        """Say how far a seat is from the loudspeaker, metres. Raises ChanterdError if there is no such seat."""
        self._there(seat_id).distance_m = distance_m
        self._arrangement.place(seat_id, distance_m)

    def keep(self, seat_id: str, *, keep: bool) -> None:
        """Say whether whoever sits there wants their reps kept. Raises ChanterdError if there is no such seat."""
        self._records.wish(self._there(seat_id), keep=keep)
        self._tell()

    def keeps(self, seat_id: str) -> bool:
        """Whether whoever sits there wants their reps kept. Raises ChanterdError if there is no such seat."""
        return self._records.keeps(self._there(seat_id))

    # --- the wall, and where the click sounds

    def freeze(self, *, frozen: bool) -> None:
        """Hold the wall as it is while the class plays on, or let it go on. Raises ChanterdError without a class."""
        self._under_way()
        self.board.freeze(frozen=frozen)
        self._tell()

    def light(self, seat_id: str | None) -> None:
        """Give one seat the whole wall; None: all have it again. Raises ChanterdError if there is no such seat."""
        if seat_id is not None:
            self._there(seat_id)
        self.board.light(seat_id)
        self._tell()

    def replay(self, seat_id: str | None, factor: float) -> None:
        """Show a seat's last rep again, that many times as slow, on a wall that is held or over; None ends it.

        Raises ChanterdError if the wall goes on, there is no such seat, or it has played nothing.
        """
        if seat_id is None:
            self.board.end_replay()
            return
        self._there(seat_id)
        if self.board.state == "playing":
            raise ChanterdError("The class plays on; hold the wall first, or stop the class.")
        self.board.replay(seat_id, factor, self._clock() + LEAD_IN_NS)

    def arrange(self, picture_m: float | None, last_row_m: float | None, names: Names | None) -> None:
        """Change how large the wall is, how far away it is read, and what names a seat; None leaves that as it is."""
        now = self._arrangement.now
        self._arrangement.change(
            picture_m=picture_m or now.picture_m, last_row_m=last_row_m or now.last_row_m, names=names or now.names
        )
        self.board.arrange(picture_m, last_row_m, names)

    def sound_at(self, place: str) -> None:
        """Have the click sound there and nowhere else. Raises ChanterdError if there is no such place."""
        if place not in (DESK, WALL, NOWHERE):
            self._there(place)
        self._arrangement.change(sound=place)
        for seat in self._playing():
            seat.sound(sounds=place == seat.id)
        self._tell()

    def _playing(self) -> list[Seat]:
        ids = {*(self._run.seats if self._run else ()), *self._measuring}
        return [seat for seat in self._seats.values() if seat.id in ids]

    def _there(self, seat_id: str) -> Seat:
        if seat_id not in self._seats:
            raise ChanterdError(f"There is no seat {seat_id!r}; there are {', '.join(self._seats)}.")
        return self._seats[seat_id]

    def _under_way(self) -> ClassRun:
        if self._run is None:
            raise ChanterdError("No class is under way. Start one first, with POST /api/class.")
        return self._run

    # --- what happens

    def watch(self, frame: Frame) -> None:
        """Something was published by a seat."""
        run = self._run
        if frame["kind"] == "calibration" and frame["seat"] in self._measuring:
            measured = frame["calibration"]
            if measured is None or measured["state"] != "running":
                self._measured(frame["seat"], done=measured is not None and measured["state"] == "done")
        elif run is None:
            return
        elif frame["kind"] == "rep" and frame["seat"] in run.seats:
            rep = frame["rep"]
            self.board.verdict(frame["seat"], frame, frame["in_a_row"], ms(run.beat_ns(rep)))
            if frame["final"]:
                self._rows[frame["seat"]] = frame["in_a_row"]
                run.take(frame["seat"], frame, self._clock())
        elif frame["kind"] == "grid" and frame["seat"] in run.seats and not self._changing_tempo:
            practice = frame["practice"]
            if practice is None or practice["grid"]["beat0_ns"] != run.grid.beat0_ns:
                self._left(run, run.seats.pop(frame["seat"]).id)  # stopped, or doing something else there

    def _left(self, run: ClassRun, seat_id: str) -> None:
        """Its own page clicks again; after a solo the others come in, and when all have left, the class is over."""
        self._rows.pop(seat_id, None)
        self._seats[seat_id].sound(sounds=True)
        if self._alone == seat_id:
            self._alone = None
            for seat in self._seats.values():
                if seat.id != seat_id:
                    self._join(run, seat)
        if not run.seats:
            self.stop()

    def _measured(self, seat_id: str, *, done: bool) -> None:
        self._measuring.remove(seat_id)
        if done:
            self.place(seat_id, 0.0)
        self._seats[seat_id].sound(sounds=True)
        self._tell()

    def _together(self, band: BandRep) -> None:
        self.board.band(band)
        if self._exercise is not None:
            self._records.band(self._exercise.click_bpm, band)
        self._publish(band_frame(band))

    def tick(self, now_ns: Ns) -> None:
        """Time has passed on every seat."""
        run = self._run
        if run is not None:
            run.tick(now_ns)
            next_bpm = self._next_bpm(run)
            if next_bpm != run.exercise.click_bpm:
                self._change_tempo(run, next_bpm)
        if now_ns - self._looked_ns >= STALE_NS:
            self._looked_ns = now_ns
            self.board.show((seat.id, seat.player.name, seat.away) for seat in self._seats.values())
            self._tell()
        frame = self.board.due(now_ns)
        if frame is not None:
            self._publish(frame)

    def _next_bpm(self, run: ClassRun) -> Bpm:
        if self._rule is None or self._alone is not None or self.board.state == "frozen":
            return run.exercise.click_bpm
        return self._rule.after(run.exercise.click_bpm, self._rows_of(run))

    def _rows_of(self, run: ClassRun) -> list[int]:
        return [self._rows.get(seat, 0) for seat in run.seats]

    # --- what is shown

    def wall(self) -> WallFrame:
        """What the wall draws now."""
        return self.board.frame()

    def shown(self) -> ClassShown:
        """What the desk shows now."""
        run, exercise = self._run, self._exercise
        return ClassShown(
            state="playing" if run is not None else "over" if exercise is not None else "waiting",
            drill=None if exercise is None else exercise.drill.words,
            click_bpm=None if exercise is None else exercise.click_bpm,
            layout=None if exercise is None else exercise.layout.name,
            standard=None if exercise is None else exercise.standard.name,
            click=self._click(),
            playing=[] if run is None else [one for one in run.seats if not self._seats[one].away],
            alone=self._alone,
            spotlight=self.board.spotlight,
            frozen=self.board.state == "frozen",
            sound=self._arrangement.now.sound,
            measuring=list(self._measuring),
            ladder=self._ladder(),
            unkept=[seat.id for seat in self._seats.values() if not self._records.keeps(seat)],
        )

    def _click(self) -> ClickShown | None:
        run = self._run
        if run is not None:
            layout = run.exercise.layout
            return ClickShown(grid=grid_view(run.grid, layout.clicks, round(layout.first_beat)), last=None)
        if self._measured_by is not None and self._measuring:
            return ClickShown(grid=grid_view(self._measured_by, 4, 0), last=CLICKS)
        return None

    def _ladder(self) -> ClassLadderShown | None:
        rule, run = self._rule, self._run
        if rule is None or self._exercise is None:
            return None
        return ClassLadderShown(
            raise_bpm=rule.raise_bpm,
            top_bpm=rule.top_bpm,
            in_a_row=rule.in_a_row,
            share=rule.share,
            said="" if run is None else rule.said(self._exercise.click_bpm, self._rows_of(run)),
        )

    def _tell(self) -> None:
        """Send the desk what has changed."""
        self.board.sound(self._click(), here=self._arrangement.now.sound == WALL)
        shown = self.shown()
        if shown != self._said:
            self._said = shown
            self._publish(ClassFrame(kind="class", now=shown))
