"""The table against every reading there is, counted out one by one."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.following.cost import STANDARD_COSTS as COSTS
from chanterd.following.table import UNASKED, Prices, Table
from chanterd.trade.note import Note

CLICK_NS = 1_000_000_000
NOTES = st.sampled_from([Note.LOW_G, Note.LOW_A, Note.B, Note.D])
ONSETS = st.lists(st.tuples(NOTES, st.integers(0, 2 * CLICK_NS), st.sampled_from([0.4, 0.6, 1.0])), max_size=5)


def lateness(off_ns: float) -> float:
    """The price of a deviation, worked out anew."""
    share = abs(off_ns) / CLICK_NS
    return COSTS.lateness * share / (share + COSTS.half_lateness_of_click)


def cheapest(
    asked: list[Note],
    due: list[int],
    heard: list[tuple[Note, int, float]],
    before: Note | None,
    trace: list[int] | None = None,
) -> float:
    """The least price over every way to explain what was heard, by trying all; with a trace, all that agree with it."""

    def explain(place: int, index: int, sounding: Note | None) -> float:
        ways = [0.0] if place == len(asked) and index == len(heard) else []
        if index < len(heard):
            note, at_ns, extra = heard[index]
            if trace is None or trace[index] == UNASKED:
                ways.append(extra + explain(place, index + 1, note))
            if place < len(asked) and (trace is None or trace[index] == place):
                wrong = 0.0 if note == asked[place] else COSTS.wrong_note
                late = min(lateness(at_ns - due[place]), extra)
                ways.append(wrong + late + explain(place + 1, index + 1, note))
        if place < len(asked):
            skip = COSTS.melted if sounding == asked[place] else COSTS.missing
            ways.append(skip + explain(place + 1, index, sounding))
        return min(ways, default=inf)

    return explain(0, 0, before)


def filled(asked: list[Note], due: list[int], heard: list[tuple[Note, int, float]], before: Note | None) -> Table:
    """A table that has taken all of it."""
    table = Table(Prices(asked, COSTS.half_lateness_of_click * CLICK_NS, COSTS), [float(at) for at in due], before)
    sounding = before
    for note, at_ns, extra in heard:
        table.add(note, at_ns, extra, len(asked), sounding)
        sounding = note
    return table


@given(st.lists(NOTES, min_size=1, max_size=5), ONSETS, st.none() | NOTES)
def test_no_reading_is_cheaper_than_the_tables(
    asked: list[Note], heard: list[tuple[Note, int, float]], before: Note | None
) -> None:
    """For any asked notes and any onsets the table's price is the least of all."""
    heard = sorted(heard, key=lambda one: one[1])
    due = [place * CLICK_NS // 3 for place in range(len(asked))]
    table = filled(asked, due, heard, before)
    assert abs(table.columns[-1][-1] - cheapest(asked, due, heard, before)) < 1e-9


@given(st.lists(NOTES, min_size=1, max_size=5), ONSETS)
def test_the_traced_reading_costs_what_the_table_says(asked: list[Note], heard: list[tuple[Note, int, float]]) -> None:
    """The path that is told is the one that was priced."""
    heard = sorted(heard, key=lambda one: one[1])
    due = [place * CLICK_NS // 3 for place in range(len(asked))]
    table = filled(asked, due, heard, None)
    trace = table.trace(len(asked), len(heard))
    assert table.columns[-1][-1] == pytest.approx(cheapest(asked, due, heard, None, trace))


def test_of_two_equal_candidates_the_later_onset_is_the_step() -> None:
    """The stated rule for ties: two low Gs as far before as after their time."""
    table = filled([Note.LOW_G], [500], [(Note.LOW_G, 400, 1.0), (Note.LOW_G, 600, 1.0)], None)
    assert table.trace(1, 2) == [UNASKED, 0]


def test_a_taken_back_onset_leaves_no_trace() -> None:
    """After ``drop`` the table is as it was."""
    table = filled([Note.B, Note.D], [0, 100], [(Note.B, 0, 1.0)], None)
    before = [list(column) for column in table.columns]
    table.add(Note.D, 100, 1.0, 2, Note.B)
    table.drop()
    assert table.columns == before
