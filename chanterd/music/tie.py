"""Ties each ornament to those that its row names: what takes its place, and what its build-up goes on from."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from chanterd.config import did_you_mean
from chanterd.music.ornament import Ornament, plain
from chanterd.music.row import Row

Read = tuple[Row, Ornament]


def tied(read: Sequence[Read]) -> Iterator[Ornament]:
    """The ornaments, tied. Names that are taken, not known or go round in a circle are told in the row's complaints."""
    named = _by_name(read)
    for row, ornament in read:
        names = row.complaints.take_texts(row.where, row.table, "instead", default=[])
        instead = tuple(other for _, other in _find(named, row, "instead", names))
        yield replace(_built(named, row, ornament, ()), instead=instead)


def _by_name(read: Iterable[Read]) -> dict[str, Read]:
    named: dict[str, Read] = {}
    for row, ornament in read:
        for name in map(plain, ornament.names):
            if name in named:
                row.complain(f"the name '{name}' belongs to the {named[name][1].name} already; names must differ.")
            else:
                named[name] = (row, ornament)
    return named


def _find(named: dict[str, Read], row: Row, key: str, names: Iterable[str]) -> Iterator[Read]:
    for name in map(plain, names):
        if name in named:
            yield named[name]
        else:
            row.complain(f"'{key}' names '{name}', which is not in the book.{did_you_mean(name, named)}")


def _built(named: dict[str, Read], row: Row, ornament: Ornament, above: tuple[str, ...]) -> Ornament:
    """The ornament tied to the one that its build-up goes on from; those named in ``above`` go on from this one."""
    name = row.complaints.take_text(row.where, row.table, "builds_on", default="")
    chain = (*above, plain(ornament.name))
    if plain(name) in chain:
        row.complain(f"'builds_on' goes round in a circle: {' builds on '.join((*chain, plain(name)))}.")
        return ornament
    for base_row, base in _find(named, row, "builds_on", [name] if name else []):
        return replace(ornament, builds_on=_built(named, base_row, base, chain))
    return ornament
