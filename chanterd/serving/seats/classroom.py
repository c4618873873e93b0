"""The classroom: what a teacher does with all seats at once, and what the wall shows of it.

Everything that the seats publish passes by here; nothing of it is held up or changed.
"""

from collections.abc import Callable, Mapping

from chanterd.config import ChanterdError
from chanterd.judging.ensemble import BandRep
from chanterd.music.grid import TempoGrid
from chanterd.music.units import NS_PER_MS, Ns, ms
from chanterd.practice.exercise import Exercise
from chanterd.serving.seats.activity import beat_after_count_in
from chanterd.serving.seats.class_run import ClassRun
from chanterd.serving.seats.seat import Seat
from chanterd.serving.wire.band import band_frame
from chanterd.serving.wire.frames import Frame
from chanterd.serving.wire.shapes import PracticeShown
from chanterd.serving.wire.wall import Board, WallFrame

STALE_NS = 500 * NS_PER_MS
"""How often the wall looks at who is there, while nothing else happens."""


class Classroom:
    """All seats, as a class."""

    def __init__(self, seats: Mapping[str, Seat], publish: Callable[[Frame], None], clock: Callable[[], Ns]) -> None:
        """``publish`` sends a frame to every page that watches that kind."""
        self._seats = seats
        self._publish = publish
        self._clock = clock
        self._run: ClassRun | None = None
        self._alone: str | None = None
        self.board = Board()
        self._looked_ns = Ns(0)

    @property
    def run(self) -> ClassRun | None:
        """The class under way, if any."""
        return self._run

    def begin(self, exercise: Exercise) -> PracticeShown:
        """Start all seats after one count-in, on one grid; what each of them did is ended.

        Raises ChanterdError for what a class cannot do together.
        """
        if exercise.ladder is not None or exercise.click_off:
            what = "a ladder of its own" if exercise.ladder is not None else "the click off"
            raise ChanterdError(f"A class plays on one click, so it cannot have {what}; leave that out.")
        self.stop()
        click_bpm = exercise.click_bpm
        grid = TempoGrid(click_bpm, beat_after_count_in(click_bpm, self._clock()))
        self._alone = None
        self._run = run = ClassRun(exercise, grid, self._together)
        for seat in self._seats.values():
            run.join(seat)
        shown = next(iter(self._seats.values())).practice()
        if shown is None:
            raise ChanterdError("No seat could begin; see the log for why.")
        self.board.begin(shown["asked"], click_bpm)
        return shown

    def stop(self) -> None:
        """End the class for everybody; its last rep stays on the wall."""
        if self._run is not None:
            self._run.stop()  # the last verdicts come with it
            self._run = None
            self.board.over()

    def alone(self, seat_id: str | None) -> None:
        """Have one seat play and the others rest; None: everybody plays again. Raises ChanterdError without a class."""
        run = self._under_way()
        if seat_id is not None and seat_id not in self._seats:
            raise ChanterdError(f"There is no seat {seat_id!r}; there are {', '.join(self._seats)}.")
        self._alone = seat_id
        for seat in self._seats.values():
            if seat_id is None or seat.id == seat_id:
                run.join(seat)
            else:
                run.leave(seat.id, "another seat plays alone")

    def welcome(self, seat: Seat) -> None:
        """A seat was added: it plays along from the next rep on, unless one plays alone."""
        if self._run is not None and not self._alone:
            self._run.join(seat)

    def freeze(self, *, frozen: bool) -> None:
        """Hold the wall as it is while the class plays on, or let it go on. Raises ChanterdError without a class."""
        self._under_way()
        self.board.freeze(frozen=frozen)

    def _under_way(self) -> ClassRun:
        if self._run is None:
            raise ChanterdError("No class is under way. Start one first, with POST /api/class.")
        return self._run

    def watch(self, frame: Frame) -> None:
        """Something was published by a seat."""
        run = self._run
        if run is None:
            return
        if frame["kind"] == "rep" and frame["seat"] in run.seats:
            rep = frame["rep"]
            beat_ns = run.grid.at(run.exercise.layout.beat(rep)) - run.grid.beat0_ns
            self.board.verdict(frame["seat"], frame, frame["in_a_row"], ms(beat_ns))
            if frame["final"]:
                run.take(frame["seat"], frame, self._clock())
        elif frame["kind"] == "grid" and frame["seat"] in run.seats:
            practice = frame["practice"]
            if practice is None or practice["grid"]["beat0_ns"] != run.grid.beat0_ns:
                self._left(run, run.seats.pop(frame["seat"]).id)  # stopped, or doing something else there

    def _left(self, run: ClassRun, seat_id: str) -> None:
        """After a solo the others come in again; when all have left, the class is over."""
        if self._alone == seat_id:
            self._alone = None
            for seat in self._seats.values():
                if seat.id != seat_id:
                    run.join(seat)
        if not run.seats:
            self.stop()

    def tick(self, now_ns: Ns) -> None:
        """Time has passed on every seat."""
        if self._run is not None:
            self._run.tick(now_ns)
        if now_ns - self._looked_ns >= STALE_NS:
            self._looked_ns = now_ns
            self.board.show((seat.id, seat.player.name, seat.away) for seat in self._seats.values())
        frame = self.board.due(now_ns)
        if frame is not None:
            self._publish(frame)

    def wall(self) -> WallFrame:
        """What the wall draws now."""
        return self.board.frame()

    def _together(self, band: BandRep) -> None:
        self.board.band(band)
        self._publish(band_frame(band))
