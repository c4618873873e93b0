"""A run: onsets in, out comes what to show the player, at once and then for good."""

from collections.abc import Iterable
from random import Random

import pytest

from chanterd.following.reading import LEAD, StepState
from chanterd.judging.fault import Fault
from chanterd.judging.standard import DEFAULT, read_standards
from chanterd.judging.verdict import Verdict
from chanterd.music.drill import drill_from_words
from chanterd.music.heard import Onset, Silence, Stray
from chanterd.music.note import Note, note_from_words
from chanterd.music.units import NS_PER_MS, Bpm, Ns, ms
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import (
    KEPT_REPS,
    LATE_MESSAGES_NS,
    RepEvent,
    RepPreview,
    Run,
    RunEvent,
    StepEvent,
    Tally,
    make_run,
    sentence,
)

BEAT0 = Ns(77_000 * NS_PER_MS)
STEADY = read_standards()[DEFAULT]
GRIP = ((0.0, "B"), (840.0, "low G"), (900.0, "D"), (940.0, "low G"), (1000.0, "C"))
CRUSHED = ((0.0, "B"), (840.0, "low G"), (900.0, "D"), (989.0, "low G"), (1000.0, "C"))
REP_MS = 2000.0


def at(ms_from_beat0: float) -> Ns:
    """That time on the daemon's clock."""
    return Ns(BEAT0 + round(ms_from_beat0 * NS_PER_MS))


def new_run(words: str = "grip from B to C") -> Run:
    """A run at 60 clicks a minute by the default standard."""
    return make_run(Exercise(drill_from_words(words), Bpm(60.0), STEADY), BEAT0)


def play(run: Run, *reps: Iterable[tuple[float, str]], first: int = 0) -> list[RunEvent]:
    """Play reps one after the other, and return all events, of each note first its steps."""
    events: list[RunEvent] = []
    for number, rep in enumerate(reps, first):
        for ms_in_rep, note in rep:
            events += run.hear(Onset(note_from_words(note), at(number * REP_MS + ms_in_rep)))
            events += run.verdicts()
    return events


def verdicts(events: Iterable[RunEvent]) -> list[str]:
    """The sentences of the reps that were closed."""
    return [one.result["said"] for one in events if isinstance(one, RepEvent)]


def test_every_step_is_reported_as_it_sounds() -> None:
    """The call that hears an onset reports the step it was and its deviation, not yet for good."""
    run = new_run()
    for step, (ms_in_rep, note) in enumerate(GRIP, LEAD):
        events = run.hear(Onset(note_from_words(note), at(ms_in_rep + 5.5)))
        assert not any(one.final for one in events)
        now = next(one.step for one in events if one.step.step == step)
        assert (now.rep, now.note.words, now.state) == (0, note, StepState.PLAYED)
        assert now.deviation_ns is not None
        assert ms(now.deviation_ns) == 5.5


def test_a_rep_is_final_once_it_is_over() -> None:
    """Its steps with the lead first, its result, and the tally."""
    events = play(new_run(), GRIP, GRIP)
    closed = [one for one in events if isinstance(one, RepEvent)]
    assert len(closed) == 1
    assert [step.step for step in closed[0].steps] == [LEAD, 0, 1, 2, 3]
    assert closed[0].result["rep"] == 0
    assert closed[0].tally == Tally(played=1, clean=1, in_a_row=1)


@pytest.mark.parametrize(
    ("rep", "said"), [(GRIP, "Clean."), (CRUSHED, "You crushed the second low G: 11 ms, too short to hear.")]
)
def test_the_verdict_comes_before_the_rep_closes(rep: Iterable[tuple[float, str]], said: str) -> None:
    """A quarter of a second after the theme note, once, with the counts as they are if it stays."""
    run = new_run()
    play(run, rep)
    events = [one for now_ms in range(1000, 1400, 20) for one in run.tick(at(now_ms))]
    previews = [one for one in events if isinstance(one, RepPreview)]
    assert [one.result["said"] for one in previews] == [said]
    assert (previews[0].tally, run.tally) == (Tally(1, said == "Clean.", said == "Clean."), Tally())
    assert not run.tick(at(1230))
    [final] = [one for one in run.finish() if isinstance(one, RepEvent)]
    assert (final.result["said"], final.tally) == (said, previews[0].tally)


def test_a_take_that_is_assessed_has_no_previews() -> None:
    """They are for the eyes of a player; only the final verdict counts there."""
    run = make_run(Exercise(drill_from_words("grip from B to C"), Bpm(60.0), STEADY), BEAT0, at_once=False)
    play(run, GRIP)
    assert not [one for now_ms in range(1000, 1900, 20) for one in run.tick(at(now_ms))]


def test_clean_reps_in_a_row_are_counted_aloud() -> None:
    """A fault starts the row again; the tally shown with each rep is that rep's own."""
    run = new_run()
    events = play(run, GRIP, GRIP, CRUSHED, GRIP) + run.finish()
    assert verdicts(events) == [
        "Clean.",
        "Clean. 2 in a row.",
        "You crushed the second low G: 11 ms, too short to hear.",
        "Clean.",
    ]
    tallies = [one.tally for one in events if isinstance(one, RepEvent)]
    assert [tally.in_a_row for tally in tallies] == [1, 2, 0, 1]
    assert run.tally == Tally(played=4, clean=3, in_a_row=1)


def test_a_rest_breaks_no_row_and_is_no_rep_played() -> None:
    """The player stops blowing for two reps: they are shown as rests and counted nowhere."""
    run = new_run()
    events = play(run, GRIP)
    events += run.hear(Silence(at(1900)))
    events += play(run, GRIP, first=3) + run.finish()
    assert verdicts(events) == ["Clean.", "Not played.", "Not played.", "Clean. 2 in a row."]
    assert run.tally == Tally(played=2, clean=2, in_a_row=2)


def test_time_alone_closes_a_rep_but_waits_for_late_messages() -> None:
    """A message already stamped may still be on its way; after that wait the rep is reported anyway."""
    run = new_run()
    play(run, GRIP)
    closes_ms = next(ms_now for ms_now in range(2000, 4000, 10) if new_run_closed(ms_now))
    assert not verdicts(run.tick(Ns(at(closes_ms) + LATE_MESSAGES_NS - 20 * NS_PER_MS)))
    events = run.tick(Ns(at(closes_ms) + LATE_MESSAGES_NS))
    assert verdicts(events) == ["Clean."]


def test_no_step_waits_until_another_rep_is_judged() -> None:
    """The call that hears the onset by which a rep is over reports steps only; the verdict comes with the next tick."""
    run = new_run()
    play(run, GRIP)
    (lead_ms, lead), (ms_in_rep, note) = GRIP[:2]
    run.hear(Onset(note_from_words(lead), at(REP_MS + lead_ms)))
    now_ns = at(REP_MS + ms_in_rep)
    events = run.hear(Onset(note_from_words(note), now_ns))
    assert [(one.step.rep, one.step.step) for one in events] == [(1, 0)]
    assert run.tally.played == 0
    assert verdicts(run.tick(now_ns)) == ["Clean."]
    assert run.tally.played == 1


def new_run_closed(ms_now: float) -> bool:
    """Whether an onset at that time finds the first rep over: onsets need no wait, since they come in order."""
    run = new_run()
    play(run, GRIP)
    run.hear(Onset(Note.B, at(ms_now)))
    return bool(run.verdicts())


def test_a_run_is_the_same_however_long_the_clock_has_run() -> None:
    """From time 0, as in a file, and 30 days later: to the last digit of what was learned of the player."""
    dice = Random(1)  # noqa: S311 - play, not secrets
    rough = [
        (rep * REP_MS + at_ms + dice.gauss(5, 12), note_from_words(note))
        for rep in range(40)
        for at_ms, note in GRIP
        if dice.random() < 0.95
    ]
    results, learned = [], []
    for beat0_ns in (0, 30 * 86_400 * 10**9 + 1):
        run = make_run(Exercise(drill_from_words("grip from B to C"), Bpm(60.0), STEADY), Ns(beat0_ns))
        for at_ms, note in sorted(rough):
            run.hear(Onset(note, Ns(beat0_ns + round(at_ms * NS_PER_MS))))
        learned.append(run._follower._expectation.shift_ns)
        results.append([one.result for one in run.finish() if isinstance(one, RepEvent)])
    assert results[0] == results[1]
    assert learned[0] == learned[1] != 0


def test_an_unknown_note_is_followed_by_nobody() -> None:
    """It is shown elsewhere; here it neither breaks the note that sounds nor makes an extra one."""
    run = new_run()
    for ms_in_rep, note in GRIP:
        assert run.hear(Stray(12, at(ms_in_rep - 0.5))) == []
        run.hear(Onset(note_from_words(note), at(ms_in_rep)))
    assert verdicts(run.finish()) == ["Clean."]


def test_a_page_that_comes_late_sees_the_last_dozen_reps() -> None:
    """As many as show a habit, the newest last."""
    run = new_run()
    play(run, *[GRIP] * (KEPT_REPS + 3))
    run.finish()
    assert [rep["rep"] for rep in run.last] == list(range(3, KEPT_REPS + 3))


def test_finishing_closes_what_was_begun_and_nothing_else() -> None:
    """A run in which nothing was heard has no reps; a half-played one is reported."""
    assert new_run().finish() == []
    run = new_run()
    play(run, GRIP[:4])
    assert verdicts(run.finish()) == ["You left out the C."]


@pytest.mark.parametrize(
    ("verdict", "skipped", "in_a_row", "said"),
    [
        (Verdict(clean=True, faults=()), False, 1, "Clean."),
        (Verdict(clean=True, faults=()), False, 7, "Clean. 7 in a row."),
        (Verdict(clean=False, faults=()), True, 7, "Not played."),
        (Verdict(clean=False, faults=(Fault("late", 3, "First."), Fault("crushed", 1, "Second."))), False, 0, "First."),
    ],
)
def test_one_sentence_is_said_after_a_rep(verdict: Verdict, skipped: bool, in_a_row: int, said: str) -> None:  # noqa: FBT001
    """The most important fault, or how many clean ones in a row."""
    assert sentence(verdict, skipped=skipped, in_a_row=in_a_row) == said


@pytest.mark.parametrize("pace", [0.9, 0.95, 1.1, 1.2])
def test_without_the_click_a_steady_tempo_of_ones_own_is_no_fault(pace: float) -> None:
    """Reps a tenth shorter to a fifth longer, ornaments as asked: once that is known, both notes beside are in time."""
    run = make_run(Exercise(drill_from_words("grip from B to C"), Bpm(60.0), STEADY, click_off=True), BEAT0)
    for rep in range(40):
        beat_ms = (rep * REP_MS + GRIP[-1][0]) * pace
        run.hear(Onset(Note.B, at(rep * REP_MS * pace)))
        for ms_in_rep, note in GRIP[1:]:
            run.hear(Onset(note_from_words(note), at(beat_ms + ms_in_rep - GRIP[-1][0])))
    said = verdicts(run.finish())
    assert len(said) == 40
    assert all(one.startswith("Clean.") for one in said[15:])


def test_without_the_click_the_players_own_pulse_is_what_is_expected() -> None:
    """Two per cent slow for forty reps: a rep away from the grid by then, and on time by the player's own pulse."""
    run = make_run(Exercise(drill_from_words("grip from B to C"), Bpm(60.0), STEADY, click_off=True), BEAT0)
    events: list[RunEvent] = []
    for rep in range(60):
        for ms_in_rep, note in GRIP:
            events += run.hear(Onset(note_from_words(note), at(rep * REP_MS * 1.02 + ms_in_rep)))
    events += run.finish()
    reps = [one.result for one in events if isinstance(one, RepEvent)]
    assert [one["rep"] for one in reps] == list(range(60))
    assert all(one["clean"] for one in reps[10:])
    assert all(one["anchor_ms"] is not None and abs(one["anchor_ms"]) < 6 for one in reps[20:])
    assert reps[-1]["steps"][3]["onset_ms"] == pytest.approx(59 * REP_MS * 1.02 + 1000)
    live = [one.step for one in events if isinstance(one, StepEvent) and one.step.rep == 50 and one.step.step == 3]
    assert live[-1].deviation_ns is not None
    assert abs(ms(live[-1].deviation_ns)) < 50
