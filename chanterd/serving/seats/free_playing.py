"""A seat on which no activity goes on: its player just plays, and hears what that was."""

from collections import deque
from collections.abc import Callable, Iterable
from math import ceil

import mido

from chanterd.listening.judged import judge_found
from chanterd.listening.live import HeardNow, LiveListener, Repeated
from chanterd.listening.report import HeardOrnament, heard_ornament
from chanterd.listening.tally import SummaryRow, Tally
from chanterd.music.heard import Heard
from chanterd.music.units import NS_PER_MINUTE, NS_PER_S, Ns
from chanterd.practice.run import COUNT_IN_CLICKS
from chanterd.serving.seats.activity import LEAD_IN_NS, Output
from chanterd.serving.seats.free_take import FreeTake
from chanterd.serving.seats.recorder import Recorder
from chanterd.serving.seats.tune_watch import TuneWatch
from chanterd.serving.seats.unasked import Unasked
from chanterd.serving.wire.free import FaultCount, FreeFrame, FreeRow, FreeShown, OfferShown, OrnamentFrame

MOST_WAITING = 4000
"""Notes that are kept until the book has been worked out: far more than anybody plays in that second."""
OFFERED_NS = 20 * NS_PER_S
"""How long a drill is offered after it was last played."""


def own_beat(repeated: Repeated, now_ns: Ns) -> Ns:
    """When beat 0 of a run falls that goes on with the player's own reps; the count-in before it is still to come.

    The note before the ornament is a click before the ornament's beat, and a rep has two clicks.
    """
    click_ns = NS_PER_MINUTE / repeated.click_bpm
    first_ns = repeated.beat_ns - click_ns
    reps = ceil((now_ns + LEAD_IN_NS + COUNT_IN_CLICKS * click_ns - first_ns) / (2 * click_ns))
    return Ns(round(first_ns + 2 * click_ns * reps))


class FreePlaying:
    """Listens on one seat, between its activities, and publishes what it recognises."""

    corrected = True

    def __init__(self, unasked: Unasked, output: Output, recorder: Callable[[], Recorder]) -> None:
        """``recorder`` gives what begins now its place in the history of whoever sits there."""
        self._unasked, self._output = unasked, output
        self._take = FreeTake(unasked, recorder)
        self.tunes = TuneWatch(unasked, output, self._take.noticed)
        self._listener: LiveListener | None = None
        self._waiting: deque[Heard] = deque(maxlen=MOST_WAITING)
        self._day = ""
        self._tally = Tally()
        self._drills: dict[str, str] = {}
        self._repeated: Repeated | None = None
        self._offer: OfferShown | None = None

    def forget(self) -> None:
        """Somebody else sits here now: nothing of this was theirs."""
        self.put_down(self._output.clock(), "another player sat down")
        self._day, self._tally, self._drills = "", Tally(), {}
        self._listener = None

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Take a message with its stamp, before what is heard in it."""
        self.tunes.take(message, at_ns)
        self._take.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """Take what is heard next, with the calibration taken off."""
        self.tunes.hear(heard)
        self._take.hear(heard)
        if self._listener is None:
            self._waiting.append(heard)
            self._unasked.want()
        else:
            self._show(self._listener.hear(heard))

    def tick(self, now_ns: Ns) -> None:
        """Let time pass."""
        if self._listener is None:
            self._count_kept()
            if not self._unasked.ready:
                return
            self._listener = LiveListener(self._unasked.book)
            while self._waiting:
                self._show(self._listener.hear(self._waiting.popleft()))
        self._show(self._listener.tick(now_ns))
        self.tunes.tick(now_ns)
        self._take.tick(now_ns)
        self._count_kept()
        if self._repeated is not None and now_ns - self._repeated.beat_ns > OFFERED_NS:
            self._withdraw()
            self._send()

    def pause(self, now_ns: Ns) -> None:
        """Something was chosen: what was played until now is final."""
        self._waiting.clear()
        self.put_down(now_ns, "something was chosen")
        self.tunes.forget()

    def put_down(self, now_ns: Ns, why: str, *, now: bool = False) -> None:
        """What was played until now is final, and a run in the history; with ``now`` nothing waits to be judged."""
        if self._listener is not None:
            self._show(self._listener.finish(now_ns))
            self._listener = LiveListener(self._unasked.book)
        self.tunes.leave(now=now)
        self._take.end(why)
        if self._offer is not None:
            self._withdraw()
            self._send()

    @property
    def repeated(self) -> Repeated | None:
        """What is offered now."""
        return self._repeated

    def _withdraw(self) -> None:
        self._repeated = self._offer = None

    def _show(self, heard: Iterable[HeardNow]) -> None:
        counted = False
        shown = False
        for one in heard:
            shown = True
            self.tunes.steps(sound.onset_ns for sound in one.found.sounds[:-1])
            ornament = heard_ornament(one.found, self._unasked.standard)
            frame = OrnamentFrame(kind="ornament", seat=self._output.seat, final=one.final, **ornament)
            self._output.publish(frame)
            if one.final:
                counted = self._count(one, ornament) or counted
        if shown:
            offered = self._offered()
            changed, self._offer = offered != self._offer, offered
            if counted or changed:
                self._send()

    def _count(self, one: HeardNow, ornament: HeardOrnament) -> bool:
        judged = judge_found(one.found, self._unasked.standard)
        if judged is None:
            return False
        self._begin_day()
        self._tally.add(judged)
        self._take.ornament(judged, ornament, in_tune=self.tunes.plays(judged.start_ns))
        if judged.way.words is not None:
            self._drills[judged.way.ornament.name] = judged.way.words
        return True

    def _begin_day(self) -> None:
        day = self._unasked.day()
        if day != self._day:
            self._day, self._tally, self._drills = day, Tally(), {}
            self._take.look_up(day)

    def _count_kept(self) -> None:
        """Count what was played today before the daemon was started, or by whoever sits here now on another seat."""
        if not self._day:
            self._begin_day()
        found = self._take.looked_up()
        if found:
            for row, drill in found:
                self._tally.add_row(row)
                if drill:
                    self._drills.setdefault(row["ornament"], drill)
            self._send()

    def _offered(self) -> OfferShown | None:
        self._repeated = None if self._listener is None else self._listener.repeated
        if self._repeated is None:
            return None
        drill, bpm = self._repeated.drill, self._repeated.click_bpm
        said = f"{drill[0].upper()}{drill[1:]}, about {bpm:.0f}: with the click?"
        return OfferShown(drill=drill, click_bpm=bpm, said=said)

    def _send(self) -> None:
        self._output.publish(FreeFrame(kind="free", seat=self._output.seat, free=self.shown()))

    def shown(self) -> FreeShown:
        """What was played today."""
        row = self._tally.work_on
        said, drill = "", None
        if row is not None:
            drill = self._drills.get(row["ornament"])
            fault = next(iter(row["faults"]), None)
            why = "" if fault is None else f", {fault} {_times(row['faults'][fault])}"
            said = f"Work on the {row['ornament']}: {row['clean']} of {row['played']} clean{why}."
        rows = [_row_shown(one) for one in self._tally.rows()]
        return FreeShown(rows=rows, work_on=said, drill=drill, offer=self._offer)


def _row_shown(row: SummaryRow) -> FreeRow:
    return FreeRow(
        ornament=row["ornament"],
        played=row["played"],
        clean=row["clean"],
        held_ms=row["held_ms"],
        quick_ms=row["quick_ms"],
        faults=[FaultCount(fault=fault, times=times) for fault, times in row["faults"].items()],
    )


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")
