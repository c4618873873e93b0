"""Passages of a recording, each judged as if its drill or its tune had been chosen."""

from collections.abc import Sequence

import pytest

from chanterd.assessing.listen import HeardTake, taken_apart
from chanterd.assessing.placed import NO_BEAT, UNEVEN
from chanterd.assessing.tune import follow_tune
from chanterd.hearing.chanter import DEFAULT_PROFILE, load_profiles
from chanterd.judging.tunes.report import OrnamentResult
from chanterd.listening.report import HeardOrnament, Listened, PassageRow
from chanterd.listening.tunes import known_tune
from chanterd.music.book import standard_book
from chanterd.music.heard import Heard
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.passage import make_passage
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.practice.tune_run import TunePlayed, from_beat0
from tests.bench.tune_performances import CONDITIONS, sample, shipped
from tests.listening.played_notes import heard_notes, steady

BOOK = standard_book()
ROUNDING_MS = 0.01
REP = "B850 G60 d30 G60 c1000"
"""Two clicks of a second; the beat is on the C."""


def rep(late_ms: int = 0) -> str:
    """A grip from B to C that is so much later than the player's other ones, and makes up for it."""
    return f"B{850 + late_ms} G60 d30 G60 c{1000 - late_ms}"


def listed(heard: Sequence[Heard], tune: str | None = None) -> Listened:
    """What is in it, with one of the tunes that ship at hand, or with none."""
    tunes = [] if tune is None else [known_tune(tune, shipped(tune))]
    apart = taken_apart(heard, BOOK, tunes)
    take = HeardTake(load_profiles(None)[DEFAULT_PROFILE], "", *apart, tuple(heard), BOOK, tuple(tunes))
    return take.listed(steady())


def listened(written: str) -> tuple[list[PassageRow], list[HeardOrnament]]:
    """The passages and the ornaments of what was played."""
    found = listed(heard_notes(written))
    return found["passages"], found["ornaments"]


def test_a_late_rep_of_a_steady_drill_is_late() -> None:
    """By the judge of drills and its words; those before it are clean."""
    (passage,), ornaments = listened(" ".join([*[rep()] * 6, rep(160), *[rep()] * 5]))
    assert passage["placement"]["judged"]
    assert passage["placement"]["late"] == 1
    assert "late in 1 and early in 2 of 12." in passage["placement"]["said"]
    assert all(one["clean"] for one in ornaments[:6])
    late = ornaments[6]
    assert "late" in [fault["fault"] for fault in late["faults"]]
    assert late["said"] == late["faults"][0]["said"]
    assert late.get("off_beat_ms") == pytest.approx(160, abs=5)


def test_a_steady_drill_is_neither_early_nor_late() -> None:
    """Whatever its tempo: the beat is the player's."""
    (passage,), ornaments = listened(" ".join(["B810 G60 d30 G60 c933"] * 8))
    assert (passage["placement"]["late"], passage["placement"]["early"], passage["placement"]["reps"]) == (0, 0, 8)
    assert "never early or late in 8" in passage["placement"]["said"]
    assert all(one["clean"] for one in ornaments)


def test_a_rep_with_the_wrong_shape_has_the_fault_of_its_shape() -> None:
    """The same that it would have without a beat."""
    _, ornaments = listened(" ".join([*[rep()] * 5, "B900 G60 d30 G10 c1000", *[rep()] * 5]))
    assert [fault["fault"] for fault in ornaments[5]["faults"]] == ["crushed"]


def test_where_no_beat_is_certain_it_is_said() -> None:
    """In free playing, and in a drill whose reps are at uneven distances."""
    (free,), ornaments = listened("A400 B300 g30 B500 c200 G60 d30 G60 e700 f300")
    assert (free["placement"]["judged"], free["placement"]["said"]) == (False, NO_BEAT)
    assert {one.get("off_beat_ms") for one in ornaments} == {None}
    lengths = (1000, 1330, 760, 1300, 700, 1290, 800, 1000)
    (uneven,), ornaments = listened(" ".join(f"B{one - 150} G60 d30 G60 c1000" for one in lengths))
    assert (uneven["kind"], uneven["placement"]["judged"], uneven["placement"]["said"]) == ("drill", False, UNEVEN)
    assert {one.get("off_beat_ms") for one in ornaments} == {None}


def test_an_odd_rep_in_a_drill_keeps_the_verdict_on_its_own_shape() -> None:
    """It is another ornament: the drill's beat says nothing of it."""
    _, ornaments = listened(" ".join([*[REP] * 5, "B850 g30 B120 c1000", *[REP] * 5]))
    odd = [one for one in ornaments if one["drill"] != "grip from B to C"]
    assert [one.get("off_beat_ms") for one in odd] == [None]


def chosen(heard: Sequence[Heard], tune: str, passage: PassageRow) -> TunePlayed:
    """What is said of a passage when the tune was chosen, and the click was off."""
    since, until = (round(passage[name] * NS_PER_MS) for name in ("start_ms", "end_ms"))
    inside = [from_beat0(one, Ns(since)) for one in heard if since <= one.at_ns <= until]
    return follow_tune(inside, make_passage(shipped(tune)), BOOK, steady(), standard_spread()).found()


def by_onset(played: TunePlayed, start_ms: float) -> dict[float, OrnamentResult]:
    """The ornaments by when their melody notes began in the recording, in ms."""
    heard = [(note["onset_ms"], note["ornament"]) for note in played["notes"]]
    return {start_ms + at: one for at, one in heard if at is not None and one is not None}


@pytest.mark.parametrize("condition", ["clean", "crushed gracenotes", "all mixed"])
@pytest.mark.parametrize("tune", ["seven-gulls", "lamp-at-quarry-hollow"])
def test_a_tune_is_judged_as_if_it_had_been_chosen(tune: str, condition: str) -> None:
    """The same ornaments are clean, the others have the same faults, and the same is said of the whole."""
    heard = sample(tune, CONDITIONS[condition], 5).heard
    found = listed(heard, tune)
    passages = [one for one in found["passages"] if one["kind"] == "tune"]
    judged: dict[float, tuple[str | None, bool, list[str]]] = {}
    for passage in passages:
        played = chosen(heard, tune, passage)
        assert passage["placement"]["said"].startswith(played["summary"]["said"])
        assert "your own beat" in passage["placement"]["said"]
        for at_ms, asked in by_onset(played, passage["start_ms"]).items():
            judged[at_ms] = asked["drill"], asked["clean"], [fault["said"] for fault in asked["faults"]]
    assert len(found["ornaments"]) >= 0.9 * len(judged)
    same = 0
    for one in found["ornaments"]:
        for at_ms, (drill, clean, said) in judged.items():
            # After a jump it is named from another note than the one that is written before it.
            if abs(at_ms - one["theme_ms"]) < ROUNDING_MS and one["drill"] == drill:
                assert (one["clean"], [fault["said"] for fault in one["faults"]]) == (clean, said)
                same += 1
    assert same >= 0.8 * len(found["ornaments"])
    placed = sum(one.get("off_beat_ms") is not None for one in found["ornaments"])
    assert 0 < placed <= sum(passage["placement"]["reps"] for passage in passages)


def test_a_tune_that_is_not_at_hand_is_free_playing() -> None:
    """Of which early and late are not judged."""
    found = listed(sample("seven-gulls", CONDITIONS["clean"], 5).heard)
    assert {(one["kind"], one["placement"]["said"]) for one in found["passages"]} == {("free", NO_BEAT)}
