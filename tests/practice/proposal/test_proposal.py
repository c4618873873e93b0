"""What is proposed for today: by example, and by what must hold whatever was practised."""

from dataclasses import replace
from datetime import timedelta

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from chanterd.music.book import standard_book
from chanterd.music.drill import all_drills, drill_from_words
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.practice.proposal.known import Known, Sitting
from chanterd.practice.proposal.proposal import Proposal, place_of, propose
from chanterd.practice.proposal.rule import standard_proposal_rule
from tests.practice.made_up_sittings import TODAY, known, sat

BOOK = standard_book()
RULE = standard_proposal_rule()
DRILLS = [drill for index, drill in enumerate(all_drills(BOOK)) if index % 40 == 0]

GRIP = known("grip from B to C", sat(2, 10, 4))
THROW = known("throw on D from low A", sat(5, 20, 19, held=68.0), sat(3, 20, 19, held=68.0))
BIRL = known("birl from E", *(sat(ago, 20, 18, held=76.0) for ago in (60, 50, 40, 30)))


def lines_of(proposal: Proposal) -> list[tuple[str, str]]:
    """Why, and what."""
    return [(line.why, line.drill.words) for line in proposal.lines]


def test_a_new_player_is_given_a_start() -> None:
    """A few of the first things in the order, at a slow tempo."""
    proposal = propose([], (), TODAY, RULE, BOOK)
    assert lines_of(proposal) == [("new", drill.words) for drill in RULE.order[:3]]
    assert {line.click_bpm for line in proposal.lines} == {60.0}


def test_weak_first_then_due_then_an_old_one_then_something_new() -> None:
    """Each for its own reason, and the old one is not also due."""
    proposal = propose([BIRL, THROW, GRIP], (), TODAY, RULE, BOOK)
    assert lines_of(proposal) == [
        ("weak", "grip from B to C, stage 1"),
        ("due", "throw on D from low A"),
        ("warm", "birl from E"),
        ("new", "G gracenote from low A to B"),
    ]


def test_what_is_refused_makes_room_for_another() -> None:
    """The next one of its kind, or the next that is due."""
    before = propose([BIRL, THROW, GRIP], (), TODAY, RULE, BOOK)
    after = propose([BIRL, THROW, GRIP], {place_of(before.lines[-1].drill)}, TODAY, RULE, BOOK)
    assert lines_of(after) == [*lines_of(before)[:-1], ("new", "D gracenote from low A to B")]
    none = propose([GRIP], {place_of(GRIP.drill)}, TODAY, RULE, BOOK)
    assert "grip from B to C, stage 1" not in [what for _, what in lines_of(none)]


def test_what_was_practised_today_is_done_and_the_day_comes_to_an_end() -> None:
    """Its line is not given to another: practice that never ends does harm."""
    done = known("grip from B to C", sat(2, 10, 4), sat(0, 12, 11, stage=1))
    proposal = propose([BIRL, THROW, done], (), TODAY, RULE, BOOK)
    assert [drill.words for drill in proposal.done] == ["grip from B to C"]
    assert "weak" not in [why for why, _ in lines_of(proposal)]
    all_new = [known(drill.words, sat(0, 12, 9)) for drill in RULE.order[:3]]
    assert propose(all_new, (), TODAY, RULE, BOOK).lines == ()


def test_what_was_begun_goes_before_what_is_new() -> None:
    """And there is no more of both than the rule allows, while anything else is to be done."""
    begun = known("doubling from low A to C", sat(4, 3, 1))
    assert lines_of(propose([begun, GRIP], (), TODAY, RULE, BOOK))[1] == ("begun", "doubling from low A to C")
    many = [known(f"birl from {lead}", sat(2, 20, 12)) for lead in ("B", "C", "D", "E", "F", "high G", "high A")]
    lines = lines_of(propose([*many, GRIP], (), TODAY, RULE, BOOK))
    assert [why for why, _ in lines] == ["weak", "due", "due", "due", "new"]


QUICK = settings(phases=(Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink), deadline=None)
"""Without explaining: a drill is long to write down."""

sittings = st.builds(
    Sitting,
    day=st.integers(-2, 80).map(lambda ago: TODAY - timedelta(ago)),
    stage=st.sampled_from([None, None, None, 1]),
    played=st.integers(1, 40),
    clean=st.just(0),
    tried_bpm=st.floats(SLOWEST_BPM, FASTEST_BPM),
    held_bpm=st.none() | st.floats(SLOWEST_BPM, FASTEST_BPM),
    spread_ms=st.none() | st.floats(0, 100),
).flatmap(lambda one: st.integers(0, one.played).map(lambda clean: replace(one, clean=clean)))


@st.composite
def practised(draw: st.DrawFn) -> list[Known]:
    """Ways in of all kinds, each with days in order; no stage is the last, which is the full ornament."""
    drills = draw(st.lists(st.sampled_from(DRILLS), unique_by=place_of, max_size=12))
    found = []
    for drill in drills:
        days = draw(st.lists(sittings, min_size=1, max_size=6))
        staged = [replace(one, stage=one.stage if drill.stages > 1 else None) for one in days]
        found.append(Known(drill, tuple(sorted(staged, key=lambda one: (one.day, one.stage is None)))))
    return found


@QUICK
@given(practised(), st.sets(st.sampled_from([place_of(drill) for drill in (*DRILLS, *RULE.order)])), st.integers(1, 12))
def test_whatever_was_practised(history: list[Known], refused: set[tuple[str, object, object]], most: int) -> None:
    """Only what can be played, at a tempo there is; no more lines than asked, none twice, and nothing refused."""
    proposal = propose(history, refused, TODAY, replace(RULE, most=most), BOOK)  # type: ignore[arg-type]
    places = [place_of(line.drill) for line in proposal.lines]
    assert len(places) <= most
    assert len(places) + len(proposal.done) >= min(most, RULE.new_lines)
    assert len(set(places)) == len(places)
    assert not refused & set(places)
    assert not {place_of(drill) for drill in proposal.done} & set(places)
    for line in proposal.lines:
        assert drill_from_words(line.drill.words, BOOK) == line.drill
        assert SLOWEST_BPM <= line.click_bpm <= FASTEST_BPM
        assert line.drill.ornament.name in line.reason
        assert line.reason.endswith(".")


@QUICK
@given(practised())
def test_the_same_day_has_the_same_proposal(history: list[Known]) -> None:
    """In whatever order the ways come out of a database."""
    assert propose(history, (), TODAY, RULE, BOOK) == propose(history[::-1], (), TODAY, RULE, BOOK)


def test_what_went_badly_in_a_tune_is_proposed_and_its_click_is_no_tempo_for_a_drill() -> None:
    """Played there today it is not done, since that is no practice of it; the sentence says where it was played."""
    in_tune = replace(sat(0, 20, 4), in_tunes=True, tried_bpm=180.0)
    proposal = propose([replace(GRIP, sittings=(in_tune,))], (), TODAY, RULE, BOOK)
    line = proposal.lines[0]
    assert (line.why, line.drill.words, line.click_bpm) == ("weak", "grip from B to C, stage 1", RULE.start_bpm)
    assert line.reason.startswith("The grip from B to C was clean 4 times in 20 in tunes today: ")
    assert proposal.done == ()


def test_an_ornament_of_a_tune_that_was_hardly_played_is_begun() -> None:
    """Only in tunes so far."""
    in_tune = replace(sat(1, 2, 0), in_tunes=True)
    line = propose([replace(GRIP, sittings=(in_tune,))], (), TODAY, RULE, BOOK).lines[0]
    assert line.reason.startswith(
        "The grip from B to C was played only 2 times, in tunes: give it a proper start at 60"
    )
