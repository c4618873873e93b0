"""What is kept until it has arrived."""

from chanterd.hearing.outbox import MOST_BYTES, Outbox
from chanterd.hearing.remote import LONGEST_GAP_NS
from chanterd.music.units import NS_PER_S, Ns


def test_what_has_not_arrived_is_sent_again_in_order() -> None:
    """From the number that the other side asks for."""
    box = Outbox()
    sent = [box.add(Ns(number), bytes([number])) for number in range(5)]
    assert [one.number for one in sent] == [0, 1, 2, 3, 4]
    assert box.since(2) == (2, sent[2:])
    assert box.since(5) == (5, [])


def test_ten_seconds_are_kept_and_no_more() -> None:
    """A link that is down for longer loses what is older; how much is known, and where it begins again."""
    box = Outbox()
    for second in range(13):
        box.add(Ns(second * NS_PER_S), b"xyz")
    begins, waiting = box.since(0)
    assert (begins, box.lost, len(waiting)) == (2, 2, 11)
    assert waiting[-1].at_ns - waiting[0].at_ns == LONGEST_GAP_NS


def test_a_flood_is_bounded() -> None:
    """A device gone mad fills no memory."""
    box = Outbox()
    for _ in range(30):
        box.add(Ns(0), bytes(100_000))
    _, waiting = box.since(0)
    assert sum(len(one.data) for one in waiting) <= MOST_BYTES
