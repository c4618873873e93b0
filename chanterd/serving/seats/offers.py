"""Which MIDI ports offer themselves as a seat: those that no seat listens to or waits for. Pure."""

from collections.abc import Iterable, Sequence

from chanterd.hearing.ports import AmbiguousPortError, PortName, find_port

LOOPBACK = "midi through"
"""How the names of ALSA's own loop-back ports begin (from memory): no chanter is behind them."""


def offered(ports: Sequence[PortName], listened: Iterable[str]) -> list[PortName]:
    """The ports that are free; ``listened`` is what each seat listens to or looks for, by a name or a part of it."""
    free = [port for port in ports if not port.name.casefold().startswith(LOOPBACK)]
    names = {port.name for port in ports}
    wanted = list(listened)
    free = [port for port in free if port.name not in wanted]
    for words in wanted:
        if words in names:
            continue
        try:
            waited_for = find_port(words, free)
        except AmbiguousPortError:
            continue  # nobody has chosen yet, so each of them is still free
        free = [port for port in free if port != waited_for]
    return free
