"""What is written where a tune was played."""

from chanterd.config import bundled
from chanterd.listening.passages import Passage
from chanterd.listening.tunes import known_tune
from chanterd.listening.written import written_in
from chanterd.music.book import standard_book
from chanterd.music.tunes.read import read_tunes
from chanterd.music.units import Ns
from tests.listening.played_notes import found_in


def test_the_ornaments_of_a_tune_are_known_while_it_is_played() -> None:
    """And nothing is where it is not."""
    tune = read_tunes(bundled("configs") / "tunes" / "seven-gulls.abc")[0]
    passages = [
        Passage(Ns(0), Ns(5), "free"),
        Passage(Ns(5), Ns(9), "tune", tune=tune.title, first=0),
    ]
    (written,) = written_in(passages, [known_tune(tune.title, tune)], standard_book())
    assert (written.start_ns, written.end_ns) == (5, 9)
    assert "grip from B to C" in written.ways["Bc"]


def test_nothing_is_known_without_a_tune() -> None:
    """Free playing has no notes on paper."""
    assert found_in("B600 c600") == []
    assert written_in([Passage(Ns(0), Ns(5), "free")], [], standard_book()) == []
