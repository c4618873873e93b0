"""The verdict: each rule just inside and just outside its limit, by every standard, and the sentences read aloud."""

from dataclasses import replace

import pytest

from chanterd.following.reading import ExtraKind, StepState
from chanterd.judging.fault import ORDER
from chanterd.judging.limit import Limit
from chanterd.judging.standard import Standard, read_standards
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.units import NS_PER_MS, Ms
from tests.judging.followed_reps import STEADY, Rep
from tests.judging.played_reps import Played, played_run

STANDARDS = list(read_standards().values())
BY_EVERY_STANDARD = pytest.mark.parametrize("standard", STANDARDS, ids=[one.name for one in STANDARDS])
A_HAIR_MS = 0.001
THEME = 3
"""The theme of a grip: the last of its four steps."""


def faults(rep: Rep, standard: Standard) -> list[tuple[str, int | None]]:
    """The trade's word for each fault and the step it is about."""
    return [(fault.fault, fault.step) for fault in rep.judged(standard).faults]


def said(rep: Rep) -> list[str]:
    """The sentences, by the default standard."""
    return [fault.said for fault in rep.judged().faults]


@BY_EVERY_STANDARD
def test_a_rep_played_exactly_is_clean(standard: Standard) -> None:
    """Nothing off, nothing said."""
    verdict = Rep().judged(standard)
    assert verdict.clean
    assert verdict.faults == ()


@BY_EVERY_STANDARD
@pytest.mark.parametrize("bpm", [30, 60, 160])
@pytest.mark.parametrize(("sign", "word"), [(1, "late"), (-1, "early")])
def test_the_beat_may_be_off_up_to_the_limit(standard: Standard, bpm: float, sign: int, word: str) -> None:
    """To either side, at every tempo: at the limit it is clean, a microsecond beyond it is late or early."""
    limit_ms = standard.beat_within_ns(60e9 / bpm) / NS_PER_MS
    assert Rep(bpm=bpm, off_ms={THEME: sign * (limit_ms - A_HAIR_MS)}).judged(standard).clean
    assert faults(Rep(bpm=bpm, off_ms={THEME: sign * (limit_ms + A_HAIR_MS)}), standard) == [(word, THEME)]


@BY_EVERY_STANDARD
@pytest.mark.parametrize(("step", "kind"), [(0, Kind.HELD), (1, Kind.QUICK), (2, Kind.HELD)])
def test_a_step_may_be_as_short_as_the_limit(standard: Standard, step: int, kind: Kind) -> None:
    """A held step and a quick one have limits of their own: at the limit clean, a microsecond shorter crushed."""
    limit_ms = standard.crushed_under_ns(kind) / NS_PER_MS
    even = {0: limit_ms, 2: limit_ms} if kind is Kind.HELD else {step: limit_ms}
    assert Rep(length_ms=even).judged(standard).clean
    assert faults(Rep(length_ms={**even, step: limit_ms - A_HAIR_MS}), standard) == [("crushed", step)]


@BY_EVERY_STANDARD
def test_steps_of_one_kind_may_differ_up_to_the_limit(standard: Standard) -> None:
    """Both limits must be passed: by milliseconds at a tight hand, by the ratio at a wide one; the shorter is named."""
    differ, times = standard.uneven_over_ms, standard.uneven_times_over
    tight = differ / (times - 1)  # where both limits meet
    assert Rep(length_ms={0: tight - 5, 2: tight - 5 + differ}).judged(standard).clean
    assert faults(Rep(length_ms={0: tight - 5, 2: tight - 5 + differ + A_HAIR_MS}), standard) == [("uneven", 0)]
    assert Rep(length_ms={0: (tight + 20) * times, 2: tight + 20}).judged(standard).clean
    assert faults(Rep(length_ms={0: (tight + 20) * times + A_HAIR_MS, 2: tight + 20}), standard) == [("uneven", 2)]


@BY_EVERY_STANDARD
def test_quick_steps_are_to_be_even_too(standard: Standard) -> None:
    """Two gracenotes of a doubling on D, one of them three times the other; held and quick ones are not compared."""
    words, short = "doubling from low A to C", 25.0
    wide = short + max(standard.uneven_over_ms, short * standard.uneven_times_over - short)
    assert Rep(words=words, length_ms={0: wide, 1: 200.0, 2: short}).judged(standard).clean
    assert faults(Rep(words=words, length_ms={0: wide + A_HAIR_MS, 1: 200.0, 2: short}), standard) == [("uneven", 2)]


@BY_EVERY_STANDARD
def test_a_crushed_step_is_not_reported_as_uneven_too(standard: Standard) -> None:
    """One fault has one name."""
    assert faults(Rep(length_ms={0: 10.0, 2: 120.0}), standard) == [("crushed", 0)]


@BY_EVERY_STANDARD
@pytest.mark.parametrize("bpm", [40, 60, 160])
def test_the_note_before_may_be_too_long_up_to_the_limit(standard: Standard, bpm: float) -> None:
    """The player's note before is early by half the limit and the ornament late by the other half: wound up."""
    half = standard.wound_up.of(60e9 / bpm) / NS_PER_MS / 2
    late = dict.fromkeys(range(4), half)
    before = Rep(bpm=bpm, off_ms=dict.fromkeys(range(-1, 4), -2 * half))
    for beyond_ms, word in ((-2 * A_HAIR_MS, False), (2 * A_HAIR_MS, True)):
        rep = Rep(bpm=bpm, rep=1, before=before, off_ms={**late, -1: -half - beyond_ms})
        assert (("wound up", -1) in faults(rep, standard)) is word


@BY_EVERY_STANDARD
@pytest.mark.parametrize("bpm", [40, 60, 160])
def test_the_note_before_may_be_too_short_up_to_the_limit(standard: Standard, bpm: float) -> None:
    """Late itself, with the ornament early: something was taken from it."""
    half = standard.cut_short.of(60e9 / bpm) / NS_PER_MS / 2
    early = dict.fromkeys(range(4), -half)
    before = Rep(bpm=bpm, off_ms=dict.fromkeys(range(-1, 4), 2 * half))
    for beyond_ms, word in ((-2 * A_HAIR_MS, False), (2 * A_HAIR_MS, True)):
        rep = Rep(bpm=bpm, rep=1, before=before, off_ms={**early, -1: half + beyond_ms})
        assert (("cut short", -1) in faults(rep, standard)) is word


@BY_EVERY_STANDARD
@pytest.mark.parametrize("bpm", [40, 60, 160])
def test_the_note_after_may_be_off_up_to_the_limit(standard: Standard, bpm: float) -> None:
    """The next rep's first note shows it: late by more than the limit is a pause, early by more is cut short."""
    paused, short = (limit.of(60e9 / bpm) / NS_PER_MS for limit in (standard.paused, standard.cut_short))
    for off_ms in (paused - A_HAIR_MS, -short + A_HAIR_MS):
        assert Rep(bpm=bpm, next_off_ms=off_ms).judged(standard).clean
    assert faults(Rep(bpm=bpm, next_off_ms=paused + A_HAIR_MS), standard) == [("paused", THEME)]
    assert faults(Rep(bpm=bpm, next_off_ms=-short - A_HAIR_MS), standard) == [("cut short", THEME)]


@BY_EVERY_STANDARD
def test_a_pause_still_going_on_at_the_verdict_is_reported_by_the_next_rep(standard: Standard) -> None:
    """The theme was still sounding when its rep was judged; the lead that ends it belongs to the next one."""
    limit = standard.paused.of(1e9) / NS_PER_MS
    before = Rep(theme_sounds=True)
    assert Rep(rep=1, before=before, off_ms={-1: limit - A_HAIR_MS}).judged(standard).clean
    assert faults(Rep(rep=1, before=before, off_ms={-1: limit + A_HAIR_MS}), standard) == [("paused", -1)]


def test_each_side_and_way_has_a_limit_of_its_own() -> None:
    """Wound up to the note before, cut short, paused: with three limits apart each is held against its own."""
    apart = replace(
        STEADY, wound_up=Limit(Ms(50), 0.025), cut_short=Limit(Ms(100), 0.025), paused=Limit(Ms(150), 0.025)
    )
    limits = {"wound up": 50.0, "cut short": 100.0, "paused": 150.0}
    for sign, word in ((1, "wound up"), (-1, "cut short")):
        for beyond_ms in (-1.0, 1.0):
            ornament = dict.fromkeys(range(4), sign * (limits[word] + beyond_ms))
            named = faults(Rep(rep=1, before=Rep(), off_ms=ornament), apart)
            assert ((word, -1) in named) is (beyond_ms > 0)
    for sign, word in ((1, "paused"), (-1, "cut short")):
        for beyond_ms in (-1.0, 1.0):
            named = faults(Rep(next_off_ms=sign * (limits[word] + beyond_ms)), apart)
            assert ((word, THEME) in named) is (beyond_ms > 0)
    for beyond_ms in (-1.0, 1.0):
        named = faults(Rep(rep=1, before=Rep(theme_sounds=True), off_ms={-1: 150.0 + beyond_ms}), apart)
        assert (("paused", -1) in named) is (beyond_ms > 0)


@BY_EVERY_STANDARD
def test_an_extra_note_may_last_up_to_the_limit(standard: Standard) -> None:
    """What was too short to be heard as a note is no fault."""
    limit = standard.extra_over_ms
    assert Rep(extras=[(Note.F, 400.0, limit, ExtraKind.EXTRA_NOTE)]).judged(standard).clean
    longer = (Note.F, 400.0, limit + A_HAIR_MS, ExtraKind.EXTRA_NOTE)
    assert faults(Rep(extras=[longer]), standard) == [("extra note", None)]


def test_a_restarted_lead_is_not_reported_as_an_extra_note() -> None:
    """B, a stray F, the B again: the F was not asked for. A B that nothing but a rest cut in two is one B too many."""
    begun = (Note.B, 0.0, 300.0, ExtraKind.EXTRA_NOTE)
    stray = (Note.F, 300.0, 80.0, ExtraKind.EXTRA_NOTE)
    assert said(Rep(off_ms={-1: 380.0}, extras=[begun, stray])) == ["Extra note: F, 80 ms."]
    assert said(Rep(off_ms={-1: 380.0}, extras=[begun])) == ["Extra note: B, 300 ms."]
    assert len(said(Rep(extras=[(Note.B, 700.0, 60.0, ExtraKind.EXTRA_NOTE)]))) == 1


@BY_EVERY_STANDARD
def test_a_crossing_noise_may_last_up_to_the_limit(standard: Standard) -> None:
    """At the limit it is not worth a word, a microsecond longer it is a fault."""
    noise = (Note.LOW_A, 820.0, standard.crossing_over_ms, ExtraKind.CROSSING_NOISE)
    assert Rep(extras=[noise]).judged(standard).clean
    longer = (Note.LOW_A, 820.0, standard.crossing_over_ms + A_HAIR_MS, ExtraKind.CROSSING_NOISE)
    assert faults(Rep(extras=[longer]), standard) == [("crossing noise", None)]


@BY_EVERY_STANDARD
def test_the_lead_and_the_theme_are_not_crushed_and_a_bounce_is_no_fault(standard: Standard) -> None:
    """Only the ornament's own steps can be crushed; a bounce is the chanter's doing, not the player's."""
    bounce = (Note.B, 3.0, None, ExtraKind.BOUNCE)
    assert Rep(length_ms={-1: 1.0, THEME: 1.0}, extras=[bounce]).judged(standard).clean


@BY_EVERY_STANDARD
def test_only_the_step_on_the_beat_is_held_against_the_click(standard: Standard) -> None:
    """The others give the shape: where the first low G of a grip begins is the player's own style."""
    assert Rep(off_ms={-1: 35.0, 0: -90.0, 1: -60.0, 2: -50.0}).judged(standard).clean
    late = Rep(words="doubling from low A to C", off_ms={0: 200.0})
    assert ("late", 0) in faults(late, standard)


def test_a_missing_step_is_named() -> None:
    """As a teacher names it, with the ordinal where there are two of a kind."""
    assert said(Rep(states={1: StepState.MISSING, 2: StepState.MERGED})) == ["You left out the D gracenote."]
    assert said(Rep(states={2: StepState.MISSING})) == ["You left out the second low G."]
    assert said(Rep(states={THEME: StepState.MISSING})) == ["You left out the C."]


def test_a_merged_step_is_no_fault_of_its_own() -> None:
    """It could not sound: whatever made it merge is reported instead, or it was never meant to sound."""
    assert Rep(words="grip from low G to C", states={0: StepState.MERGED}).judged().clean
    assert Rep(states={2: StepState.MERGED}).judged().clean


def test_a_wrong_note_says_what_you_played_instead() -> None:
    """With the article that is said aloud: an E, an F, a low G."""
    assert said(Rep(wrong={1: Note.E})) == ["You played E instead of the D gracenote."]
    assert said(Rep(wrong={0: Note.LOW_A})) == ["You played low A instead of the first low G."]
    assert said(Rep(wrong={THEME: Note.F})) == ["You played F instead of the C."]


def test_early_late_and_crushed_are_reported_in_whole_milliseconds() -> None:
    """With the step, the size and the word."""
    assert said(Rep(off_ms={THEME: 80.4})) == ["Late: the C came 80 ms after the beat."]
    assert said(Rep(off_ms={THEME: -80.6})) == ["Early: the C came 81 ms before the beat."]
    assert said(Rep(length_ms={2: 11.2})) == ["You crushed the second low G: 11 ms, too short to hear."]
    assert said(Rep(words="throw on D from low A", off_ms={1: 95.0})) == [
        "Late: the D gracenote came 95 ms after the beat."
    ]


def test_extra_notes_and_noises_are_reported_with_their_lengths() -> None:
    """The noise as the fingers' doing; a note still sounding has no length yet."""
    assert said(Rep(extras=[(Note.F, 400.0, 100.0, ExtraKind.EXTRA_NOTE)])) == ["Extra note: F, 100 ms."]
    assert said(Rep(extras=[(Note.LOW_G, 400.0, None, ExtraKind.EXTRA_NOTE)])) == ["Extra note: low G."]
    assert said(Rep(extras=[(Note.LOW_A, 800.0, 38.0, ExtraKind.CROSSING_NOISE)])) == [
        "Crossing noise: low A, 38 ms. From B to low G, your right little finger moved after the right ring finger."
    ]
    assert said(Rep(extras=[(Note.C, 908.0, 25.0, ExtraKind.CROSSING_NOISE)])) == [
        "Crossing noise: C, 25 ms."  # beside a gracenote the table of fingerings does not say
    ]


def test_the_notes_on_both_sides_are_reported_by_their_names() -> None:
    """Held too long before, left too soon before and after, held too long after."""
    late = dict.fromkeys(range(4), 39.0)
    before = Rep(off_ms=dict.fromkeys(range(-1, 4), -41.0))
    assert said(Rep(rep=1, before=before, off_ms={**late, -1: -41.0})) == [
        "You held the B 80 ms too long before the grip."
    ]
    early = dict.fromkeys(range(4), -39.0)
    before = Rep(off_ms=dict.fromkeys(range(-1, 4), 41.0))
    assert said(Rep(rep=1, before=before, off_ms={**early, -1: 41.0})) == [
        "You cut the B before the grip short, by 80 ms."
    ]
    assert said(Rep(next_off_ms=-90.0)) == ["You cut the C after the grip short, by 90 ms."]
    assert said(Rep(next_off_ms=90.0)) == ["You paused after the grip: the C lasted 90 ms too long."]
    assert said(Rep(rep=1, before=Rep(theme_sounds=True), off_ms={-1: 400.0})) == [
        "You paused before this rep, 400 ms too long."
    ]


def test_uneven_steps_are_reported_with_both_lengths() -> None:
    """The longer one first, as a teacher compares."""
    assert said(Rep(length_ms={0: 40.0, 2: 90.0})) == [
        "Uneven: the second low G lasted 90 ms, the first low G only 40 ms."
    ]


def test_the_most_important_fault_comes_first() -> None:
    """A missing step is worse than a slow one, the beat comes before the shape (common practice, no source)."""
    rep = Rep(
        states={1: StepState.MISSING},
        wrong={0: Note.LOW_A},
        off_ms=dict.fromkeys(range(4), 90.0),
        length_ms={2: 5.0},
        next_off_ms=-100.0,
        extras=[
            (Note.LOW_A, 1, 45.0, ExtraKind.CROSSING_NOISE),
            (Note.F, 400.0, 100.0, ExtraKind.EXTRA_NOTE),
        ],
    )
    named = [fault.fault for fault in rep.judged().faults]
    assert set(named) == {
        "missing step",
        "wrong note",
        "wound up",
        "late",
        "crushed",
        "cut short",
        "extra note",
        "crossing noise",
    }
    assert named == [word for word in ORDER if word in named]


def test_faults_of_one_kind_are_in_the_order_of_playing() -> None:
    """The first low G before the second."""
    assert said(Rep(length_ms={2: 12.0, 0: 14.0})) == [
        "You crushed the first low G: 14 ms, too short to hear.",
        "You crushed the second low G: 12 ms, too short to hear.",
    ]


def test_a_rest_is_neither_clean_nor_a_fault() -> None:
    """Nothing was played, so there is nothing to judge."""
    verdict = Rep(states=dict.fromkeys(range(4), StepState.MISSING)).judged()
    assert not verdict.clean
    assert verdict.faults == ()


@pytest.mark.parametrize("bpm", [60.0, 80.0, 120.0])
def test_a_gracenote_of_60_ms_is_fine_and_one_of_200_is_not(bpm: float) -> None:
    """By every standard (common practice, no source); from 100 ms a teacher speaks, but for a learner."""
    for words, step in (("G gracenote from C to low A", 0), ("doubling from B to C", 2), ("grip from B to C", 1)):
        for standard, limit_ms in (("learner", 120.0), ("steady", 100.0), ("competition", 80.0)):
            for length_ms, long in ((60.0, False), (limit_ms - 1, False), (limit_ms + 1, True), (200.0, True)):
                reps = played_run(words, bpm, Played(length_ms={step: length_ms}), standard=standard)
                found = ["too long" in [fault["fault"] for fault in rep["faults"]] for rep in reps]
                assert found == [long] * 4, (words, standard, length_ms)
    for fast in (160.0, 200.0):
        assert played_run("G gracenote from C to low A", fast, Played(length_ms={0: 60.0}))[1]["clean"]
        assert not played_run("G gracenote from C to low A", fast, Played(length_ms={0: 150.0}))[1]["clean"]
    reps = played_run("G gracenote from C to low A", 120.0, Played(length_ms={0: 200.0}), standard="competition")
    assert reps[1]["said"] == "Too long: the G gracenote lasted 200 ms."
    assert reps[1]["faults"][0]["do"] == "Keep the G gracenote quick: 60 ms is enough at any tempo."


def test_in_slow_practice_a_gracenote_may_fill_its_target_length() -> None:
    """At 20 clicks the segment asks for 120 ms: whoever plays that is right."""
    assert played_run("G gracenote from C to low A", 20.0, Played(length_ms={0: 120.0}))[1]["clean"]


@pytest.mark.parametrize(
    ("bpm", "beat_place"), [(160.0, 2), (180.0, 2), (200.0, 2), (220.0, 2), (200.0, 3), (210.0, 3), (220.0, 3)]
)
def test_an_ornament_too_slow_for_the_tempo_was_played(bpm: float, beat_place: int) -> None:
    """A taorluath of 1.13 clicks, its third or fourth step on the beat: all steps are found, and it is too slow."""
    total_ms = 1.13 * 60_000 / bpm
    sizes = dict(enumerate(total_ms * share for share in (0.3, 0.2, 0.3, 0.2)))
    for rep in played_run("taorluath from C to low A", bpm, Played(length_ms=sizes, beat_place=beat_place)):
        assert {step["state"] for step in rep["steps"]} == {"played"}
        assert f"Too slow for this tempo: the taorluath took {total_ms:.0f} ms." in [
            one["said"] for one in rep["faults"]
        ]
        assert not {"missing step", "wrong note", "extra note"} & {fault["fault"] for fault in rep["faults"]}


def test_the_whole_ornament_crushed_is_one_sentence() -> None:
    """With how long a step was, and what to do; the drill that helps is the same one, slower."""
    (fault,) = played_run("grip from B to C", 60.0, Played(length_ms={0: 10.0, 1: 10.0, 2: 10.0}))[1]["faults"]
    assert (fault["said"], fault["step"], fault["drill"]) == (
        "You crushed the whole grip: 10 ms a step, too short to hear.",
        None,
        None,
    )
    assert fault["do"].startswith("Open up the whole grip: play it slowly enough")


@pytest.mark.parametrize("bpm", [40.0, 60.0, 120.0])
@pytest.mark.parametrize("length_ms", [25.0, 35.0, 50.0])
def test_a_little_finger_that_comes_up_is_a_noise_and_no_wrong_note(length_ms: float, bpm: float) -> None:
    """A low A between the second low G and C, after at least 25 ms of the low G."""
    noise = {3: (Note.LOW_A, length_ms)}
    for rep in played_run("grip from B to C", bpm, Played(length_ms={2: 30.0 + length_ms}, noise=noise)):
        (fault,) = [one for one in rep["faults"] if one["fault"] != "uneven"]
        assert fault["fault"] == "crossing noise"
        assert "your right little finger came up: keep it down" in fault["said"]
        assert [step["state"] for step in rep["steps"]] == ["played"] * 4


@pytest.mark.parametrize("note", [Note.F, Note.LOW_A, Note.HIGH_A])
def test_reps_with_short_noises_throughout_are_found(note: Note) -> None:
    """A noise of 10 ms before every step, whatever it is: every step is played."""
    noise = dict.fromkeys(range(4), (note, 10.0))
    for rep in played_run("grip from B to C", 60.0, Played(noise=noise), reps=6):
        assert [step["state"] for step in rep["steps"]] == ["played"] * 4
        assert rep["anchor_ms"] == pytest.approx(0.0, abs=0.01)


def test_a_single_gracenote_is_neither_an_ornament_crushed_nor_one_too_slow() -> None:
    """Of one step the fault names that step."""
    gracenote = "G gracenote from C to low A"
    assert faults(Rep(words=gracenote, length_ms={0: 3.0}), STEADY) == [("crushed", 0)]
    assert "too slow" not in dict(faults(Rep(words=gracenote, bpm=200.0, off_ms={1: 250.0}), STEADY))


def test_a_gracenote_before_a_missing_step_or_played_wrong_is_not_too_long() -> None:
    """It had to sound on, or is named as a wrong note."""
    long = Rep(words="doubling from low A to C", length_ms={0: 300.0})
    assert ("too long", 0) in faults(long, STEADY)
    assert ("too long", 0) not in faults(replace(long, states={1: StepState.MISSING}), STEADY)
    assert ("too long", 0) not in faults(replace(long, wrong={0: Note.F}), STEADY)
