"""The room: the seats there are, which come and go while the daemon runs.

A seat that is added gets the next number; the number of one that was taken away is not given again before the next
start, since a page or a code may still mean it. A chanter that drops out keeps its seat.
"""

import asyncio
from collections.abc import Callable, Sequence

from chanterd.config import ChanterdError
from chanterd.hearing.named import MOST_SEATS
from chanterd.hearing.source import Source
from chanterd.history.players import Player, find_or_create
from chanterd.serving.seats.assignments import Assignments
from chanterd.serving.seats.seat import Seat
from chanterd.serving.seats.services import Services

TAKEN_AWAY = "the seat was taken away"


class Room:
    """All seats, by id, in the order they came."""

    def __init__(self, services: Services, assignments: Assignments, changed: Callable[[Seat], None]) -> None:
        """``changed`` hears of a seat that was added, or is no longer in ``seats``."""
        self.seats: dict[str, Seat] = {}
        self._services = services
        self._assignments = assignments
        self._changed = changed
        self._last = 0
        self._changing = asyncio.Lock()

    def furnish(self, sources: Sequence[Source], names: Sequence[str | None]) -> None:
        """Seat a player at each source, before anything runs; None: whoever sat there last.

        Raises ChanterdError if the history cannot be written.
        """
        for number, source in enumerate(sources):
            name = names[number] if number < len(names) else None
            self._last += 1
            self._seat(str(self._last), source, self._player(str(self._last), name))

    async def add(self, source: Source, name: str | None = None) -> Seat:
        """Add a seat that listens to this source, not yet started; ``name`` is its player, None whoever sat there last.

        Raises ChanterdError if there is no place left, or the player sits elsewhere.
        """
        async with self._changing:
            if len(self.seats) >= MOST_SEATS:
                raise ChanterdError(
                    f"There are {len(self.seats)} seats already, the most there can be; remove one first."
                )
            self._last += 1
            seat_id = str(self._last)
            player = await asyncio.to_thread(self._player, seat_id, name)
            there = self.where(player)
            if there is not None and name is not None:
                raise ChanterdError(f"{player.name} sits at seat {there.id} already; give another name.")
            if there is not None:
                player = await asyncio.to_thread(self._stranger, seat_id)
            seat = self._seat(seat_id, source, player)
            seat.start()
        self._changed(seat)
        return seat

    async def remove(self, seat_id: str) -> None:
        """Take a seat away; what its player played is kept. Raises ChanterdError for the last seat, or none such."""
        async with self._changing:
            seat = self.find(seat_id)
            if len(self.seats) == 1:
                raise ChanterdError(f"Seat {seat_id} is the only one left; choose another input for it instead.")
            await seat.stop(TAKEN_AWAY)
            del self.seats[seat_id]
            self._services.memory.leave(seat_id)
        self._changed(seat)

    def find(self, seat_id: str | None) -> Seat:
        """The seat with that id. Raises ChanterdError if there is none, or if no id is given and there are several."""
        if seat_id is None and len(self.seats) == 1:
            return next(iter(self.seats.values()))
        if seat_id is None:
            raise ChanterdError(f"The field 'seat' is missing; say which one you mean: {self._ids()}.")
        if seat_id not in self.seats:
            raise ChanterdError(f"The field 'seat' is {seat_id!r}; it must be {self._ids()}.")
        return self.seats[seat_id]

    def where(self, player: Player) -> Seat | None:
        """Where that player sits, if anywhere."""
        return next((seat for seat in self.seats.values() if seat.player.number == player.number), None)

    def _ids(self) -> str:
        return " or ".join(repr(seat_id) for seat_id in self.seats)

    def _seat(self, seat_id: str, source: Source, player: Player) -> Seat:
        seat = self.seats[seat_id] = Seat(seat_id, source, self._services, player)
        return seat

    def _player(self, seat_id: str, name: str | None) -> Player:
        history = self._services.history
        if name is None:
            return self._assignments.player(seat_id, history.store, history.wall())
        return find_or_create(history.store, name, history.wall())

    def _stranger(self, seat_id: str) -> Player:
        """A new player, where whoever sat there last sits elsewhere."""
        history = self._services.history
        return self._assignments.stranger(seat_id, history.store, history.wall())
