"""How fast tunes are played: what ships, and what a wrong table's error says."""

import re
from pathlib import Path

import pytest

from chanterd.config import ConfigError
from chanterd.music.pace import read_paces


def test_every_kind_that_players_ask_for_is_there() -> None:
    """Marches in four times, strathspey, reel, jig, hornpipe and slow air."""
    said = " ".join(read_paces())
    for kind in ("2/4", "3/4", "4/4", "6/8", "strathspey", "reel", "jig", "hornpipe", "slow air"):
        assert kind in said


def test_every_figure_has_its_source_beside_it() -> None:
    """A publication, or the words 'common practice, no source'; a ladder begins below what it is to be performed at."""
    for pace in read_paces().values():
        assert re.search(r"common practice, no source|\b(19|20)\d\d\b|RSCDS", pace.source, re.IGNORECASE), pace.name
        assert pace.first < pace.performing


def test_dances_are_at_the_published_tempo() -> None:
    """58 bars a minute of two beats are 116 (RSCDS, as cited in a dictionary of country dancing)."""
    assert read_paces()["reel, jig or hornpipe, for dancing"].performing == 58 * 2


def test_a_solo_march_is_played_in_the_sixties() -> None:
    """In the sixties, up to about 70: common practice, no source."""
    assert 60 <= read_paces()["march in 2/4, solo"].performing <= 70


def test_a_teacher_adds_a_pace_and_replaces_one(tmp_path: Path) -> None:
    """A row of the same name takes the place of the one that ships."""
    rows = [("slow air", 40), ("our march", 60)]
    (tmp_path / "tempi.toml").write_text(
        "".join(
            f'[[tempo]]\nname = "{name}"\nsaid = "S."\nsource = "Ours."\n'
            f"first = 30\nlow = 40\nhigh = 60\nperforming = {performing}\n"
            for name, performing in rows
        )
    )
    paces = read_paces(tmp_path)
    assert {name: paces[name].performing for name, _ in rows} == dict(rows)
    assert len(paces) == len(read_paces()) + 1


def test_all_mistakes_are_reported_at_once(tmp_path: Path) -> None:
    """A number too large, a missing source, and a performing tempo outside its range."""
    (tmp_path / "tempi.toml").write_text(
        '[[tempo]]\nname = "a"\nsaid = "A."\nfirst = 30\nlow = 40\nhigh = 900\nperforming = 50\n'
        '[[tempo]]\nname = "b"\nsaid = "B."\nsource = "x"\nfirst = 30\nlow = 40\nhigh = 60\nperforming = 132\n'
    )
    with pytest.raises(ConfigError) as raised:
        read_paces(tmp_path)
    assert sorted(line.split(";")[0] for line in str(raised.value).splitlines()) == [
        "tempi.toml: tempo 1: 'high' is 900",
        "tempi.toml: tempo 1: 'source' is missing",
        "tempi.toml: tempo 2: 'performing' is 132",
    ]
