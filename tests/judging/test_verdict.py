"""The verdict: each rule just inside and just outside its limit, by every standard, and the sentences read aloud."""

import pytest

from chanterd.following.reading import ExtraKind, State
from chanterd.judging.standard import Standard, read_standards
from chanterd.judging.verdict import ORDER, step_name
from chanterd.trade.drill import all_drills, drill_from_words
from chanterd.trade.note import Note
from chanterd.trade.ornament import Kind
from chanterd.trade.units import NS_PER_MS
from tests.judging.reps import Rep

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
def test_a_rep_as_asked_is_clean(standard: Standard) -> None:
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
    assert Rep(length_ms={step: limit_ms}).judged(standard).clean
    assert faults(Rep(length_ms={step: limit_ms - A_HAIR_MS}), standard) == [("crushed", step)]


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
    assert Rep(off_ms={-1: 90.0, 0: -90.0, 1: -60.0, 2: -50.0}).judged(standard).clean
    late = Rep(words="doubling from low A to C", off_ms={0: 200.0})
    assert faults(late, standard) == [("late", 0)]


def test_a_missing_step_is_named() -> None:
    """As a teacher names it, with the ordinal where there are two of a kind."""
    assert said(Rep(states={1: State.MISSING, 2: State.MERGED})) == ["The D gracenote was missing."]
    assert said(Rep(states={2: State.MISSING})) == ["The second low G was missing."]
    assert said(Rep(states={THEME: State.MISSING})) == ["The C was missing."]


def test_a_merged_step_is_no_fault_of_its_own() -> None:
    """It could not sound: whatever made it melt is told instead, or it was never asked to sound."""
    assert Rep(words="grip from low G to C", states={0: State.MERGED}).judged().clean
    assert Rep(states={2: State.MERGED}).judged().clean


def test_a_wrong_note_is_told_with_what_came() -> None:
    """With the article that is said aloud: an E, an F, a low G."""
    assert said(Rep(wrong={1: Note.E})) == ["The D gracenote came out as an E."]
    assert said(Rep(wrong={0: Note.LOW_A})) == ["The first low G came out as a low A."]
    assert said(Rep(wrong={THEME: Note.F})) == ["The C came out as an F."]


def test_early_late_and_crushed_are_told_in_whole_milliseconds() -> None:
    """With the step, the size and the word."""
    assert said(Rep(off_ms={THEME: 80.4})) == ["The C was 80 ms late."]
    assert said(Rep(off_ms={THEME: -80.6})) == ["The C was 81 ms early."]
    assert said(Rep(length_ms={2: 11.2})) == ["The second low G was crushed: 11 ms."]
    assert said(Rep(words="throw on D from low A", off_ms={1: 95.0})) == ["The D gracenote was 95 ms late."]


def test_extra_notes_and_noises_are_told_with_their_lengths() -> None:
    """The noise as the fingers' doing; a note still sounding has no length yet."""
    assert said(Rep(extras=[(Note.F, 400.0, 100.0, ExtraKind.EXTRA_NOTE)])) == [
        "An F sounded for 100 ms that was not asked for."
    ]
    assert said(Rep(extras=[(Note.LOW_G, 400.0, None, ExtraKind.EXTRA_NOTE)])) == [
        "A low G sounded that was not asked for."
    ]
    assert said(Rep(extras=[(Note.LOW_A, 800.0, 38.0, ExtraKind.CROSSING_NOISE)])) == [
        "The fingers crossed: a low A sounded for 38 ms."
    ]


def test_the_most_important_fault_comes_first() -> None:
    """A missing step is worse than a slow one, the beat comes before the shape (common practice, no source)."""
    rep = Rep(
        states={1: State.MISSING},
        wrong={0: Note.LOW_A},
        off_ms={THEME: 90.0},
        length_ms={2: 5.0},
        extras=[
            (Note.LOW_A, 1, 45.0, ExtraKind.CROSSING_NOISE),
            (Note.F, 400.0, 100.0, ExtraKind.EXTRA_NOTE),
        ],
    )
    told = [fault.fault for fault in rep.judged().faults]
    assert told == ["missing step", "wrong note", "late", "crushed", "extra note", "crossing noise"]
    assert told == [word for word in ORDER if word in told]


def test_faults_of_one_kind_are_in_the_order_of_playing() -> None:
    """The first low G before the second."""
    assert said(Rep(length_ms={2: 12.0, 0: 14.0})) == [
        "The first low G was crushed: 14 ms.",
        "The second low G was crushed: 12 ms.",
    ]


def test_a_rest_is_neither_clean_nor_a_fault() -> None:
    """Nothing was played, so there is nothing to judge."""
    verdict = Rep(states=dict.fromkeys(range(4), State.MISSING)).judged()
    assert not verdict.clean
    assert verdict.faults == ()


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("grip from B to C", ["first low G", "D gracenote", "second low G", "C"]),
        ("taorluath from C to low A", ["first low G", "D gracenote", "second low G", "E gracenote", "low A"]),
        ("doubling from low A to C", ["high G gracenote", "short C", "D gracenote", "C"]),
        ("throw on D from low A", ["low G", "D gracenote", "C", "D"]),
        ("heavy throw on D from B", ["first low G", "D gracenote", "second low G", "C", "D"]),
        ("grip from D to E", ["first low G", "B gracenote", "second low G", "E"]),
        ("birl from E", ["first short low A", "first low G tap", "second short low A", "second low G tap", "low A"]),
    ],
)
def test_steps_are_called_what_a_teacher_calls_them(words: str, names: list[str]) -> None:
    """Gracenotes, taps, the short notes on the theme's own pitch, and ordinals (common practice, no source)."""
    drill = drill_from_words(words)
    assert [step_name(drill, step) for step in range(len(drill.steps))] == names


def test_no_two_steps_of_a_drill_have_one_name() -> None:
    """Otherwise the player could not tell which was meant."""
    for drill in all_drills():
        names = [step_name(drill, step) for step in range(len(drill.steps))]
        assert len(set(names)) == len(names), drill.words
