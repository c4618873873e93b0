"""What to practise today: a few lines out of what is known of a player, each with its reason in a plain sentence. Pure.

The weak first; then what is due again after a rest; one old one refreshed; and something new, or begun and not carried
on. What was practised today, and what the player refused, is left out, and another takes its place.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import chain, islice

from chanterd.music.drill import Drill, make_drill
from chanterd.music.ornament import Book
from chanterd.music.ways import ways_in
from chanterd.practice.proposal.in_tunes import InTunes, Place, WorkedTune
from chanterd.practice.proposal.known import Known, WayState, due_day, good_days, last_day, rest_days, standing
from chanterd.practice.proposal.line import (
    WHY,
    ProposalLine,
    begun_line,
    due_line,
    new_line,
    roughness,
    warm_line,
    weak_line,
)
from chanterd.practice.proposal.rule import ProposalRule


@dataclass(frozen=True, slots=True)
class Proposal:
    """What is proposed for a day."""

    day: date
    lines: tuple[ProposalLine, ...]
    done: tuple[Drill, ...]
    """What was practised enough today; each takes the place of a line."""


def place_of(drill: Drill) -> Place:
    """Where it is played, whatever its stage."""
    return drill.ornament.name, drill.lead, drill.theme


def propose(
    known: Sequence[Known],
    refused: Collection[Place],
    today: date,
    rule: ProposalRule,
    book: Book,
    tunes: Sequence[WorkedTune] = (),
) -> Proposal:
    """The proposal for today. ``known`` holds a way once; ``refused`` is what the player does not want today.

    Of each kind, what comes in the ``tunes`` that the player works on goes first.
    """
    in_tunes = InTunes(tunes, today)
    states = {place_of(one.drill): standing(one, today, rule) for one in known}
    known = sorted(known, key=lambda one: one.drill.words)
    done = [one for one in known if states[place_of(one.drill)] is WayState.DONE]
    offered = [one for one in known if place_of(one.drill) not in refused]

    def those(how: WayState) -> list[Known]:
        return [one for one in offered if states[place_of(one.drill)] is how]

    def rank(one: Known) -> int:
        return in_tunes.rank(place_of(one.drill))

    worst = sorted(those(WayState.WEAK), key=lambda one: (rank(one), roughness(one, rule)))
    weak = [weak_line(one, today, rule) for one in worst]
    old = _warm([*those(WayState.DUE), *those(WayState.RESTING)], today, rule)
    due = sorted(
        (one for one in those(WayState.DUE) if one not in old),
        key=lambda one: (rank(one), _overdue(one, today, rule)),
    )
    dues = [due_line(one, today, rule) for one in due]
    begun = (begun_line(one, rule) for one in sorted(those(WayState.BEGUN), key=lambda one: (rank(one), _unused(one))))
    untried = _new_drills({*states, *refused}, in_tunes.places(), rule, book)
    new = list(islice(chain(begun, (new_line(drill, rule) for drill in untried)), rule.most))
    first = [*weak[: rule.weak_lines], *(warm_line(one, today, rule) for one in old)]
    lines = _filled(first, dues, weak[rule.weak_lines :], new, _Room.left(rule, done, today))
    reasons = [in_tunes.reason(place_of(line.drill)) for line in lines]
    said = [replace(line, reason=f"{line.reason} {why}".strip()) for line, why in zip(lines, reasons, strict=True)]
    return Proposal(today, tuple(said), tuple(one.drill for one in done))


@dataclass(frozen=True, slots=True)
class _Room:
    """How many lines there may still be today."""

    most: int
    new: int
    """As long as there is anything else."""
    first: int
    """New ones are added up to this many lines, if there is nothing else."""

    @staticmethod
    def left(rule: ProposalRule, done: Sequence[Known], today: date) -> "_Room":
        """What is left when these were practised today."""
        new_done = sum(one.sittings[0].day >= today for one in done)
        return _Room(
            most=max(rule.most - len(done), 0),
            new=max(rule.new_lines - new_done, 0),
            first=max(min(rule.first_lines, rule.most) - len(done), 0),
        )


def _filled(
    first: list[ProposalLine], due: list[ProposalLine], weak: list[ProposalLine], new: list[ProposalLine], room: _Room
) -> list[ProposalLine]:
    """Fill the room: first of all these, then what is due, keeping room for the new; what is left over last."""
    lines = first[: room.most]
    reserved = min(room.new, len(new))
    now = max(room.most - len(lines) - reserved, 0)
    lines += due[:now]
    news = min(reserved, room.most - len(lines))
    lines += new[:news]
    lines += [*due[now:], *weak][: room.most - len(lines)]
    lines += new[news : news + max(room.first - len(lines), 0)]
    return sorted(lines, key=lambda line: WHY.index(line.why))


def _overdue(known: Known, today: date, rule: ProposalRule) -> tuple[float, str]:
    """The longest overdue first, by the length of its rest."""
    return -(today - due_day(known, rule)).days / rest_days(known, rule), known.drill.words


def _unused(known: Known) -> tuple[date, str]:
    """The one that was not played for the longest first."""
    return last_day(known), known.drill.words


def _warm(known: Sequence[Known], today: date, rule: ProposalRule) -> list[Known]:
    """The old one that was not played for the longest; none if there is no such one."""
    old = [
        one
        for one in known
        if good_days(one, rule) >= rule.good_days and (today - last_day(one)).days >= rule.after_days
    ]
    return [min(old, key=_unused)] if old else []


def _new_drills(known: set[Place], wanted: Sequence[Place], rule: ProposalRule, book: Book) -> Iterator[Drill]:
    """What was never played.

    First what is ``wanted`` for tunes, then by the rule's order, then other ways into those ornaments, then the rest.
    """
    seen = set(known)
    for name, lead, theme in wanted:
        if (name, lead, theme) not in seen:
            seen.add((name, lead, theme))
            yield make_drill(book.find(name), lead, theme)
    for drill in rule.order:
        if place_of(drill) not in seen:
            seen.add(place_of(drill))
            yield drill
    first = {drill.ornament.name for drill in rule.order}
    ornaments = sorted(book.ornaments, key=lambda one: one.name not in first)
    for ornament in ornaments:
        for lead, theme in ways_in(ornament):
            if (ornament.name, lead, theme) not in seen:
                yield make_drill(ornament, lead, theme)
