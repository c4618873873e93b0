"""A take on its way into the history, in the event loop: the chanter's messages become a track, a part at a time."""

import mido

from chanterd.hearing.chanter import Profile
from chanterd.hearing.track import ALL_SOUND_OFF, TrackWriter
from chanterd.music.units import Ns


class TakeRecording:
    """What recordings of drills, of tunes and of free playing share: the track of their take."""

    def __init__(self, track: TrackWriter, begins_ns: Ns, profile: Profile, calibration_ns: Ns | None) -> None:
        """``begins_ns`` is time 0 of the take; the calibration is subtracted from the time of every message."""
        self._track = track
        self._begins_ns = begins_ns
        self._channel = (profile.channel or 1) - 1
        self._calibration_ns = calibration_ns or 0
        self._last_ns: int | None = None  # of the last message, with the calibration subtracted

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Record a message with the daemon's own time stamp, before any calibration is subtracted."""
        self._last_ns = self.corrected(at_ns)
        self._track.add(message, self._last_ns - self._begins_ns)

    def corrected(self, at_ns: Ns) -> Ns:
        """A time as stamped with the calibration subtracted."""
        return Ns(at_ns - self._calibration_ns)

    def silence(self, at_ns: Ns) -> None:
        """Record that the chanter fell silent, if no message says so, as when it is unplugged."""
        if at_ns != self._last_ns:
            off = mido.Message("control_change", control=ALL_SOUND_OFF, channel=self._channel)
            self._track.add(off, at_ns - self._begins_ns)
