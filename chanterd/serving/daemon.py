"""The daemon: its seats, what they share, and what the routes have them do."""

import asyncio
import time
from collections.abc import Callable, Sequence
from dataclasses import asdict, replace
from pathlib import Path

from typing_extensions import TypedDict

from chanterd import __version__
from chanterd.config import ChanterdError
from chanterd.hearing.driver import no_driver
from chanterd.hearing.inputs import DEMO, JOIN, open_input
from chanterd.hearing.ports import PortName, list_ports
from chanterd.hearing.source import Source
from chanterd.history.history import History
from chanterd.history.players import find_or_create
from chanterd.history.store import open_store
from chanterd.history.wall_clock import WallTime, read_wall
from chanterd.judging.standard import DEFAULT
from chanterd.music.drill import Drill, names_beat
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.spread import NARROWEST, WIDEST, standard_spread
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.practice.exercise import Exercise, ExerciseWords, resolve
from chanterd.practice.ladder.rule import OFFERED
from chanterd.practice.passage.asked import TuneAsked, TuneWords, tune_asked
from chanterd.practice.plans.part import Part
from chanterd.practice.plans.plan import Plan
from chanterd.practice.plans.shelf import PlanShelf
from chanterd.practice_tables import read_practice_tables
from chanterd.serving.access.entrance import Entrance
from chanterd.serving.access.grants import ForbiddenError, Grant, Role
from chanterd.serving.log_buffer import Logbook
from chanterd.serving.seats.arrangement import Arrangement
from chanterd.serving.seats.assignments import Assignments
from chanterd.serving.seats.class_records import ClassRecords
from chanterd.serving.seats.classroom import Classroom
from chanterd.serving.seats.free_playing import own_beat
from chanterd.serving.seats.input_memory import InputMemory
from chanterd.serving.seats.offers import offered
from chanterd.serving.seats.placements import Placements
from chanterd.serving.seats.planned import Planned
from chanterd.serving.seats.room import Room
from chanterd.serving.seats.roster import Roster
from chanterd.serving.seats.seat import Seat
from chanterd.serving.seats.services import Services
from chanterd.serving.seats.tunes_at_hand import TunesAtHand
from chanterd.serving.seats.unasked import Unasked
from chanterd.serving.status import Health, Status
from chanterd.serving.wire import frames, shapes
from chanterd.serving.wire.hub import Hub
from chanterd.serving.wire.playing import TuneRunShown
from chanterd.serving.wire.topic import EVERYTHING, Topic
from chanterd.serving.wire.views import rule_view

FIRST_DRILL = "grip from B to C"
FIRST_BPM = 60.0
AT_ONCE_NS = NS_PER_MS
"""How long seats are given the time before notes may pass."""


def monotonic() -> Ns:
    """The daemon's only clock."""
    return Ns(time.perf_counter_ns())


class Inputs(TypedDict):
    """The inputs that chanterd can listen to, and a sentence about them."""

    inputs: list[shapes.ChoiceShown]
    said: str


class Daemon:
    """Everything that exists as long as the program runs."""

    def __init__(
        self,
        sources: Sequence[Source],
        folder: Path,
        clock: Callable[[], Ns] = monotonic,
        store: str | None = None,
        wall: Callable[[], WallTime] = read_wall,
        names: Sequence[str | None] = (),
    ) -> None:
        """Seat one player at each source (there is at least one); the seats are called "1", "2", ...

        ``names`` are the players at the seats; None, or no name, means whoever sat there last.

        ``folder`` has the user's own standards and chanters, and everything chanterd writes; ``store`` is another place
        for the history, a URL as for ``--store``. Raises ConfigError if anything in it is wrong, ChanterdError if the
        history cannot be opened.
        """
        self.clock = clock
        self.folder = folder
        self.health = Health(clock())
        self.logbook = Logbook()
        self._loop: asyncio.AbstractEventLoop | None = None
        self.hub = Hub()
        self.entrance = Entrance()
        self.tables = read_practice_tables(folder)
        self.shelf = PlanShelf(self.tables.plans, self.tables, folder, self.tables.broken_plans)
        self._history_said: str | None = None
        self.history = History(open_store(store, folder), self._on_history_trouble, wall)
        memory, assignments, placements = InputMemory(folder), Assignments(folder), Placements(folder)
        self._placements = placements
        hand = TunesAtHand(Shelf(folder))
        self.unasked = Unasked(self.tables.book, self.tables.standards[DEFAULT], lambda: wall().day, hand)
        renew, known, arrangement = self.hub.renew, self.tables.profiles, Arrangement(folder)
        kept = (memory, known, self.history, placements, self.unasked, arrangement)
        services = Services(self._publish, renew, clock, folder, *kept)
        self._planned: dict[str, Planned] = {}
        self._ports: list[PortName] = []
        self._offered: list[PortName] = []
        self.room = Room(services, assignments, self._on_seat)
        self.room.furnish(sources, names)
        self.seats = self.room.seats
        self.classroom = Classroom(
            self.seats, self.hub.publish, clock, arrangement, ClassRecords(self.history, arrangement)
        )
        self.roster = Roster(self.history, assignments, placements, self.seats)

    def start(self) -> None:
        """Begin to listen; needs a running event loop."""
        self._loop = asyncio.get_running_loop()
        for seat in self.seats.values():
            seat.start()

    async def stop(self) -> None:
        """Stop listening, and write the rest of the history."""
        for seat in self.seats.values():
            await seat.stop()
        await asyncio.to_thread(self.history.close)

    def _on_history_trouble(self, said: str | None) -> None:
        """Called on the writer's thread: something is wrong with the history, or (None) no longer."""
        if self._loop is None:  # nobody watches yet
            self._history_said = said
        elif not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._show_history_trouble, said)

    def _show_history_trouble(self, said: str | None) -> None:
        self._history_said = said
        self.hub.publish(frames.HistoryFrame(kind="history", history=self._history_shown()))

    def _history_shown(self) -> shapes.HistoryShown:
        said = self._history_said or f"Your reps are kept in {self.history.store.said}."
        return shapes.HistoryShown(kept=self._history_said is None, said=said)

    async def tick_in_turn(self) -> None:
        """Give every seat the time, and let notes that come meanwhile pass.

        A whole class closes its reps at once: judging forty of them in one go would hold notes up for a twentieth of a
        second.
        """
        began_ns = self.clock()
        for seat in list(self.seats.values()):
            seat.tick()
            if self.clock() - began_ns > AT_ONCE_NS:
                await asyncio.sleep(0)
                began_ns = self.clock()
        self._tick_all()

    def tick(self) -> None:
        """Give every seat the time."""
        for seat in self.seats.values():
            seat.tick()
        self._tick_all()

    def _tick_all(self) -> None:
        for planned in self._planned.values():
            planned.tick()
        self.classroom.tick(self.clock())

    def _on_seat(self, seat: Seat) -> None:
        """A seat was added, or taken away."""
        if seat.id in self.seats:
            self.classroom.welcome(seat)
        else:
            self._planned.pop(seat.id, None)
            self.classroom.miss(seat)
            self.entrance.grants.revoke(Grant(Role.SEAT, seat.id))
        self.tell_seats()
        self.hub.renew(seat.id)
        self.offer()

    def tell_seats(self) -> None:
        """Send the pages all seats again, since something of them has changed that no other frame shows."""
        self.hub.publish(frames.SeatsFrame(kind="seats", seats=[self.shown(one) for one in self.seats.values()]))

    def on_ports(self, ports: list[PortName]) -> None:
        """The MIDI ports are others than before; called on another thread."""
        if self._loop is None:
            self._ports = ports
        elif not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self.offer, ports)

    def offer(self, ports: list[PortName] | None = None) -> None:
        """Have the ports that no seat listens to offer themselves; None: the same ports as before."""
        self._ports = self._ports if ports is None else ports
        free = offered(self._ports, [seat.source.name for seat in self.seats.values()])
        if free != self._offered:
            self._offered = free
            self.hub.publish(frames.OfferFrame(kind="offer", offers=self._offers()))

    def _offers(self) -> list[shapes.ChoiceShown]:
        return [_choice(port) for port in self._offered]

    async def add_seat(self, name: str, player: str | None = None) -> Seat:
        """Add a seat that listens to a MIDI port or the simulated player; ``player`` is the name of who sits there.

        Raises ChanterdError if a page may not choose it, or there is no place.
        """
        self._check_free(name)
        return await self.room.add(await asyncio.to_thread(_open_listed, name), player)

    async def plug(self, seat: Seat, name: str) -> None:
        """Have a seat listen to that input, whatever it listens to now. Raises ChanterdError as ``add_seat`` does."""
        await seat.plug(await asyncio.to_thread(_open_listed, name))

    async def name_seat(self, seat: Seat, name: str | None) -> None:
        """Have the player of that name sit down there, unless it is nobody's or theirs already.

        Raises ChanterdError if that player sits elsewhere, or the name is none.
        """
        if name is None or name.strip().casefold() == seat.player.name.casefold():
            return
        store, now = self.history.store, self.history.wall()
        player = await asyncio.to_thread(find_or_create, store, name, now)
        there = self.room.where(player)
        if there is not None:
            raise ChanterdError(f"{player.name} sits at seat {there.id} already; give another name.")
        await self.roster.choose(seat, player.number)

    def _check_free(self, name: str) -> None:
        there = next((seat for seat in self.seats.values() if seat.source.name == name), None)
        if there is not None and name not in (DEMO, JOIN):
            raise ChanterdError(
                f"Seat {there.id} ({there.player.name}) listens to '{name}' already; choose another input."
            )

    def _publish(self, frame: frames.Frame) -> None:
        self.hub.publish(frame)
        self.classroom.watch(frame)
        if frame["kind"] == "chanter":  # the seat may listen to another port than before
            self.offer()

    def seat(self, seat_id: str | None) -> Seat:
        """The seat with that id. Raises ChanterdError if there is none, or if no id is given and there are several."""
        return self.room.find(seat_id)

    def seat_for(self, grant: Grant, seat_id: str | None) -> Seat:
        """That seat, if the grant opens it; a seat's own need not name it. Raises ForbiddenError, ChanterdError."""
        if grant.role is Role.DESK:
            return self.seat(seat_id)
        if grant.role is not Role.SEAT or seat_id not in (None, grant.seat):
            raise ForbiddenError
        return self.seat(grant.seat)

    def practise(self, seat_id: str | None, words: ExerciseWords) -> shapes.PracticeShown:
        """Start a run, or a ladder of them. Raises ChanterdError with a line for each mistake in the words."""
        seat, exercise = self.seat(seat_id), resolve(words, self.tables)
        return seat.practise(exercise if names_beat(words.drill) else self._theirs(seat, exercise))

    def play_tune(self, seat_id: str | None, key: str, tune: Tune, words: TuneWords) -> TuneRunShown:
        """Start a run through a tune or a passage of it. Raises ChanterdError with a line for each mistake."""
        return self.seat(seat_id).play_tune(tune_asked(key, tune, words, self.tables))

    def theirs(self, seat: Seat, drill: Drill) -> Drill:
        """The drill with its beat where the player at the seat puts it; as it is if it is moved already."""
        return self._placements.theirs(seat.player.name, drill)

    def _theirs(self, seat: Seat, exercise: Exercise) -> Exercise:
        return replace(exercise, drill=self.theirs(seat, exercise.drill))

    def choose_placement(self, seat: Seat, drill: Drill) -> None:
        """The player at the seat puts the beat of the drill's ornament where it is here, from now on.

        Raises ChanterdError if that cannot be kept.
        """
        self._placements.choose(seat.player.name, drill)
        self.hub.renew()

    def practise_repeated(self, seat_id: str | None, standard: str | None) -> shapes.PracticeShown:
        """Start the drill that a player keeps repeating, at their tempo and on their own beat, after a count-in.

        Raises ChanterdError if they repeat none.
        """
        seat = self.seat(seat_id)
        repeated = seat.free.repeated
        if repeated is None:
            raise ChanterdError("No drill is offered now: play the same ornament three times at steady distances.")
        exercise = resolve(ExerciseWords(repeated.drill, repeated.click_bpm, standard), self.tables)
        return seat.practise(self._theirs(seat, exercise), own_beat(repeated, self.clock()))

    def begin_plan(
        self, seat_id: str | None, plan: Plan, listener: Callable[[shapes.SessionShown], None] | None = None
    ) -> Planned:
        """Go through a plan, in place of any other; ``listener`` gets each session frame that the pages get."""
        seat = self.seat(seat_id)
        name = seat.id

        def start(part: Part) -> None:
            if isinstance(part.exercise, TuneAsked):
                seat.play_tune(part.exercise)
            else:
                seat.practise(self._theirs(seat, part.exercise))

        def publish(session: shapes.SessionShown) -> None:
            self.hub.publish(frames.SessionFrame(kind="session", seat=name, session=session))
            if listener is not None:
                listener(session)

        if name in self._planned:
            self._planned[name].stop()
        seat.end()
        self._planned[name] = planned = Planned(plan, seat, start, publish, self.clock)
        planned.tick()
        return planned

    def planned(self, seat_id: str | None) -> Planned:
        """The plan in progress. Raises ChanterdError if there is none."""
        planned = self._planned.get(self.seat(seat_id).id)
        if planned is None or planned.over:
            raise ChanterdError("No plan is running; start one first.")
        return planned

    def shown(self, seat: Seat) -> shapes.SeatShown:
        """All that a page needs to draw a seat."""
        planned = self._planned.get(seat.id)
        return {**seat.shown(), "session": None if planned is None or planned.over else planned.shown}

    def inputs(self) -> Inputs:
        """The inputs there are now. It looks at every MIDI driver, so call it outside the event loop."""
        ports = list_ports()
        choices = [_choice(port) for port in ports]
        choices.append(shapes.ChoiceShown(name=DEMO, said="a simulated player"))
        if self.entrance.listeners:
            choices.append(shapes.ChoiceShown(name=JOIN, said="somebody who joins from another machine"))
        said = "Choose the port of your chanter." if ports else no_driver()
        return Inputs(inputs=choices, said=said)

    async def choose_input(self, seat_id: str | None, name: str) -> Seat:
        """Have a seat listen to another input; if it already listens to that one, nothing changes.

        Raises ChanterdError if a page may not choose it: only the command line may open files and devices.
        """
        seat = self.seat(seat_id)
        if name != seat.source.name:
            self._check_free(name)
            await self.plug(seat, name)
        return seat

    def status(self) -> Status:
        """How the daemon is."""
        seats = [seat.status() for seat in self.seats.values()]
        return self.health.status(self.clock(), str(self.folder), self.hub.pages(), seats, self.logbook.lines)

    def state(self, topic: Topic = EVERYTHING) -> shapes.StateShown:
        """All that a page needs to draw itself; a topic of one seat gets that seat only, the wall none."""
        shown = [seat for seat in self.seats.values() if not topic.wall and topic.seat in (None, seat.id)]
        return shapes.StateShown(
            version=__version__,
            clock_ns=self.clock(),
            seats=[self.shown(seat) for seat in shown],
            offers=[] if topic.seat else self._offers(),
            history=self._history_shown(),
            standards=[shapes.ChoiceShown(name=one.name, said=one.said) for one in self.tables.standards.values()],
            profiles=[shapes.ChoiceShown(name=one.name, said=one.said) for one in self.tables.profiles.values()],
            layouts=[shapes.ChoiceShown(name=one.name, said=one.said) for one in self.tables.layouts.values()],
            feedbacks=[shapes.ChoiceShown(name=one.name, said=one.said) for one in self.tables.schedules.values()],
            standard=DEFAULT,
            spread=standard_spread().held_of_click,
            spread_range=(NARROWEST, WIDEST),
            drill=FIRST_DRILL,
            click_bpm=FIRST_BPM,
            tempo_range=(SLOWEST_BPM, FASTEST_BPM),
            ladder=rule_view(OFFERED),
            paces=[shapes.PaceShown(**asdict(pace)) for pace in self.tables.paces.values()],  # type: ignore[typeddict-item]
        )


def _choice(port: PortName) -> shapes.ChoiceShown:
    return shapes.ChoiceShown(name=port.name, said=f"MIDI port, by {port.api}")


def _open_listed(name: str) -> Source:
    if name not in (DEMO, JOIN) and not any(port.name == name for port in list_ports()):
        raise ChanterdError(f"The input '{name}' is not there now; plug the chanter in, then choose it again.")
    return open_input(name)
