"""A recording of which nothing is known."""

from itertools import pairwise
from pathlib import Path

import mido
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.assessing.listen import HeardTake, listen_to, ornaments_among, read_again, stretches_in
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import load_profiles
from chanterd.hearing.take import Take, parse_take
from chanterd.hearing.track import whole_take
from chanterd.judging.fault import ORDER
from chanterd.listening.drills import FEWEST_REPS
from chanterd.listening.report import MOST_OTHERS, Listened
from chanterd.listening.written import Written
from chanterd.music.book import standard_book
from chanterd.music.drill import all_drills, drill_from_words
from chanterd.music.heard import Onset
from chanterd.music.ornament import Kind
from chanterd.music.units import Ns
from tests.listening.played_notes import heard_notes, steady

GRIPS = "B850 G60 d30 G60 c1000 " * 5


def taken(written: str, semitones: int = 0) -> Take:
    """A take of those notes, moved up by some semitones."""
    messages = []
    heard = heard_notes(written)
    for one, after in pairwise(heard):
        if isinstance(one, Onset):
            number = one.note.midi + semitones
            messages.append((mido.Message("note_on", note=number, velocity=64), one.at_ns))
            messages.append((mido.Message("note_off", note=number), Ns(after.at_ns - 1_000_000)))
    return parse_take(Path("take.mid"), whole_take(messages, 60.0))


def listened(written: str, semitones: int = 0) -> HeardTake:
    """What is heard in it."""
    return listen_to(taken(written, semitones), load_profiles(None), standard_book())


def test_a_drill_is_found_with_its_tempo() -> None:
    """And every one of its ornaments."""
    heard = listened(GRIPS)
    assert [(one.kind, one.drill) for one in heard.passages] == [("drill", "grip from B to C")]
    assert heard.passages[0].click_bpm == pytest.approx(60.0, rel=0.01)
    assert len(heard.found) == 5


@pytest.mark.parametrize("semitones", [-5, 3, 7])
def test_a_transposed_take_is_heard_all_the_same(semitones: int) -> None:
    """Which is said."""
    heard = listened(GRIPS + "e400 f400 g400 a400 A400", semitones)
    assert heard.passages[0].drill == "grip from B to C"
    assert f"{abs(semitones)} semitones" in heard.said


def test_notes_that_no_chanter_has_are_refused_with_their_numbers() -> None:
    """However the take is moved."""
    messages = [
        (mido.Message("note_on", note=60 + number, velocity=64), Ns(number * 100_000_000)) for number in range(12)
    ]
    take = parse_take(Path("piano.mid"), whole_take(messages, 60.0))
    with pytest.raises(ChanterdError, match=r"piano\.mid: no chanter profile knows all its notes .MIDI 60, 61"):
        listen_to(take, load_profiles(None), standard_book())


def test_a_rest_parts_what_sounded() -> None:
    """A chanter's way of changing notes does not."""
    stretches = stretches_in(heard_notes("B500 -20 c500 -4000 e500"))
    assert [(round(one.start_ns / 1e6), round(one.end_ns / 1e6)) for one in stretches] == [(1000, 2020), (6020, 6520)]


DRILLS = tuple(drill for drill in all_drills() if len(drill.sounding) > 1)
LENGTHS = {Kind.QUICK: 35, Kind.HELD: 60}


@st.composite
def playing(draw: st.DrawFn) -> str:
    """Ornaments once or over and over, some with a step left out or another note, plain notes, and rests."""
    written: list[str] = []
    for _ in range(draw(st.integers(1, 5))):
        drill, reps = draw(st.sampled_from(DRILLS)), draw(st.sampled_from([1, 1, 2, FEWEST_REPS, 6]))
        for _ in range(reps):
            steps = [
                f"{drill.steps[at].note.abc}{sum(LENGTHS[kind] for kind in drill.steps[at].stands_for)}"
                for at in drill.sounding[:-1]
            ]
            slip = draw(st.sampled_from(["none"] * 6 + ["left out", "other note", "short"]))
            at = draw(st.integers(0, len(steps) - 1))
            if slip == "left out":
                del steps[at]
            elif slip != "none":
                steps[at] = f"{draw(st.sampled_from('GABcdefga'))}{35 if slip == 'other note' else 8}"
            written += [f"{drill.lead.abc}600", *steps, f"{drill.steps[-1].note.abc}700"]
        written += draw(st.sampled_from([[], ["-3000"], ["e300", "f300", "e300"]]))
    return " ".join(written)


def listed(written: str) -> Listened:
    """As ``chanterd listen --json`` has it."""
    return listened(written).listed(steady())


@settings(max_examples=60, deadline=None, derandomize=True)
@given(playing())
def test_whatever_is_played_what_is_said_of_it_holds_together(written: str) -> None:
    """Each rule of what other programs rely on."""
    found = listed(written)
    for one in found["ornaments"]:
        onsets = [step["onset_ms"] for step in one["steps"] if step["onset_ms"] is not None]
        assert one["start_ms"] == onsets[0] < one["theme_ms"] == onsets[-1]
        assert onsets == sorted(onsets)
        assert [step["kind"] for step in one["steps"]].index("theme") == len(one["steps"]) - 1
        assert one["steps"][-1]["state"] in ("played", "wrong note")
        assert all((step["onset_ms"] is None) == (step["state"] in ("missing", "merged")) for step in one["steps"])
        assert all((step["played_note"] is not None) == (step["state"] == "wrong note") for step in one["steps"])
        assert len(one["or"]) <= MOST_OTHERS
        assert one["drill"] not in one["or"]
        assert one["clean"] == (not one["faults"] and one["ornament"] is not None)
        assert all(fault["fault"] in ORDER for fault in one["faults"])
        assert all(fault["step"] is None or 0 <= fault["step"] < len(one["steps"]) for fault in one["faults"])
        if one["drill"] is not None:
            assert drill_from_words(one["drill"]).ornament.name == one["ornament"]
        assert one["ornament"] != "change"
    assert [one["theme_ms"] for one in found["ornaments"]] == sorted({one["theme_ms"] for one in found["ornaments"]})


@settings(max_examples=60, deadline=None, derandomize=True)
@given(playing())
def test_whatever_is_played_the_passages_are_in_order_and_the_summary_adds_up(written: str) -> None:
    """No passage begins before the last is over; every ornament with a name is counted once."""
    found = listed(written)
    assert all(one["end_ms"] <= after["start_ms"] + 0.001 for one, after in pairwise(found["passages"]))
    for passage in found["passages"]:
        assert passage["start_ms"] < passage["end_ms"]
        assert (passage["drill"] is not None) == (passage["click_bpm"] is not None) == (passage["kind"] == "drill")
        assert passage["tune"] is None
        assert passage["from"] is None
        assert passage["placement"]["judged"] or passage["placement"]["said"]
        inside = [one for one in found["ornaments"] if passage["start_ms"] <= one["theme_ms"] <= passage["end_ms"]]
        if passage["kind"] == "drill":
            assert sum(one["drill"] == passage["drill"] for one in inside) >= FEWEST_REPS
        if passage["kind"] == "silence":
            assert inside == []
    named = [one for one in found["ornaments"] if one["ornament"] is not None]
    assert sum(row["played"] for row in found["summary"]) == len(named)
    assert sum(row["clean"] for row in found["summary"]) == sum(one["clean"] for one in named)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.sampled_from("GABcdefga"), st.integers(300, 900)), min_size=1, max_size=20))
def test_plain_changes_of_notes_are_no_ornaments(notes: list[tuple[str, int]]) -> None:
    """However many."""
    assert listed(" ".join(f"{note}{length}" for note, length in notes))["ornaments"] == []


@pytest.mark.parametrize(
    ("played", "ornament"),
    [
        ("B600 c600 -2000 G60 d30 G60 c700 B500", "grip"),
        ("g35 c60 d30 c700 B500", "doubling"),
        ("G55 d30 G55 e30 A700 B500", "taorluath"),
    ],
)
def test_after_a_silence_there_is_a_name_and_no_way_in(played: str, ornament: str) -> None:
    """The first note has no note before it."""
    (one,) = listed(played)["ornaments"]
    assert (one["ornament"], one["drill"]) == (ornament, None)


def test_where_a_tune_is_played_a_short_melody_note_is_told_from_a_step_by_its_notes() -> None:
    """A short C and a grip on the next C sound like one ornament from E that few tunes have."""
    heard, book = heard_notes("A600 e577 c66 G78 d38 G54 c505 A600"), standard_book()
    found = ornaments_among(heard, book)
    assert [one.words for one in found] == ["half grip from E to C"]
    written = [Written(Ns(0), heard[-1].at_ns, {"cc": {"grip from C to C": 1}})]
    assert [one.words for one in read_again(heard, book, found, written)] == ["grip from C to C"]
