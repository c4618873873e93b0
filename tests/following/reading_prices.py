"""The price of a reading, worked out from what ``cost`` says and without the chain: every reading is tried."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf

from chanterd.following.cost import STANDARD_COSTS as COSTS
from chanterd.music.note import Note

Pairs = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Heard:
    """An onset as it is priced: how much as an extra, and whether that is more than the fingers crossing."""

    note: Note
    at_ns: int
    extra: float
    odd: bool
    length_ns: float = inf
    """Without an end as long as it still sounds."""


@dataclass(frozen=True, slots=True)
class Rep:
    """What is to be played, when, at which click, and what sounds before."""

    asked: Sequence[Note]
    due_ns: Sequence[float]
    click_ns: float
    rep_ns: float
    before: Note | None
    beat: int | None = None
    """Which asked note belongs on the beat; None: the theme."""

    def absolute(self, place: int, off_ns: float) -> float:
        """Off the click."""
        if off_ns < 0:
            halves = 2 * off_ns / self.click_ns
            return COSTS.early_little * halves**2 + COSTS.early * halves**4
        most = COSTS.late if place else COSTS.late_lead
        return most * off_ns**2 / (off_ns**2 + (COSTS.late_clicks * self.click_ns) ** 2)

    def unhindered(self, off_ns: float) -> float:
        """Late with nothing before."""
        return COSTS.late_unhindered * (2 * max(0.0, off_ns) / self.click_ns) ** 4

    def length_ns(self, place: int) -> float:
        """The target length of a note of the melody; 0 for a step."""
        if place == 0:
            return self.due_ns[1] - self.due_ns[0]
        return self.due_ns[0] + self.rep_ns - self.due_ns[-1] if place == len(self.asked) - 1 else 0.0

    def skip(self, place: int, sounding: Note | None) -> float:
        """An asked note without an onset."""
        if self.asked[place] == sounding:
            return COSTS.melted
        return COSTS.no_theme if place == len(self.asked) - 1 else COSTS.missing


def relative(off_ns: float) -> float:
    """Off the link before."""
    return COSTS.uneven * off_ns**2 / (off_ns**2 + (COSTS.uneven_ms * 1e6) ** 2)


def added(rep: Rep, heard: Sequence[Heard], theme: int, off_ns: float) -> float:
    """What comes behind the theme note as a movement added to a whole ornament; inf if it is none."""
    steps = [note for before, note in pairwise(rep.asked[:-1]) if note != before]
    index = theme
    for note in reversed(steps):
        index -= 1
        while index > 0 and heard[index].note != note and not heard[index].odd:
            index -= 1
        if index < 0 or heard[index].note != note:
            return inf
    behind = [one for one in heard[theme + 1 :] if one.odd]
    movements, back = behind[::2], behind[1::2]
    most_ns = min(COSTS.added_ms * 1e6, rep.length_ns(len(rep.asked) - 1) / 2)
    if (
        not steps
        or len(behind) not in (2, 4)
        or {one.note for one in back} != {rep.asked[-1]}
        or len({one.note for one in movements}) > 1
        or any(one.length_ns >= most_ns for one in (heard[theme], *behind[:-1]))
    ):
        return inf
    price = sum(one.extra for one in heard[theme + 1 :]) - sum(one.extra for one in back)
    if heard[theme].length_ns < min(COSTS.stub_ms * 1e6, rep.length_ns(len(rep.asked) - 1) / 2):
        price -= COSTS.stub
    price += relative(off_ns) * (COSTS.added_early if off_ns < 0 else 1.0)
    return price + COSTS.added + (len(back) - 1) * COSTS.added_again


def slower(rep: Rep, heard: Sequence[Heard], lead: int, theme: int) -> float:
    """From a lead to a theme note: the whole ornament, all steps longer in proportion; inf if it is none."""
    places = [place for place in range(len(rep.asked)) if not place or rep.asked[place] != rep.asked[place - 1]]
    played = heard[lead : theme + 1]
    if (
        len(places) < 4
        or places[-1] != len(rep.asked) - 1
        or [one.note for one in played] != [rep.asked[place] for place in places]
    ):
        return inf
    at, due = [one.at_ns for one in played], [rep.due_ns[place] for place in places]
    stretch = (at[-1] - at[1]) / (due[-1] - due[1])
    if stretch <= 1 or any(abs(a - d) >= COSTS.farthest_of_rep * rep.rep_ns for a, d in zip(at, due, strict=True)):
        return inf
    beat = len(rep.asked) - 1 if rep.beat is None else rep.beat
    off = at[places.index(beat)] - rep.due_ns[beat]
    price = COSTS.slower + min(rep.absolute(beat, off), rep.absolute(beat, off - (at[0] - due[0])))
    price += COSTS.melted * (len(rep.asked) - len(places))
    return price + sum(relative((at[n] - at[n - 1]) - stretch * (due[n] - due[n - 1])) for n in range(2, len(places)))


def before_lead(rep: Rep, odd: Sequence[Heard], lead_ns: int) -> float:
    """What unasked notes before the lead cost besides their own price: where from, and how they end."""
    if not odd:
        return 0.0
    price = COSTS.hasty if lead_ns - odd[-1].at_ns < COSTS.stub_ms * 1e6 else 0.0
    astray = rep.before is not None and rep.asked[0] not in (odd[0].note, rep.before)
    return price + COSTS.astray if astray else price


def gap(
    rep: Rep,
    heard: Sequence[Heard],
    wrong: Pairs,
    onsets: range,
    places: range,
    link: tuple[int, float] | None,
    off_after: float | None,
) -> float:
    """What is between two links: place and deviation of the one before, None at the start; deviation of the next."""
    broken, sounding = 0.0, rep.before
    if link is not None:
        sounding, last = rep.asked[link[0]], len(rep.asked) - 1
        broken = {0: COSTS.broken_lead, last: COSTS.broken_theme}.get(link[0], COSTS.broken)
    used = {onset for _, onset in wrong}
    unasked = [heard[onset] for onset in onsets if onset not in used]
    if link is None and not places:
        broken = before_lead(rep, [one for one in unasked if one.odd], heard[onsets.stop].at_ns if unasked else 0)
    price = sum(one.extra for one in unasked) + (broken if any(one.odd for one in unasked) else 0.0)
    for place in places:
        onset = next((onset for at, onset in wrong if at == place), None)
        if onset is None:
            price += rep.skip(place, sounding)
            continue
        off = heard[onset].at_ns - rep.due_ns[place]
        price += COSTS.wrong_theme if place == len(rep.asked) - 1 else COSTS.wrong_note
        when = [rep.absolute(place, off)] if link is None or link[0] == 0 else []
        if link is not None:
            when.append(relative(off - link[1]) if link[0] else rep.absolute(place, off - link[1]))
        if off_after is not None:
            when.append(relative(off - off_after))
        price += min(when)
    return price


def price_of(rep: Rep, heard: Sequence[Heard], pairs: Pairs) -> float:
    """The price of one reading; inf if it is none (two wrong notes in a gap, or one that is none, see ``chain``)."""
    if not pairs:
        plain = gap(rep, heard, (), range(len(heard)), range(len(rep.asked)), None, None)
        return min(plain, COSTS.skipped + sum(one.extra for one in heard))
    price, link = 0.0, None
    lead: tuple[int, float] | None = None
    first, start, wrong = 0, 0, list[tuple[int, int]]()
    for place, onset in (*pairs, (len(rep.asked), len(heard))):
        end = onset == len(heard)
        if not end and heard[onset].note != rep.asked[place]:
            sounding = rep.before if link is None else rep.asked[link[0]]
            if wrong or sounding in (rep.asked[place], heard[onset].note):
                return inf
            if not place and any(heard[at].note == rep.asked[0] for at in range(first, onset)):
                return inf
            beside = [onset - 1, *([onset + 1] if place else [])]  # a lead may still begin right after a wrong one
            if any(
                heard[at].note == rep.asked[place] for at in beside if first <= at < until(pairs, onset, len(heard))
            ):
                return inf
            left_out = [
                *range(max(start, place - 1), place),
                *range(place + 1, min(place + 2, after_place(pairs, onset, len(rep.asked)))),
            ]
            if any(rep.asked[at] == heard[onset].note for at in left_out):
                return inf
            wrong.append((place, onset))
            continue
        off_after = None if end else heard[onset].at_ns - rep.due_ns[place]
        behind = gap(rep, heard, tuple(wrong), range(first, onset), range(start, place), link, off_after)
        if end and link is not None and link[0] == len(rep.asked) - 1:
            behind = min(behind, added(rep, heard, first - 1, link[1]))
        price += behind
        if not end:
            off = heard[onset].at_ns - rep.due_ns[place]
            if abs(off) >= COSTS.farthest_of_rep * rep.rep_ns:
                return inf
            if heard[onset].length_ns < min(COSTS.stub_ms * 1e6, rep.length_ns(place) / 2):
                price += COSTS.stub
            if link is None:
                price += rep.absolute(place, off) + (0.0 if onset else rep.unhindered(off))
            elif link[0] == 0:
                price += min(rep.absolute(place, off), rep.absolute(place, off - link[1]))
            else:
                price += relative(off - link[1])
            if place == 0:
                lead = onset, price
            elif lead is not None and place == len(rep.asked) - 1:
                stub = (
                    COSTS.stub if heard[onset].length_ns < min(COSTS.stub_ms * 1e6, rep.length_ns(place) / 2) else 0.0
                )
                price = min(price, lead[1] + slower(rep, heard, lead[0], onset) + stub)
            link = (place, off)
        first, start, wrong = onset + 1, place + 1, []
    return price


def until(pairs: Pairs, onset: int, end: int) -> int:
    """The next link's onset behind a wrong note; ``end`` if there is none."""
    return next((at for _, at in pairs if at > onset), end)


def after_place(pairs: Pairs, onset: int, end: int) -> int:
    """The next link's place behind a wrong note; ``end`` if there is none."""
    return next((place for place, at in pairs if at > onset), end)


def readings(places: int, onsets: int, place: int = 0, onset: int = 0) -> Iterator[Pairs]:
    """Every way to pair asked notes with onsets in order."""
    yield ()
    for at in range(place, places):
        for index in range(onset, onsets):
            for rest in readings(places, onsets, at + 1, index + 1):
                yield ((at, index), *rest)


def cheapest(rep: Rep, heard: Sequence[Heard]) -> float:
    """The least price of all readings."""
    return min(price_of(rep, heard, pairs) for pairs in readings(len(rep.asked), len(heard)))
