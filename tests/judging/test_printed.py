"""A judged take on a terminal: what a piper reads, at 80 columns and at fewer."""

import re
from collections.abc import Sequence

import pytest

from chanterd.following.reading import ExtraKind, StepState
from chanterd.judging.printed import LEGEND, printed
from chanterd.judging.report import RepResult, rep_result
from chanterd.judging.summary import summarise
from chanterd.music.drill import all_drills, drill_from_words
from chanterd.music.note import Note
from chanterd.practice.run import sentence
from tests.judging.followed_reps import Rep

REST = Rep(states=dict.fromkeys(range(4), StepState.MISSING))
CRUSHED = Rep(off_ms={0: -3.4, 3: 12.3}, length_ms={2: 11.0})
BUSY = Rep(
    off_ms={3: 90.0},
    states={1: StepState.MISSING, 2: StepState.MERGED},
    wrong={-1: Note.F, 0: Note.HIGH_A},
    extras=[
        (Note.LOW_A, 831.0, 9.0, ExtraKind.CROSSING_NOISE),
        (Note.B, 3.0, None, ExtraKind.BOUNCE),
        (Note.F, 400.0, 100.0, ExtraKind.EXTRA_NOTE),
    ],
)


def lines(reps: Sequence[Rep], width: int = 80, words: str = "grip from B to C") -> list[str]:
    """What is printed of reps played one after the other."""
    results: list[RepResult] = []
    for number, rep in enumerate(reps):
        judged = rep.assessed()
        said = sentence(judged.verdict, skipped=judged.seen.rep.skipped, in_a_row=1)
        results.append({**rep_result(judged, said), "rep": number})
    drill = drill_from_words(words)
    return list(printed([drill], results, summarise(results, drill, 60.0), width))


def rep_lines(rep: Rep) -> list[str]:
    """The lines about a single rep."""
    printed_lines = lines([rep])
    return printed_lines[printed_lines.index("") + 3 : -1 - printed_lines[::-1].index("")]


def test_where_reps_ask_different_drills_each_has_its_own_head() -> None:
    """Up the scale: the drill in words, its notes, then the verdict; the next rep asks the next drill."""
    sequence = [drill_from_words(words) for words in ("grip from B to C", "grip from D to E")]
    results: list[RepResult] = []
    for number, words in enumerate(("grip from B to C", "grip from D to E", "grip from B to C")):
        rep = Rep(words=words)
        results.append({**rep_result(rep.assessed(), "Clean."), "rep": number})
    printed_lines = list(printed(sequence, results, summarise(results), 80))
    heads = [index for index, line in enumerate(printed_lines) if line.startswith("grip from")]
    assert [printed_lines[index] for index in heads] == ["grip from B to C:", "grip from D to E:", "grip from B to C:"]
    letters = [printed_lines[index + 2].split() for index in heads]
    assert letters == [["B", "G", "D", "G", "C*"], ["D", "G", "B", "G", "E*"], ["B", "G", "D", "G", "C*"]]
    assert [printed_lines[index + 3] for index in heads] == ["  1  Clean.", "  2  Clean.", "  3  Clean."]


def test_each_note_has_a_column_and_the_beat_a_star() -> None:
    """The header names the lead and every step; the figures are under their notes."""
    printed_lines = lines([CRUSHED])
    start = next(number for number, line in enumerate(printed_lines) if line.startswith("rep"))
    octaves, letters = printed_lines[start - 1 : start + 1]
    verdict, *_, off, long = rep_lines(CRUSHED)
    assert octaves.split() == ["low", "low"]
    assert letters.split() == ["rep", "B", "G", "D", "G", "C*"]
    assert verdict == "  1  You crushed the second low G: 11 ms, too short to hear."
    assert off.split() == ["off", "0", "-3", "0", "0", "+12"]
    assert long.split() == ["long", "840", "60", "40", "11", "1000"]
    ends = [[match.end() for match in re.finditer(r"\S+", line)] for line in (letters, off, long)]
    assert ends[0][1:] == ends[1][1:] == ends[2][1:]
    assert [match.end() for match in re.finditer("low", octaves)] == [ends[0][2], ends[0][4]]


def test_the_signs_are_explained() -> None:
    """+ is late, said in words on every print."""
    assert " ".join(lines([CRUSHED])).startswith(LEGEND)
    assert "late (+) or early (-)" in LEGEND


def test_what_was_played_wrongly_is_in_words() -> None:
    """A step with no onset says so in its place, wrong notes are in words, other sounds in a line of their own."""
    printed_lines = rep_lines(BUSY)
    verdict = " ".join(line.strip() for line in printed_lines[:-3])
    assert verdict == (
        "1  You left out the D gracenote. You played high A instead of the first low G. "
        "Late: the C came 90 ms after the beat. Extra note: F, 100 ms. "
        "Build it up slowly, one step at a time, until the D gracenote is there every time."
    )
    off, long, besides = printed_lines[-3:]
    assert off.split() == ["off", "0", "0", "none", "-", "+90"]
    assert long.split() == ["long", "840", "60", "1000"]
    assert besides == "  also heard: F as the note before, low A for 9 ms (crossing noise), B (bounce)"


def test_what_to_do_is_said_once() -> None:
    """Below the first rep that needs it, and not again."""
    printed_lines = [line.strip() for line in lines([CRUSHED, CRUSHED])]
    assert printed_lines.count("Open up the second low G: play it slowly enough to hear it, then close it") == 1


def test_rests_share_one_line() -> None:
    """From rep to rep, counted from 1; a single one by itself."""
    printed_lines = lines([CRUSHED, REST, REST, REST, CRUSHED, REST])
    assert "2-4  Not played." in printed_lines
    assert "  6  Not played." in printed_lines


def test_the_summary_is_in_sentences() -> None:
    """Clean reps, the beat's bias and spread, the faults."""
    printed_lines = lines([Rep(off_ms={3: off}) for off in (8.0, 10.0, 12.0)] + [CRUSHED, BUSY, REST])
    first = printed_lines.index("3 of 5 clean, 3 in a row at best.")
    assert "\n".join(printed_lines[first : first + 4]) == (
        "3 of 5 clean, 3 in a row at best.\n"
        "On the beat: usually 12 ms late, give or take 3 ms.\n"
        "Reps with faults: crushed in 1, missing step in 1, wrong note in 1, late in 1,\n"
        "                  extra note in 1."
    )
    assert "On the beat: usually 7 ms early." in lines([Rep(off_ms={3: -7.0})])
    assert "On the beat: usually 0 ms off." in lines([Rep()])
    assert lines([REST, REST])[-1] == "No rep was played."
    assert "0 of 1 clean." in lines([CRUSHED])


def test_under_the_summary_stand_the_remarks_of_a_teacher() -> None:
    """What is steady, what is not, and what to practise next; of one rep, only that it is not enough."""
    printed_lines = lines([Rep(off_ms={3: off}) for off in (8.0, 10.0, 12.0, 9.0, 11.0)] + [CRUSHED])
    assert printed_lines[-2:] == [
        "Next: grip from B to C, stage 1, at 60. When three in a row are clean, come",
        "back.",
    ]
    remarks = " ".join(line.strip() for line in printed_lines)
    assert (
        "Not steady: You crushed a step in 1 of 6 reps. Steady: Your beat is steady, give or take 2 ms. "
        "You are on the click: usually 10 ms late, too little to hear." in remarks
    )
    assert lines([Rep()])[-2:] == [
        "Not known yet: Too few reps yet to know a habit from a slip: play at least 5.",
        "Next: the same at 60, until three in a row are clean.",
    ]


def test_a_rep_with_no_beat_heard_leaves_the_beat_out() -> None:
    """Nothing is said of a beat that was never played."""
    printed_lines = lines([Rep(states={3: StepState.MISSING})])
    assert not any("step on the beat: typically" in line for line in printed_lines)


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_the_terminal_and_no_word_is_broken(width: int) -> None:
    """At 80 columns, at fewer and at more, every word of every sentence is whole."""
    printed_lines = lines([BUSY, CRUSHED, REST, REST], width)
    assert max(map(len, printed_lines)) <= width
    assert words(printed_lines) == words(lines([BUSY, CRUSHED, REST, REST], 1000))


def words(printed_lines: Sequence[str]) -> list[str]:
    """The words in the order of reading."""
    return " ".join(printed_lines).split()


def test_words_stay_whole_even_where_they_stick_out() -> None:
    """In a window too narrow for the longest word."""
    assert words(lines([BUSY], 5)) == words(lines([BUSY], 1000))


def test_every_drill_fits_80_columns() -> None:
    """Whatever the ornament, a row of its steps is not wider than a terminal."""
    widest = {drill.words: max(map(len, lines([Rep(words=drill.words)], words=drill.words))) for drill in all_drills()}
    assert max(widest.values()) <= 80, widest
