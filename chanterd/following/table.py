"""The edit-distance table of one open rep: every way to explain the onsets so far by the asked notes so far.

``columns[j][p]`` is the least price of explaining the first ``j`` onsets by the first ``p`` asked notes; ``moves``
says by which last decision. Pure arithmetic: what an onset costs as an extra is told from outside.

This is the innermost loop of the program. Asked notes that cannot have begun yet are left off the end of a column, and
the prices that depend only on which note is heard are looked up, not worked out.
"""

from collections.abc import Sequence

from chanterd.following.cost import Costs
from chanterd.trade.note import Note

MATCH, EXTRA, SKIP = 0, 1, 2
UNASKED = -1


class Prices:
    """What depends only on the asked notes and on which note is heard: worked out once for a run."""

    __slots__ = ("costs", "half_ns", "skip", "wrong")

    def __init__(self, asked: Sequence[Note], half_ns: float, costs: Costs) -> None:
        """``half_ns`` is ``costs.half_lateness_of_click`` in time."""
        self.costs = costs
        self.half_ns = half_ns
        self.wrong = tuple(tuple(0.0 if note == heard else costs.wrong_note for note in asked) for heard in Note)
        """By heard note and place: what it costs that the note is another one than asked."""
        self.skip = tuple(tuple(costs.melted if note == heard else costs.missing for note in asked) for heard in Note)
        """By sounding note and place: what it costs that the asked note has no onset."""


class Table:
    """Asked notes in a row against onsets in order of time."""

    __slots__ = ("_due_ns", "_prices", "_size", "columns", "moves")

    def __init__(self, prices: Prices, due_ns: Sequence[float], before: Note | None) -> None:
        """Start with no onset heard; ``due_ns`` is when each asked note is due, ``before`` what sounds already."""
        self._prices = prices
        self._due_ns = due_ns
        self._size = len(due_ns)
        column = [0.0]
        for place in range(self._size):
            skip = prices.costs.missing if before is None else prices.skip[before][place]
            column.append(column[-1] + skip)
        self.columns = [column]
        self.moves = [[SKIP] * len(column)]

    def add(self, note: Note, at_ns: int, extra: float, upto: int, sounding: Note | None) -> None:
        """Add the column of one onset, which costs ``extra`` if nobody asked for it.

        Asked notes from index ``upto`` on cannot have begun yet and are left out; ``upto`` must not fall from onset to
        onset. ``sounding`` is the note of the onset before, if any.
        """
        prices, last = self._prices, self.columns[-1]
        if upto >= len(last):
            self._lengthen(last, upto, sounding)
        lateness, half = prices.costs.lateness, prices.half_ns
        price = last[0]
        before = price
        price += extra
        column, moves = [price], [EXTRA]
        add, move = column.append, moves.append
        nearest = zip(self._due_ns[:upto], prices.wrong[note], prices.skip[note], last[1:], strict=False)
        for due, wrong, skip, without in nearest:
            off = at_ns - due if at_ns > due else due - at_ns
            late = lateness * off / (off + half)
            match = before + wrong + (late if late < extra else extra)  # noqa: FURB136  min() takes twice as long
            before = without
            over = without + extra
            price += skip
            if match <= over:
                if match <= price:
                    price = match
                    move(MATCH)
                else:
                    move(SKIP)
            elif over <= price:
                price = over
                move(EXTRA)
            else:
                move(SKIP)
            add(price)
        self.columns.append(column)
        self.moves.append(moves)

    def _lengthen(self, column: list[float], upto: int, sounding: Note | None) -> None:
        """Add the asked notes that were left out: nothing but skips can have led there."""
        missing = self._prices.costs.missing
        for place in range(len(column) - 1, upto):
            column.append(column[-1] + (missing if sounding is None else self._prices.skip[sounding][place]))
            self.moves[-1].append(SKIP)

    def drop(self) -> None:
        """Take the last column back."""
        self.columns.pop()
        self.moves.pop()

    def best(self) -> int:
        """How many asked notes the cheapest reading so far has decided on; of equal ones the fewest."""
        column = self.columns[-1]
        return column.index(min(column))

    def best_end(self, size: int, sounding: Note | None) -> int:
        """The same, given that the first ``size`` asked notes are over and the next one is due."""
        column = self.columns[-1]
        self._lengthen(column, self._size, sounding)
        # Stopping short of the next lead must not look cheaper than finding it: it would be missed as surely.
        missing = self._prices.costs.missing if sounding is None else self._prices.skip[sounding][size]
        ahead = [column[size] + missing, *column[size + 1 :]]
        return size + ahead.index(min(ahead))

    def trace(self, place: int, onsets: int) -> list[int]:
        """For each of the first ``onsets`` the index of the asked note it was, or UNASKED.

        On the cheapest way to explain just these by the first ``place`` asked notes, whose price is
        ``columns[onsets][place]``.
        """
        moves = self.moves
        found = [UNASKED] * onsets
        index = onsets
        while index:
            move = moves[index][place]
            if move == MATCH:
                place -= 1
                index -= 1
                found[index] = place
            elif move == EXTRA:
                index -= 1
            else:
                place -= 1
        return found
