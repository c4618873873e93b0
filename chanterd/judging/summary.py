"""The summary of a run: how many reps were clean, where the beat fell, how long the steps were, which faults came.

Bias, spread and drift are robust (see ``robust``). Nothing is said of a bias until twice its standard error is less
than what can be heard against the click, whose interval is the one that counts (``limit.HEARD``).
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from statistics import fmean, median

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.limit import HEARD
from chanterd.judging.report import STRICT, Lengths, RepResult
from chanterd.judging.robust import drift, scatter, spread, standard_error
from chanterd.judging.teacher import Facts, Remarks, Size, remarks
from chanterd.music.drill import Drill
from chanterd.music.units import NS_PER_MS


@with_config(STRICT)
class Beat(TypedDict):
    """Where the step that belongs on the beat fell, over the reps in which it was heard; + = late."""

    heard: int
    median_ms: float | None
    """The bias."""
    spread_ms: float | None
    """None with fewer than two."""
    drift_ms: float | None
    """How much later each rep was than the one before it (- earlier); None with fewer than two."""
    error_ms: float | None
    """Twice the standard error of the bias; None while there are too few."""
    heard_from_ms: float
    """What can be heard against the click."""
    known: bool
    """Whether the error is below that; until then there are not enough reps to speak of a bias."""


@with_config(STRICT)
class Sizes(TypedDict):
    """The player's own size of one kind of step, over all that were played as asked."""

    count: int
    median_ms: float | None
    spread_ms: float | None
    """None with fewer than two."""
    longest_over_shortest: float | None
    """Within a rep, the median over the reps; None if no rep had two."""


@with_config(STRICT)
class Summary(TypedDict):
    """All reps together."""

    reps: int
    played: int
    clean: int
    longest_row: int
    """The most clean reps in a row."""
    beat: Beat
    held: Sizes
    quick: Sizes
    faults: dict[str, int]
    """In how many reps each fault came, the commonest first; of equals the one that came first."""
    remarks: Remarks
    """The same in a teacher's words, with what to practise next."""


@dataclass(slots=True)
class SizesSoFar:
    """One kind of step."""

    lengths_ms: list[float] = field(default_factory=list)
    times: list[float] = field(default_factory=list)
    means_ms: list[float] = field(default_factory=list)
    """Of each rep, which show whether they are the same each time."""

    def add(self, lengths: Lengths) -> None:
        """Take a rep's."""
        self.lengths_ms += lengths["lengths_ms"]
        if lengths["lengths_ms"]:
            self.means_ms.append(fmean(lengths["lengths_ms"]))
        if lengths["longest_over_shortest"] is not None:
            self.times.append(lengths["longest_over_shortest"])

    @property
    def sizes(self) -> Sizes:
        """So far."""
        lengths = self.lengths_ms
        return Sizes(
            count=len(lengths),
            median_ms=round(median(lengths), 3) if lengths else None,
            spread_ms=round(spread(lengths), 3) if len(lengths) > 1 else None,
            longest_over_shortest=round(median(self.times), 3) if self.times else None,
        )


@dataclass(slots=True)
class RunSoFar:
    """What is kept of the reps of one run to sum them up: a few numbers each."""

    drill: Drill | None = None
    """None: nothing can be said about what to practise next."""
    click_bpm: float = 0.0
    """0: not known; then only the least that can be heard in any interval counts."""
    click_off: bool = False
    """It was played without a click, and nothing is remarked on where the click was."""
    reps: int = 0
    clean: list[bool] = field(default_factory=list)
    _at: list[float] = field(default_factory=list)
    _anchors_ms: list[float] = field(default_factory=list)
    _held: SizesSoFar = field(default_factory=SizesSoFar)
    _quick: SizesSoFar = field(default_factory=SizesSoFar)
    _faults: Counter[str] = field(default_factory=Counter)
    _drills: Counter[tuple[str, str | None]] = field(default_factory=Counter)

    def add(self, rep: RepResult) -> None:
        """Take the next rep."""
        self.reps += 1
        if rep["skipped"]:
            return
        self.clean.append(rep["clean"])
        if rep["anchor_ms"] is not None:
            self._at.append(rep["rep"])
            self._anchors_ms.append(rep["anchor_ms"])
        self._held.add(rep["shape"]["held"])
        self._quick.add(rep["shape"]["quick"])
        # No set: its order differs from run to run, and equal counts are listed in the order in which they came.
        self._faults.update([*dict.fromkeys(fault["fault"] for fault in rep["faults"])])
        self._drills.update([*dict.fromkeys((fault["fault"], fault["drill"]) for fault in rep["faults"])])

    def summary(self) -> Summary:
        """All of them so far."""
        longest = row = 0
        for clean in self.clean:
            row = row + 1 if clean else 0
            longest = max(longest, row)
        beat, faults = self._beat(), dict(self._faults.most_common())
        held, quick = self._held.sizes, self._quick.sizes
        facts = Facts(
            drill=self.drill,
            click_bpm=self.click_bpm,
            played=len(self.clean),
            clean=sum(self.clean),
            longest_row=longest,
            bias_ms=beat["median_ms"] if beat["known"] else None,
            spread_ms=beat["spread_ms"],
            drift_ms=beat["drift_ms"],
            heard_from_ms=beat["heard_from_ms"],
            sizes={"held": _size(held, self._held.means_ms), "quick": _size(quick, self._quick.means_ms)},
            faults=faults,
            helping=self._helping(next(iter(faults), None)),
            click_off=self.click_off,
        )
        return Summary(
            reps=self.reps,
            played=facts.played,
            clean=facts.clean,
            longest_row=longest,
            beat=beat,
            held=held,
            quick=quick,
            faults=faults,
            remarks=remarks(facts),
        )

    def _beat(self) -> Beat:
        anchors, click_ns = self._anchors_ms, 60e9 / self.click_bpm if self.click_bpm else 0.0
        error, slope = standard_error(anchors), drift(anchors, self._at)
        heard_from_ms = HEARD.of(click_ns) / NS_PER_MS
        return Beat(
            heard=len(anchors),
            median_ms=round(median(anchors), 3) if anchors else None,
            spread_ms=round(spread(anchors), 3) if len(anchors) > 1 else None,
            drift_ms=None if slope is None else round(slope, 3),
            error_ms=None if error is None else round(2 * error, 3),
            heard_from_ms=round(heard_from_ms, 3),
            known=error is not None and 2 * error < heard_from_ms,
        )

    def _helping(self, fault: str | None) -> str | None:
        """The drill most often advised for that fault."""
        return next((drill for (name, drill), _ in self._drills.most_common() if name == fault), None)


def _size(sizes: Sizes, means_ms: Sequence[float]) -> Size:
    wide = sizes["spread_ms"]
    if wide is not None and len(means_ms) > 1:
        wide = max(wide, scatter(means_ms))
    return Size(sizes["median_ms"], wide, sizes["longest_over_shortest"])


def summarise(
    reps: Iterable[RepResult], drill: Drill | None = None, click_bpm: float = 0.0, *, click_off: bool = False
) -> Summary:
    """Sum up the reps of one run; see :class:`RunSoFar` for what the rest is for."""
    run = RunSoFar(drill, click_bpm, click_off)
    for rep in reps:
        run.add(rep)
    return run.summary()
