"""What an ornament was meant to be, where it is known what was to be played."""

import pytest

from chanterd.assessing.listen import ornaments_among
from chanterd.following.reading import StepState
from chanterd.listening.followed import Followed
from chanterd.listening.found import Found
from chanterd.listening.judged import ShapeJudged, judge_found
from chanterd.listening.meant import as_meant, sounds_in
from chanterd.music.book import standard_book
from chanterd.music.drill import drill_from_words
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.note import note_from_abc
from chanterd.music.units import Ns
from tests.listening.played_notes import heard_notes, steady

BOOK = standard_book()


def meant(written: str, words: str, steps: dict[int, int], *faults: str, lead_known: bool = True) -> list[Found]:
    """What was played, with a drill to be played there: by step of the drill, which of the notes was taken for it.

    The last of the steps is the melody note. Notes count from 0.
    """
    heard = heard_notes(written)
    return as_meant(
        ornaments_among(heard, BOOK), [followed(heard, words, steps, *faults, lead_known=lead_known)], heard, BOOK
    )


def followed(heard: list[Heard], words: str, steps: dict[int, int], *faults: str, lead_known: bool = True) -> Followed:
    """The drill as it was followed."""
    at = {step: heard[note].at_ns for step, note in steps.items()}
    onsets = [at.get(step) for step in range(len(drill_from_words(words).steps))]
    found = [{"fault": one, "step": None, "said": "", "do": "", "drill": None} for one in faults]
    return Followed(words, onsets, not faults, found, None, lead_known)  # type: ignore[arg-type]


def judged(found: Found) -> ShapeJudged:
    """As it is judged by its shape."""
    one = judge_found(found, steady())
    assert one is not None
    return one


CRUSHED = "A400 f400 g10 e51 f6 e622 c400"
"""A doubling on E whose F gracenote is crushed: by its notes alone there is a G gracenote, then a melody note."""


def test_a_crushed_doubling_is_the_one_that_is_written() -> None:
    """And its fault is the crushed step."""
    (alone,) = ornaments_among(heard_notes(CRUSHED), BOOK)
    assert alone.words == "G gracenote from F to E"
    (one,) = meant(CRUSHED, "doubling from F to E", {0: 2, 1: 3, 2: 4, 3: 5})
    assert one.words == "doubling from F to E"
    assert [fault.fault for fault in judged(one).verdict.faults] == ["crushed", "crushed"]
    assert one.lead is not None
    assert "".join(sound.note.abc for sound in (one.lead, *one.sounds)) == "fgefe"


def test_a_step_that_was_left_out_is_missing() -> None:
    """The others are where they were heard."""
    (one,) = meant("A400 f400 g30 e622 c400", "doubling from F to E", {0: 2, 3: 3})
    assert one.words == "doubling from F to E"
    states = [step.state for step in judged(one).rep.steps]
    assert states == [StepState.PLAYED, StepState.MISSING, StepState.MISSING, StepState.PLAYED]
    assert {fault.fault for fault in judged(one).verdict.faults} == {"missing step"}


def test_another_ornament_keeps_its_own_name() -> None:
    """Whoever played it knew what it was."""
    (one,) = meant(CRUSHED, "doubling from F to E", {0: 2, 3: 5}, "wrong ornament")
    assert one.words == "G gracenote from F to E"


def test_a_noise_alone_is_no_ornament() -> None:
    """Fingers that cross from F to high A may sound a G; a longer one is the G of the doubling."""
    steps = {
        step: 1 for step, one in enumerate(drill_from_words("doubling from F to high A").steps) if one.note.abc == "g"
    }
    last = len(drill_from_words("doubling from F to high A").steps) - 1
    assert meant("f400 g4 a600 e400", "doubling from F to high A", {**steps, last: 2}) == []
    assert [one.words for one in meant("f400 g45 a600 e400", "doubling from F to high A", {**steps, last: 2})] == [
        "doubling from F to high A"
    ]


def test_what_nobody_expected_there_stays() -> None:
    """Before and after it; but one sound is never part of two ornaments."""
    found = meant(f"{CRUSHED[:-4]}B400 G50 d30 G50 c700", "doubling from F to E", {0: 2, 1: 3, 2: 4, 3: 5})
    assert [one.words for one in found] == ["doubling from F to E", "grip from B to C"]
    used = [sound.onset_ns for one in found for sound in one.sounds]
    assert len(used) == len(set(used))


@pytest.mark.parametrize(("lead_known", "words"), [(True, "grip from low A to C"), (False, "grip from B to C")])
def test_where_the_player_went_back_it_is_named_from_the_note_that_was_heard(lead_known: bool, words: str) -> None:  # noqa: FBT001 - a case
    """The notes say what is before it only for whoever goes on."""
    steps = {0: 1, 1: 2, 2: 3, 3: 4}
    (one,) = meant("B700 G60 d30 G60 c900", "grip from low A to C", steps, lead_known=lead_known)
    assert one.words == words


def test_a_note_that_is_struck_again_while_it_sounds_is_one_note() -> None:
    """A bounce of the chanter is none; after a silence it is a note of its own."""
    low, high = note_from_abc("B"), note_from_abc("c")
    heard: list[Heard] = [
        Onset(low, Ns(0)),
        Onset(low, Ns(5), bounce=True),
        Onset(high, Ns(20)),
        Silence(Ns(30)),
        Onset(high, Ns(40)),
    ]
    assert [(one.note, one.onset_ns, one.length_ns) for one in sounds_in(heard)] == [
        (low, 0, 20),
        (high, 20, 10),
        (high, 40, None),
    ]
