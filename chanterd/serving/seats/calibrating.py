"""The activity of calibrating: sixteen clicks, answered on the chanter."""

from collections.abc import Callable
from dataclasses import replace

import mido

from chanterd.config import ChanterdError
from chanterd.hearing.source import Cue, Phrase
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Heard, Onset
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS, Ms, Ns
from chanterd.practice.calibrate import CALIBRATION_BPM, CLICKS, Calibrated, Calibration
from chanterd.serving.seats.activity import STOPPED, Output
from chanterd.serving.wire.frames import CalibrationFrame
from chanterd.serving.wire.shapes import CalibrationShown
from chanterd.serving.wire.views import grid_view

GRACENOTE_NS = Ns(40 * NS_PER_MS)


class Calibrating:
    """One calibration; what it measures goes to ``keep``, which raises ChanterdError if it cannot be written."""

    corrected = False

    def __init__(self, keep: Callable[[Ms], None], output: Output, beat0_ns: Ns | None = None) -> None:
        """``beat0_ns``: when the first click falls; left out, after a count-in that begins now."""
        self._keep = keep
        self._output = output
        first_ns = output.first_beat(CALIBRATION_BPM) if beat0_ns is None else beat0_ns
        self._grid = TempoGrid(CALIBRATION_BPM, first_ns)
        self._calibration = Calibration(self._grid)
        self._shown = self._calibration.running()

    @property
    def cue(self) -> Cue:
        """A low A with a G gracenote on every click, for the inputs that perform."""
        click_ns = Ns(round(self._grid.click_ns))
        return Cue(self._grid.beat0_ns, click_ns, (Phrase((Note.HIGH_G, Note.LOW_A), (Ns(0), GRACENOTE_NS)),))

    @property
    def shown(self) -> CalibrationShown:
        """How far it has come."""
        shown = self._shown
        return CalibrationShown(
            state=shown.state,
            grid=grid_view(self._grid, clicks_per_rep=4, ornament_beat=0),
            clicks=CLICKS,
            heard=shown.heard,
            calibration_ms=shown.calibration_ms,
            spread_ms=shown.spread_ms,
            said=shown.said,
        )

    def begin(self) -> None:
        """Tell the clicks."""
        self._publish(self.shown)

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Of messages themselves nothing is needed."""

    def hear(self, heard: Heard) -> None:
        """Count an answer."""
        if isinstance(heard, Onset):
            self._follow(self._calibration.hear(heard))

    def tick(self, now_ns: Ns) -> bool:
        """Over when the last click has had its time."""
        if now_ns <= self._calibration.ends_ns:
            return True
        self.finish()
        return False

    def finish(self) -> None:
        """Measure with what was heard."""
        result = self._calibration.result()
        if result.calibration_ms is not None:
            try:
                self._keep(result.calibration_ms)
            except ChanterdError as error:
                result = replace(result, state="failed", said=str(error))
        self._follow(result)

    def end(self, why: str = STOPPED) -> None:  # noqa: ARG002 - nothing of it is kept
        """Tell that it was broken off."""
        self._publish(None)

    def _follow(self, calibrated: Calibrated) -> None:
        if calibrated != self._shown:
            self._shown = calibrated
            self._publish(self.shown)

    def _publish(self, shown: CalibrationShown | None) -> None:
        self._output.publish(CalibrationFrame(kind="calibration", seat=self._output.seat, calibration=shown))
