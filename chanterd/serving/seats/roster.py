"""Who sits at which seat, and the players of the history: what the pages may change of them.

Everything that touches the database is for a thread; the seats hear of the result in the event loop.
"""

import asyncio
from collections.abc import Mapping

from chanterd.history import players
from chanterd.history.history import History
from chanterd.history.players import Player, PlayerSeen
from chanterd.serving.seats.assignments import Assignments
from chanterd.serving.seats.placements import Placements
from chanterd.serving.seats.seat import Seat

DELETED = "the player was deleted"


class Roster:
    """The players, as seats see them."""

    def __init__(
        self, history: History, assignments: Assignments, placements: Placements, seats: Mapping[str, Seat]
    ) -> None:
        self._history = history
        self._assignments = assignments
        self._placements = placements
        self._seats = seats
        self._changing = asyncio.Lock()  # of two pages that change at once, the later one sees what the first one did

    async def all(self) -> list[PlayerSeen]:
        """Everybody, in the order of their names."""

        def read() -> list[PlayerSeen]:
            with self._history.store.reading() as connection:
                return players.all_players(connection)

        return await asyncio.to_thread(read)

    async def create(self, name: str) -> Player:
        """A new player. Raises ChanterdError if the name is none, or is taken."""
        async with self._changing:
            return await asyncio.to_thread(players.create, self._history.store, name, self._history.wall())

    async def choose(self, seat: Seat, number: int) -> None:
        """Sit down at that seat. Raises ChanterdError if there is no such player."""

        def find() -> Player:
            with self._history.store.reading() as connection:
                player = players.player_of(connection, number)
            self._assignments.keep(seat.id, player)
            return player

        async with self._changing:
            seat.sit_down(await asyncio.to_thread(find))

    async def rename(self, number: int, name: str) -> Player:
        """Another name. Raises ChanterdError if it is none, is taken, or there is no such player."""

        def change() -> Player:
            with self._history.store.reading() as connection:
                before = players.player_of(connection, number).name
            player = players.rename(self._history.store, number, name)
            self._placements.rename(before, player.name)
            for seat in sitting:
                self._assignments.keep(seat.id, player)
            return player

        async with self._changing:
            sitting = self._sitting(number)
            player = await asyncio.to_thread(change)
            for seat in sitting:
                seat.sit_down(player)
        return player

    async def delete(self, number: int) -> None:
        """Delete a player and everything the history has of them. Raises ChanterdError if there is no such player.

        A seat where they sit gets a new player.
        """

        def change() -> dict[str, Player]:
            store, wall = self._history.store, self._history.wall()
            with store.reading() as connection:
                name = players.player_of(connection, number).name
            self._history.writer.settle()
            self._assignments.forget(name)
            self._placements.forget(name)
            players.delete_player(store, number)
            return {seat.id: self._assignments.player(seat.id, store, wall) for seat in sitting}

        async with self._changing:
            sitting = self._sitting(number)
            for seat in sitting:
                seat.end(why=DELETED)
            seated = await asyncio.to_thread(change)
            for seat in sitting:
                seat.sit_down(seated[seat.id])

    def _sitting(self, number: int) -> list[Seat]:
        return [seat for seat in self._seats.values() if seat.player.number == number]
