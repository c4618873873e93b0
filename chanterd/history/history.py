"""The history as a daemon holds it: the store, its writer, and a new recording for each run that begins."""

import logging
import threading
from collections.abc import Callable
from uuid import uuid4

from chanterd.hearing.chanter import Profile
from chanterd.hearing.track import lead_in_for
from chanterd.history.free_record import FreeBegun
from chanterd.history.free_recording import FreeRecording
from chanterd.history.players import Player
from chanterd.history.record import Entry, RunBegun
from chanterd.history.recording import Recording
from chanterd.history.store import Store
from chanterd.history.tune_record import TuneBegun, TunePassage
from chanterd.history.tune_recording import TuneRecording
from chanterd.history.wall_clock import WallTime, read_wall
from chanterd.history.writer import ReportTrouble, Writer
from chanterd.music.units import NS_PER_MS, Ms, Ns
from chanterd.practice.run import Run

LOG = logging.getLogger(__name__)
CHECK_S = 1.0
"""How much longer the check for damage may take when the history closes, seconds."""


class History:
    """An open history. On another thread it calls ``report`` with what is wrong, or with None once all is well."""

    def __init__(self, store: Store, report: ReportTrouble, wall: Callable[[], WallTime] = read_wall) -> None:
        self.store = store
        self.wall = wall
        self.writer = Writer(store, report)
        self._report = report
        self._check = threading.Thread(target=self._look_for_damage, name="history check", daemon=True)
        self._check.start()

    def _look_for_damage(self) -> None:
        said = self.store.damage()
        if said is not None:
            LOG.error("%s", said)
            self._report(said)

    def record(
        self,
        player: Player,
        run: Run,
        heard_by: tuple[str, Profile, Ms | None],
        now_ns: Ns,
        *,
        keep: bool = True,
    ) -> Recording:
        """Record a player's run from now on; ``heard_by``: the input's name, the profile, the calibration in ms.

        Without ``keep``, nothing of it is written.
        """
        source, profile, calibration_ms = heard_by
        grid = run.grid
        begun = RunBegun(
            key=uuid4().hex,
            player=player.number,
            name=player.name,
            wall=self.wall(),
            exercise=run.exercise,
            walks=run.score.changes,
            input=source,
            profile=profile,
            calibration_ns=_ns(calibration_ms),
            lead_in_clicks=lead_in_for(now_ns - grid.beat0_ns, grid.click_bpm) + 1,
        )
        return Recording(begun, grid.beat0_ns, self.writer.put if keep else _forget, self.wall)

    def record_tune(
        self,
        player: Player,
        passage: TunePassage,
        heard_by: tuple[str, Profile, Ms | None],
        now_ns: Ns,
        begins_ns: Ns,
        *,
        ago_ns: int = 0,
    ) -> TuneRecording:
        """Record a player's run through a tune from now on, or from so long ago.

        ``begins_ns`` is when its first note is due.
        """
        source, profile, calibration_ms = heard_by
        wall = self.wall()
        begun = TuneBegun(
            key=uuid4().hex,
            player=player.number,
            name=player.name,
            wall=WallTime(wall.ns - ago_ns, wall.utc_offset_s),
            passage=passage,
            input=source,
            profile=profile,
            calibration_ns=_ns(calibration_ms),
            lead_in_clicks=lead_in_for(now_ns - begins_ns, passage.click_bpm) + 1,
        )
        return TuneRecording(begun, begins_ns, self.writer.put, self.wall)

    def record_free(
        self, player: Player, standard: str, heard_by: tuple[str, Profile, Ms | None], begins_ns: Ns
    ) -> FreeRecording:
        """Record what a player plays with nothing chosen, from ``begins_ns`` on, judged by that standard."""
        source, profile, calibration_ms = heard_by
        begun = FreeBegun(
            key=uuid4().hex,
            player=player.number,
            name=player.name,
            wall=self.wall(),
            standard=standard,
            input=source,
            profile=profile,
            calibration_ns=_ns(calibration_ms),
        )
        return FreeRecording(begun, begins_ns, self.writer.put, self.wall)

    def close(self) -> None:
        """Write what still waits and close the database. Call it outside the event loop."""
        self.writer.close()
        self._check.join(CHECK_S)
        self.store.close()


def _ns(calibration_ms: Ms | None) -> Ns | None:
    return None if calibration_ms is None else Ns(round(calibration_ms * NS_PER_MS))


def _forget(_: Entry) -> None:
    """For a player who does not want to be kept."""
