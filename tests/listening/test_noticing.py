"""Noticing a tune by its melody; the tunes are those that ship, our own, and generated ones."""

from collections.abc import Iterator

import numpy as np
import pytest

from chanterd.listening.noticing import DECIDED_NS, LEFT_NS, MOST_PLACES, Left, Noticed, Noticing, TuneIndex
from chanterd.listening.tunes import KnownTune
from chanterd.music.units import NS_PER_MS, Ns
from tests.listening.test_tunes import NAMES, known

NOTE_NS = 300 * NS_PER_MS


def play(noticing: Noticing, letters: str, begin_ns: int = 0) -> Iterator[tuple[int, Noticed | Left]]:
    """Play a melody, a note every 300 ms; what changes, and how many notes had begun by then."""
    for place, letter in enumerate(letters):
        at = Ns(begin_ns + place * NOTE_NS)
        noticing.onset(letter, at)
        changed = noticing.tick(at)
        if changed is not None:
            yield place + 1, changed
    changed = noticing.tick(Ns(begin_ns + len(letters) * NOTE_NS + DECIDED_NS))
    if changed is not None:
        yield len(letters), changed


@pytest.mark.parametrize("name", range(3))
@pytest.mark.parametrize("first", [0, 11, 23])
def test_a_tune_is_noticed_after_a_few_bars_from_any_start(name: int, first: int) -> None:
    """With the notes that fit and when they were heard."""
    noticing = Noticing(TuneIndex(known()))
    letters = known()[name].letters[first : first + 40]
    (after, noticed), *more = play(noticing, letters)
    assert more == []
    assert isinstance(noticed, Noticed)
    assert noticed.tune == name
    assert after <= 30
    assert noticed.since_ns <= 6 * NOTE_NS
    tune = known()[name]
    for note, at_ns in noticed.pairs:
        assert tune.letters[tune.notes.index(note)] == letters[at_ns // NOTE_NS]


def test_wrong_notes_and_notes_left_out_do_not_matter() -> None:
    """One in eight."""
    letters = list(known()[1].letters * 2)
    for place in range(7, len(letters), 16):
        letters[place] = next(one for one in "GABcdefga" if one not in letters[place - 1 : place + 2])
    for place in reversed(range(15, len(letters), 16)):
        del letters[place]
    changes = [change for _, change in play(Noticing(TuneIndex(known())), "".join(letters))]
    assert [type(one) for one in changes] == [Noticed]


def test_ornaments_and_noises_are_no_melody() -> None:
    """Steps are named by whoever recognises ornaments; a noise is short."""
    noticing = Noticing(TuneIndex(known()))
    at = 0
    changed: list[Noticed | Left] = []
    for letter in known()[0].letters[:30]:
        for step in "Gd":
            noticing.onset(step, Ns(at))
            noticing.steps([Ns(at)])
            at += 60 * NS_PER_MS
        noticing.onset("a" if letter != "a" else "G", Ns(at))
        noticing.onset(letter, Ns(at + 20 * NS_PER_MS))
        at += NOTE_NS
        found = noticing.tick(Ns(at))
        changed += [] if found is None else [found]
    assert [type(one) for one in changed] == [Noticed]


def test_a_tune_is_left_for_other_notes_or_after_a_rest() -> None:
    """And may be noticed again."""
    noticing = Noticing(TuneIndex(known()))
    letters = known()[2].letters[:40]
    scale = "GABcdefgagfedcBA" * 2
    changes = [type(change) for _, change in play(noticing, letters + scale)]
    assert changes == [Noticed, Left]
    end = (len(letters) + len(scale)) * NOTE_NS
    assert [type(change) for _, change in play(noticing, letters, end)] == [Noticed]
    noticing.silence(Ns(end + len(letters) * NOTE_NS))
    assert noticing.tick(Ns(end + len(letters) * NOTE_NS + LEFT_NS - 1)) is None
    assert noticing.tick(Ns(end + len(letters) * NOTE_NS + LEFT_NS)) == Left()


def test_another_tune_takes_the_place_of_the_one_before() -> None:
    """As soon as it is clear."""
    letters = known()[0].letters[:40] + known()[1].letters[:40]
    tunes = [change.tune for _, change in play(Noticing(TuneIndex(known())), letters) if isinstance(change, Noticed)]
    assert tunes == [0, 1]


def test_two_that_begin_alike_are_told_apart_by_what_follows() -> None:
    """None is named before; one that is there twice is named all the same."""
    first, other = known()[0].letters[:20], known()[1].letters[:20]
    alike = [
        KnownTune(str(place), letters, tuple(range(len(letters))))
        for place, letters in enumerate(
            (
                first + known()[2].letters[:20],
                first + other,
            )
        )
    ]
    (after, noticed), *_ = play(Noticing(TuneIndex(alike)), first[2:] + other)
    assert isinstance(noticed, Noticed)
    assert (noticed.tune, after > 20) == (1, True)
    twice = [known()[0], known()[0]]
    found = [change for _, change in play(Noticing(TuneIndex(twice)), known()[0].letters[:40])]
    assert [type(one) for one in found] == [Noticed]


@pytest.mark.parametrize(
    "letters", ["GABcdefgagfedcBA" * 4, "BcBc" * 20, "".join("GABcdefga"[i * 7 % 9] for i in range(80))]
)
def test_scales_and_drills_are_no_tune(letters: str) -> None:
    """They are in no tune for long."""
    assert list(play(Noticing(TuneIndex(known())), letters)) == []


def test_a_thousand_tunes_change_nothing_for_a_note() -> None:
    """A run of notes that is everywhere is not looked at; what is remembered does not grow."""
    rng = np.random.default_rng(4)
    tunes = list(known())
    for number in range(1000):
        letters = "".join(str(rng.choice(list("ABcde"))) for _ in range(200))
        tunes.append(KnownTune(str(number), letters, tuple(range(200))))
    index = TuneIndex(tunes)
    assert all(len(index.find(tune.letters[:6])) <= MOST_PLACES for tune in tunes[-50:])
    noticing = Noticing(index)
    found = [change for _, change in play(noticing, known()[1].letters * 2)]
    assert [one.tune for one in found if isinstance(one, Noticed)] == [NAMES.index("net-mender")]
    assert len(noticing._evidence) <= 26 * MOST_PLACES


def test_a_tune_goes_on_through_a_phrase_that_every_tune_has() -> None:
    """Such a phrase says nothing of which tune begins, and yet it is part of the one that is played."""
    tune = known()[1]
    common = tune.letters[20:52]
    others = [KnownTune(str(number), common, tuple(range(len(common)))) for number in range(MOST_PLACES)]
    changes = [change for _, change in play(Noticing(TuneIndex([tune, *others])), tune.letters)]
    assert [type(one) for one in changes] == [Noticed]
