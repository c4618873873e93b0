"""The daemon: its seats, what they share, and what the routes ask of them."""

import time
from collections.abc import Sequence
from functools import cached_property
from pathlib import Path

from typing_extensions import TypedDict

from chanterd import __version__
from chanterd.config import ChanterdError
from chanterd.hearing.driver import no_driver
from chanterd.hearing.inputs import DEMO, open_input
from chanterd.hearing.ports import list_ports
from chanterd.hearing.source import Source
from chanterd.judging.standard import DEFAULT, find_standard, read_standards
from chanterd.serving import frames
from chanterd.serving.kept import Memory
from chanterd.serving.live import Hub
from chanterd.serving.seat import House, Seat
from chanterd.trade.drill import ListedDrill, all_drills, drill_from_words, list_drill
from chanterd.trade.grid import FASTEST_BPM, SLOWEST_BPM, click_bpm
from chanterd.trade.units import Ns

FIRST_DRILL = "grip from B to C"
FIRST_BPM = 60.0


def monotonic() -> Ns:
    """The one clock of the daemon."""
    return Ns(time.perf_counter_ns())


class Inputs(TypedDict):
    """What can be listened to, and a sentence about it."""

    inputs: list[frames.Choice]
    said: str


class Daemon:
    """Everything that lives as long as the program."""

    def __init__(self, sources: Sequence[Source], folder: Path) -> None:
        """Seat one player at each source. Raises ConfigError if a table of the user's is wrong."""
        self.clock = monotonic
        self.hub = Hub(self.state)
        self.standards = read_standards(folder / "standards")
        house = House(self.hub.publish, self.clock, folder, Memory(folder))
        self.seats = {str(number): Seat(str(number), source, house) for number, source in enumerate(sources, 1)}

    def start(self) -> None:
        """Begin to listen; needs a running event loop."""
        for seat in self.seats.values():
            seat.start()

    async def stop(self) -> None:
        """Stop listening."""
        for seat in self.seats.values():
            await seat.stop()

    def tick(self) -> None:
        """Let time pass on every seat."""
        for seat in self.seats.values():
            seat.tick()

    def seat(self, player: str | None) -> Seat:
        """The seat of that player. Raises ChanterdError if there is none, or if none is named and there are several."""
        if player is None and len(self.seats) == 1:
            return next(iter(self.seats.values()))
        if player is None or player not in self.seats:
            raise ChanterdError(f"The field 'player' is {player!r}; it must be one of {', '.join(self.seats)}.")
        return self.seats[player]

    def practise(self, player: str | None, words: str, bpm: float, standard: str | None) -> frames.Practice:
        """Start a run. Raises ChanterdError if anything asked is not understood."""
        seat = self.seat(player)
        drill, checked = drill_from_words(words), click_bpm(bpm)
        return seat.practise(drill, checked, find_standard(standard or DEFAULT, self.standards))

    def inputs(self) -> Inputs:
        """What can be listened to now; looks at every MIDI driver, so not in the event loop."""
        ports = list_ports()
        choices = [frames.Choice(name=port.name, said=f"MIDI port, by {port.api}") for port in ports]
        choices.append(frames.Choice(name=DEMO, said="the simulated player"))
        said = "Choose the port of your chanter." if ports else no_driver()
        return Inputs(inputs=choices, said=said)

    def open_listed(self, name: str, seat: Seat) -> Source:
        """The input of that name, if a page may ask for it: files and devices are for the command line only."""
        known = name in (DEMO, seat.source_name)
        if not known and not any(port.name == name for port in list_ports()):
            raise ChanterdError(f"The input '{name}' is not there now; plug the chanter in, then choose it again.")
        return open_input(name)

    def drills(self) -> list[ListedDrill]:
        """Every drill of the book, with its stages."""
        return self._listed

    @cached_property
    def _listed(self) -> list[ListedDrill]:
        return [list_drill(drill) for drill in all_drills()]

    def state(self) -> frames.State:
        """All that a page needs to draw itself."""
        return frames.State(
            version=__version__,
            clock_ns=self.clock(),
            players=[seat.shown() for seat in self.seats.values()],
            standards=[frames.Choice(name=one.name, said=one.said) for one in self.standards.values()],
            profiles=next(iter(self.seats.values())).profiles(),
            drill=FIRST_DRILL,
            click_bpm=FIRST_BPM,
            tempo_range=(SLOWEST_BPM, FASTEST_BPM),
        )
