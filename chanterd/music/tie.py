"""Ties each ornament to those that its row names: what takes its place, and what its build-up goes on from."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from chanterd.config import did_you_mean, quoted
from chanterd.music.ornament import Ornament, plain
from chanterd.music.row import Row

LONGEST_CHAIN = 20
"""Ornaments that build on each other; no build-up is learned through more."""

Read = tuple[Row, Ornament]


def tied(read: Sequence[Read], *, all_read: bool = True) -> Iterator[Ornament]:
    """The ornaments, tied to each other.

    Names that are taken, not known or go round in a circle are noted as mistakes of the row. If not ``all_read``, more
    ornaments were written than these, and a name that is not known is no mistake.
    """
    named = _Named(read, all_read=all_read)
    for row, ornament in read:
        instead = tuple(other for _, other in named.find(row, "instead", row.values.get("instead", ())))
        yield replace(_built(named, row, ornament, ()), instead=instead)


class _Named:
    """The ornaments by all their names."""

    def __init__(self, read: Iterable[Read], *, all_read: bool) -> None:
        self._all_read = all_read
        self._named: dict[str, Read] = {}
        for row, ornament in read:
            for name in map(plain, ornament.names):
                if name in self._named:
                    other = self._named[name][1].name
                    row.complain(f"the name '{name}' belongs to the {other} already; names must differ.")
                else:
                    self._named[name] = (row, ornament)

    def find(self, row: Row, key: str, names: Iterable[str]) -> Iterator[Read]:
        for name in map(plain, names):
            if name in self._named:
                yield self._named[name]
            elif self._all_read:
                guess = did_you_mean(name, self._named)
                row.complain(f"'{key}' names {quoted(name)}, which is not in the book.{guess}")


def _built(named: _Named, row: Row, ornament: Ornament, above: tuple[str, ...]) -> Ornament:
    """The ornament tied to the one that its build-up goes on from; those named in ``above`` go on from this one."""
    name = row.values.get("builds_on", "")
    chain = (*above, plain(ornament.name))
    if plain(name) in chain:
        row.complain(f"'builds_on' goes round in a circle: {' builds on '.join((*chain, plain(name)))}.")
        return ornament
    if len(chain) > LONGEST_CHAIN:
        row.complain(f"'builds_on' goes on through more than {LONGEST_CHAIN} ornaments; leave it out in one of them.")
        return ornament
    for base_row, base in named.find(row, "builds_on", [name] if name else []):
        return replace(ornament, builds_on=_built(named, base_row, base, chain))
    return ornament
