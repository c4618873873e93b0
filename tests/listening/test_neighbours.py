"""What is around an ornament says what it was meant to be."""

from chanterd.listening.neighbours import Beside
from chanterd.listening.written import Written
from chanterd.music.units import Ns
from tests.listening.played_notes import found_in, words_in

DOUBLING, HALF = "A700 g35 c60 d30 c700", "A700 c60 d30 c700"
WORDS = "doubling from low A to C"


def test_one_without_its_first_step_among_others_was_meant_as_they_were() -> None:
    """Even the first of them, which only what comes after can show."""
    assert words_in(f"{HALF} {DOUBLING} {DOUBLING} {DOUBLING} {DOUBLING}") == [WORDS] * 5
    assert words_in(f"{DOUBLING} {DOUBLING} {HALF} {DOUBLING} {DOUBLING}") == [WORDS] * 5


def test_by_itself_it_is_what_it_sounds_like() -> None:
    """There is nothing that shows otherwise."""
    assert words_in(HALF) == ["half doubling from low A to C"]


def test_what_lacks_a_step_each_time_is_another_drill() -> None:
    """A commoner ornament with the same fault in every rep is no likelier than one that was played as it is written."""
    rep = "a700 d40 c60 d700"
    assert words_in(" ".join([rep] * 8)) == ["light half strike on D from high A"] * 8


def test_where_nothing_was_read_at_first_one_more_rep_is_likely_all_the_same() -> None:
    """Between two reps of a drill, also before the first; less so where nothing is known."""
    reps = found_in(" ".join([DOUBLING] * 4))
    way = reps[0].choices[0].way
    between = Ns((reps[1].sounds[-1].onset_ns + reps[2].sounds[-1].onset_ns) // 2)
    alone = Beside([]).at(between).price(way)
    assert Beside(reps).at(between).price(way) < 0.1 < alone
    assert Beside(reps).at(Ns(0)).price(way) < 0.1 < alone


def test_what_is_written_counts_from_where_its_tune_begins() -> None:
    """Between two ornaments, too, whichever place is looked at first."""
    before, inside = Ns(10), Ns(30)
    (one,) = found_in(DOUBLING)
    way = one.choices[0].way
    for places in ((before, inside), (inside, before)):
        around = Beside([], written=[Written(Ns(20), Ns(40), {way.place: {WORDS: 1}})])
        price = {at: around.at(at).price(way) for at in places}
        assert price[inside] < 0.1 < price[before]
