"""Times through a passage, as they are played."""

from itertools import pairwise
from typing import Any

from chanterd.hearing.simulated_tune import TuneHabits
from chanterd.music.heard import Silence
from chanterd.music.tunes.passage import make_passage
from chanterd.music.units import NS_PER_S, Ns
from chanterd.practice.passage.rounds import OrnamentPlayed, PassageEvent, RoundPlayed, Rounds
from tests.bench.tune_performances import CONDITIONS, Sample, sample, shipped

STEADY = TuneHabits()


def one_sample(habits: TuneHabits = STEADY, rounds: int = 5, **more: Any) -> Sample:
    """Bar 2 of the jig and what leads to it, over and over."""
    passage = make_passage(shipped("seven-gulls"), 5, 9, loops=True)
    return sample("seven-gulls", habits, more.get("seed", 3), passage, rounds)


def taken(one: Sample, *, finish: bool = True) -> list[PassageEvent]:
    """Everything that is over, in order."""
    whole = one.run()
    run = type(whole)(whole.passage, whole.book, whole.standard, whole.spread, whole.click_bpm)
    rounds, found = Rounds(run), list[PassageEvent]()
    for heard in one.heard:
        run.hear(heard)
        found += rounds.tick(heard.at_ns)
    return found + rounds.finish() if finish else found


def test_each_time_through_is_a_round_with_its_ornaments_before_it() -> None:
    """Every ornament once, every round once, in order."""
    found = taken(one_sample())
    rounds = [one for one in found if isinstance(one, RoundPlayed)]
    assert [one.round for one in rounds] == [0, 1, 2, 3, 4]
    ornaments = [(one.round, one.note.result["note"]) for one in found if isinstance(one, OrnamentPlayed)]
    assert ornaments == [(number, note) for number in range(5) for note in (6, 8)]
    assert rounds[-1].played_count == 5
    assert rounds[0].said == "Clean."
    assert rounds[1].said == "Clean. 2 in a row."


def test_one_ornament_that_is_not_clean_breaks_the_row() -> None:
    """And the round is said to be what that ornament was."""
    found = [one for one in taken(one_sample(TuneHabits(crushed=0.5), rounds=8)) if isinstance(one, RoundPlayed)]
    assert {one.clean for one in found} == {True, False}
    broken = next(one for one in found if not one.clean)
    assert broken.in_a_row == 0
    assert broken.said.startswith("Bar 2, E. You crushed the")
    assert found[-1].clean_count == sum(one.clean for one in found)


def test_a_note_of_the_melody_that_is_wrong_breaks_it_too() -> None:
    """Though it has no ornament."""
    found = [one for one in taken(one_sample(TuneHabits(wrong=0.2), rounds=8)) if isinstance(one, RoundPlayed)]
    assert len(found) == 8
    assert any("for the" in one.said or "instead of" in one.said for one in found if not one.clean)


def test_a_rest_between_two_rounds_is_no_round() -> None:
    """The last round is over when its note has lasted its time, or when the player stops; nothing more follows."""
    one = one_sample(rounds=2)
    whole = one.run()
    run = type(whole)(whole.passage, whole.book, whole.standard, whole.spread, whole.click_bpm)
    rounds, found = Rounds(run), list[PassageEvent]()
    for heard in one.heard:
        run.hear(heard)
        found += rounds.tick(heard.at_ns)
    last_ns = one.heard[-1].at_ns
    run.hear(Silence(Ns(last_ns + 500_000_000)))
    for later in range(1, 40):
        found += rounds.tick(Ns(last_ns + later * 250_000_000))
    assert [one.round for one in found if isinstance(one, RoundPlayed)] == [0, 1]
    assert rounds.finish() == []


def test_a_round_that_was_broken_off_is_not_clean() -> None:
    """Who begins again from the first note has not played it through."""
    one = one_sample(rounds=3)
    whole = one.run()
    run = type(whole)(whole.passage, whole.book, whole.standard, whole.spread, whole.click_bpm)
    rounds, found = Rounds(run), list[PassageEvent]()
    events = whole.follower.graph.events
    at = 0.0
    for stop in (6, len(events), len(events)):
        for event in events[:stop]:
            at_ns = Ns(round((at + event.at) * whole.click_ns + event.from_beat_ns + 1e9))
            run.follower.hear(event.note, at_ns)
            found += rounds.tick(at_ns)
        at += 2.0
    found += rounds.finish()
    said = [(one.clean, one.said) for one in found if isinstance(one, RoundPlayed)]
    assert said == [(False, "You broke off in bar 2 and began again."), (True, "Clean."), (True, "Clean. 2 in a row.")]


def test_an_ornament_is_over_before_the_next_note_and_given_once() -> None:
    """A quarter of a second into its melody note; what is read then is what it is in the end, but for its time."""
    one = sample("lamp-at-quarry-hollow", CONDITIONS["clean"], 43)
    run = one.run()
    again = type(run)(run.passage, run.book, run.standard, run.spread, run.click_bpm)
    rounds, given, early = Rounds(again), list[int](), 0
    for heard, after in pairwise([*one.heard, Silence(Ns(one.performance.end_ns + NS_PER_S))]):
        again.hear(heard)
        for now_ns in range(heard.at_ns, after.at_ns, 20_000_000):
            events = rounds.tick(Ns(now_ns))
            ended = [event.note.result["note"] for event in events if isinstance(event, OrnamentPlayed)]
            early += len(ended) if now_ns > heard.at_ns else 0
            given += ended
    final = [note["note"] for note in run.found()["notes"] if note["ornament"] is not None]
    assert given == final
    assert early > 0.5 * len(given)
