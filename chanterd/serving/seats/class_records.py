"""Keeps each class in the history, and its runs with those players who wish it."""

import json
from dataclasses import asdict, dataclass
from uuid import uuid4

from chanterd.history.class_record import ClassBegun, ClassEnded, ClassRepClosed, ClassRunBegun
from chanterd.history.history import History
from chanterd.judging.ensemble import BandRep
from chanterd.music.units import Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.ladder.class_ladder import ClassRule
from chanterd.serving.seats.arrangement import Arrangement
from chanterd.serving.seats.seat import Seat
from chanterd.serving.seats.services import Attended


class ClassRecords:
    """The record of the class under way. A class in which nothing was played leaves none."""

    def __init__(self, history: History, arrangement: Arrangement) -> None:
        self._history = history
        self._arrangement = arrangement
        self._begun: ClassBegun | None = None
        self._waiting: list[ClassRunBegun] = []
        self._reps = 0

    def begin(self, exercise: Exercise, rule: ClassRule | None) -> None:
        """A class begins; all its tempi are one record."""
        words = None if rule is None else json.dumps(asdict(rule))
        self._begun = ClassBegun(uuid4().hex, self._history.wall(), exercise, words)
        self._waiting.clear()
        self._reps = 0

    def keeps(self, seat: Seat) -> bool:
        """Whether whoever sits there wants their reps of a class in their history."""
        return seat.player.number not in self._arrangement.now.unkept

    def wish(self, seat: Seat, *, keep: bool) -> None:
        """Whoever sits there wants it so, from their next run on."""
        others = [number for number in self._arrangement.now.unkept if number != seat.player.number]
        self._arrangement.change(unkept=others if keep else [*others, seat.player.number])

    def attended(self, seat: Seat) -> Attended:
        """What a run of the class at that seat is for the history."""
        begun = self._begun

        def began(run_key: str) -> None:
            if begun is not None:
                self._put_run(ClassRunBegun(begun, run_key, seat.id))

        return Attended(self.keeps(seat), began)

    def band(self, click_bpm: Bpm, band: BandRep) -> None:
        """The band has played a rep."""
        if self._begun is None:
            return
        put, wall = self._history.writer.put, self._history.wall()
        put(ClassRepClosed(self._begun, self._reps, click_bpm, band, wall))
        self._reps += 1
        for one in self._waiting:
            put(one)
        self._waiting.clear()

    def end(self) -> None:
        """The class is over."""
        if self._begun is not None and self._reps:
            self._history.writer.put(ClassEnded(self._begun, self._history.wall()))
        self._begun = None

    def _put_run(self, run: ClassRunBegun) -> None:
        if self._reps:
            self._history.writer.put(run)
        else:
            self._waiting.append(run)


@dataclass(frozen=True, slots=True)
class Attending:
    """A seat in a class: its runs belong to the class's record."""

    seat: Seat
    records: ClassRecords

    @property
    def id(self) -> str:
        """As every frame has it."""
        return self.seat.id

    def practise(self, exercise: Exercise, beat0_ns: Ns | None = None) -> object:
        """Practise on that grid from now on."""
        return self.seat.practise(exercise, beat0_ns, self.records.attended(self.seat))

    def end(self, *, why: str) -> None:
        """Break off what goes on."""
        self.seat.end(why=why)
