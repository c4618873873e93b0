"""The ornaments of a run by their places in the tune."""

from chanterd.serving.wire.playing import places_of
from tests.bench.tune_performances import CONDITIONS, sample


def test_every_place_is_counted_over_all_times_through() -> None:
    """In the order of the tune, with what was wrong last."""
    notes = sample("seven-gulls", CONDITIONS["crushed gracenotes"], 5).run().found()["notes"]
    places = places_of(notes)
    assert [place["note"] for place in places] == sorted({note["note"] for note in notes if note["ornament"]})
    assert sum(place["times"] for place in places) == sum(note["ornament"] is not None for note in notes)
    for place in places:
        mine = [one for note in notes if note["note"] == place["note"] and (one := note["ornament"])]
        assert place["clean"] == sum(one["clean"] for one in mine)
        bad = [one["said"] for one in mine if not one["clean"]]
        assert place["said"] == (bad[-1] if bad else "Clean.")
