"""The wall as it is sent: the last rep of every seat and of the band, ten times a second at most.

A projector needs no step as it sounds, and a class of forty would send hundreds of them a second: here what the wall
draws is put together when something of it has changed, however many frames that took.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.config import ChanterdError
from chanterd.judging.ensemble import BandRep
from chanterd.judging.report import STRICT, ExtraResult, LeadResult, RepResult, StepResult
from chanterd.music.units import NS_PER_S, Ns
from chanterd.serving.wire.drill import DrillShown
from chanterd.serving.wire.shapes import ClickShown
from chanterd.serving.wire.wall_words import Way, together_words, trend_words, word_of

EVERY_NS = NS_PER_S // 10
"""The least time between two frames for the wall."""
REPS_LIT = 6
"""How many reps of a seat that has the whole wall are shown."""
Names = Literal["names", "numbers", "nothing"]
"""What a seat is called on the wall."""


@with_config(STRICT)
class WallBar(TypedDict):
    """One step as it was played."""

    note: str
    at_ms: float
    """Its onset from the ornament's own beat."""
    length_ms: float | None
    theme: bool


@with_config(STRICT)
class WallSeat(TypedDict):
    """One seat and its last rep."""

    seat: str
    name: str
    """Empty if the wall shows none."""
    rep: int | None
    bars: list[WallBar]
    word: str
    """``clean``, ``28 late``, ``crushed``, …; empty before the first rep."""
    way: Way | None
    in_a_row: int
    away: bool
    """Whether its chanter is not there."""


@with_config(STRICT)
class WallOnsets(TypedDict):
    """Where one step of the band fell, from the ornament's own beat."""

    note: str
    onsets_ms: list[float]
    middle_ms: float | None
    spread_ms: float | None


@with_config(STRICT)
class WallBand(TypedDict):
    """The band's last rep."""

    rep: int
    seats: int
    steps: list[WallOnsets]
    said: str
    """How close together, in one sentence."""
    trend: str
    """Whether that got better; empty if it is too early to say."""


@with_config(STRICT)
class WallSpotlight(TypedDict):
    """The one seat that has the whole wall, with its last reps."""

    seat: str
    name: str
    reps: list[WallSeat]
    """Oldest first."""


@with_config(STRICT)
class WallNote(TypedDict):
    """A note of a rep that is played again; silence where none reaches the next."""

    note: str
    at_ms: float
    """Its onset from the ornament's own beat."""
    length_ms: float | None


@with_config(STRICT)
class WallReplay(TypedDict):
    """A seat's rep, played again slowly."""

    seat: str
    name: str
    rep: WallSeat
    notes: list[WallNote]
    """Everything that sounded, in order."""
    factor: float
    """How many times as slow."""
    began_ns: int
    """When its first note is heard, on the daemon's clock."""


@with_config(STRICT)
class WallFrame(TypedDict):
    """All that the wall draws."""

    kind: Literal["wall"]
    state: Literal["waiting", "playing", "frozen", "over"]
    exercise: DrillShown | None
    click_bpm: float | None
    rep: int | None
    """The newest rep that any seat has finished."""
    seats: list[WallSeat]
    band: WallBand | None
    picture_m: float
    distance_m: float
    """How wide the picture is, and how far away the last row sits."""
    names: Names
    spotlight: WallSpotlight | None
    replay: WallReplay | None
    click: ClickShown | None
    """What the wall clicks to, if the click sounds there."""
    sounds: bool
    """Whether sound is the wall's: the click, and a rep that is played again while nobody plays."""


@dataclass(slots=True)
class _Rep:
    """A seat's rep as it was judged; ``beat_ms``: when its own beat fell."""

    result: RepResult
    in_a_row: int
    beat_ms: float


@dataclass(slots=True)
class _Held:
    """What the wall shows while it is held."""

    reps: dict[str, list[_Rep]]
    band: BandRep | None
    together: list[float]


@dataclass(slots=True)
class Board:
    """What is on the wall by now; times are on the daemon's clock."""

    picture_m: float = 2.0
    distance_m: float = 8.0
    names: Names = "names"
    exercise: DrillShown | None = None
    click_bpm: float | None = None
    state: Literal["waiting", "playing", "frozen", "over"] = "waiting"
    _seats: dict[str, tuple[str, bool]] = field(default_factory=dict)
    spotlight: str | None = None
    """The seat that has the whole wall."""
    click: ClickShown | None = None
    sounds: bool = False
    _reps: dict[str, list[_Rep]] = field(default_factory=dict)
    _replay: tuple[str, _Rep, float, int] | None = None
    _band: BandRep | None = None
    _together: list[float] = field(default_factory=list)
    _held: _Held | None = None
    _changed: bool = True
    _sent_ns: Ns | None = None

    def begin(self, exercise: DrillShown, click_bpm: float) -> None:
        """A class begins."""
        self.exercise, self.click_bpm, self.state = exercise, click_bpm, "playing"
        self._held = self._replay = None
        self._reps.clear()
        self._together.clear()
        self._band, self._changed = None, True

    def over(self) -> None:
        """The class is over; its last rep stays."""
        self.state, self._held, self._changed = "over", None, True

    def freeze(self, *, frozen: bool) -> None:
        """Keep what is on the wall as it is, to talk about it, or let it go on."""
        if self.state in ("playing", "frozen"):
            reps = {seat: list(kept) for seat, kept in self._reps.items()}
            self._held = _Held(reps, self._band, list(self._together)) if frozen else None
            self._replay = None
            self.state, self._changed = ("frozen" if frozen else "playing"), True

    def light(self, seat: str | None) -> None:
        """Give one seat the whole wall; None: all have it again."""
        self.spotlight, self._replay, self._changed = seat, None, True

    def replay(self, seat: str, factor: float, began_ns: int) -> None:
        """Show a seat's last rep again, that many times as slow. Raises ChanterdError if it has played none."""
        reps = [rep for rep in self._shown().reps.get(seat, []) if not rep.result["skipped"]]
        if not reps:
            raise ChanterdError("This seat has played no rep yet that could be heard again.")
        self._replay, self._changed = (seat, reps[-1], factor, began_ns), True

    def end_replay(self) -> None:
        """Show what was there before."""
        if self._replay is not None:
            self._replay, self._changed = None, True

    def sound(self, click: ClickShown | None, *, here: bool) -> None:
        """Say what is clicked to, and whether it sounds here."""
        if (click, here) != (self.click, self.sounds):
            self.click, self.sounds, self._changed = click, here, True

    def _shown(self) -> _Held:
        return self._held or _Held(self._reps, self._band, self._together)

    def arrange(self, picture_m: float | None, distance_m: float | None, names: Names | None) -> None:
        """Change how large it is, how far away it is read, and what names a seat; None leaves that as it is."""
        self.picture_m, self.distance_m = picture_m or self.picture_m, distance_m or self.distance_m
        self.names, self._changed = names or self.names, True

    def show(self, seats: Iterable[tuple[str, str, bool]]) -> None:
        """Which seats there are: each with its name, and whether its chanter is away."""
        now = {seat: (name, away) for seat, name, away in seats}
        if now != self._seats:
            self._seats, self._changed = now, True

    def verdict(self, seat: str, result: RepResult, in_a_row: int, beat_ms: float) -> None:
        """A seat has finished a rep, or its verdict was corrected; ``beat_ms`` is when its own beat fell."""
        kept = self._reps.setdefault(seat, [])
        if kept and kept[-1].result["rep"] == result["rep"]:
            kept.pop()
        kept.append(_Rep(result, in_a_row, beat_ms))
        del kept[:-REPS_LIT]
        self._changed = True

    def band(self, band: BandRep) -> None:
        """The band has finished a rep."""
        if band.together_ms is not None:
            self._together.append(band.together_ms)
        self._band, self._changed = band, True

    def due(self, now_ns: Ns) -> WallFrame | None:
        """The next frame, if anything has changed and it is time for one."""
        if not self._changed or (self._sent_ns is not None and now_ns - self._sent_ns < EVERY_NS):
            return None
        self._sent_ns, self._changed = now_ns, False
        return self.frame()

    def frame(self) -> WallFrame:
        """All that the wall draws now."""
        shown = self._shown()
        reps = [kept[-1].result["rep"] for kept in shown.reps.values() if kept]
        return WallFrame(
            kind="wall",
            state=self.state,
            exercise=self.exercise,
            click_bpm=self.click_bpm,
            rep=max(reps, default=None),
            seats=[self._seat(seat, shown) for seat in self._seats],
            band=None if shown.band is None else _band_shown(shown.band, shown.together),
            picture_m=self.picture_m,
            distance_m=self.distance_m,
            names=self.names,
            spotlight=self._lit(shown),
            replay=self._replayed(),
            click=self.click if self.sounds else None,
            sounds=self.sounds,
        )

    def _name(self, seat: str) -> str:
        name = self._seats[seat][0] if seat in self._seats else ""
        return {"names": name, "numbers": f"Seat {seat}", "nothing": ""}[self.names]

    def _seat(self, seat: str, shown: _Held) -> WallSeat:
        kept, away = shown.reps.get(seat), self._seats[seat][1]
        if not kept:
            return WallSeat(
                seat=seat, name=self._name(seat), rep=None, bars=[], word="", way=None, in_a_row=0, away=away
            )
        return _row(seat, self._name(seat), kept[-1], away=away)

    def _lit(self, shown: _Held) -> WallSpotlight | None:
        seat = self.spotlight
        if seat is None or seat not in self._seats:
            return None
        reps = [
            _row(f"{seat}.{one.result['rep']}", f"Rep {one.result['rep'] + 1}", one) for one in shown.reps.get(seat, [])
        ]
        return WallSpotlight(seat=seat, name=self._name(seat), reps=reps)

    def _replayed(self) -> WallReplay | None:
        if self._replay is None:
            return None
        seat, rep, factor, began_ns = self._replay
        result = rep.result
        heard: list[LeadResult | StepResult | ExtraResult] = [result["lead"], *result["steps"], *result["extras"]]
        notes = [note for note in (_note(one, rep.beat_ms) for one in heard) if note is not None]
        return WallReplay(
            seat=seat,
            name=self._name(seat),
            rep=_row(seat, self._name(seat), rep),
            notes=sorted(notes, key=lambda note: note["at_ms"]),
            factor=factor,
            began_ns=began_ns,
        )


def _row(seat: str, name: str, rep: _Rep, *, away: bool = False) -> WallSeat:
    """A rep as a row of the wall."""
    word, way = word_of(rep.result)
    bars = [
        WallBar(
            note=step["note"],
            at_ms=round(step["onset_ms"] - rep.beat_ms, 1),
            length_ms=step["length_ms"],
            theme=step["kind"] == "theme",
        )
        for step in rep.result["steps"]
        if step["onset_ms"] is not None
    ]
    return WallSeat(
        seat=seat, name=name, rep=rep.result["rep"], bars=bars, word=word, way=way, in_a_row=rep.in_a_row, away=away
    )


def _band_shown(band: BandRep, together: list[float]) -> WallBand:
    return WallBand(
        rep=band.rep,
        seats=band.seats,
        steps=[
            WallOnsets(
                note=step.note,
                onsets_ms=sorted(round(at, 1) for at in step.onsets.values()),
                middle_ms=step.spread.middle_ms,
                spread_ms=step.spread.spread_ms,
            )
            for step in band.steps
        ],
        said=together_words(band.together_ms),
        trend=trend_words(together),
    )


def _note(heard: LeadResult | StepResult | ExtraResult, beat_ms: float) -> WallNote | None:
    onset_ms = heard["onset_ms"]
    if onset_ms is None:
        return None
    note = str(heard.get("played_note") or heard["note"])
    return WallNote(note=note, at_ms=round(onset_ms - beat_ms, 1), length_ms=heard["length_ms"])
