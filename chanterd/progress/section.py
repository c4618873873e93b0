"""The parts of a report: headings, sentences and tables, whatever prints them."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under the columns' names."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Section:
    """A heading, sentences, and a table if there is one."""

    heading: str
    said: tuple[str, ...]
    table: Table | None = None
    listed: bool = False
    """Whether the sentences are items of a list."""
