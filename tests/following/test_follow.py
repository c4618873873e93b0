"""Following: what a player would notice, and the promise that no reading is better than the one reported.

All performances here are simulated.
"""

from collections.abc import Callable
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.following.cost import STANDARD_COSTS as COSTS
from chanterd.following.follow import LONGEST_REST, Follower
from chanterd.following.reading import LEAD, ExtraKind, Finding, SegmentRead, StepFound, StepState
from chanterd.music.heard import Onset, Silence
from chanterd.music.note import Note
from chanterd.music.units import Ns
from tests.following.simulated_players import (
    DRILLS,
    MS,
    Player,
    findings,
    follow,
    melted,
    player,
    priced,
    states,
    walker,
)


@pytest.mark.parametrize("words", DRILLS)
def test_ten_clean_reps_are_read_as_played(words: str) -> None:
    """Every step that can sound is played, every other one merged, nothing is extra."""
    plays = player(words)
    reads = follow(plays, list(melted([one for number in range(10) for one in plays.rep(number)])))
    assert [read.rep for read in reads] == list(range(10))
    for read in reads:
        expected = ["played" if step.sounds else "merged" for step in plays.drill.steps]
        assert states(read) == expected
        assert read.extras == ()


@pytest.mark.parametrize("words", DRILLS)
def test_each_rep_of_a_way_up_and_down_the_scale_is_read_by_its_own_drill(words: str) -> None:
    """Two rounds of it, played as asked: every step that can sound is played, in time, and nothing is extra."""
    plays = walker(words, bpm=90)
    reps = 2 * len(plays.score.segments)
    reads = follow(plays, list(melted([one for number in range(reps) for one in plays.rep(number)])))
    assert [read.rep for read in reads] == list(range(reps))
    for read in reads:
        drill = plays.score.segment(read.rep).drill
        assert states(read) == ["played" if step.sounds else "merged" for step in drill.steps]
        assert read.extras == ()


def test_the_first_step_of_the_next_drill_is_read_as_it_sounds() -> None:
    """Up the scale each theme note sounds on as the next rep's lead; the next ornament is reported at once."""
    plays, findings_now = walker("grip from B to C"), list[Finding]()
    follower = Follower(plays.score, plays.grid)
    for one in melted([*plays.rep(0), *plays.rep(1)[:2]]):
        findings_now = follower.hear(one)
    *_, last = [one for one in findings_now if isinstance(one, StepFound)]
    assert (last.rep, last.step, last.state) == (1, 0, StepState.PLAYED)


def test_the_lead_that_only_went_on_sounding_is_merged() -> None:
    """From C to C the second rep's lead has no onset of its own."""
    plays = player("grip from C to C")
    reads = follow(plays, list(melted(plays.rep(0) + plays.rep(1))))
    assert [read.lead.state for read in reads] == [StepState.PLAYED, StepState.MERGED]


def test_after_a_rest_the_lead_has_an_onset_again() -> None:
    """From C to C, with a breath between the reps, the lead is played."""
    plays = player("grip from C to C")
    breath = Silence(Ns(plays.grid.at(2) - 200 * MS))
    reads = follow(plays, [*plays.rep(0), breath, *plays.rep(1)])
    assert [read.lead.state for read in reads] == [StepState.PLAYED, StepState.PLAYED]


def test_a_step_is_reported_in_the_call_that_heard_it() -> None:
    """Each onset of a clean rep brings its own step at once."""
    plays = player()
    follower = Follower(plays.score, plays.grid)
    for place, onset in enumerate(plays.rep(0)):
        findings_now = follower.hear(onset)
        steps = [(one.step, one.state) for one in findings_now if isinstance(one, StepFound)]
        assert steps == [(place + LEAD, StepState.PLAYED)]


def test_a_later_onset_can_correct_a_reading() -> None:
    """A stray B after the lead's time is first taken for a step; the right note that follows takes its place."""
    plays = player()
    lead, *rest = plays.rep(0)
    stray = Onset(Note.F, Ns(rest[0].at_ns - 60 * MS))
    findings_now = findings(plays, [lead, stray, *rest])
    final = next(one for one in findings_now if isinstance(one, SegmentRead))
    assert states(final) == ["played"] * 4
    assert [extra.sound.note for extra in final.extras] == [Note.F]


def test_a_missing_gracenote_melts_its_neighbours() -> None:
    """Without the D the two low Gs are one: the D is missing, the second low G merged, neither is blamed twice."""
    plays = player()
    onsets = [one for one in plays.rep(0) if one.note != Note.D]
    reads = follow(plays, list(melted(onsets)))
    assert states(reads[0]) == ["played", "missing", "merged", "played"]


def test_a_wrong_note_names_the_note_played() -> None:
    """An E in place of the D."""
    plays = player()
    onsets = [Onset(Note.E, one.at_ns) if one.note == Note.D else one for one in plays.rep(0)]
    found = follow(plays, list(onsets))[0].steps[1]
    assert found.state is StepState.WRONG_NOTE
    assert found.sound is not None
    assert found.sound.note is Note.E


def test_the_lead_that_ends_a_merged_theme_is_reported_before_its_rep() -> None:
    """Without its last gracenote a doubling melts into its theme; the next lead says how long that was held."""
    for at_once in (True, False):
        plays = player("doubling from low A to D", 76.0)
        high_g, short = plays.rep(0)[1:3]
        follower = Follower(plays.score, plays.grid, at_once=at_once)
        found = [
            one for onset in (plays.rep(0)[0], high_g, short, *plays.rep(1, 110.0)) for one in follower.hear(onset)
        ]
        closed = next(index for index, one in enumerate(found) if isinstance(one, SegmentRead))
        leads = [one for one in found[:closed] if isinstance(one, StepFound) and (one.rep, one.step) == (1, LEAD)]
        assert leads
        assert leads[-1].sound is not None
        assert leads[-1].sound.onset_ns == plays.rep(1, 110.0)[0].at_ns


def with_noise(plays: Player, note: Note, length_ms: float) -> list[Onset | Silence]:
    """A rep with another note between the lead B and the first low G."""
    lead, low_g, *rest = plays.rep(0)
    return [lead, Onset(note, Ns(low_g.at_ns - round(length_ms * MS))), low_g, *rest, *plays.rep(1)]


def test_a_short_note_on_the_way_of_the_fingers_is_a_crossing_noise() -> None:
    """From B to low G two fingers fall; if not together, a low A sounds (common practice, no source)."""
    plays = player()
    kinds = [extra.kind for extra in follow(plays, with_noise(plays, Note.LOW_A, 12))[0].extras]
    assert kinds == [ExtraKind.CROSSING_NOISE]


def test_off_the_way_of_the_fingers_it_is_an_extra_note() -> None:
    """No finger that moves from B to low G passes through F."""
    plays = player()
    kinds = [extra.kind for extra in follow(plays, with_noise(plays, Note.F, 12))[0].extras]
    assert kinds == [ExtraKind.EXTRA_NOTE]


@pytest.mark.parametrize(("off_ms", "kind"), [(-0.5, ExtraKind.CROSSING_NOISE), (0.5, ExtraKind.EXTRA_NOTE)])
def test_a_crossing_noise_is_short(off_ms: float, kind: ExtraKind) -> None:
    """Just under and just over the limit, on the way of the fingers."""
    plays = player(bpm=40)
    (extra,) = follow(plays, with_noise(plays, Note.LOW_A, COSTS.short_ms + off_ms))[0].extras
    assert extra.kind is kind


def test_a_bounce_is_kept_and_counts_for_nothing() -> None:
    """It neither shortens the note nor moves a step."""
    plays = player()
    lead, *rest = plays.rep(0)
    bounce = Onset(lead.note, Ns(lead.at_ns + 5 * MS), bounce=True)
    read = follow(plays, [lead, Silence(Ns(lead.at_ns + 4 * MS)), bounce, *rest])[0]
    assert [extra.kind for extra in read.extras] == [ExtraKind.BOUNCE]
    assert read.lead.sound is not None
    assert read.lead.sound.length_ns == rest[0].at_ns - lead.at_ns


def test_a_short_gap_between_notes_is_not_a_rest_and_a_long_one_is() -> None:
    """Some chanters are silent for a moment between any two notes."""
    plays = player()
    lead, *rest = plays.rep(0)
    for gap_ms, length in ((10, rest[0].at_ns - lead.at_ns), (100, rest[0].at_ns - lead.at_ns - 100 * MS)):
        read = follow(plays, [lead, Silence(Ns(rest[0].at_ns - gap_ms * MS)), *rest])[0]
        assert read.lead.sound is not None
        assert read.lead.sound.length_ns == length


def test_a_skipped_rep_is_skipped_and_the_next_found() -> None:
    """After a rest of three reps the player is found again, on the right rep."""
    plays = player()
    rest = Silence(Ns(plays.grid.at(2)))
    reads = follow(plays, [*plays.rep(0), rest, *plays.rep(4)])
    assert [read.rep for read in reads if not read.skipped] == [0, 4]
    assert states(reads[4]) == ["played"] * 4


def test_an_endless_rest_reports_only_its_first_hundred_reps() -> None:
    """The chanter lay for a month; the next rep is read where it belongs, and it took no time to find it."""
    plays = player()
    far = 1_300_000
    reads = follow(plays, [*plays.rep(0), Silence(Ns(plays.grid.at(2))), *plays.rep(far), *plays.rep(far + 1)])
    assert [read.rep for read in reads] == [*range(LONGEST_REST + 1), far - 1, far, far + 1]
    assert [read.rep for read in reads if not read.skipped] == [0, far, far + 1]
    assert states(reads[-2]) == ["played"] * 4


def test_a_long_rest_reads_alike_whether_time_is_let_pass_or_not() -> None:
    """With a tick every second, as live, and with none, as in a file."""
    plays = player()
    far = 3 * LONGEST_REST
    ticking, findings_now = Follower(plays.score, plays.grid), list[Finding]()
    for one in plays.rep(0):
        findings_now += ticking.hear(one)
    for now_ns in range(plays.grid.at(2), plays.grid.at(2 * far - 1), 1000 * MS):
        findings_now += ticking.tick(Ns(now_ns))
    for one in plays.rep(far):
        findings_now += ticking.hear(one)
    findings_now += ticking.finish()
    assert [one for one in findings_now if isinstance(one, SegmentRead)] == follow(
        plays, [*plays.rep(0), *plays.rep(far)]
    )


def test_nothing_melts_into_a_rest() -> None:
    """After the sound has stopped, the theme of a rep that is not played is missing, not merged."""
    plays = player()
    rest = Silence(Ns(plays.grid.at(2) - 50 * MS))
    reads = follow(plays, [*plays.rep(0), rest, *plays.rep(3)])
    assert [states(read)[-1] for read in reads] == ["played", "missing", "missing", "played"]


def test_a_late_entry_is_not_read_as_a_late_first_rep() -> None:
    """Who starts with the third rep has played the third rep."""
    plays = player()
    reads = follow(plays, list(plays.rep(2)))
    assert [read.rep for read in reads if not read.skipped] == [2]


def test_a_late_theme_that_equals_a_step_is_waited_for() -> None:
    """Later by 90 ms each time, until a rep closes on the short C of a doubling on C: that is not yet the theme."""
    plays = player("doubling from low A to C", bpm=120)
    reads = follow(plays, [one for number in range(8) for one in plays.rep(number, late_ms=90.0 * number)])
    assert [states(read) for read in reads] == [["played"] * 4] * 8


def test_a_stumble_spoils_its_own_rep_only() -> None:
    """Starting the ornament over leaves extra notes in that rep; the next is clean."""
    plays = player()
    lead, low_g, *rest = plays.rep(0)
    again = [Onset(Note.B, Ns(low_g.at_ns - 100 * MS))]
    early = Onset(low_g.note, Ns(low_g.at_ns - 200 * MS))
    reads = follow(plays, [lead, early, *again, low_g, *rest, *plays.rep(1)])
    assert states(reads[0]) == ["played"] * 4
    assert len(reads[0].extras) == 2
    assert states(reads[1]) == ["played"] * 4
    assert reads[1].extras == ()


def test_starting_again_with_the_lead_is_read_from_that_lead() -> None:
    """A birl broken off before its theme, and then all of it from the B on: the first attempt counts for nothing."""
    plays = player("D gracenote birl from B", bpm=138)
    lead, *steps = plays.rep(0)
    late = [Onset(one.note, Ns(one.at_ns + 260 * MS)) for one in steps]
    again = Onset(lead.note, Ns(late[0].at_ns - 80 * MS))
    read = follow(plays, [lead, *steps[:4], again, *late, *plays.rep(1)])[0]
    heard = [None if found.sound is None else found.sound.onset_ns for found in (read.lead, *read.steps)]
    assert heard == [one.at_ns for one in (again, *late)]


@pytest.mark.parametrize("leads", [0, 3])
def test_reps_without_a_step_let_fade_what_was_learned(leads: int) -> None:
    """After reps 300 ms late comes nothing or a lead alone: the next is looked for nearer to the click each time."""
    plays = player("change from F to B", bpm=90)
    late = [one for number in range(6) for one in plays.rep(number, late_ms=300.0)]
    alone = [plays.rep(number, late_ms=400.0)[0] for number in range(6, 6 + leads)]
    played = sorted([*late, *alone, *plays.rep(9)], key=lambda one: one.at_ns)
    silent = [one for on in played for one in (on, Silence(Ns(on.at_ns + 200 * MS)))]
    learned = [read.shift_ns / MS for read in follow(plays, silent)[6:10]]
    assert learned == pytest.approx([300.0, 150.0, 75.0, 37.5], rel=0.05)


@pytest.mark.parametrize("late_ms", [-120.0, 120.0])
def test_a_steady_bias_never_drifts_off_by_a_rep(late_ms: float) -> None:
    """Sixty reps, all early or all late by the same: every one is read where it belongs."""
    plays = player(bpm=90)
    reads = follow(plays, [one for number in range(60) for one in plays.rep(number, late_ms)])
    assert [read.rep for read in reads if not read.skipped] == list(range(60))
    assert all(states(read) == ["played"] * 4 for read in reads)


def test_when_time_is_let_pass_does_not_change_the_reading() -> None:
    """Live, clocks tick between the notes; a replay has none. Both read alike."""
    plays = player("taorluath from C to low A", bpm=120)
    rng = Random(5)  # noqa: S311
    onsets = sorted(
        (Onset(one.note, Ns(one.at_ns + rng.randrange(-30, 30) * MS)) for n in range(20) for one in plays.rep(n)),
        key=lambda one: one.at_ns,
    )
    ticking = Follower(plays.score, plays.grid)
    findings_now: list[Finding] = []
    for before, after in zip(onsets, [*onsets[1:], onsets[-1]], strict=True):
        findings_now += ticking.hear(before)
        for now_ns in range(before.at_ns, after.at_ns, 20 * MS):
            findings_now += ticking.tick(Ns(now_ns))
    findings_now += ticking.finish()
    assert [one for one in findings_now if isinstance(one, SegmentRead)] == follow(plays, list(onsets))


@settings(deadline=None, max_examples=40)
@given(st.sampled_from(DRILLS), st.sampled_from([60.0, 200.0]), st.sampled_from([player, walker]), st.integers(0))
def test_a_reading_is_the_same_with_or_without_provisional_steps(
    words: str, bpm: float, plays_at: Callable[[str, float], Player], seed: int
) -> None:
    """Roughly played: the reps are read alike, and before each the lead of the next is as it was last reported."""
    plays = plays_at(words, bpm)
    rng = Random(seed)  # noqa: S311
    onsets = [one for number in range(6) for one in plays.rep(number) if rng.random() > 0.08]
    onsets = [Onset(one.note, Ns(one.at_ns + rng.randrange(-60, 120) * MS)) for one in onsets]
    onsets = melted(sorted(onsets, key=lambda one: one.at_ns))
    quiet = Follower(plays.score, plays.grid, at_once=False)
    findings_now = [finding for one in onsets for finding in quiet.hear(one)] + quiet.finish()
    assert [one for one in findings_now if isinstance(one, SegmentRead)] == follow(plays, list(onsets))
    assert leads_before_reps(findings_now) == leads_before_reps(findings(plays, list(onsets)))


def leads_before_reps(findings_now: list[Finding]) -> list[int | None]:
    """When the next lead was heard, as last reported before each rep; None if it was not."""
    heard: dict[int, int | None] = {}
    found: list[int | None] = []
    for one in findings_now:
        if isinstance(one, SegmentRead):
            found.append(heard.get(one.rep + 1))
        elif one.step == LEAD:
            heard[one.rep] = None if one.sound is None else one.sound.onset_ns
    return found


def test_the_last_word_before_a_rep_closes_is_the_reading() -> None:
    """What was reported provisionally and never corrected is what the rep says."""
    plays = player()
    findings_now = findings(plays, [*plays.rep(0), *plays.rep(1)])
    latest = {(one.rep, one.step): one for one in findings_now if isinstance(one, StepFound)}
    for read in (one for one in findings_now if isinstance(one, SegmentRead)):
        for found in read.steps:
            assert latest[found.rep, found.step].state is found.state


# --- the promise


@settings(deadline=None, max_examples=60)
@given(
    st.sampled_from(DRILLS), st.sampled_from([60.0, 120.0, 200.0]), st.sampled_from([player, walker]), st.integers(0)
)
def test_no_other_reading_of_a_rep_is_better(
    words: str, bpm: float, plays_at: Callable[[str, float], Player], seed: int
) -> None:
    """Whatever is played, the final reading costs what the best of all readings of the same onsets costs."""
    plays = plays_at(words, bpm)
    rng = Random(seed)  # noqa: S311
    onsets: list[Onset] = []
    for number in range(4):
        for one in plays.rep(number):
            chance = rng.random()
            at_ns = one.at_ns + round(rng.gauss(0, 25) * MS)
            if chance > 0.12:
                onsets.append(Onset(one.note if chance > 0.2 else Note(rng.randrange(9)), Ns(at_ns)))
            if chance > 0.85:
                onsets.append(Onset(Note(rng.randrange(9)), Ns(at_ns + rng.randrange(3, 60) * MS)))
    onsets.sort(key=lambda one: one.at_ns)
    onsets = melted([one for index, one in enumerate(onsets) if index == 0 or onsets[index - 1].at_ns < one.at_ns])
    reads = follow(plays, list(onsets))
    taken = 0
    for read in reads:
        found = (read.lead, *read.steps)
        count = sum(one.sound is not None for one in found) + len(read.extras)
        mine = onsets[taken : taken + count]
        before = onsets[taken - 1].note if taken else None
        after = onsets[taken + count].note if taken + count < len(onsets) else None
        assert read.price == pytest.approx(priced(plays, read, mine, before, after))
        taken += count
    assert taken == len(onsets), "something heard was lost"
