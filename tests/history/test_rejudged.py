"""Old takes judged again: what is put in place of what."""

from sqlalchemy import func, select

from chanterd.history.ledger import Ledger
from chanterd.history.queries import reps_of, run_of
from chanterd.history.record import RunEnded, profile_json
from chanterd.history.rejudged import profile_from, replace, stored_run, to_judge, whole
from chanterd.history.schema import faults, runs, steps
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime
from tests.history.practised_runs import DAY_NS, GRIP, begun, closed, judged, noon, profile, somebody

MIDI = b"\x00\x90\x43\x40"
LATER = noon(5)


def keep(store: Store, midi: bytes = MIDI, *, ended: bool = True) -> int:
    """A run of three late reps."""
    run, ledger = begun(somebody(store, f"Ailsa {midi!r} {ended}")), Ledger(store)
    number = ledger.write(closed(run, judged(GRIP, [90.0, 90.0, 90.0]), midi))
    if ended:
        ledger.write(RunEnded(run, "stopped", b""))
    return number


def test_new_results_take_the_place_of_the_old_ones_whole(store: Store) -> None:
    """Reps, steps, faults and figures; when and by whom it was judged is noted."""
    run = keep(store)
    with store.writing() as connection:
        replace(connection, run, judged(GRIP, [4.0, 5.0]), LATER)
    with store.reading() as connection:
        assert reps_of(connection, run) == judged(GRIP, [4.0, 5.0])
        assert connection.scalar(select(func.count()).select_from(steps)) == 10
        assert connection.scalar(select(func.count()).select_from(faults)) == 0
        seen = run_of(connection, run)
        assert seen is not None
        assert (seen.played, seen.clean, seen.longest_row, seen.judged_ns) == (2, 2, 2, LATER.ns)


def test_what_goes_on_and_what_has_no_take_is_left_alone(store: Store) -> None:
    """A run that was cut off days ago is over all the same."""
    over, running = keep(store), keep(store, ended=False)
    keep(store, midi=b"")
    with store.reading() as connection:
        now = WallTime(noon().ns + 1, 0)
        assert [asked.run for asked in to_judge(connection, None, now)] == [over]
        assert [asked.run for asked in to_judge(connection, None, WallTime(now.ns + DAY_NS, 0))] == [over, running]
        assert to_judge(connection, 99, now) == []
        row = connection.execute(select(runs).where(runs.c.id == over)).mappings().one()
    kept = stored_run(row)
    assert (kept.words.drill, kept.words.click_bpm, kept.profile.notes, kept.reps) == (GRIP, 60.0, profile().notes, 3)


def test_a_profile_comes_back_as_it_was_kept() -> None:
    """All that hearing depends on."""
    back, kept = profile_from(profile_json(profile())), profile()
    assert (back.name, dict(back.notes), back.channel) == (kept.name, dict(kept.notes), kept.channel)
    assert (back.drones, back.bounce_ms) == (kept.drones, kept.bounce_ms)


def test_what_hangs_over_at_the_end_is_not_kept() -> None:
    """A rest, or a rep broken off before its theme note; what was kept before stays."""
    results = judged(GRIP, [4.0, None, 5.0])
    results[2]["steps"][-1]["onset_ms"] = None
    assert whole(results, 1) == results[:1]
    assert whole(results, 3) == results
