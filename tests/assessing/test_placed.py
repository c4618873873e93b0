"""Early and late in a recording, where a beat is certain."""

import pytest

from chanterd.assessing.listen import HeardTake, taken_apart
from chanterd.assessing.placed import IN_HISTORY, NO_BEAT, UNEVEN, placed
from chanterd.hearing.chanter import DEFAULT_PROFILE, load_profiles
from chanterd.listening.passages import Passage
from chanterd.listening.report import HeardOrnament, PassageRow
from chanterd.music.book import standard_book
from chanterd.music.units import Ns
from tests.listening.played_notes import heard_notes, steady

BOOK = standard_book()
REP = "B850 G60 d30 G60 c1000"
"""Two clicks of a second; the beat is on the C."""


def rep(late_ms: int = 0) -> str:
    """A grip from B to C that is so much later than the player's other ones, and makes up for it."""
    return f"B{850 + late_ms} G60 d30 G60 c{1000 - late_ms}"


def listened(written: str) -> tuple[list[PassageRow], list[HeardOrnament]]:
    """The passages and the ornaments of what was played."""
    heard = heard_notes(written)
    take = HeardTake(load_profiles(None)[DEFAULT_PROFILE], "", *taken_apart(heard, BOOK), tuple(heard), BOOK)
    found = take.listed(steady())
    return found["passages"], found["ornaments"]


def test_a_late_rep_of_a_steady_drill_is_late() -> None:
    """By the judge of drills and its words; those before it are clean."""
    (passage,), ornaments = listened(" ".join([*[rep()] * 6, rep(160), *[rep()] * 5]))
    assert passage["placement"]["judged"]
    assert passage["placement"]["late"] == 1
    assert "late in 1 of 12" in passage["placement"]["said"]
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
    """In free playing, in a drill whose reps are at uneven distances, and in a tune."""
    (free,), ornaments = listened("A400 B300 g30 B500 c200 G60 d30 G60 e700 f300")
    assert (free["placement"]["judged"], free["placement"]["said"]) == (False, NO_BEAT)
    assert {one.get("off_beat_ms") for one in ornaments} == {None}
    lengths = (1000, 1330, 760, 1300, 700, 1290, 800, 1000)
    (uneven,), ornaments = listened(" ".join(f"B{one - 150} G60 d30 G60 c1000" for one in lengths))
    assert (uneven["kind"], uneven["placement"]["judged"], uneven["placement"]["said"]) == ("drill", False, UNEVEN)
    assert {one.get("off_beat_ms") for one in ornaments} == {None}
    tune = placed(Passage(Ns(0), Ns(9), "tune", tune="Seven Gulls", first=0), [], BOOK, steady())
    assert tune.placement["said"] == IN_HISTORY


def test_an_odd_rep_in_a_drill_keeps_the_verdict_on_its_own_shape() -> None:
    """It is another ornament: the drill's beat says nothing of it."""
    _, ornaments = listened(" ".join([*[REP] * 5, "B850 g30 B120 c1000", *[REP] * 5]))
    odd = [one for one in ornaments if one["drill"] != "grip from B to C"]
    assert [one.get("off_beat_ms") for one in odd] == [None]
