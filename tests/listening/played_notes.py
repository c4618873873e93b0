"""Notes as they were played, written short: ``B900 G60 d30 G60 c900`` is a B of 900 ms, then a grip to C.

Letters are those of ABC; ``-`` is silence.
"""

from chanterd.judging.standard import Standard, read_standards
from chanterd.listening.found import Found
from chanterd.listening.listener import Listener
from chanterd.listening.neighbours import reconsidered
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.note import note_from_abc
from chanterd.music.units import NS_PER_MS, Ns


def heard_notes(written: str, start_ms: float = 1000.0) -> list[Heard]:
    """The onsets, and the silence at the end."""
    heard: list[Heard] = []
    at_ms = start_ms
    for word in written.split():
        at_ns = Ns(round(at_ms * NS_PER_MS))
        heard.append(Silence(at_ns) if word[0] == "-" else Onset(note_from_abc(word[0]), at_ns))
        at_ms += float(word[1:])
    return [*heard, Silence(Ns(round(at_ms * NS_PER_MS)))]


def found_in(written: str) -> list[Found]:
    """All ornaments in it, as a take is listened to."""
    listener = Listener()
    heard = heard_notes(written)
    found = [one for each in heard for one in listener.hear(each)]
    return reconsidered([*found, *listener.finish(heard[-1].at_ns)])


def words_in(written: str) -> list[str | None]:
    """The drills in words; an ornament's name where there is no drill, None for what is no ornament of the book."""
    return [one.way.words or one.way.ornament.name if one.way else None for one in found_in(written)]


def steady() -> Standard:
    """The usual standard."""
    return read_standards()["steady"]
