"""Listening while somebody plays."""

from chanterd.listening.live import SETTLED_NS, HeardNow, LiveListener
from chanterd.music.heard import Onset
from chanterd.music.units import NS_PER_MS, Ns
from tests.listening.played_notes import heard_notes

TICK_NS = 20 * NS_PER_MS
GRIP = "B700 G60 d30 G60 c700"


def played(written: str) -> list[tuple[int, HeardNow]]:
    """Everything that is recognised, with when it was, a tick every 20 ms."""
    live, found, now = LiveListener(), [], 0
    for one in heard_notes(written):
        while now + TICK_NS < one.at_ns:
            now += TICK_NS
            found += [(now, each) for each in live.tick(Ns(now))]
        found += [(one.at_ns, each) for each in live.hear(one)]
    return found + [(now, each) for each in live.finish(Ns(now))]


def test_an_ornament_is_shown_within_300_ms_of_its_melody_note_and_again_when_final() -> None:
    """Once each."""
    found = played(GRIP)
    assert [one.final for _, one in found] == [False, True]
    at_ns, first = found[0]
    assert SETTLED_NS <= at_ns - first.found.sounds[-1].onset_ns < 300 * NS_PER_MS


def test_quick_playing_is_shown_in_time_too() -> None:
    """Where melody notes are shorter than the time that it takes to be sure."""
    found = played("A160 g30 c130 d30 c130 g30 e140 g30 A600")
    late = [at_ns - one.found.sounds[-1].onset_ns for at_ns, one in found if not one.final]
    assert late
    assert max(late) < 300 * NS_PER_MS


def test_three_of_the_same_at_steady_distances_are_noticed() -> None:
    """As soon as the third is shown, with the tempo and the place of its beat."""
    live = LiveListener()
    heard = [one for one in heard_notes(f"{GRIP} {GRIP} {GRIP}") if isinstance(one, Onset)]
    for one in heard:
        assert live.repeated is None
        live.tick(Ns(one.at_ns - 1))
        live.hear(one)
    live.tick(Ns(heard[-1].at_ns + SETTLED_NS))
    repeated = live.repeated
    assert repeated is not None
    assert repeated.drill == "grip from B to C"
    assert repeated.click_bpm == round(120_000 / 1550, 1)
    assert repeated.beat_ns == heard[-1].at_ns


def test_another_ornament_ends_the_repetition() -> None:
    """What was noticed is of now."""
    live = LiveListener()
    for one in heard_notes(f"{GRIP} {GRIP} {GRIP} A700 g35 A700"):
        live.hear(one)
        live.tick(Ns(one.at_ns + 1))
    live.finish(Ns(20_000 * NS_PER_MS))
    assert live.repeated is None


def test_uneven_distances_are_no_repetition() -> None:
    """Somebody tries the same thing now and then."""
    live = LiveListener()
    for one in heard_notes(f"{GRIP} c2000 {GRIP} {GRIP} c5000 {GRIP}"):
        live.hear(one)
    live.finish(Ns(60_000 * NS_PER_MS))
    assert live.repeated is None
