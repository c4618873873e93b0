"""The fan-out: what a viewer that does not keep up loses, and what it never loses. No sockets, no clock."""

import asyncio
import json
from itertools import count
from typing import Any

import pytest

from chanterd.music.units import NS_PER_S
from chanterd.serving.wire.frames import NoteFrame
from chanterd.serving.wire.hub import BURST, MOST_A_SECOND, Hub, Viewer
from chanterd.serving.wire.shapes import StateShown
from tests.serving.played_seat import VALIDATOR, Sitting, rep_line

STATES = iter(range(1000))


def state() -> StateShown:
    """Something recognised by its number, in place of the daemon's state."""
    return {"clock_ns": next(STATES)}  # type: ignore[typeddict-item]


def drain(viewer: Viewer) -> list[dict[str, Any]]:
    """All that the viewer would be sent now."""
    taken = []
    while len(viewer) or viewer._lost:
        taken.append(json.loads(asyncio.run(viewer.next())))
    return taken


def put(viewer: Viewer, kind: str, number: int) -> None:
    """A frame that is a passing view if it is a note or a step."""
    viewer.put(json.dumps({"kind": kind, "number": number}), passing=kind in ("note", "step"))


def test_a_viewer_that_keeps_up_gets_every_frame_in_order() -> None:
    """Nothing is lost and no resync is sent as long as the queue is not full."""
    viewer = Viewer(state, most=4)
    for number in range(4):
        put(viewer, "note", number)
    assert [frame["number"] for frame in drain(viewer)] == [0, 1, 2, 3]
    for number in range(4):
        put(viewer, "rep", number)
        assert drain(viewer) == [{"kind": "rep", "number": number}]


def test_a_viewer_that_does_not_read_loses_the_oldest_passing_frames_and_resyncs() -> None:
    """Of ten notes and two verdicts in a queue of six the six oldest notes go, and a resync that counts them leads."""
    viewer = Viewer(state, most=6)
    for number in range(5):
        put(viewer, "note", number)
    put(viewer, "rep", 0)
    for number in range(5, 10):
        put(viewer, "step", number)
    put(viewer, "rep", 1)
    first, *rest = drain(viewer)
    assert (first["kind"], first["lost"]) == ("resync", 6)
    assert [(frame["kind"], frame["number"]) for frame in rest] == [
        ("rep", 0), ("step", 6), ("step", 7), ("step", 8), ("step", 9), ("rep", 1),
    ]  # fmt: skip
    assert drain(viewer) == []


def test_a_viewer_waits_for_the_next_frame() -> None:
    """With nothing to send it sleeps, and wakes when something is published."""

    async def scene() -> dict[str, Any]:
        hub, viewer = Hub(), Viewer(state)
        hub.join(viewer)
        waiting = asyncio.ensure_future(viewer.next())
        await asyncio.sleep(0)
        assert not waiting.done()
        hub.publish(NoteFrame(kind="note", seat="1", note="B", at_ns=5, onset_ms=None))
        return dict(json.loads(await waiting))

    assert asyncio.run(scene())["at_ns"] == 5


def test_a_verdict_is_never_lost_for_a_passing_frame() -> None:
    """A queue full of verdicts grows beyond its size for more of them; the newest note makes room for none."""
    viewer = Viewer(state, most=4, let_go=50)
    for number in range(40):
        put(viewer, "rep", number)
        put(viewer, "note", number)
    taken = drain(viewer)
    assert [frame["number"] for frame in taken if frame["kind"] == "rep"] == list(range(40))
    assert taken[0]["kind"] == "resync"


def test_a_resync_carries_the_state_at_the_moment_of_sending() -> None:
    """The state is fetched when the viewer reads again, not when it began to lose frames."""
    viewer = Viewer(state, most=1)
    for number in range(3):
        put(viewer, "note", number)
    before = next(STATES)
    assert drain(viewer)[0]["state"]["clock_ns"] > before


def test_a_viewer_that_never_reads_is_let_go_and_holds_no_memory() -> None:
    """Beyond the limit of verdicts its queue is emptied and stays empty."""
    viewer = Viewer(state, most=4, let_go=20)
    for number in range(21):
        assert not viewer.let_go.is_set()
        put(viewer, "rep", number)
    assert viewer.let_go.is_set()
    put(viewer, "rep", 22)
    assert len(viewer) == 0


def test_a_viewer_that_does_not_read_takes_nothing_from_the_others() -> None:
    """One viewer reads nothing, the other gets each frame as soon as it was published."""
    hub = Hub()
    stuck, quick = (
        Viewer(state, clock=count(0, NS_PER_S // 100).__next__),
        Viewer(state, clock=count(0, NS_PER_S // 100).__next__),
    )
    hub.join(stuck)
    hub.join(quick)
    for number in range(500):
        hub.publish(NoteFrame(kind="note", seat="1", note="B", at_ns=number, onset_ms=None))
        [frame] = drain(quick)
        assert frame["at_ns"] == number
    hub.leave(stuck)
    hub.publish(NoteFrame(kind="note", seat="1", note="C", at_ns=-1, onset_ms=None))
    assert drain(stuck)[-1]["at_ns"] == 499


def test_what_is_lost_of_a_real_run_is_never_a_verdict(sitting: Sitting) -> None:
    """A viewer with room for ten frames that sleeps through a run of the daemon's gets all its verdicts at the end."""
    asleep = Viewer(sitting.daemon.state, most=10)
    sitting.daemon.hub.join(asleep)
    sitting.practise("grip from B to C", 60)
    cue = sitting.cue()
    for rep in range(5):
        sitting.play(rep_line(cue, rep))
    sitting.until(cue.beat0_ns + 6 * cue.rep_ns)
    first, *rest = drain(asleep)
    for frame in (first, *rest):
        VALIDATOR.validate(frame)
    assert first["kind"] == "resync"
    assert first["lost"] > 10
    assert [frame["rep"] for frame in rest if frame["kind"] == "rep" and frame["final"]] == [0, 1, 2, 3, 4]
    assert [rep["rep"] for rep in first["state"]["seats"][0]["practice"]["reps"]] == [0, 1, 2, 3, 4]


@pytest.mark.parametrize("viewers", [0, 1])
def test_a_renewal_sends_the_state_and_can_not_be_lost(viewers: int) -> None:
    """It reaches every viewer there is, as a resync with nothing lost, even through a full queue."""
    hub, seen = Hub(), [Viewer(state, most=1) for _ in range(viewers)]
    for viewer in seen:
        hub.join(viewer)
    hub.renew()
    for viewer in seen:
        put(viewer, "rep", 1)
        assert [(frame["kind"], frame.get("lost")) for frame in drain(viewer)] == [("resync", 0), ("rep", None)]


def test_a_flood_is_shed_and_the_state_follows_when_it_is_over() -> None:
    """Of ten thousand notes a second a few hundred get through, every verdict, and one resync when it is over."""
    now = 0
    viewer = Viewer(state, clock=lambda: now)
    got = []
    for number in range(30_000):
        now += 100_000
        put(viewer, "note" if number % 2 else "step", number)
        if number % 1000 == 0:
            put(viewer, "rep", number)
        got += drain(viewer)
    assert [frame["number"] for frame in got if frame["kind"] == "rep"] == list(range(0, 30_000, 1000))
    passing = [frame for frame in got if frame["kind"] in ("note", "step")]
    assert 3 * 250 < len(passing) <= 3 * MOST_A_SECOND + BURST
    assert not any(frame["kind"] == "resync" for frame in got)
    resync = json.loads(asyncio.run(viewer.next()))
    assert (resync["kind"], resync["lost"]) == ("resync", 30_000 - len(passing))
    now += 1_000_000_000
    put(viewer, "note", 1)
    assert drain(viewer) == [{"kind": "note", "number": 1}]


def test_the_fastest_playing_is_never_shed() -> None:
    """Thirty notes a second, which is faster than any ornament (common practice, no source), a note and a step each."""
    now = 0
    viewer = Viewer(state, clock=lambda: now)
    for number in range(3_000):
        now += 1_000_000_000 // 30
        put(viewer, "note", number)
        put(viewer, "step", number)
        drain(viewer)
    assert viewer.lost_ever == 0
