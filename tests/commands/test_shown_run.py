"""One run of the history in words."""

from dataclasses import replace

from chanterd.commands.shown_run import drill_lines, tune_lines, tune_words
from chanterd.history.tune_runs import TuneRunSeen
from tests.history.played_tunes import simulated
from tests.history.practised_runs import GRIP, judged

RUN = TuneRunSeen(
    kind="tune", run=3, began_ns=0, utc_offset_s=0, day="1970-01-01", until_ns=0, why="stopped", tune="a",
    title="A Jig", first=0, last=9, asked_bpm=60.0, click_bpm=60.0, click_off=False, standard="steady",
    input="hand", ornaments=5, clean=3, judged_ns=None, judged=True, heard=True,
)  # fmt: skip


def test_a_run_through_a_tune_in_a_line() -> None:
    """With the click, without it, and cut off before it was judged."""
    assert tune_words(RUN) == "A Jig, 60 clicks: 3 of 5 ornaments clean"
    assert (
        tune_words(replace(RUN, click_off=True, click_bpm=61.7)) == "A Jig, own tempo, about 62: 3 of 5 ornaments clean"
    )
    assert tune_words(replace(RUN, ornaments=0, judged=False)) == "A Jig, 60 clicks: not judged yet"


def test_every_rep_of_a_drill_has_its_sentence() -> None:
    """Counted from 1; a rest is one."""
    reps = judged(GRIP, [4.0, None, 90.0])
    lines = list(drill_lines(reps))
    assert lines[0] == "    1  Clean."
    assert lines[1] == "    2  Not played."
    assert lines[2].endswith(reps[2]["said"])


def test_the_tempo_by_bar_goes_on_in_rows() -> None:
    """Eight bars a line."""
    found = simulated().run().found()
    lines = list(tune_lines(found))
    assert lines[0] == found["summary"]["said"]
    tempi = found["summary"]["tempi"]
    rows = [line for line in lines if line.startswith("  bar ")]
    assert sum(row.count("bar") for row in rows) == len(tempi)
