"""Going through a plan on one seat: starts each part's run or ladder, watches it, and shows the pages how far it is.

The seat knows nothing of plans. If the player stops the run, or does something else, the plan waits, paused; if
another player sits down, it ends.
"""

from collections.abc import Callable
from math import ceil

from chanterd.music.units import NS_PER_MS, Ns
from chanterd.practice.plans import session
from chanterd.practice.plans.part import Part
from chanterd.practice.plans.plan import Plan
from chanterd.practice.plans.session import OVER, Session, SessionState
from chanterd.practice.plans.words import outcome, reminder, session_said
from chanterd.serving.seats.climbing import Climbing, Practice
from chanterd.serving.seats.seat import Seat
from chanterd.serving.seats.tune_climbing import TuneClimbing, TunePractice
from chanterd.serving.wire import shapes
from chanterd.serving.wire.views import plan_view

Show = Callable[[shapes.SessionShown], None]


class Planned:
    """One plan on one seat."""

    def __init__(
        self, plan: Plan, seat: Seat, start: Callable[[Part], None], show: Show, clock: Callable[[], Ns]
    ) -> None:
        """``start`` begins a part's run on the seat; ``show`` gets every change, once a second as time passes."""
        self.plan = plan
        self._seat = seat
        self._start = start
        self._show = show
        self._clock = clock
        self._whose = seat.player.number
        self._at_ns = clock()
        self._now = session.begin(plan)
        self._activity: Practice | TunePractice | None = None
        self._reps_before = self._clean_before = 0
        self._news = ""
        self._last: shapes.SessionShown | None = None

    @property
    def over(self) -> bool:
        """Whether it has come to its end or was stopped."""
        return self._now.state in OVER

    @property
    def shown(self) -> shapes.SessionShown:
        """How far it is, for the pages."""
        plan, now = self.plan, self._now
        left_ns = session.left_ns(plan, now)
        return shapes.SessionShown(
            plan=plan_view(plan),
            state=now.state.value,
            paused=now.paused,
            part=now.part,
            left_s=None if left_ns is None else max(0, ceil(left_ns / (1000 * NS_PER_MS))),
            reps=now.reps,
            reps_wanted=plan.parts[now.part].reps,
            said=session_said(plan, now),
            news=self._news,
            reminder=reminder(plan, now),
        )

    def tick(self) -> None:
        """Time has passed; whatever the seat has done meanwhile is taken in first."""
        at_ns = self._clock()
        elapsed_ns, self._at_ns = Ns(at_ns - self._at_ns), at_ns
        if self._seat.player.number != self._whose:
            self.stop()
        if not self.over:
            self._become(session.pass_time(self.plan, self._watched(), elapsed_ns))

    def pause(self) -> None:
        """The player pauses."""
        self._become(session.pause(self._now))

    def go_on(self) -> None:
        """The player goes on and leaves what is done meanwhile; the part's run starts again, with the time it had."""
        if self._now.paused:
            self._seat.end(why="the plan went on")
        self._become(session.go_on(self._now))

    def skip(self) -> None:
        """The player leaves out what is left of the part or the break."""
        self._become(session.skip(self.plan, self._now))

    def stop(self) -> None:
        """The player stops it."""
        self._become(session.stop(self._now))

    def _watched(self) -> Session:
        now, activity = self._now, self._activity
        if (
            now.state is SessionState.BETWEEN and self._seat.busy
        ):  # what the player does is not torn away by the next part
            return session.pause(now)
        if now.state is not SessionState.PLAYING or now.paused or activity is None:
            return now
        if isinstance(activity, Climbing | TuneClimbing):
            self._news = activity.news
        now = session.count_reps(self.plan, now, self._reps_before + activity.tally.played)
        if self._seat.practising is activity or now.state is not SessionState.PLAYING:
            return now
        ended = isinstance(activity, Climbing | TuneClimbing) and activity.is_over
        return session.end_ladder(self.plan, now) if ended else session.pause(now)

    def _become(self, now: Session) -> None:
        before, self._now = self._now, now
        was, is_now = ((one.state, one.part, one.paused) for one in (before, now))
        if was != is_now:
            self._end_run(self.plan.parts[before.part], same=now.part == before.part)
            if now.state is SessionState.PLAYING and not now.paused:
                self._reps_before = now.reps
                self._start(self.plan.parts[now.part])
                self._activity = self._seat.practising
        shown = self.shown
        if shown != self._last:
            self._last = shown
            self._show(shown)

    def _end_run(self, part: Part, *, same: bool) -> None:
        """End the run that this plan has started, and no other; ``same``: its part goes on later."""
        activity, self._activity = self._activity, None
        before, self._clean_before = self._clean_before, self._clean_before if same else 0
        if activity is None:
            return
        if self._seat.practising is activity:
            self._seat.stop_practice()
        if isinstance(activity, Climbing | TuneClimbing):
            self._news = activity.news
            return
        tally = activity.tally
        if same:
            self._clean_before += tally.clean
        self._news = outcome(part, before + tally.clean, self._reps_before + tally.played)
