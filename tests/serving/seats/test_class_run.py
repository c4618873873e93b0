"""A class on one grid: who plays, and when a rep of the band is put together."""

from dataclasses import dataclass, field
from typing import cast

import pytest

from chanterd.judging.ensemble import BandRep
from chanterd.judging.report import RepResult
from chanterd.music.grid import TempoGrid
from chanterd.music.units import NS_PER_MS, Bpm, Ns
from chanterd.practice.exercise import Exercise, ExerciseWords, resolve
from chanterd.serving.seats.class_run import STOPPED, ClassRun
from chanterd.tables import read_tables

BEAT0 = Ns(5_000 * NS_PER_MS)
REP_MS = 2_000


@dataclass
class Place:
    """A seat that keeps what it is asked to do."""

    id: str
    asked: list[tuple[str, Ns | None]] = field(default_factory=list)
    ended: list[str] = field(default_factory=list)

    def practise(self, exercise: Exercise, beat0_ns: Ns | None = None) -> None:
        """Begin."""
        self.asked.append((exercise.drill.words, beat0_ns))

    def end(self, *, why: str) -> None:
        """End."""
        self.ended.append(why)


@pytest.fixture
def bands() -> list[BandRep]:
    """What has been put together."""
    return []


@pytest.fixture
def klass(bands: list[BandRep], tmp_path_factory: pytest.TempPathFactory) -> ClassRun:
    """A grip at 60 clicks, three seats."""
    tables = read_tables(tmp_path_factory.mktemp("data"))
    exercise = resolve(ExerciseWords("grip from B to C", 60), tables)
    made = ClassRun(exercise, TempoGrid(Bpm(60.0), BEAT0), bands.append)
    for seat in "123":
        made.join(Place(seat))
    return made


def rep(number: int, off_ms: float = 0.0, *, skipped: bool = False) -> RepResult:
    """A rep whose C came that late; times from beat 0."""
    beat_ms = number * REP_MS + 1_000
    steps = [
        {
            "step": step,
            "note": note,
            "state": "missing" if skipped else "played",
            "onset_ms": None if skipped else beat_ms + at_ms + off_ms,
        }
        for step, (note, at_ms) in enumerate((("low G", -160), ("D", -100), ("low G", -60), ("C", 0)))
    ]
    return cast("RepResult", {"rep": number, "skipped": skipped, "steps": steps})


def at(ms: float) -> Ns:
    """That time from beat 0."""
    return Ns(BEAT0 + round(ms * NS_PER_MS))


def test_all_begin_on_one_grid(klass: ClassRun) -> None:
    """The same drill and the same beat 0; who sits there already is not begun again."""
    places = [cast("Place", seat) for seat in klass.seats.values()]
    assert [place.asked for place in places] == [[("grip from B to C", BEAT0)]] * 3
    klass.join(places[0])
    assert len(places[0].asked) == 1


def test_a_rep_is_put_together_when_all_have_closed_it(klass: ClassRun, bands: list[BandRep]) -> None:
    """Middle and spread of the beat over the seats."""
    for seat, off_ms in (("1", -10.0), ("2", 0.0), ("3", 40.0)):
        assert bands == []
        klass.take(seat, rep(0, off_ms), at(2_350))
    [band] = bands
    assert (band.rep, band.seats, band.beat.seats, band.beat.middle_ms) == (0, 3, 3, 0.0)
    assert klass.last is band


def test_whoever_is_slow_is_missed_and_not_waited_for(klass: ClassRun, bands: list[BandRep]) -> None:
    """Half a click after its normal close, which is 0.35 clicks after the next rep begins."""
    klass.take("1", rep(0), at(2_350))
    klass.take("2", rep(0), at(2_350))
    klass.tick(at(2_849))
    assert bands == []
    klass.tick(at(2_850))
    assert [band.seats for band in bands] == [2]
    klass.take("3", rep(0), at(2_900))
    assert len(bands) == 1


def test_a_rest_of_everybody_is_no_rep_of_the_band(klass: ClassRun, bands: list[BandRep]) -> None:
    """And a seat that rests does not count as playing."""
    for seat in "123":
        klass.take(seat, rep(0, skipped=True), at(2_350))
    assert bands == []
    klass.take("1", rep(1), at(4_350))
    klass.take("2", rep(1, skipped=True), at(4_350))
    klass.take("3", rep(1, 6.0), at(4_350))
    assert [(band.rep, band.seats) for band in bands] == [(1, 2)]


def test_a_seat_may_come_and_go(klass: ClassRun, bands: list[BandRep]) -> None:
    """Who has left is not waited for; who joins late plays on the same grid."""
    third = cast("Place", klass.seats["3"])
    klass.leave("3", "the seat was taken away")
    assert third.ended == ["the seat was taken away"]
    klass.take("1", rep(0), at(2_350))
    klass.take("3", rep(0), at(2_350))
    klass.take("2", rep(0), at(2_350))
    assert [band.seats for band in bands] == [2]
    fourth = Place("4")
    klass.join(fourth)
    assert fourth.asked == [("grip from B to C", BEAT0)]


def test_stopping_ends_it_for_everybody(klass: ClassRun) -> None:
    """Each seat says why."""
    places = [cast("Place", seat) for seat in klass.seats.values()]
    klass.stop()
    assert [place.ended for place in places] == [[STOPPED]] * 3
    assert klass.seats == {}
