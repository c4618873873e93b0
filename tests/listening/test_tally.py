"""How each ornament went so far."""

from chanterd.listening.judged import judge_found
from chanterd.listening.tally import LENGTHS_KEPT, SummaryRow, Tally
from chanterd.music.ornament import Kind
from tests.listening.played_notes import found_in, steady

GRIP, CRUSHED = "B700 G60 d30 G60 c700", "B700 G60 d30 G10 c700"


def tally(played: str, times: int = 1) -> Tally:
    """All of it, that many times."""
    found = Tally()
    for _ in range(times):
        for one in found_in(played):
            judged = judge_found(one, steady())
            assert judged is not None
            found.add(judged)
    return found


def test_the_one_that_is_clean_least_often_is_to_be_worked_on() -> None:
    """If it was played three times and more."""
    found = tally(f"{GRIP} {CRUSHED} {GRIP} A700 g35 A700 g10 A700")
    assert found.work_on is not None
    assert (found.work_on["ornament"], found.work_on["played"], found.work_on["clean"]) == ("grip", 3, 2)


def test_where_all_is_clean_there_is_nothing_to_work_on() -> None:
    """Praise has its own place."""
    assert tally(f"{GRIP} {GRIP} {GRIP}").work_on is None


def test_what_it_remembers_does_not_grow() -> None:
    """Counts go on; lengths are those of the last ones."""
    found = tally(GRIP, LENGTHS_KEPT)
    assert found.rows()[0]["played"] == LENGTHS_KEPT
    assert len(found._counted["grip"].lengths[Kind.HELD]) == LENGTHS_KEPT


def test_what_was_counted_elsewhere_is_added() -> None:
    """Its medians weigh as much as it was played."""
    total = Tally()
    row: SummaryRow = {
        "ornament": "grip", "played": 3, "clean": 1, "held_ms": 60.0, "quick_ms": None, "faults": {"crushed": 2},
    }  # fmt: skip
    total.add_row(row)
    total.add_row({**row, "played": 1, "clean": 1, "held_ms": 20.0, "faults": {}})
    assert total.rows() == [{**row, "played": 4, "clean": 2}]


def test_the_summary_counts_each_ornament_and_its_faults() -> None:
    """Lengths are medians; the one played most is first."""
    played = "B700 G60 d30 G60 c700 A700 g30 A700 B700 G60 d30 G10 c700"
    rows = tally(played).rows()
    assert [(row["ornament"], row["played"], row["clean"]) for row in rows] == [("grip", 2, 1), ("G gracenote", 1, 1)]
    assert (rows[0]["held_ms"], rows[0]["quick_ms"], rows[0]["faults"]) == (60.0, 30.0, {"crushed": 1})
    assert rows[1]["held_ms"] is None


def test_where_a_beat_is_certain_its_faults_count() -> None:
    """They take the place of those without one."""
    judged = judge_found(found_in(GRIP)[0], steady())
    assert judged is not None
    found = Tally()
    found.add(judged, ["late"])
    assert [(row["clean"], row["faults"]) for row in found.rows()] == [(0, {"late": 1})]


def test_faults_that_are_equally_common_are_listed_as_they_came() -> None:
    """A recording read twice says the same, to the order of its words."""
    (one,) = found_in(GRIP)
    judged = judge_found(one, steady())
    assert judged is not None
    came = ["uneven", "wrong note", "crushed", "late", "early", "missing step", "crossing noise"]
    found = Tally()
    found.add(judged, [*came, "crushed"])
    assert found.rows()[0]["faults"] == dict.fromkeys(came, 1)
    assert list(found.rows()[0]["faults"]) == came
