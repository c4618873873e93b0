"""The tunes that a player may play unasked."""

from pathlib import Path

import pytest

from chanterd.config import bundled
from chanterd.listening.noticing import TuneIndex
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.units import Ns
from chanterd.serving.seats.tunes_at_hand import AGAIN_NS, TunesAtHand

MUSIC = "X:1\nT:New one\nM:4/4\nL:1/8\nK:HP\nd2cB ABcd|ecAd BGeA|]\n"


def index_of(hand: TunesAtHand) -> TuneIndex:
    """Read once more."""
    hand.read()
    assert hand.index is not None
    return hand.index


def test_those_that_ship_and_the_players_own_are_at_hand(tmp_path: Path) -> None:
    """A file that is added later, or deleted, is noticed; what did not change is not made again."""
    hand = TunesAtHand(Shelf(tmp_path))
    assert hand.index is None
    before = index_of(hand)
    shipped = {path.stem for path in Path(bundled("configs") / "tunes").glob("*.abc")}
    assert {tune.title for tune in before.tunes} == shipped
    assert index_of(hand) is before
    (tmp_path / "tunes").mkdir()
    (tmp_path / "tunes" / "new-one.abc").write_text(MUSIC)
    after = index_of(hand)
    assert {tune.title for tune in after.tunes} == {*shipped, "new-one"}
    ((number, at),) = after.find("dcBABc")
    assert at == 0
    found = hand.tune(after, number)
    assert found is not None
    assert (found[0], found[1].title) == ("new-one", "New one")
    (tmp_path / "tunes" / "new-one.abc").unlink()
    index_of(hand)
    assert hand.tune(after, number) is None


def test_files_are_looked_at_again_every_few_seconds_at_most(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not with every note."""
    looks: list[Ns] = []
    hand = TunesAtHand(Shelf(tmp_path))
    monkeypatch.setattr("chanterd.serving.seats.tunes_at_hand.Thread", lambda target, **_: Look(target, looks))
    for at in (0, 1, AGAIN_NS - 1, AGAIN_NS, AGAIN_NS + 1):
        hand.want(Ns(at))
    assert len(looks) == 2


class Look:
    """A thread that runs at once."""

    def __init__(self, target: object, looks: list[Ns]) -> None:
        self._target, self._looks = target, looks

    def start(self) -> None:
        """Do it."""
        self._looks.append(Ns(0))
        assert callable(self._target)
        self._target()
