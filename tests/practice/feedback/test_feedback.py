"""Feedback: what may be shown of which rep, and when."""

import pytest

from chanterd.config import ChanterdError
from chanterd.judging.report import rep_result
from chanterd.music.drill import drill_from_words
from chanterd.music.drill_score import drill_score
from chanterd.music.units import NS_PER_MS, Bpm
from chanterd.practice.feedback.feedback import Feedback
from chanterd.practice.feedback.schedule import read_schedules
from chanterd.practice.run import RepEvent, Tally, sentence
from tests.judging.followed_reps import Rep

WITHIN_NS = 40.0 * NS_PER_MS


class Hand:
    """Plays reps of a grip at 60 under a schedule; ``late`` shifts all of it, so that 80 ms is not clean."""

    def __init__(self, schedule: str) -> None:
        self.feedback = Feedback(
            read_schedules()[schedule], drill_score(drill_from_words("grip from B to C"), Bpm(60)), WITHIN_NS
        )
        self.tally = Tally()
        self.rep = 0

    def play(self, late: float = 0.0, **more: float) -> None:
        """One rep; ``_1=12.0`` is a second step 12 ms late."""
        off = dict.fromkeys(range(-1, 4), late) | {int(key[1:]): shift for key, shift in more.items()}
        rep = Rep(rep=self.rep, off_ms=off)
        judged, measured = rep.assessed(), rep.measured()
        self.tally.add(judged.verdict)
        said = sentence(judged.verdict, skipped=False, in_a_row=self.tally.in_a_row)
        self._take(RepEvent((measured.lead, *measured.steps), rep_result(judged, said), self.tally))

    def rest(self) -> None:
        """A rep in which nothing is played."""
        result = rep_result(Rep(rep=self.rep).assessed(), "Not played.")
        self._take(RepEvent((), {**result, "skipped": True, "clean": False, "anchor_ms": None}, self.tally))

    def _take(self, shown: RepEvent) -> None:
        self.feedback.take(shown)
        self.rep += 1

    @property
    def withheld(self) -> list[int]:
        """What may not be shown now."""
        return self.feedback.shown["withheld"]

    @property
    def said(self) -> str | None:
        """What is shown in place of the verdict."""
        return self.feedback.shown["said"]


def test_every_rep_is_shown_as_it_is_played() -> None:
    """Nothing is kept back, and the rep's own sentence is shown."""
    hand = Hand("every rep")
    for late in (0.0, 80.0, 0.0):
        hand.play(late)
        told = hand.feedback.shown
        assert (told["live"], told["withheld"], told["said"], told["ask"]) == (True, [], None, None)
    hand.feedback.end()
    assert hand.said is None


def test_every_other_rep_is_shown() -> None:
    """The first is shown, the second is not, the third is; at the end all are."""
    hand = Hand("every other")
    withheld = []
    for _ in range(4):
        hand.play()
        withheld.append(hand.withheld)
    assert withheld == [[], [1], [1], [1, 3]]
    assert hand.feedback.shown["live"] is False
    assert (hand.said, hand.feedback.shown["more"]) == ("Not shown yet.", "You will see the next rep.")
    hand.feedback.end()
    assert (hand.withheld, hand.said) == ([], "2 reps were not shown until now.")


def test_all_that_was_kept_back_is_counted_however_long_the_run() -> None:
    """Which reps is remembered for the last fifty of them; how many, for all."""
    hand = Hand("every other")
    for _ in range(120):
        hand.play()
    hand.feedback.end()
    assert hand.said == "60 reps were not shown until now."


def test_the_counts_are_kept_back_with_the_reps() -> None:
    """A clean rep that is not shown does not show in the counts either."""
    hand = Hand("every other")
    counts = []
    for _ in range(3):
        hand.play()
        told = hand.feedback.shown
        counts.append((told["clean"], told["played"], told["in_a_row"]))
    assert counts == [(1, 1, 1), (1, 1, 1), (3, 3, 3)]


@pytest.mark.parametrize(("name", "size"), [("after five", 5), ("after fifteen", 15)])
def test_several_reps_are_shown_together(name: str, size: int) -> None:
    """Nothing before the last of them, then all; the sentence counts them all, and stays while the next are played."""
    hand = Hand(name)
    for done in range(1, size):
        hand.play(80.0 if done == 1 else 20.0)
        assert hand.withheld == list(range(done))
        assert hand.said == "Not shown yet."
        assert hand.feedback.shown["more"] == f"{done} of {size} played; you will see all {size} together."
    hand.play(20.0)
    assert hand.withheld == []
    summary = f"{size - 1} of {size} clean. Usually 20 ms late, ± 0 ms. Most often: late (1)."
    assert hand.said == summary
    hand.play()
    assert (hand.withheld, hand.said) == ([size], summary)
    assert hand.feedback.shown["played"] == size


def test_a_run_that_ends_early_shows_what_there_is() -> None:
    """Two of five, summed up."""
    hand = Hand("after five")
    hand.play()
    hand.play()
    hand.feedback.end()
    assert hand.withheld == []
    assert hand.said == "2 of 2 clean. Usually on the beat, ± 0 ms."


def test_a_rested_rep_is_no_try() -> None:
    """It is not kept back, and the five are counted without it."""
    hand = Hand("after five")
    hand.play()
    hand.rest()
    hand.play()
    assert hand.withheld == [0, 2]
    assert hand.feedback.shown["more"] == "2 of 5 played; you will see all 5 together."


def test_inside_the_band_nothing_is_shown() -> None:
    """A step 8 ms too long of 60 is inside, 12 ms outside; a fault is shown whatever the shape."""
    hand = Hand("outside the band")
    hand.play(_1=8.0, _2=8.0)
    assert (hand.withheld, hand.said) == ([0], "Within the band.")
    hand.play(_1=12.0, _2=12.0)
    assert hand.withheld == [0]
    assert hand.said == "The first low G was 20 % too long beside the other steps: 72 ms."
    hand.play(80.0)
    told = hand.feedback.shown
    assert (told["withheld"], told["said"]) == ([0], None)
    hand.feedback.end()
    assert (hand.withheld, hand.said) == ([], "1 of 3 were within 15 %; here they are.")


def test_the_player_says_first() -> None:
    """The rep is kept back until it was guessed; then guess and truth are shown, with the rep's own sentence."""
    hand = Hand("say first")
    hand.play(50.0)
    told = hand.feedback.shown
    assert (told["ask"], told["withheld"], told["said"]) == (0, [0], "Rep 1: early, on the beat, or late?")
    assert (told["played"], told["clean"]) == (0, 0)
    hand.feedback.guess(0, "early")
    told = hand.feedback.shown
    assert (told["ask"], told["withheld"], told["played"]) == (None, [], 1)
    assert told["said"] == "You said early; it was 50 ms late."
    assert told["more"] == "Late: the C came 50 ms after the beat. Right so far: 0 of 1."
    hand.play(3.0)
    hand.feedback.guess(1, "on")
    hand.feedback.end()
    assert hand.said == "You were right 1 of 2 times. The others were out by 90 ms (median)."


def test_an_unguessed_rep_is_shown_when_the_next_question_appears() -> None:
    """Playing on without an answer keeps the newest back, and never holds the player up."""
    hand = Hand("say first")
    hand.play(50.0)
    hand.rest()
    assert hand.feedback.shown["ask"] == 0
    hand.play()
    told = hand.feedback.shown
    assert (told["ask"], told["withheld"], told["played"]) == (2, [2], 1)
    assert told["guesses"] == {"said": 0, "right": 0, "wrong_by_ms": None}


@pytest.mark.parametrize("rep", [-1, 1, 2])
def test_only_the_rep_in_question_can_be_guessed(rep: int) -> None:
    """A guess about another is refused, and changes nothing."""
    hand = Hand("say first")
    hand.play()
    with pytest.raises(ChanterdError, match=rf"'rep' is {rep}, but the rep to guess about is 0"):
        hand.feedback.guess(rep, "on")
    assert hand.feedback.shown["ask"] == 0


def test_nothing_can_be_guessed_twice() -> None:
    """After the answer there is no question."""
    hand = Hand("say first")
    hand.play()
    hand.feedback.guess(0, "on")
    with pytest.raises(ChanterdError, match="there is no rep to guess about"):
        hand.feedback.guess(0, "on")
