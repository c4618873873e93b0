"""A class: all seats practise one exercise on one grid, and what they play is put together rep by rep.

Each seat has a run of its own, made as for a player alone, so that it is followed and judged alike. The class takes the
final verdicts and puts a rep of the band together when every seat has closed it, or half a click after it closes as a
rule: a player slower than that is missing in this rep, and the class never waits. Pure: time is an argument.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

from chanterd.following.closing import CLOSE_AFTER_CLICKS
from chanterd.judging.ensemble import BandRep, Ensemble
from chanterd.judging.report import RepResult
from chanterd.music.grid import TempoGrid
from chanterd.music.score import Score
from chanterd.music.units import Beats, Ns, ms
from chanterd.practice.exercise import Exercise

PATIENCE_CLICKS = 0.5
"""How long after its normal close a rep is waited for."""
STOPPED = "the class was stopped"


class ClassSeat(Protocol):
    """What a class needs of a seat."""

    @property
    def id(self) -> str:
        """As every frame has it."""

    def practise(self, exercise: Exercise, beat0_ns: Ns | None = None) -> object:
        """Practise on that grid from now on, in place of whatever goes on."""

    def end(self, *, why: str) -> None:
        """Break off what goes on."""


@dataclass(slots=True)
class ClassRun:
    """One exercise, played by a class."""

    exercise: Exercise
    grid: TempoGrid
    publish: Callable[[BandRep], None]
    seats: dict[str, ClassSeat] = field(default_factory=dict)
    """Who plays; those who rest while one plays alone are not among them."""
    last: BandRep | None = None
    """The band's last rep."""
    _score: Score = field(init=False)
    _ensemble: Ensemble = field(init=False, default_factory=Ensemble)
    _closed: dict[int, dict[str, RepResult]] = field(init=False, default_factory=dict)
    _next: int = field(init=False, default=0)

    def __post_init__(self) -> None:
        self._score = self.exercise.score()

    def join(self, seat: ClassSeat) -> None:
        """Have a seat play along from the next rep on; one that plays already goes on."""
        if seat.id not in self.seats:
            self.seats[seat.id] = seat
            seat.practise(self.exercise, self.grid.beat0_ns)

    def leave(self, seat_id: str, why: str = STOPPED) -> None:
        """Have a seat play along no more."""
        seat = self.seats.get(seat_id)
        if seat is not None:
            seat.end(why=why)  # first, so that its last verdict still counts
            self.seats.pop(seat_id, None)

    def stop(self, why: str = STOPPED) -> None:
        """End it for everybody."""
        for seat_id in list(self.seats):
            self.leave(seat_id, why)

    def take(self, seat_id: str, result: RepResult, now_ns: Ns) -> None:
        """A seat has closed a rep."""
        if seat_id in self.seats and result["rep"] >= self._next:
            self._closed.setdefault(result["rep"], {})[seat_id] = result
            self.tick(now_ns)

    def tick(self, now_ns: Ns) -> None:
        """Put together what is complete, or over."""
        while self._is_ready(self._next, now_ns):
            self._put_together(self._next)
            self._next += 1

    def beat_ns(self, rep: int) -> Ns:
        """When the ornament's own beat of a rep is, from beat 0."""
        return Ns(self.grid.since_ns(self._score.start(rep)) + self._score.segment(rep).beat_ns)

    def _is_ready(self, rep: int, now_ns: Ns) -> bool:
        closed = self._closed.get(rep, {})
        if self.seats and self.seats.keys() <= closed.keys():
            return True
        late = self._score.start(rep + 1) + CLOSE_AFTER_CLICKS + PATIENCE_CLICKS
        return now_ns >= self.grid.at(Beats(late))

    def _put_together(self, rep: int) -> None:
        closed = self._closed.pop(rep, {})
        if not any(not result["skipped"] for result in closed.values()):
            return  # a rest of everybody is no rep of the band
        segment = self._score.segment(rep)
        band = self._ensemble.take(rep, closed, ms(self.beat_ns(rep)), segment.drill.anchor_step)
        self.last = band
        self.publish(band)
