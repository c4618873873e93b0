"""Listening to what the page renders: which note sounds about an instant, and when one gives way to the next.

Frequencies by autocorrelation (its first high peak is at one period), onsets where one note's period gives way to the
next one's.
"""

from base64 import b64decode

import numpy as np
from numpy.typing import NDArray

from chanterd.music.note import note_from_words
from tests.browser.bookshelf import TUNINGS

RATE = 48_000
LOWEST_HZ, HIGHEST_HZ = 380.0, 1100.0

PACKED = """(samples) => {
  const bytes = new Uint8Array(samples.buffer);
  let text = "";
  for (let at = 0; at < bytes.length; at += 32768) text += String.fromCharCode(...bytes.subarray(at, at + 32768));
  return btoa(text);
}"""
"""Makes one text of a Float32Array in the browser: half a million numbers would each be wrapped on their way here."""

Sound = NDArray[np.float64]


def unpacked(packed: str) -> Sound:
    """The samples in it."""
    return np.frombuffer(b64decode(packed), dtype="<f4").astype(np.float64)


def hz(note: str, tuning: int = 0) -> float:
    """The frequency of a note by the tuning's table, low G first."""
    return float(TUNINGS[tuning]["hz"][note_from_words(note).value])  # type: ignore[arg-type]


def likeness(sound: Sound, middle_s: float, at_hz: float, window_s: float = 0.012) -> float:
    """How well the sound about an instant repeats after one period of that frequency, at most 1."""
    half, lag = int(window_s * RATE / 2), RATE / at_hz
    middle = round(middle_s * RATE)
    points = np.arange(middle - half, middle + half)
    here = sound[points]
    reach = np.arange(points[0], min(points[-1] + int(lag) + 2, len(sound)))
    later = np.interp(points + lag, reach, sound[reach])
    return float(here @ later / np.sqrt((here @ here) * (later @ later) + 1e-12))


def frequency(sound: Sound, middle_s: float) -> float:
    """The frequency about an instant: the shortest period after which the sound repeats nearly as well as ever."""
    tried = np.geomspace(HIGHEST_HZ, LOWEST_HZ, 900)
    alike = np.array([likeness(sound, middle_s, one) for one in tried])
    peaks = [k for k in range(1, len(tried) - 1) if alike[k - 1] < alike[k] > alike[k + 1]]
    best = max(alike[k] for k in peaks)
    return float(next(tried[k] for k in peaks if alike[k] > best - 0.03))


def change(sound: Sound, near_s: float, before: str, after: str, within_s: float = 0.014) -> float:
    """When one note gives way to another, near an instant."""
    instants = near_s + np.arange(-within_s, within_s, 0.0005)
    # A window about `instant` looks one period ahead: half a period is taken off again.
    lean = 0.25 / hz(before) + 0.25 / hz(after)
    won = [
        likeness(sound, instant - lean, hz(after), 0.008) > likeness(sound, instant - lean, hz(before), 0.008)
        for instant in instants
    ]
    return float(instants[won.index(True)])
