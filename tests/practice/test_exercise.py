"""An exercise out of words: every word is looked up, and all mistakes are named at once."""

import pytest

from chanterd.config import ChanterdError
from chanterd.judging.standard import read_standards
from chanterd.music.book import standard_book
from chanterd.music.layout import read_layouts
from chanterd.practice.exercise import ExerciseWords, Vocabulary, resolve
from chanterd.practice.feedback.schedule import EVERY_REP, read_schedules
from chanterd.practice.ladder.rule import OFFERED, as_json

KNOWN = Vocabulary(standard_book(), read_standards(), read_layouts(), read_schedules())
GRIP = "grip from B to C"


def test_what_is_left_out_is_the_usual_choice() -> None:
    """The steady standard, two clicks a rep, the click on, every rep shown, no ladder."""
    exercise = resolve(ExerciseWords(GRIP, 60), KNOWN)
    assert (exercise.drill.words, exercise.click_bpm) == (GRIP, 60.0)
    assert (exercise.standard.name, exercise.layout.name) == ("steady", "two clicks")
    assert (exercise.click_off, exercise.feedback, exercise.ladder) == (
        False,
        next(iter(KNOWN.schedules.values())),
        None,
    )


def test_every_word_counts() -> None:
    """Each of them is found in the exercise again, and in what its reps ask."""
    words = ExerciseWords(GRIP, 80, "learner", 0.1, "up and down the scale", click_off=True, feedback="say first")
    exercise = resolve(words, KNOWN)
    assert (exercise.standard.name, exercise.spread.held_of_click, exercise.click_off) == ("learner", 0.1, True)
    assert exercise.feedback.say_first
    assert exercise.score().changes
    assert exercise.score().segments[0].click_bpm == 80.0


def test_a_ladder_gives_the_first_tempo_or_takes_it() -> None:
    """With its own first tempo no other is needed; without one it begins at the exercise's."""
    assert resolve(ExerciseWords(GRIP, ladder=as_json(OFFERED)), KNOWN).click_bpm == OFFERED.first_bpm
    rest = {key: value for key, value in as_json(OFFERED).items() if key != "first_bpm"}
    exercise = resolve(ExerciseWords(GRIP, 54, ladder=rest), KNOWN)
    assert exercise.ladder is not None
    assert (exercise.ladder.first_bpm, exercise.click_bpm, exercise.feedback) == (54.0, 54.0, EVERY_REP)


def test_a_ladder_has_one_first_tempo() -> None:
    """Two that differ are a mistake, not a choice made silently."""
    with pytest.raises(
        ChanterdError, match=r"^'click_bpm' is 60 and the ladder's 'first_bpm' is 80; they are one tempo"
    ):
        resolve(ExerciseWords(GRIP, 60, ladder={"first_bpm": 80}), KNOWN)
    ladder = resolve(ExerciseWords(GRIP, 60, ladder={}), KNOWN).ladder
    assert ladder is not None
    assert (ladder.first_bpm, ladder.top_bpm) == (60.0, 80.0)


def test_all_mistakes_are_named_at_once_a_line_each() -> None:
    """In the sentence of whoever knows that word."""
    wrong = ExerciseWords("grap from B to C", 600, "learnr", 6.0, "two", feedback="after fife")
    with pytest.raises(ChanterdError) as refused:
        resolve(wrong, KNOWN)
    lines = str(refused.value).splitlines()
    parts = ("Did you mean 'grip'", "is 600", "'learner'", "spread is 6.0", "layout 'two'", "feedback 'after fife'")
    assert len(lines) == len(parts)
    assert all(part in line for part, line in zip(parts, lines, strict=True))


def test_a_tempo_is_needed() -> None:
    """Unless a ladder brings its own."""
    with pytest.raises(ChanterdError, match="must be a number of clicks a minute"):
        resolve(ExerciseWords(GRIP), KNOWN)


@pytest.mark.parametrize(
    "more",
    [
        ExerciseWords(GRIP, 60, feedback="say first", ladder=as_json(OFFERED)),
        ExerciseWords(GRIP, 60, click_off=True, ladder=as_json(OFFERED)),
    ],
)
def test_a_ladder_goes_with_every_rep_shown_and_the_click_on(more: ExerciseWords) -> None:
    """The next tempo would give a kept-back rep away, and the click has to give the next tempo."""
    with pytest.raises(ChanterdError, match="A ladder"):
        resolve(more, KNOWN)
