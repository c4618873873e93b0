"""Where the beat of an ornament may fall. Which placements are disputed: common practice, no source."""

import pytest

from chanterd.config import ChanterdError
from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, all_drills, drill_from_words, list_drill, make_drill
from chanterd.music.drill_score import drill_score
from chanterd.music.layout import find_layout, read_layouts
from chanterd.music.placement import moved_by_key, place_key, places
from chanterd.music.segment import make_segment
from chanterd.music.units import Bpm

DISPUTED = [drill for drill in all_drills() if len(list_drill(drill)["placements"]) > 1]


def on_beat(drill: Drill) -> str:
    """The note that is due on the beat, by the segment."""
    segment = make_segment(drill, Bpm(60))
    return drill.steps[segment.offsets_ns.index(segment.beat_ns) - 1].note.words


@pytest.mark.parametrize(
    ("words", "spelled"),
    [
        ("birl from E", "low A, low G tap on the beat, low A, low G tap, then low A"),
        ("birl from E, beat on low A", "low A on the beat, low G tap, low A, low G tap, then low A"),
        ("throw on D from B, beat on low G", "low G on the beat, D gracenote, C, then D"),
        ("throw on D from B, beat on C", "low G, D gracenote, C on the beat, then D"),
        ("heavy throw on D from B, beat on second low G", "low G, D gracenote, low G on the beat, C, then D"),
        ("G gracenote grip from B to C, beat on C", "G gracenote, C, low G, D gracenote, low G, then C on the beat"),
        ("shake from B to C, beat on low G tap", "G gracenote, C, E gracenote, C, low G tap on the beat, then C"),
        (
            "crunluath from C, beat on E",
            "low G, D gracenote, low G, E gracenote, low A, F gracenote, low A, then E on the beat",
        ),
        ("double birl from C, beat on low A, stage 1", "low A on the beat"),
    ],
)
def test_the_words_of_a_drill_say_where_its_beat_is(words: str, spelled: str) -> None:
    """Read again, they give the same drill; the segment has that note on the beat."""
    drill = drill_from_words(words)
    assert drill.spelled == spelled
    assert drill.words == words
    assert drill_from_words(drill.words.upper()) == drill
    assert f"{on_beat(drill)} on the beat" in spelled.replace(" tap on", " on")


def test_stage_and_beat_are_named_in_either_order() -> None:
    """And the book's own place may be named too, though nobody needs to."""
    drill = drill_from_words("birl from E, stage 1, beat on low A")
    assert drill.words == "birl from E, beat on low A, stage 1"
    assert drill_from_words("birl from E, beat on low G tap") == drill_from_words("birl from E")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            "birl from low A, beat on low A",
            (
                "The birl from low A cannot have its beat on 'low A', since the low A that belongs on the beat would "
                "melt into the low A before it; its beat is on the low G tap."
            ),
        ),
        (
            "throw on D from B, beat on E",
            "The throw on D from B cannot have its beat on 'E'; its beat is on the D gracenote or the low G or the C.",
        ),
    ],
)
def test_a_beat_that_cannot_be_there_is_refused_with_the_places_it_has(words: str, said: str) -> None:
    """What melts into the note before has no onset to put on the beat."""
    with pytest.raises(ChanterdError) as refused:
        drill_from_words(words)
    assert str(refused.value) == said


def test_every_place_of_every_disputed_drill_has_a_name_of_its_own() -> None:
    """Otherwise the settings would offer one twice; at every stage there is a note on the beat."""
    assert {drill.ornament.chapter for drill in DISPUTED} >= {"Birls", "Throws on D", "Shakes", "The great music"}
    for drill in DISPUTED:
        placed = list_drill(drill)["placements"]
        assert placed[0]["drill"] == drill.words
        assert len({one["beat"] for one in placed}) == len(placed)
        for one in placed:
            moved = drill_from_words(one["drill"])
            assert moved.words == one["drill"]
            assert place_key(moved.ornament.beat) == one["at"]
            for stage in range(1, moved.stages + 1):
                built = make_drill(moved.ornament, moved.lead, moved.theme, stage)
                assert built.steps[built.anchor_step].sounds
                assert drill_from_words(built.words) == built


def test_what_is_disputed_about_the_beat_is_said_and_the_other_place_can_be_chosen() -> None:
    """A dispute that says "on the beat" has a place to choose, and each place has its dispute."""
    for ornament in standard_book().ornaments:
        assert (len(places(ornament)) > 1) == ("on the beat" in ornament.disputed), ornament.name


def test_a_place_that_the_book_does_not_know_is_as_in_the_book() -> None:
    """As a choice is that was kept before somebody changed the tables."""
    birl = standard_book().find("birl")
    assert moved_by_key(birl, "step 1").beat == 0
    assert moved_by_key(moved_by_key(birl, "step 1"), "step 9") is birl


def test_up_and_down_the_scale_the_beat_stays_where_it_was_put() -> None:
    """From low A nothing of it would sound on the beat; that is said."""
    layout = next(one for one in read_layouts().values() if one.scale)
    score = drill_score(
        drill_from_words("birl from E, beat on low A"), Bpm(60), layout=find_layout(layout.name, read_layouts())
    )
    assert all("beat on low A" in one.drill.words for one in score.segments)
    assert score.left_out == "Left out, because the birl is not played there with this beat: from low A."
