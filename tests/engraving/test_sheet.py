"""What is on a sheet."""

import pytest

from chanterd.config import ChanterdError
from chanterd.engraving.sheet import BARS, LONGEST_TITLE, make_sheet
from tests.engraving.example_drills import parsed


def bars(*phrases: str, stages: bool) -> list[list[str]]:
    """The drills of each line."""
    return [[drill.words for drill in line.drills] for line in make_sheet(phrases, stages=stages).lines]


def test_a_line_to_a_combination() -> None:
    """Every way in has one line, on which it is written several times, as it is played several times in a row."""
    found = bars("birl", stages=False)
    assert len({line[0] for line in found}) == len(found) == 9
    assert all(line == [line[0]] * BARS for line in found)


def test_stage_beside_stage() -> None:
    """With stages a line begins with the first and goes on to the whole, which fills the rest of it."""
    (line,) = bars("taorluath from C to low A", stages=True)
    name = "taorluath from C to low A"
    assert line[0] == f"{name}, stage 1"
    assert len(line) == BARS
    assert [*dict.fromkeys(line)] == [*(f"{name}, stage {n}" for n in range(1, len({*line}))), name]


def test_a_build_up_ends_at_the_requested_stage() -> None:
    """A sheet that asks for stage 2 does not give away the whole."""
    name = "taorluath from C to low A, stage"
    assert bars(f"{name} 1", f"{name} 2", stages=True) == [
        [f"{name} 1"] * BARS,
        [f"{name} 1", *[f"{name} 2"] * (BARS - 1)],
    ]


def test_each_stage_is_labelled_once() -> None:
    """Above the bars: which stage it is, and where its beat is; repeated bars have no label."""
    (line,) = make_sheet(["heavy throw on D from B"], stages=True).lines
    shown = [label for label in line.labels if label]
    assert shown == ["stage 1, beat on D", "stage 2, beat on D gracenote", "the whole, beat on D gracenote"]
    assert len(line.labels) == len(line.drills)
    assert make_sheet(["grip from B to C"]).lines[0].labels == ()


def test_an_ornament_without_a_build_up_has_a_line_of_its_own_all_the_same() -> None:
    """A single gracenote has one stage: four times the same, unlabelled."""
    (line,) = make_sheet(["G gracenote from C to low A"], stages=True).lines
    assert (len(line.drills), line.labels) == (BARS, ())


@pytest.mark.parametrize(
    ("phrases", "title"),
    [
        (["birl"], "Birl"),
        (["grip", "birl"], "Grip and birl"),
        (["birl from E", "grip from B to C"], "Birl from E and grip from B to C"),
        (["birl", "grip", "taorluath", "heavy throw"], "Birl, grip, taorluath and heavy throw on D"),
    ],
)
def test_a_sheet_without_a_title_is_named_after_what_is_on_it(phrases: list[str], title: str) -> None:
    """In the order asked."""
    assert make_sheet(phrases).title == title


def test_what_a_title_has_no_room_for_is_counted() -> None:
    """As many names as fit into a hundred letters."""
    phrases = ["crunluath fosgailte a mach", "crunluath a mach on D", "taorluath a mach on D", "thumb triple tap birl"]
    title = make_sheet([*phrases, "grip"]).title
    assert len(title) <= LONGEST_TITLE
    assert title == "Crunluath fosgailte a mach, light throw on E, crunluath a mach on D and 3 more"


def test_a_title_of_ones_own() -> None:
    """It is taken as it is said, with single blanks."""
    assert make_sheet(["birl"], title="  Tuesday  class ").title == "Tuesday class"


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"title": "x" * 101}, r"^The title has 101 letters; it must be plain text of at most 100"),
        ({"title": "a\x07b"}, r"it must be plain text"),
        ({"tempo": "quick"}, r"^The tempo 'quick' is not understood"),
        ({"paper": "a5"}, r"^The paper is 'a5'"),
    ],
)
def test_what_cannot_be_had_is_refused(asked: dict[str, str], said: str) -> None:
    """In a sentence, before anything is engraved."""
    with pytest.raises(ChanterdError, match=said):
        make_sheet(["birl"], **asked)  # type: ignore[arg-type]  # one of its words


def test_the_music_xml_has_the_title_a_line_to_a_combination_and_the_first_tempo() -> None:
    """A notation program opens the sheet as it is printed, and plays it at its slowest tempo."""
    sheet = make_sheet(["birl"], tempo="60-70", title="Birls & taps")
    root = parsed(sheet.music_xml)
    assert root.findtext("work/work-title") == "Birls & taps"
    assert [words.text for words in root.iter("words")] == [line.drill.words for line in sheet.lines]
    assert len(root.findall(".//print")) == len(sheet.lines) - 1
    assert [sound.get("tempo") for sound in root.iter("sound")] == ["60"]
