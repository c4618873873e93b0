"""Tunes as a page shows them."""

from pathlib import Path

import pytest

from chanterd.music.book import standard_book
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.excerpts import parts_of
from chanterd.music.tunes.shelf import Shelved
from chanterd.serving.wire.tunes import tune_row, tune_shown

HEAD = "X:1\nM:2/4\nL:1/8\nK:HP\n"


@pytest.mark.parametrize(
    ("music", "parts"),
    [
        ("A B c d | e2 f2 |", [(0, 5)]),
        ("A B c d :| e2 f2 |]", [(0, 3), (4, 5)]),
        ("A B c d || e2 f2 |", [(0, 3), (4, 5)]),
        ("|: A B c d :: e2 f2 :|", [(0, 3), (4, 5)]),
        ("|: A4 |1 B4 :|2 c4 || d4 |", [(0, 2), (3, 3)]),
    ],
)
def test_parts_are_between_double_bar_lines(music: str, parts: list[tuple[int, int]]) -> None:
    """By the first and the last note of each."""
    [tune] = read_abc((HEAD + music + "\n").encode())
    assert parts_of(tune) == parts


def test_a_row_and_a_tune_without_a_title_go_by_the_file() -> None:
    """And a file that cannot be read says why."""
    [tune] = read_abc((HEAD + "{g}A # A |\n").encode())
    one = Shelved("my-tune", Path("my-tune.abc"), own=True, tune=tune)
    row, shown = tune_row(one), tune_shown("my-tune", tune, standard_book(), own=True)
    assert (row["title"], row["time"], row["ornaments"], row["file"]) == ("my-tune", "2/4", 1, "my-tune.abc")
    assert (shown["title"], shown["click"], shown["remarks"][0]["line"]) == ("my-tune", "1/4", 5)
    bad = tune_row(Shelved("odd", Path("odd.abc"), own=True, tune=None, said="It holds no tune."))
    assert (bad["bars"], bad["said"]) == (0, "It holds no tune.")
