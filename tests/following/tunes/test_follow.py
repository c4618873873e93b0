"""Following tunes on simulated performances with known truth; the bench has the figures over many more."""

from dataclasses import replace

import pytest

from chanterd.following.tunes.follow import TuneFollower
from chanterd.hearing.simulated_tune import HUMAN
from chanterd.music.heard import Onset
from chanterd.music.note import Note
from tests.bench.tune_performances import CONDITIONS, TEMPI, f1, sample

LEAST = {"clean": 1.0, "all mixed": 0.97}
"""Per handful of performances; over hundreds they are higher, see the bench."""


@pytest.mark.parametrize("condition", CONDITIONS)
def test_every_onset_is_the_note_it_was(condition: str) -> None:
    """In each condition, by the click and without it, from a tempo that is 15 % wrong."""
    for click_off in (False, True):
        found = right = true = 0
        for name in TEMPI:
            for seed in (31, 32):
                one = sample(name, CONDITIONS[condition], seed)
                pairs = one.pairs(one.run(click_off=click_off, tempo=1.15 if click_off else 1.0))
                found, right, true = found + len(pairs), right + len(pairs & one.truth), true + len(one.truth)
        assert f1(found, right, true) >= LEAST.get(condition, 0.99)


@pytest.mark.parametrize("name", TEMPI)
def test_the_melody_alone_is_followed_without_a_leap(name: str) -> None:
    """Their ornaments are missing, one by one, but for a note or two that could be either."""
    one = sample(name, replace(HUMAN, left_out=1.0), 5)
    run = one.run()
    found = run.found()
    ornaments = [note["ornament"] for note in found["notes"] if note["ornament"] is not None]
    states = [step["state"] for ornament in ornaments for step in ornament["steps"][:-1]]
    assert (found["summary"]["restarts"], found["summary"]["stops"]) == (0, 0)
    assert sum(state in ("missing", "merged") for state in states) >= 0.97 * len(states)
    assert len(ornaments) >= 0.95 * sum(bool(note.gracenotes) for note in one.passage.notes)
    assert f1(len(one.pairs(run)), len(one.pairs(run) & one.truth), len(one.truth)) >= 0.97


def test_a_lost_player_is_found_within_two_bars() -> None:
    """Somebody who begins in the middle of the tune."""
    one = sample("lamp-at-quarry-hollow", HUMAN, 5)
    middle = next(
        index for index, played in enumerate(one.performance.truth) if played.segment == 40 and played.time_through == 1
    )
    onsets = [onset for onset in one.heard if isinstance(onset, Onset)][middle:]
    follower = TuneFollower(one.score, one.click_ns)
    in_a_row = found_after = 0
    for index, onset in enumerate(onsets):
        follower.hear(onset.note, onset.at_ns)
        truth = one.performance.truth[middle + index]
        event = follower.graph.events[follower.latest.place] if follower.latest.place >= 0 else None
        right = event is not None and (event.segment, event.step) == (truth.segment, truth.step)
        in_a_row = in_a_row + 1 if right else 0
        if in_a_row == 1:
            found_after = index
        if in_a_row == 8:
            break
    assert in_a_row == 8
    bars = {
        one.passage.tune.notes[played.segment].bar
        for played in one.performance.truth[middle : middle + found_after]
        if played.segment is not None
    }
    assert len(bars) <= 2


def test_the_players_own_pace_is_learned() -> None:
    """From a tempo that is a fifth too slow."""
    one = sample("seven-gulls", HUMAN, 6)
    run = one.run(click_off=True, tempo=1.2)
    assert run.follower.click_ns == pytest.approx(one.click_ns, rel=0.05)


def test_notes_before_the_first_are_no_part_of_the_tune() -> None:
    """Somebody who tries the chanter."""
    one = sample("net-mender", replace(HUMAN, crossing=0.0), 7)
    follower = TuneFollower(one.score, one.click_ns)
    for index, note in enumerate((Note.LOW_G, Note.HIGH_A, Note.LOW_G)):
        follower.hear(note, index * 300_000_000)
    follower.silence(1_000_000_000)
    for onset in one.heard:
        if isinstance(onset, Onset):
            follower.hear(onset.note, onset.at_ns + 3_000_000_000)
    assert follower.chain()[0].onset == 3
    assert follower.graph.events[follower.chain()[0].place].segment == 0


def test_after_a_rest_the_same_note_begins_once_more() -> None:
    """Two low As with a breath between them are two notes; without one they melt."""
    one = sample("seven-gulls", HUMAN, 8)
    follower = TuneFollower(one.score, one.click_ns)
    follower.hear(Note.E, 0)
    follower.bounce()
    assert follower.ends == [None]
    follower.silence(100_000_000)
    follower.hear(Note.E, 110_000_000)
    assert follower.ends[0] == 110_000_000


def test_a_wrong_melody_note_without_its_gracenote_is_not_taken_for_the_gracenote() -> None:
    """A G gracenote left out and D played for C: nothing of the gracenote sounded, and the melody note is wrong."""
    one = sample("lamp-at-quarry-hollow", replace(HUMAN, crossing=0.0), 9)
    asked = one.passage.notes[5]
    assert (asked.gracenotes, asked.note) == ((Note.HIGH_G,), Note.C)
    follower = TuneFollower(one.score, one.click_ns)
    onsets = [what for what in one.heard if isinstance(what, Onset)]
    for onset, played in zip(onsets, one.performance.truth, strict=True):
        if (played.segment, played.time_through) == (5, 1):
            if played.step == 1:
                follower.hear(Note.D, onset.at_ns)
            continue
        follower.hear(onset.note, onset.at_ns)
    events = follower.graph.events
    [link] = [one for one in follower.chain() if events[one.place].segment == 5][:1]
    assert (events[link.place].theme, link.right, follower.notes[link.onset]) == (True, False, Note.D)
