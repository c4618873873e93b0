"""A whole tune in a few figures: which ornaments to take out next, and what is not played alike."""

from collections import Counter
from collections.abc import Iterable, Sequence
from statistics import median

from chanterd.judging.naming import say_ms
from chanterd.judging.tunes.report import BarTempo, NoteResult, OrnamentResult, TakeOut, TuneSummary
from chanterd.music.tunes.passage import click_of, within_bar
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_MS

MOST_TAKEN_OUT = 5
ALIKE_TIMES, ALIKE_MS = 1.6, 40.0
"""An ornament is not played alike in two places if it is longer by both of these there: our own choice."""
MOST_ALIKE = 5


def summarise_tune(
    tune: Tune,
    notes: Sequence[NoteResult],
    on_beat: Sequence[bool],
    tempi: list[BarTempo],
    click_bpm: float,
    *,
    click_off: bool,
    restarts: int,
    stops: int,
) -> TuneSummary:
    """The summary of a take; ``on_beat`` says of each entry whether its note is written on a beat."""
    ornaments = [one["ornament"] for one in notes if one["ornament"] is not None]
    clean = sum(one["clean"] for one in ornaments)
    offs = [
        off for one, placed in zip(notes, on_beat, strict=True) if placed and (off := one["deviation_ms"]) is not None
    ]
    middle = median(offs) if offs else None
    take_out = worst(tune, notes)
    compared, differs = unlike(tune, notes)
    return TuneSummary(
        click_bpm=round(click_bpm, 2),
        click_off=click_off,
        notes=len(notes),
        missing=sum(one["state"] == "missing" for one in notes),
        wrong=sum(one["state"] == "wrong note" for one in notes),
        ornaments=len(ornaments),
        clean=clean,
        deviation_ms=None if middle is None else round(middle, 1),
        scatter_ms=None if middle is None else round(median(abs(off - middle) for off in offs), 1),
        restarts=restarts,
        stops=stops,
        take_out=take_out,
        compared=compared,
        alike=differs,
        tempi=tempi,
        said=_said(len(ornaments), clean, take_out),
    )


def _said(ornaments: int, clean: int, take_out: Sequence[TakeOut]) -> str:
    if not ornaments:
        return "No ornament of the tune was reached."
    if not take_out:
        return "Every ornament was clean."
    return f"{clean} of {ornaments} ornaments were clean. Take out the {take_out[0]['words']} next."


def words_of(tune: Tune, note: int, ornament: OrnamentResult) -> str:
    """What to call an ornament: its drill, or its gracenotes spelled out."""
    if ornament["drill"] is not None:
        return ornament["drill"]
    return f"{', '.join(ornament['gracenotes'])} before {tune.notes[note].note.words}"


def worst(tune: Tune, notes: Iterable[NoteResult]) -> list[TakeOut]:
    """The ornaments to take out next: those that were not clean, most failures first."""
    groups: dict[str, list[tuple[int, OrnamentResult]]] = {}
    for one in notes:
        ornament = one["ornament"]
        if ornament is not None:
            groups.setdefault(words_of(tune, one["note"], ornament), []).append((one["note"], ornament))
    found: list[TakeOut] = []
    for words, ones in groups.items():
        bad = [(note, ornament) for note, ornament in ones if not ornament["clean"]]
        if not bad:
            continue
        said = Counter(ornament["faults"][0]["fault"] for _, ornament in bad).most_common(1)[0][0]
        first = next(ornament for _, ornament in bad if ornament["faults"][0]["fault"] == said)
        note = Counter(note for note, _ in bad).most_common(1)[0][0]
        found.append(
            TakeOut(
                note=note,
                drill=ones[0][1]["drill"],
                words=words,
                times=len(ones),
                clean=len(ones) - len(bad),
                said=first["said"],
            )
        )
    found.sort(key=lambda one: (-((one["times"] - one["clean"]) ** 2) / one["times"], one["note"]))
    return found[:MOST_TAKEN_OUT]


def unlike(tune: Tune, notes: Iterable[NoteResult]) -> tuple[int, list[str]]:
    """How many ornaments were heard in two places or more, and where they were not alike.

    That is where an ornament is much longer than in another place, in a sentence each, the greatest difference first.
    """
    lengths: dict[str, dict[int, list[float]]] = {}
    for one in notes:
        ornament = one["ornament"]
        length = None if ornament is None else _length(ornament)
        if ornament is not None and ornament["drill"] is not None and length is not None:
            lengths.setdefault(ornament["drill"], {}).setdefault(one["note"], []).append(length)
    found: list[tuple[float, str]] = []
    several = {drill: places for drill, places in lengths.items() if len(places) > 1}
    for drill, places in several.items():
        middles = sorted((median(ones), place) for place, ones in places.items())
        (short, place), (long, other) = middles[0], middles[-1]
        if long > ALIKE_TIMES * short and long - short > ALIKE_MS:
            half = "half as long" if 1.8 <= long / short <= 2.2 else "shorter"  # noqa: PLR2004 - about half
            than = "as in" if half == "half as long" else "than in"
            times = f"{say_ms(round(short * NS_PER_MS))} and {say_ms(round(long * NS_PER_MS))}"
            where, elsewhere = _where(tune, place, places), _where(tune, other, places)
            found.append((long / short, f"The {drill} is {half} in {where} {than} {elsewhere}: {times}."))
    return len(several), [said for _, said in sorted(found, reverse=True)[:MOST_ALIKE]]


def _where(tune: Tune, place: int, places: Iterable[int]) -> str:
    """The bar of a note, with its beat if another of ``places`` is in the same bar; both count from 1."""
    bar = tune.notes[place].bar
    if sum(tune.notes[one].bar == bar for one in places) == 1:
        return f"bar {bar}"
    printed, within = within_bar(tune, tune.notes[place].start)
    return f"bar {bar}, beat {int(within / click_of(printed.meter)) + 1}"


def _length(ornament: OrnamentResult) -> float | None:
    """From the first gracenote to the melody note, ms; None if either is missing, or only one was to be played."""
    steps = ornament["steps"]
    first, last = steps[0]["onset_ms"], steps[-1]["onset_ms"]
    played = all(step["state"] in ("played", "merged") for step in steps)
    return last - first if played and len(steps) > 2 and first is not None and last is not None else None  # noqa: PLR2004 - one gracenote has no shape
