"""The order of the prices, by what is made of playing that could be read in two ways. All of it is simulated."""

from itertools import pairwise

import pytest

from chanterd.following.reading import SegmentRead
from chanterd.music.heard import Onset, Silence
from chanterd.music.note import Note
from chanterd.music.units import Ns
from tests.following.simulated_players import MS, follow, melted, player, states

GRIP = ["played"] * 4


def shifted(onset: Onset, ms: float, note: Note | None = None) -> Onset:
    """The same onset that much later, or another note in its place."""
    return Onset(onset.note if note is None else note, Ns(onset.at_ns + round(ms * MS)))


def read_rep(*heard: Onset | Silence, words: str = "grip from B to C") -> SegmentRead:
    """How the first rep at 60 is read; the second follows as written."""
    plays = player(words)
    return follow(plays, [*heard, *plays.rep(1)])[0]


def price(*heard: Onset) -> float:
    """What the reading of that first rep costs."""
    return read_rep(*heard).price


LEAD, LOW_G, D, SECOND_LOW_G, C = player().rep(0)


def test_another_note_in_place_of_a_step_is_a_wrong_note() -> None:
    """One mistake is likelier than two, a step missing and a note too many; the theme is no exception."""
    step = read_rep(LEAD, LOW_G, shifted(D, 0, Note.E), SECOND_LOW_G, C)
    theme = read_rep(LEAD, LOW_G, D, SECOND_LOW_G, shifted(C, 0, Note.E))
    assert (states(step), step.extras) == (["played", "wrong note", "played", "played"], ())
    assert (states(theme), theme.extras) == (["played", "played", "played", "wrong note"], ())


def test_a_stray_note_far_from_a_missing_step_is_not_that_step() -> None:
    """The D was left out, and an E sounded 400 ms too late, within the theme note: two mistakes."""
    stray = shifted(D, 400, Note.E)
    read = read_rep(LEAD, LOW_G, C, stray, shifted(stray, 60, Note.C))
    assert "wrong note" not in states(read)
    assert states(read)[1] == "missing"


@pytest.mark.parametrize("late_ms", [0, 200, 500, 900])
def test_a_step_played_in_order_is_played_however_late_or_uneven(late_ms: float) -> None:
    """The whole rep late, or one step as long as the whole ornament ought to be and longer."""
    assert states(read_rep(*(shifted(one, late_ms) for one in (LEAD, LOW_G, D, SECOND_LOW_G, C)))) == GRIP
    held_up = [shifted(one, late_ms) for one in (D, SECOND_LOW_G, C)]
    read = read_rep(LEAD, LOW_G, *held_up)
    assert (states(read), read.extras) == (GRIP, ())


@pytest.mark.parametrize("off_ms", [-450, 450])
def test_half_a_click_early_or_late_is_still_the_same_rep(off_ms: float) -> None:
    """The third of five reps: none is left out, none read as the one before or after."""
    plays = player()
    reads = follow(plays, [one for rep in range(5) for one in plays.rep(rep, off_ms if rep == 2 else 0.0)])
    assert [read.rep for read in reads if not read.skipped] == [0, 1, 2, 3, 4]
    assert [states(read) for read in reads] == [GRIP] * 5
    assert not any(read.extras for read in reads)


@pytest.mark.parametrize(("off_ms", "read_as"), [(-700, 3), (-450, 4), (450, 4), (700, 4)])
def test_after_a_rest_the_nearest_rep_is_meant(off_ms: float, read_as: int) -> None:
    """The fifth rep, too early or too late; earlier than half a click it is rather the fourth, begun late."""
    plays = player()
    rest = Silence(Ns(plays.grid.at(2)))
    reads = follow(plays, [*plays.rep(0), rest, *plays.rep(4, off_ms)])
    assert [read.rep for read in reads if not read.skipped] == [0, read_as]


def test_the_likelier_an_extra_note_the_less_it_costs() -> None:
    """Between B and low G: crossing fingers (a low A), any other short noise, and a whole note."""
    clean = price(LEAD, LOW_G, D, SECOND_LOW_G, C)
    crossing = price(LEAD, shifted(LOW_G, -12, Note.LOW_A), LOW_G, D, SECOND_LOW_G, C)
    noise = price(LEAD, shifted(LOW_G, -12, Note.F), LOW_G, D, SECOND_LOW_G, C)
    whole = price(LEAD, shifted(LOW_G, -120, Note.F), LOW_G, D, SECOND_LOW_G, C)
    assert [*pairwise((clean, crossing, noise, whole))] == [*pairwise(sorted({clean, crossing, noise, whole}))]


def test_of_two_low_gs_the_one_too_short_to_be_meant_is_the_noise() -> None:
    """Both as far from where it belongs, 70 ms before and after: one lasts 30 ms, the other until the D."""
    read = read_rep(
        LEAD,
        shifted(LOW_G, -70),
        shifted(LOW_G, -40, Note.LOW_A),
        shifted(LOW_G, 70),
        *(shifted(one, 100) for one in (D, SECOND_LOW_G, C)),
    )
    first = read.steps[0].sound
    assert first is not None
    assert first.onset_ns == LOW_G.at_ns + 70 * MS


def test_a_step_that_merged_with_the_note_before_is_not_blamed_again() -> None:
    """Without the D the two low Gs are one: that costs hardly more than the D alone, less than any noise."""
    plays = player("taorluath from C to low A")
    lead, low_g, d, second, e, theme = plays.rep(0)
    one_missing = read_rep(lead, low_g, d, second, theme, words=plays.drill.words)
    and_merged = read_rep(lead, low_g, e, theme, words=plays.drill.words)
    assert states(one_missing) == ["played", "played", "played", "missing", "played"]
    assert states(and_merged) == ["played", "missing", "merged", "played", "played"]
    crossing = price(LEAD, shifted(LOW_G, -12, Note.LOW_A), LOW_G, D, SECOND_LOW_G, C) - price(*player().rep(0))
    assert 0 < and_merged.price - one_missing.price < crossing


@pytest.mark.parametrize("words", ["G gracenote from C to low A", "grip from B to C", "birl from E"])
def test_a_rep_of_which_nothing_was_played_is_a_rest(words: str) -> None:
    """Even where there is least to leave out: it is skipped, and its steps are not blamed one by one."""
    plays = player(words)
    last = plays.rep(0)[-1]
    reads = follow(plays, [*plays.rep(0), Silence(Ns(last.at_ns + 500 * MS)), *plays.rep(2)])
    assert [read.skipped for read in reads] == [False, True, False]
    assert 0 < reads[1].price < 3 * price(LEAD, LOW_G, shifted(D, 0, Note.E), SECOND_LOW_G, C)


def test_of_two_leads_the_one_that_leads_on_to_the_ornament_counts() -> None:
    """Broken off after the lead, with a stray F, and begun again with the lead: the second B is the lead."""
    again = shifted(LEAD, 250)
    read = read_rep(LEAD, shifted(LEAD, 150, Note.F), again, LOW_G, D, SECOND_LOW_G, C)
    assert read.lead.sound is not None
    assert read.lead.sound.onset_ns == again.at_ns
    assert states(read) == GRIP


def test_of_two_runs_at_the_ornament_the_one_that_leads_on_to_the_theme_counts() -> None:
    """Low G and D, then B and all of it: the steps are those of the second run."""
    ornament = [shifted(one, 150) for one in (LOW_G, D, SECOND_LOW_G, C)]
    read = read_rep(LEAD, shifted(LOW_G, -150), shifted(D, -150), shifted(LOW_G, -20, Note.B), *ornament)
    assert [found.sound.onset_ns for found in read.steps if found.sound] == [one.at_ns for one in ornament]


def test_of_two_themes_the_last_counts() -> None:
    """A birl that was played through, and again at once: what more follows was not yet the theme."""
    plays = player("birl from E")
    lead, *steps = plays.rep(0)
    again = [shifted(one, 330) for one in steps]
    read = read_rep(
        lead, *(shifted(one, -150) for one in steps), shifted(again[0], -60, Note.E), *again, words="birl from E"
    )
    assert [found.sound.onset_ns for found in read.steps if found.sound] == [one.at_ns for one in again]


@pytest.mark.parametrize(
    ("stray", "state", "off_ms"),
    [
        ([(500, Note.E)], "played", 0),
        ([(300, Note.B), (200, Note.F)], "played", 0),
        ([(300, Note.B), (30, Note.F)], "played", -300),
        ([(30, Note.E)], "wrong note", -30),
    ],
)
def test_stray_notes_before_a_lead_cast_doubt_on_it_only_together(
    stray: list[tuple[int, Note]], state: str, off_ms: float
) -> None:
    """Ms before the second rep: a note other than the lead, or one that runs into it; only both make it doubtful."""
    plays = player()
    lead, *rest = plays.rep(1)
    before = [shifted(lead, -ms, note) for ms, note in stray]
    found = follow(plays, [*plays.rep(0), *before, lead, *rest, *plays.rep(2)])[1].lead
    assert found.sound is not None
    assert (found.state.value, found.sound.onset_ns) == (state, lead.at_ns + off_ms * MS)


def test_the_theme_is_the_last_to_be_left_out_or_mistaken() -> None:
    """The melody rests on it: without it, or with another note there, a reading costs more than at a gracenote."""
    plays = player("taorluath from C to low A")
    lead, low_g, d, second, e, theme = plays.rep(0)
    stop = Silence(Ns(theme.at_ns))
    no_e = read_rep(lead, low_g, d, second, theme, words=plays.drill.words)
    no_theme = read_rep(lead, low_g, d, second, e, stop, words=plays.drill.words)
    assert states(no_theme) == ["played", "played", "played", "played", "missing"]
    assert no_theme.price > no_e.price
    wrong_e = read_rep(lead, low_g, d, second, shifted(e, 0, Note.F), theme, words=plays.drill.words)
    wrong_theme = read_rep(lead, low_g, d, second, e, shifted(theme, 0, Note.D), words=plays.drill.words)
    assert wrong_theme.price > wrong_e.price


def test_a_lead_or_theme_cut_short_is_still_there() -> None:
    """Each sounds for 40 ms, then nothing until what comes next: played, and cut short, but not missing."""
    read = read_rep(LEAD, Silence(Ns(LEAD.at_ns + 40 * MS)), LOW_G, D, SECOND_LOW_G, C, Silence(Ns(C.at_ns + 40 * MS)))
    assert read.lead.state.value == "played"
    assert states(read) == GRIP


def test_a_clean_rep_costs_nothing() -> None:
    """Played exactly as asked, there is nothing to explain, in any drill."""
    for words in ("grip from B to C", "doubling from low A to C", "birl from low A"):
        plays = player(words)
        reads = follow(plays, [*melted([*plays.rep(0), *plays.rep(1)])])
        assert [read.price for read in reads] == pytest.approx([0.0, 0.0], abs=0.2)
