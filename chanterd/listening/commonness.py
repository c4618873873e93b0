"""How common each ornament is in tunes; the table is ``configs/listening.toml``."""

from functools import cache
from typing import Literal

from typing_extensions import TypedDict

from chanterd.config import bundled
from chanterd.table_file import read_one
from chanterd.values import Title, table

Commonness = Literal["usual", "seldom", "rare"]


@table
class CommonnessTable(TypedDict):
    """The file."""

    usual: list[Title]
    rare: list[Title]


@cache
def commonness() -> dict[str, Commonness]:
    """By the ornament's name; one that is not there is ``seldom``."""
    found = read_one(bundled("configs") / "listening.toml", CommonnessTable)
    return {**dict.fromkeys(found["usual"], "usual"), **dict.fromkeys(found["rare"], "rare")}
