"""A chanter on another machine: in order, once, and never late because of the link."""

from random import Random

import mido  # noqa: TC002 - named in an annotation of a class
import pytest

from chanterd.hearing.clock_offset import Exchange
from chanterd.hearing.remote import LONGEST_GAP_NS, MARGIN_NS, Numbered, RemoteSource
from chanterd.hearing.source import SourceStatus  # noqa: TC001
from chanterd.music.units import NS_PER_MS, NS_PER_S, Ns

AHEAD_NS = -7_000 * NS_PER_S
"""Their clock was started earlier than ours."""


class Link:
    """A remote source, our clock, and all it has delivered."""

    def __init__(self) -> None:
        self.now_ns = Ns(100 * NS_PER_S)
        self.source = RemoteSource("Ailsa's laptop", lambda: self.now_ns)
        self.heard: list[tuple[mido.Message, Ns]] = []
        self.said: list[SourceStatus] = []
        self.source.start(lambda message, at_ns: self.heard.append((message, at_ns)), self.said.append)

    def compare(self, there_ms: float = 5.0, back_ms: float = 5.0) -> None:
        """Exchange stamps now."""
        asked = Ns(self.now_ns - AHEAD_NS)
        self.now_ns = Ns(self.now_ns + round(there_ms * NS_PER_MS))
        received = self.now_ns
        heard = Ns(received - AHEAD_NS + round(back_ms * NS_PER_MS))
        self.source.compare(Exchange(asked, received, received, heard))

    def send(self, number: int, at_ns: int, note: int = 71) -> bool:
        """A message played then, on our clock."""
        return self.source.take(Numbered(number, Ns(at_ns - AHEAD_NS), bytes([0x90, note, 64])))


@pytest.fixture
def link() -> Link:
    """Joined, with the clocks compared."""
    made = Link()
    assert made.source.link() == 0
    made.compare()
    return made


def test_stamps_are_on_our_clock(link: Link) -> None:
    """Whatever the two clocks say, and however long the way took."""
    played = link.now_ns
    link.now_ns = Ns(link.now_ns + 90 * NS_PER_MS)
    assert link.send(0, played)
    [(message, at_ns)] = link.heard
    assert (message.type, message.note, at_ns) == ("note_on", 71, played)


def test_nothing_is_delivered_twice_or_out_of_order(link: Link) -> None:
    """What comes again is passed over; what comes too soon waits to be sent again."""
    now = link.now_ns
    assert [link.send(0, now), link.send(0, now), link.send(2, now + 2), link.send(1, now + 1)] == [
        True,
        False,
        False,
        True,
    ]
    assert link.source.next_number == 2
    assert link.send(2, now + 2)
    assert [at_ns - now for _, at_ns in link.heard] == [0, 1, 2]


def test_after_a_break_it_goes_on_where_it_was(link: Link) -> None:
    """The other side hears which message is wanted next, and sends what it kept."""
    now = link.now_ns
    link.send(0, now)
    link.source.unlink()
    assert not link.source.linked
    link.now_ns = Ns(now + 8 * NS_PER_S)
    assert link.source.link() == 1
    assert all(link.send(number, now + number * NS_PER_S) for number in range(1, 8))
    assert [at_ns for _, at_ns in link.heard] == [now + number * NS_PER_S for number in range(8)]
    assert [one.state for one in link.said] == ["waiting", "ready", "gone", "ready"]


def test_nothing_is_taken_before_the_clocks_are_compared() -> None:
    """Nobody could say when it was played; the other side keeps it until then."""
    link = Link()
    link.source.link()
    assert not link.send(0, link.now_ns)
    link.compare()
    assert link.send(0, link.now_ns)


def test_a_seat_waits_for_as_long_as_the_link_needs(link: Link) -> None:
    """The longest way of late; while it is down, since it went; after ten seconds no longer."""
    for number, way_ms in enumerate((20, 110, 60)):
        played = link.now_ns
        link.now_ns = Ns(link.now_ns + way_ms * NS_PER_MS)
        link.send(number, played)
    assert link.source.lag_ns == 110 * NS_PER_MS + MARGIN_NS
    link.source.unlink()
    link.now_ns = Ns(link.now_ns + 4 * NS_PER_S)
    assert link.source.lag_ns == 4 * NS_PER_S + MARGIN_NS
    link.now_ns = Ns(link.now_ns + LONGEST_GAP_NS)
    assert link.source.lag_ns == 110 * NS_PER_MS + MARGIN_NS


def test_stamps_never_go_back(link: Link) -> None:
    """A better comparison of the clocks between two notes does not change their order."""
    dice, played = Random(3), list[Ns]()  # noqa: S311 - simulated delays, no secret
    for number in range(300):
        link.compare(dice.uniform(40, 120), dice.uniform(40, 120))
        played.append(link.now_ns)
        link.now_ns = Ns(link.now_ns + round(dice.uniform(40, 120)) * NS_PER_MS)
        assert link.send(number, played[-1])
    stamps = [at_ns for _, at_ns in link.heard]
    assert stamps == sorted(stamps)
    late_ms = [(at_ns - true) / NS_PER_MS for at_ns, true in zip(stamps, played, strict=True)][150:]
    assert max(map(abs, late_ms)) < 2


def test_what_was_given_up_is_counted_and_waited_for_no_longer(link: Link) -> None:
    """After a break of more than ten seconds it begins with a later number."""
    link.send(0, link.now_ns)
    assert link.source.skip_to(6) == 5
    assert link.source.skip_to(3) == 0
    assert link.send(6, link.now_ns)


def test_nothing_comes_after_the_stop(link: Link) -> None:
    """Not even what was on its way."""
    link.source.stop()
    link.send(0, link.now_ns)
    link.source.unlink()
    assert (link.heard, len(link.said)) == ([], 2)
