"""The chain against every reading there is, counted out one by one."""

from dataclasses import replace
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.following.chain import Chain
from chanterd.following.cost import STANDARD_COSTS as COSTS
from chanterd.following.onsets import Onsets
from chanterd.following.target import Target
from chanterd.music.heard import Onset
from chanterd.music.note import Note
from chanterd.music.units import Ns
from tests.following.reading_prices import Heard, Rep, cheapest, price_of
from tests.following.simulated_players import follow, player, states

CLICK_NS = 500_000_000
REP_NS = 2 * CLICK_NS
MS = 1_000_000
NOTES = st.sampled_from([Note.LOW_G, Note.LOW_A, Note.B, Note.D])
PLAYED = st.lists(st.tuples(NOTES, st.integers(4, 400)), max_size=5)
"""Notes and how long each lasts, ms."""


def heard_by(played: list[tuple[Note, int]], before: Note | None) -> tuple[Onsets, list[Heard]]:
    """The onsets as the chain has them, and priced for counting out."""
    onsets, at_ns = Onsets(COSTS), 0
    onsets.before = before
    for note, length in played:
        onsets.add(note, at_ns)
        at_ns += length * MS
    priced = [
        Heard(
            note,
            onsets.at[index],
            onsets.sums[index + 1] - onsets.sums[index],
            onsets.odd[index + 1] > onsets.odd[index],
            played[index][1] * MS if index + 1 < len(played) else inf,
        )
        for index, note in enumerate(onsets.notes)
    ]
    return onsets, priced


def chained(asked: list[Note], played: list[tuple[Note, int]], before: Note | None) -> tuple[Chain, Rep, list[Heard]]:
    """A chain over all of it, and what it is to be held against."""
    onsets, priced = heard_by(played, before)
    rep = Rep(asked, [150.0 * MS * place for place in range(len(asked))], CLICK_NS, REP_NS, before)
    chain = Chain(Target(asked, rep.due_ns, CLICK_NS, REP_NS, COSTS), rep.due_ns, onsets)
    chain.start(0, 0.0, before)
    for index in range(len(onsets)):
        chain.add(index)
    return chain, rep, priced


@settings(deadline=None)
@given(st.lists(NOTES, min_size=2, max_size=5), PLAYED, st.none() | NOTES)
def test_no_reading_is_cheaper_than_the_chains(
    asked: list[Note], played: list[tuple[Note, int]], before: Note | None
) -> None:
    """For any asked notes and any onsets the chain's price is the least of all, and its pairs cost that."""
    chain, rep, priced = chained(asked, played, before)
    price, last = chain.end(len(priced))
    assert price == pytest.approx(cheapest(rep, priced))
    assert price_of(rep, priced, tuple(chain.pairs(last, len(priced), len(asked)))) == pytest.approx(price)


@settings(deadline=None)
@given(
    st.lists(NOTES, min_size=4, max_size=5),
    st.lists(st.integers(60, 500), min_size=5, max_size=5),
    st.integers(0, 400),
    st.none() | NOTES,
)
def test_nor_where_the_whole_ornament_is_slower(
    asked: list[Note], lengths: list[int], late_ms: int, before: Note | None
) -> None:
    """Every note that sounds in order, each as long as it likes, some of them not at all in proportion."""
    sounding = [note for index, note in enumerate(asked) if not index or note != asked[index - 1]]
    onsets, rep_heard = heard_by(list(zip(sounding, lengths, strict=False)), before)
    rep = Rep(asked, [late_ms * MS + 100.0 * MS * place for place in range(len(asked))], CLICK_NS, REP_NS, before)
    chain = Chain(Target(asked, rep.due_ns, CLICK_NS, REP_NS, COSTS), rep.due_ns, onsets)
    chain.start(0, 0.0, before)
    for index in range(len(onsets)):
        chain.add(index)
    price, last = chain.end(len(rep_heard))
    assert price == pytest.approx(cheapest(rep, rep_heard))
    assert price_of(rep, rep_heard, tuple(chain.pairs(last, len(rep_heard), len(asked)))) == pytest.approx(price)


@given(
    st.lists(NOTES, min_size=1, max_size=2),
    st.lists(st.tuples(NOTES, st.integers(20, 120)), min_size=1, max_size=2),
    st.lists(st.integers(20, 90), min_size=7, max_size=7),
    st.integers(0, 300),
)
def test_nor_where_movements_are_added_behind_the_ornament(
    steps: list[Note], added: list[tuple[Note, int]], lengths: list[int], lead_ms: int
) -> None:
    """Each of them leaves the theme note and comes back, whatever else that may be read as."""
    asked = [Note.B, *steps, Note.C]
    played = [(Note.B, 20 + lead_ms), *zip([*steps, Note.C], lengths, strict=False)]
    for note, length in added:
        played += [(note, length), (Note.C, length)]
    chain, rep, priced = chained(
        asked, [one for i, one in enumerate(played) if not i or one[0] != played[i - 1][0]], None
    )
    price, _ = chain.end(len(priced))
    assert price == pytest.approx(cheapest(rep, priced))


@pytest.mark.parametrize("lead_ms", [210, 240, 270])
def test_an_added_movement_leaves_the_opening_as_it_was(lead_ms: int) -> None:
    """B, D gracenote, C, and another D gracenote: the first one is the step, on time or not far off it."""
    played = [(Note.B, lead_ms), (Note.D, 40), (Note.C, 50), (Note.D, 40), (Note.C, 150)]
    chain, _, _ = chained([Note.B, Note.D, Note.C], played, None)
    _, last = chain.end(5)
    assert chain.pairs(last, 5, 3) == [(0, 0), (1, 1), (2, 2)]


def test_the_chain_prefers_right_notes_in_order() -> None:
    """A grip from B to C, played through: every asked note is an onset."""
    asked = [Note.B, Note.LOW_G, Note.D, Note.LOW_G, Note.C]
    chain, _, priced = chained(asked, [(note, 150) for note in asked], None)
    _, last = chain.end(5)
    assert chain.pairs(last, len(priced), 5) == [(place, place) for place in range(5)]


def test_of_two_equal_candidates_the_later_onset_is_the_step() -> None:
    """The stated rule for ties: a low A twice at once, as far from its time, if nobody minds what comes before."""
    costs = replace(COSTS, hasty=0.0)
    onsets = Onsets(costs)
    for note, at_ms in ((Note.B, 0), (Note.LOW_A, 150), (Note.B, 200), (Note.LOW_A, 150)):
        onsets.add(note, at_ms * MS)
    due = [150.0 * MS, 400.0 * MS]
    chain = Chain(Target([Note.LOW_A, Note.D], due, CLICK_NS, REP_NS, costs), due, onsets)
    chain.start(0, 0.0, None)
    for index in range(4):
        chain.add(index)
    _, last = chain.so_far()
    assert chain.pairs(last, 4, last.place) == [(0, 3)]


def test_a_player_who_is_late_all_along_pays_once() -> None:
    """Every note 100 ms late costs little more than the first one late."""
    asked = [Note.B, Note.LOW_G, Note.D, Note.LOW_G, Note.C]
    on_time, rep, _ = chained(asked, [(note, 150) for note in asked], None)
    onsets = Onsets(COSTS)
    for place, note in enumerate(asked):
        onsets.add(note, (150 * place + 100) * MS)
    late = Chain(Target(asked, rep.due_ns, CLICK_NS, REP_NS, COSTS), rep.due_ns, onsets)
    late.start(0, 0.0, None)
    for index in range(5):
        late.add(index)
    once = rep.absolute(0, 100 * MS) + rep.unhindered(100 * MS)
    assert late.end(5)[0] - on_time.end(5)[0] == pytest.approx(once)


@pytest.mark.parametrize("late_ms", [220.0, 0.0, -180.0])
@pytest.mark.parametrize("note", [Note.B, Note.HIGH_A])
def test_a_wrong_first_step_is_one_wherever_the_ornament_fell(late_ms: float, note: Note) -> None:
    """The ornament came late or early after a lead on the click: its placement pays for that, not the wrong note."""
    plays = player("doubling from low A to C", 50.0)
    lead, *steps = plays.rep(0)
    moved = [Onset(one.note, Ns(one.at_ns + round(late_ms * MS))) for one in steps]
    moved[0] = Onset(note, moved[0].at_ns)
    read = follow(plays, [lead, *moved, *plays.rep(1)])[0]
    assert states(read) == ["wrong note", "played", "played", "played"]
    assert not read.extras


def test_a_wrong_note_after_a_long_step_is_no_sign_that_the_step_was_none() -> None:
    """A first low G of a heavy throw begun 160 ms too soon, then an F for the D: the low G was played, and long."""
    plays = player("heavy throw on D from B", 100.0)
    lead, low_g, gracenote, *rest = plays.rep(0)
    onsets = [lead, Onset(Note.LOW_G, Ns(low_g.at_ns - 160 * MS)), Onset(Note.F, gracenote.at_ns), *rest]
    read = follow(plays, [*onsets, *plays.rep(1)])[0]
    assert states(read) == ["played", "wrong note", "played", "played", "played"]
    assert not read.extras


def test_a_lead_that_comes_back_after_a_stray_note_is_no_wrong_step() -> None:
    """C, a stray B, the C again, and no first low G: the low G was missing, it did not come out as a C."""
    plays = player("taorluath from C to low A", 100.0)
    lead, low_g, *rest = plays.rep(0)
    stray, again = Onset(Note.B, Ns(240 * MS)), Onset(Note.C, Ns(low_g.at_ns - 30 * MS))
    read = follow(plays, [lead, stray, again, *rest, *plays.rep(1)])[0]
    assert states(read)[0] == "missing"


def test_an_ornament_played_twice_in_one_go_keeps_its_first_lead() -> None:
    """Between the two there is a short low A, the theme: nobody stopped there, so it is not the lead played again."""
    plays = player("E gracenote from low A to low A", 175.0)
    lead, *steps = plays.rep(0)
    first = [Onset(one.note, Ns(one.at_ns - 104 * MS)) for one in steps]
    read = follow(plays, [lead, *first, *steps, *plays.rep(1)])[0]
    assert read.lead.sound is not None
    assert read.lead.sound.onset_ns == lead.at_ns
    assert [one.sound.onset_ns for one in read.extras] == [one.at_ns for one in first]


def test_what_comes_between_a_theme_and_the_next_lead_is_rather_another_attempt_than_stray_notes() -> None:
    """A thumb doubling played twice before the next lead: the second one leads to it, so that is the asked one."""
    plays = player("thumb doubling from low A to F", 160.0)
    lead, *steps = plays.rep(0)
    again = [Onset(one.note, Ns(one.at_ns + 193 * MS)) for one in steps]
    read = follow(plays, [lead, *steps, *again, *plays.rep(1)])[0]
    heard = [None if found.sound is None else found.sound.onset_ns for found in read.steps]
    assert heard == [one.at_ns for one in again]


def test_an_early_lead_after_a_rest_is_no_late_theme_of_the_rep_that_was_rested() -> None:
    """The theme is the same note as the next lead, and that came 81 ms too soon, after nothing that could delay it."""
    plays = player("B gracenote from low G to low G", 209.0)
    reads = follow(plays, [*plays.rep(1, late_ms=-81.0), *plays.rep(2, late_ms=-81.0)])
    assert reads[0].skipped
    assert reads[1].lead.sound is not None
