"""Stamps against a simulated driver and a simulated reader, where the truth is known."""

import math
import random
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from chanterd.hearing.stamp import Stamper, StampLimits
from chanterd.music.units import NS_PER_MS, NS_PER_S

POLL_NS = NS_PER_MS // 2
"""The simulated reader looks this often, as the real one does."""
LATE_NS = 30 * NS_PER_MS
START_NS = 5 * NS_PER_S

gaps_ms = st.lists(st.integers(3, 2000), min_size=30, max_size=60)
"""From a crossing noise to a rest."""


@dataclass(frozen=True)
class Stall:
    """The interpreter is stopped."""

    begin_ns: int
    end_ns: int


@dataclass(frozen=True)
class Read:
    """One message as the reader sees it."""

    arrival_ns: int
    delta_s: float
    empty_ns: int


def reads(played_ns: Sequence[int], deltas_s: Sequence[float], stalls: Sequence[Stall] = ()) -> list[Read]:
    """What a reader that looks on every tick, but not in a stall (in order), makes of messages that came then."""
    found: list[Read] = []
    for came_ns, delta_s in zip(played_ns, deltas_s, strict=True):
        arrival_ns = -(-came_ns // POLL_NS) * POLL_NS
        empty_ns = (came_ns - 1) // POLL_NS * POLL_NS
        for stall in stalls:
            if stall.begin_ns <= arrival_ns < stall.end_ns:
                arrival_ns = -(-stall.end_ns // POLL_NS) * POLL_NS
        for stall in reversed(stalls):
            if stall.begin_ns <= empty_ns < stall.end_ns:
                empty_ns = (stall.begin_ns - 1) // POLL_NS * POLL_NS
        if found and empty_ns <= found[-1].arrival_ns:
            # Nothing was seen between the two but the queue's end, right after the one before was read.
            same = found[-1].arrival_ns == arrival_ns
            empty_ns = found[-1].empty_ns if same else found[-1].arrival_ns
        found.append(Read(arrival_ns, delta_s, empty_ns))
    return found


def at(gaps: Sequence[float]) -> list[int]:
    """When notes were played, given the ms between them."""
    return [START_NS, *(START_NS + round(sum_ms * NS_PER_MS) for sum_ms in np.cumsum(gaps))]


def differences(played_ns: Sequence[int], rate: float = 1.0) -> list[float]:
    """The driver's time differences in seconds: 0 for the first; ``rate`` is the speed of its clock."""
    return [0.0, *(float(gap_ns) * rate / NS_PER_S for gap_ns in np.diff(played_ns))]


def stamps(stamper: Stamper, messages: Sequence[Read]) -> list[int]:
    """What the stamper says of each."""
    return [stamper.stamp(one.arrival_ns, one.delta_s, one.empty_ns) for one in messages]


def proved(steps: int = 30) -> list[float]:
    """Gaps in ms that are enough for a driver to be believed."""
    return [10.0] * steps


@given(
    gaps=gaps_ms,
    begins_ms=st.lists(st.integers(200, 20_000), max_size=3),
    length_ms=st.integers(1, 400),
    ppm=st.integers(-100, 100),
)
def test_a_stall_does_not_make_the_player_look_late(
    gaps: list[int], begins_ms: list[int], length_ms: int, ppm: int
) -> None:
    """With a good driver a stamp is off by no more than a tick, and by what the clocks drift apart, whatever stalls."""
    played_ns = at([*proved(), *gaps])
    stalls = [Stall(START_NS + ms * NS_PER_MS, START_NS + (ms + length_ms) * NS_PER_MS) for ms in sorted(begins_ms)]
    stamper = Stamper()
    found = stamps(stamper, reads(played_ns, differences(played_ns, 1 + ppm / 1e6), stalls))
    assert stamper.timing == "driver"
    # Stalls may join and last up to 1.2 s; until a message comes in time again, the clocks drift at 300 ppm at most.
    drift_ns = (max(gaps) + 3 * length_ms) * NS_PER_MS * 300 // 1_000_000
    errors_ns = np.subtract(found, played_ns)[20:]
    assert max(abs(errors_ns)) <= POLL_NS + drift_ns + 2000


def test_a_stall_of_50_ms_is_seen_in_arrivals_and_not_in_stamps() -> None:
    """Notes every 10 ms over a stall arrive up to 50 ms late and are stamped within half a millisecond."""
    played_ns = at(proved(60))
    stall = Stall(START_NS + 400 * NS_PER_MS + 1, START_NS + 450 * NS_PER_MS + 1)
    messages = reads(played_ns, differences(played_ns), [stall])
    late_ns = max(one.arrival_ns - played for one, played in zip(messages, played_ns, strict=True))
    assert late_ns > 40 * NS_PER_MS
    assert max(np.subtract(stamps(Stamper(), messages), played_ns)) <= POLL_NS


@given(st.lists(st.tuples(st.integers(0, 10**9), st.integers(0, 10**9), st.floats()), min_size=1))
def test_a_stamp_is_between_the_one_before_and_its_arrival(rows: list[tuple[int, int, float]]) -> None:
    """Whatever the driver says, not-a-number and minus infinity included, no stamp is late or out of order."""
    stamper, arrival_ns, before_ns = Stamper(), 0, 0
    for gap_ns, since_ns, delta_s in rows:
        arrival_ns += gap_ns
        stamp_ns = stamper.stamp(arrival_ns, delta_s, max(0, arrival_ns - since_ns))
        assert before_ns <= stamp_ns <= arrival_ns
        before_ns = stamp_ns


def test_order_is_kept_where_the_driver_begins_to_be_believed() -> None:
    """After a note that was stamped late by its arrival, one that the driver puts before that is stamped no earlier."""
    base_ns = START_NS
    first = Read(base_ns, 0.0, base_ns - POLL_NS)
    stalled = Read(base_ns + 99 * NS_PER_MS, 0.05, base_ns + 40 * NS_PER_MS)
    believed = Read(base_ns + 100 * NS_PER_MS, 0.01, base_ns + 40 * NS_PER_MS)
    stamper = Stamper()
    found = stamps(stamper, [first, stalled, believed])
    assert stamper.timing == "driver"
    assert found == [first.arrival_ns, stalled.arrival_ns, stalled.arrival_ns]


@given(gaps=gaps_ms, delays_us=st.lists(st.integers(0, 20_000), min_size=61, max_size=61))
def test_the_least_delayed_message_is_believed(gaps: list[int], delays_us: list[int]) -> None:
    """Without drift the offset is the running minimum of arrival less driver time (RFC 5905 s.10, the lowest delay)."""
    played_ns = at(gaps)
    arrivals_ns = np.maximum.accumulate(np.add(played_ns, np.multiply(delays_us[: len(played_ns)], 1000)))
    driver_ns = np.subtract(played_ns, START_NS)
    stamper = Stamper(StampLimits(drift_ppm=0, prove_ns=0))
    found = [
        stamper.stamp(int(arrival_ns), delta_s, int(played) - 1)
        for arrival_ns, delta_s, played in zip(arrivals_ns, differences(played_ns), played_ns, strict=True)
    ]
    expected = np.maximum.accumulate(driver_ns + np.minimum.accumulate(arrivals_ns - driver_ns))
    assert max(abs(np.subtract(found, expected))) <= len(gaps)  # a nanosecond of rounding for each difference


@given(gaps_ms)
def test_frozen_stamps_are_never_believed(gaps: list[int]) -> None:
    """A driver whose time is frozen, as with some cheap BLE-MIDI devices (Microsoft's MIDI documents), is reported."""
    assume(sum(gaps) > 200)
    played_ns = at(gaps)
    messages = reads(played_ns, [0.0] * len(played_ns))
    stamper = Stamper()
    assert stamps(stamper, messages) == [one.arrival_ns for one in messages]
    assert stamper.timing == "arrival"
    assert "do not move" in stamper.said
    assert "may look late" in stamper.said


def test_stamps_that_freeze_while_playing_are_given_up() -> None:
    """From the first note that is 30 ms past the frozen time on, stamps are arrival times."""
    played_ns = at([*proved(), *[20.0] * 10])
    messages = reads(played_ns, [*differences(played_ns)[:31], *[0.0] * 10])
    stamper = Stamper()
    found = stamps(stamper, messages)
    assert found[33:] == [one.arrival_ns for one in messages[33:]]
    assert stamper.timing == "arrival"


@pytest.mark.parametrize(
    ("wild", "said"),
    [
        pytest.param(math.nan, "nan s", id="not a number"),
        pytest.param(math.inf, "inf s", id="infinite"),
        pytest.param(-0.02, "-0.02 s", id="backwards"),
        pytest.param(0.5, "off the time", id="ahead"),
        pytest.param(9.0 % 8.192, "off the time", id="a 13-bit millisecond counter, wrapped in a rest (RP-052)"),
    ],
)
def test_a_wild_difference_is_not_believed(wild: float, said: str) -> None:
    """A difference that cannot be right ends the belief in the driver at once, after a rest of 9 s or in the tune."""
    gap_ms = 9000.0 if said == "off the time" and wild > 0.6 else 20.0
    played_ns = at([*proved(), gap_ms, *proved()])
    deltas_s = differences(played_ns)
    deltas_s[31] = wild
    messages = reads(played_ns, deltas_s)
    stamper = Stamper()
    found = stamps(stamper, messages)
    assert found[31:] == [one.arrival_ns for one in messages[31:]]
    assert said in stamper.said


@pytest.mark.parametrize("rate", [0.0, 0.5, 0.99, 1.01, 2.0])
def test_a_clock_that_runs_at_another_speed_is_found_out(rate: float) -> None:
    """A driver clock that is 1 % off has left the arrivals by 30 ms after some 3 s of playing."""
    played_ns = at([100.0] * 50)
    stamper = Stamper()
    stamps(stamper, reads(played_ns, differences(played_ns, rate)))
    assert stamper.timing == "arrival"
    assert "arrive" not in stamper.said  # the sentence is for a piper
    assert stamper.said.endswith(".")


def test_constant_differences_are_found_out() -> None:
    """A driver that says 10 ms each time, however long it was, is not believed."""
    played_ns = at([*[50.0, 300.0, 120.0] * 10])
    messages = reads(played_ns, [0.01] * len(played_ns))
    stamper = Stamper()
    assert stamps(stamper, messages)[3:] == [one.arrival_ns for one in messages[3:]]
    assert stamper.timing == "arrival"


def test_belief_is_regained() -> None:
    """Ten seconds after its last fault a driver is believed again, and the sentence changes with it."""
    played_ns = at([*proved(), 20.0, *[100.0] * 98])
    deltas_s = differences(played_ns)
    deltas_s[31] = -1.0
    messages = reads(played_ns, deltas_s)
    stamper = Stamper()
    stamps(stamper, messages)
    before = stamper.timing
    stamps(stamper, reads([played_ns[-1] + 300 * NS_PER_MS], [0.3]))
    assert (before, stamper.timing) == ("arrival", "driver")
    assert stamper.said == "Times are the MIDI driver's own."


@pytest.mark.parametrize("ppm", [-100, 100])
@pytest.mark.parametrize("rest_s", [0, 60])
def test_clocks_may_drift_for_hours(ppm: int, rest_s: int) -> None:
    """After three hours at 100 ppm the clocks are 1.08 s apart, and stamps still within a millisecond, rests or not."""
    step_ms = [250.0] * 119 + [250.0 + 1000 * rest_s]
    played_ns = at([*proved(), *(step_ms * round(3 * 3600 / (30 + rest_s)))])
    stamper = Stamper()
    found = stamps(stamper, reads(played_ns, differences(played_ns, 1 + ppm / 1e6)))
    assert stamper.timing == "driver"
    errors_ns = np.abs(np.subtract(found, played_ns))
    assert max(errors_ns) < NS_PER_MS if not rest_s else np.quantile(errors_ns, 0.98) < NS_PER_MS
    # After a rest of 60 s the first note may be early by what the clocks drifted in it (6 ms) and no more.
    assert max(errors_ns) < 100e-6 * (rest_s + 10) * NS_PER_S + POLL_NS


def test_a_usb_frame_is_not_made_worse() -> None:
    """Full-speed USB delays each note by up to a frame of 1 ms: SD 1/sqrt(12) = 0.29 ms, and stamps add none to it."""
    noise = random.Random(3)  # noqa: S311  a seeded simulation
    played_ns = at([noise.uniform(15, 150) for _ in range(4000)])
    came_ns = [played + noise.randrange(NS_PER_MS) for played in played_ns]
    slow = [came + round(noise.expovariate(1 / (0.3 * NS_PER_MS))) for came in came_ns]  # from driver to queue
    messages = [
        Read(r.arrival_ns, d, r.empty_ns) for r, d in zip(reads(slow, [0.0] * 4001), differences(came_ns), strict=True)
    ]
    found = stamps(Stamper(), messages)
    spread_ms = statistics.stdev((a - b) / NS_PER_MS for a, b in zip(found[50:], played_ns[50:], strict=True))
    arrivals_ms = statistics.stdev((r.arrival_ns - p) / NS_PER_MS for r, p in zip(messages, played_ns, strict=True))
    assert spread_ms == pytest.approx(1 / math.sqrt(12), rel=0.05)
    assert arrivals_ms > 1.3 * spread_ms


def test_a_packet_may_repeat_its_difference() -> None:
    """Where all messages of a packet carry its difference, as on CoreMIDI, only the first one counts."""
    played_ns = [ns for ns in at([100.0] * 30) for _ in (0, 1)]
    deltas_s = [0.1] * len(played_ns)
    good, plain = Stamper(StampLimits(packed=True)), Stamper()
    found = stamps(good, reads(played_ns, deltas_s))
    stamps(plain, reads(played_ns, deltas_s))
    assert good.timing == "driver"
    assert max(abs(np.subtract(found, played_ns))) <= POLL_NS
    assert plain.timing == "arrival"


def test_the_first_difference_means_nothing() -> None:
    """What a driver says of the time before its first message is not counted."""
    played_ns = at(proved())
    stamper = Stamper()
    found = stamps(stamper, reads(played_ns, [123.0, *differences(played_ns)[1:]]))
    assert stamper.timing == "driver"
    assert max(abs(np.subtract(found, played_ns))) <= POLL_NS


def test_before_anything_is_known_arrival_is_said() -> None:
    """A new stamper promises nothing."""
    assert Stamper().timing == "arrival"
    assert "compared" in Stamper().said
