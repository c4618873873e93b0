"""Small ornament tables for tests."""

from pathlib import Path

import pytest

from chanterd.config import ConfigError
from chanterd.music.book import make_book
from chanterd.music.ornament import Book
from chanterd.table_file import TableFile, read_toml

TAP = """
[[ornament]]
name = "tapped"
how = "One tap, on the beat."
beat = "step 1"
[[ornament.spelled]]
themes = ["B", "C"]
steps = ["tap quick"]
"""

FAMILY = """
chapter = "Test"
[taps]
"B" = "low G"
"C" = "low G"
[[ornament]]
name = "opened"
also = ["opening"]
how = "A G gracenote on the beat, then a tap."
beat = "step 1"
disputed = "Some say otherwise."
[[ornament.spelled]]
themes = ["B", "C"]
steps = ["g quick", "T held", "tap quick"]
[[ornament.form]]
name = "half opened"
opening = "none"
how = "The note on the beat, then a tap."
"""


def book(tmp_path: Path, shipped: str, *own: str) -> Book:
    """The book of one table that ships and any number of a teacher's own, called own1.toml, own2.toml ..."""
    paths = [tmp_path / name for name in ("shipped.toml", *(f"own{number}.toml" for number in range(1, len(own) + 1)))]
    for path, text in zip(paths, (shipped, *own), strict=True):
        path.write_text(text)
    return make_book([TableFile(path.name, path, path != paths[0], read_toml(path)) for path in paths])


def mistakes(tmp_path: Path, shipped: str, *own: str) -> list[str]:
    """The lines of the error about such tables."""
    with pytest.raises(ConfigError) as error:
        book(tmp_path, shipped, *own)
    return str(error.value).splitlines()
