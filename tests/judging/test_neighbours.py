"""The notes on both sides: what a steady habit, an open hand and a slip made good do not change, and what they do."""

from dataclasses import replace

import pytest

from chanterd.following.reading import ExtraKind, StepState
from chanterd.judging.neighbours import Openness, Usual, neighbours_of
from chanterd.music.drill import drill_from_words
from chanterd.music.note import Note
from tests.judging.followed_reps import Rep, ns
from tests.judging.played_reps import Played, played_run

ORNAMENT = range(4)


def offs(rep: Rep) -> tuple[float | None, float | None]:
    """How much too long (+) or too short (-) the lead and the theme were, ms."""
    found = rep.neighbours()
    lead, theme = found.lead.off_ns, found.theme.off_ns
    return None if lead is None else lead / 1e6, None if theme is None else theme / 1e6


def test_played_correctly_both_notes_keep_their_time() -> None:
    """At 60 the lead lasts 840 ms to the first low G of a grip, the theme 1000 ms."""
    found = Rep(next_off_ms=0.0).neighbours()
    assert (found.lead.length_ns, found.lead.asked_ns, found.lead.off_ns) == (ns(840), ns(840), 0)
    assert (found.theme.length_ns, found.theme.asked_ns, found.theme.off_ns) == (ns(1000), ns(1000), 0)
    assert found.paused_before_ns is None


@pytest.mark.parametrize("bias_ms", [-80.0, 80.0])
def test_a_steady_habit_is_no_winding_up(bias_ms: float) -> None:
    """All of it early or late alike: both notes are as long as asked."""
    shifted = dict.fromkeys(range(-1, 4), bias_ms)
    before = Rep(off_ms=shifted)
    assert offs(Rep(rep=1, off_ms=shifted, next_off_ms=bias_ms, before=before)) == (0, 0)


@pytest.mark.parametrize("narrower_ms", [-90.0, 90.0])
def test_how_open_the_steps_are_is_the_players_affair(narrower_ms: float) -> None:
    """A grip begun sooner or later that still lands on the beat takes nothing from the lead that counts."""
    first = {0: narrower_ms, 1: narrower_ms / 2}
    assert offs(Rep(off_ms=first, next_off_ms=0.0)) == (0, 0)
    # A doubling goes on after the beat: its theme comes sooner or later.
    assert offs(Rep(words="doubling from low A to C", off_ms={3: narrower_ms / 2}, next_off_ms=0.0)) == (0, 0)


def test_held_too_long_before_the_ornament() -> None:
    """Only the ornament is late: by as much the lead was too long; that the next note is in time is no fault."""
    late = dict.fromkeys(ORNAMENT, 100.0)
    assert offs(Rep(rep=1, off_ms=late, next_off_ms=0.0, before=Rep())) == (100, 0)


def test_steps_that_only_took_longer_are_no_winding_up() -> None:
    """The first low G began when it usually does; with a hand that is always so open it would have been too late."""
    slow = Rep(off_ms={3: 100.0})
    assert slow.neighbours().lead.off_ns == 0
    assert slow.neighbours(Usual(ns(90), ns(0))).lead.off_ns == ns(90)
    slow_after = Rep(words="doubling from low A to C", off_ms={3: 100.0}, next_off_ms=100.0)
    assert slow_after.neighbours().theme.off_ns == 0
    assert slow_after.neighbours(Usual(ns(0), ns(100))).theme.off_ns == ns(100)


def test_what_is_usual_is_the_median_of_the_last_reps() -> None:
    """One slip does not change it; a rep without its beat has no say in it."""
    hand = Openness()
    assert hand.usual == Usual(ns(0), ns(0))
    for wide in (40.0, 42.0, 300.0, 41.0):
        hand.add(Rep(off_ms={0: -wide}).measured())
    hand.add(Rep(states={3: StepState.MISSING}).measured())
    assert hand.usual == Usual(ns(41), ns(0))


def test_a_changed_hand_is_usual_after_five_of_nine_reps() -> None:
    """Older reps than nine have no say in it."""
    hand = Openness()
    for wide in (*[10.0] * 20, *[50.0] * 4):
        hand.add(Rep(off_ms={0: -wide}).measured())
    assert hand.usual == Usual(ns(10), ns(0))
    hand.add(Rep(off_ms={0: -50.0}).measured())
    assert hand.usual == Usual(ns(50), ns(0))


def test_a_restarted_lead_is_compared_with_the_beat_before() -> None:
    """A stray F in the middle of the B: where the B began again is no measure of how long it was held."""
    stray = (Note.F, 2300.0, 80.0, ExtraKind.EXTRA_NOTE)
    again = Rep(rep=1, off_ms={-1: 380.0}, extras=[stray], before=Rep(), next_off_ms=100.0)
    assert offs(again) == (0, 100)
    late = replace(again, off_ms={-1: 380.0, **dict.fromkeys(ORNAMENT, 90.0)})
    assert offs(late)[0] == 90


def test_left_too_soon_before_the_ornament() -> None:
    """Only the ornament is early."""
    assert offs(Rep(rep=1, off_ms=dict.fromkeys(ORNAMENT, -100.0), next_off_ms=0.0, before=Rep())) == (-100, 0)


def test_the_rep_before_shows_a_slip_of_the_lead_itself() -> None:
    """The lead alone was late or early: the rep before was paused after, or cut short; this one made good for it."""
    for off_ms in (-100.0, 100.0):
        assert offs(Rep(rep=1, off_ms={-1: off_ms}, next_off_ms=0.0, before=Rep())) == (0, 0)
        assert offs(Rep(next_off_ms=off_ms)) == (0, off_ms)


@pytest.mark.parametrize("off_ms", [-400.0, 400.0])
def test_whoever_comes_in_late_or_early_has_wound_up_to_nothing(off_ms: float) -> None:
    """The very first note began long before its click, or after it, and the ornament was in time."""
    assert offs(Rep(off_ms={-1: off_ms}, next_off_ms=0.0)) == (0, 0)


def test_a_lead_that_is_the_theme_before_is_one_note_with_it() -> None:
    """A grip from B to B: the B sounds through from one grip to the next, and is named as the note before."""
    level = Rep(words="grip from B to B", theme_sounds=True)
    after = Rep(words="grip from B to B", rep=1, states={-1: StepState.MERGED}, before=level)
    kept = after.neighbours().lead
    assert (kept.length_ns, kept.asked_ns, kept.off_ns) == (ns(1840), ns(1840), 0)
    assert kept.room_ns == ns(2000)
    held = replace(after, off_ms=dict.fromkeys(ORNAMENT, 120.0))
    assert held.neighbours().lead.off_ns == ns(120)
    assert after.neighbours().paused_before_ns is None
    assert level.neighbours().theme.off_ns is None


def test_a_rest_before_a_merged_lead_is_not_reported() -> None:
    """The player stopped blowing between the two grips."""
    level = Rep(words="grip from B to B", length_ms={3: 600.0})
    assert (
        Rep(words="grip from B to B", rep=1, states={-1: StepState.MERGED}, before=level).neighbours().lead.off_ns
        is None
    )


def test_what_cannot_be_known_is_none() -> None:
    """After the last rep; where lead, beat or theme was not played; and after another rep than the one before."""
    assert offs(Rep()) == (0, None)
    assert offs(Rep(states={-1: StepState.MISSING}, next_off_ms=0.0)) == (None, 0)
    assert offs(Rep(states={3: StepState.MISSING}, next_off_ms=0.0)) == (None, None)
    assert offs(Rep(states={-1: StepState.MERGED}, next_off_ms=0.0)) == (None, 0)
    unread = Rep(rep=5, states={-1: StepState.MERGED}, before=Rep(rep=3))
    assert unread.neighbours().lead.off_ns is None


def test_a_theme_that_melted_is_one_with_the_step_that_sounded_on() -> None:
    """A light throw without its C: the D gracenote sounds on as the D, and may be held too long or left too soon."""
    states = {2: StepState.MISSING, 3: StepState.MERGED}
    melted = Rep(words="throw on D from low A", states=states, length_ms={1: 1100.0}, next_off_ms=100.0)
    early = replace(melted, length_ms={1: 900.0}, next_off_ms=-100.0)
    kept = melted.neighbours().theme
    assert (kept.length_ns, kept.asked_ns, kept.off_ns) == (ns(1100), ns(1000), ns(100))
    assert offs(early) == (0, -100)
    assert offs(replace(early, off_ms={1: -100.0}, length_ms={1: 1000.0}))[1] == 0
    assert offs(replace(melted, states={2: StepState.MISSING, 3: StepState.MISSING}))[1] is None


def test_a_rest_after_the_theme_is_no_pause_and_not_cut_short() -> None:
    """The sound stopped before the next lead; 25 ms that some chanters leave between notes are no rest: our choice."""
    gap_ms = 25.0
    assert offs(Rep(length_ms={3: 1000.0 - gap_ms - 0.001}, next_off_ms=0.0)) == (0, None)
    assert offs(Rep(length_ms={3: 1000.0 - gap_ms}, next_off_ms=0.0)) == (0, 0)
    noise = (Note.LOW_A, 1985.0, 15.0, ExtraKind.CROSSING_NOISE)
    assert offs(Rep(length_ms={3: 985.0}, extras=[noise], next_off_ms=0.0)) == (0, 0)


def test_a_theme_that_sounded_on_is_judged_when_it_ends() -> None:
    """The rep was judged while it sounded; the next lead says by how much it was too long, if it was."""
    held = Rep(theme_sounds=True)
    assert Rep(rep=1, off_ms={-1: 450.0}, before=held).neighbours().paused_before_ns == ns(450)
    assert Rep(rep=1, off_ms={-1: -20.0}, before=held).neighbours().paused_before_ns == 0
    assert Rep(rep=1, off_ms={-1: 450.0}, before=Rep()).neighbours().paused_before_ns is None


def test_a_pause_found_by_the_next_rep_is_measured_like_any_other() -> None:
    """The hand's own openness is no pause, and what came late with the lead is none."""
    held = Rep(words="doubling from low A to C", theme_sounds=True, off_ms={3: 60.0})
    after = Rep(words="doubling from low A to C", rep=1, off_ms={-1: 300.0}, before=held)
    assert after.neighbours().paused_before_ns == ns(240)
    assert after.neighbours(Usual(ns(0), ns(60))).paused_before_ns == ns(300)
    late = replace(held, off_ms={-1: 90.0})
    assert replace(after, before=late).neighbours().paused_before_ns == ns(210)


def test_a_noise_before_the_lead_does_not_restart_it() -> None:
    """Fingers that crossed on the way to the lead: where the lead began still says how long it was held."""
    noise = (Note.LOW_A, 2000.0 + 280.0, 20.0, ExtraKind.CROSSING_NOISE)
    late = Rep(rep=1, off_ms=dict.fromkeys(range(-1, 4), 300.0), extras=[noise], before=Rep(), next_off_ms=0.0)
    assert offs(late) == (0, -300)
    assert offs(replace(late, off_ms={-1: 300.0, **dict.fromkeys(ORNAMENT, 90.0)}))[0] == 0


def test_only_the_rep_right_before_and_the_one_right_after_count() -> None:
    """A rep left out in between, or not played at all, says nothing of this one's notes."""
    late = Rep(rep=2, off_ms=dict.fromkeys(ORNAMENT, 100.0))
    before = Rep(rep=1, off_ms=dict.fromkeys(range(-1, 4), 100.0), theme_sounds=True)
    assert offs(replace(late, before=before))[0] == 0
    assert offs(replace(late, before=replace(before, rep=0)))[0] == 100
    rested = replace(before, states=dict.fromkeys(range(-1, 4), StepState.MISSING))
    assert offs(replace(late, before=rested))[0] == 100
    rep, lead = Rep(length_ms={3: 3100.0}), Rep(rep=1, next_off_ms=100.0).next_lead()
    assert neighbours_of(rep.measured(), rep.segment, None, lead).theme.off_ns is None


@pytest.mark.parametrize("bpm", [40.0, 60.0, 80.0])
@pytest.mark.parametrize("words", ["grip from B to C", "throw on D from low A", "birl from E"])
def test_a_habit_is_named_in_every_rep(words: str, bpm: float) -> None:
    """A note before that is always 120 ms too long, or always cut; how open the hand is shows in the first rep."""
    for off_ms, name in ((120.0, "wound up"), (-120.0, "cut short")):
        reps = played_run(words, bpm, Played(off_ms=off_ms), reps=10)
        assert [name in [fault["fault"] for fault in rep["faults"]] for rep in reps[1:]] == [True] * 9
    reps = played_run(words, bpm, Played(lead_off_ms=120.0), reps=10)
    assert ["cut short" in [fault["fault"] for fault in rep["faults"]] for rep in reps[1:]] == [True] * 9


def test_a_player_who_is_late_all_along_holds_nothing_too_long() -> None:
    """The note before is as late as the ornament: late, and nothing else."""
    reps = played_run("grip from B to C", 60.0, Played(off_ms=120.0, lead_off_ms=120.0), reps=10)
    assert {fault["fault"] for rep in reps for fault in rep["faults"]} == {"late"}


def test_the_note_before_ends_where_another_ornament_began() -> None:
    """A shake for a birl, on the beat: nothing was held too long, and no wrong note came late."""
    for other in ("thumb shake", "shake"):
        steps = [step.note for step in drill_from_words(f"{other} from E to low A").steps[:-1]]
        rep = played_run("birl from E", 60.0, Played(), Played(steps=steps, beat_place=0))[1]
        assert [fault["said"] for fault in rep["faults"]] == [f"You played a {other}, not a birl."]


def test_a_note_before_that_was_begun_again_is_no_habit() -> None:
    """After a pause the next note before is short, as making up for it has it: that is no fault of its own."""
    before = Rep(
        words="G gracenote from C to low A",
        off_ms={-1: 340.0},
        extras=[(Note.C, 0.0, 270.0, ExtraKind.EXTRA_NOTE), (Note.B, 270.0, 70.0, ExtraKind.EXTRA_NOTE)],
    )
    late = Rep(words="G gracenote from C to low A", rep=1, off_ms={-1: 230.0}, before=before)
    assert offs(late)[0] == 0


@pytest.mark.parametrize("words", ["throw on D from low A", "birl from E", "doubling from low A to D"])
def test_ornaments_late_by_half_a_click_leave_the_notes_before_them_on_the_click(words: str) -> None:
    """At 120, rep after rep: each note before is heard as that, and is held too long; nothing is an extra note."""
    reps = played_run(words, 120.0, Played(off_ms=255.0), reps=12, standard="learner")
    assert [rep["lead"]["state"] for rep in reps] == ["played"] * 12
    assert all("wound up" in [fault["fault"] for fault in rep["faults"]] for rep in reps[1:])
