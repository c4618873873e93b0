"""The edit-distance table of one open rep: every way to explain the onsets so far by the asked notes so far.

``columns[j][p]`` is the least price of explaining the first ``j`` onsets by the first ``p`` asked notes; ``moves``
says by which last decision. Pure arithmetic: what an onset costs as an extra is told from outside.
"""

from collections.abc import Sequence

from chanterd.following.cost import Costs
from chanterd.trade.note import Note

MATCH, EXTRA, SKIP = 0, 1, 2
UNASKED = -1


class Table:
    """Asked notes in a row against onsets in order of time."""

    __slots__ = ("_asked", "_costs", "_due_ns", "_half_ns", "columns", "moves")

    def __init__(
        self, asked: Sequence[Note], due_ns: Sequence[float], before: Note | None, half_ns: float, costs: Costs
    ) -> None:
        """Start with no onset heard; ``before`` is the note that sounds already, ``half_ns`` see ``Costs``."""
        self._asked = asked
        self._due_ns = due_ns
        self._half_ns = half_ns
        self._costs = costs
        column = [0.0]
        for note in asked:
            column.append(column[-1] + (costs.melted if note == before else costs.missing))
        self.columns = [column]
        self.moves = [[SKIP] * len(column)]

    def add(self, note: Note, at_ns: int, extra: float, upto: int) -> None:
        """Add the column of one onset, which costs ``extra`` if nobody asked for it.

        Asked notes from index ``upto`` on are not due yet: they can only be skipped, which saves half the work.
        """
        costs = self._costs
        missing, melted, wrong, lateness = costs.missing, costs.melted, costs.wrong_note, costs.lateness
        half, due, asked, last = self._half_ns, self._due_ns, self._asked, self.columns[-1]
        price = last[0] + extra
        column, moves = [price], [EXTRA]
        for place in range(upto):
            off = at_ns - due[place]
            if off < 0:
                off = -off
            match = last[place] + lateness * off / (off + half)
            if asked[place] == note:
                skip = price + melted
            else:
                skip = price + missing
                match += wrong
            price, move = match, MATCH
            over = last[place + 1] + extra
            if over < price:
                price, move = over, EXTRA
            if skip < price:
                price, move = skip, SKIP
            column.append(price)
            moves.append(move)
        for place in range(upto, len(asked)):
            price += melted if asked[place] == note else missing
            column.append(price)
            moves.append(SKIP)
        self.columns.append(column)
        self.moves.append(moves)

    def drop(self) -> None:
        """Take the last column back."""
        self.columns.pop()
        self.moves.pop()

    def best(self) -> int:
        """How many asked notes the cheapest reading so far has decided on; of equal ones the fewest."""
        column = self.columns[-1]
        return column.index(min(column))

    def best_end(self, size: int) -> int:
        """The same, given that the first ``size`` asked notes are over and the next one is due."""
        column = self.columns[-1]
        # Stopping short of the next lead must not look cheaper than finding it: it would be missed as surely.
        ahead = column[size:]
        ahead[0] = ahead[0] + (
            self._costs.missing if self.moves[-1][size + 1] != SKIP else column[size + 1] - column[size]
        )
        return size + ahead.index(min(ahead))

    def trace(self, place: int) -> list[int]:
        """For each onset the index of the asked note it was, or UNASKED, on the cheapest way to ``place``."""
        moves = self.moves
        found = [UNASKED] * (len(moves) - 1)
        index = len(found)
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
