"""Sheets of paper, in millimetres, upright."""

from dataclasses import dataclass

from chanterd.config import ChanterdError, did_you_mean


@dataclass(frozen=True, slots=True)
class Paper:
    """A size of paper and its margins."""

    name: str
    width: float
    height: float
    margin: float = 18.0
    """Left and right: a thumb's width, to hold it or to punch it."""
    head: float = 14.0
    foot: float = 12.0

    @property
    def inner_width(self) -> float:
        """What is left between the margins."""
        return self.width - 2 * self.margin


PAPERS = {
    "a4": Paper("A4", 210.0, 297.0),
    "letter": Paper("Letter", 215.9, 279.4),
}
"""By name: A4 as in ISO 216, Letter as in ANSI/ASME Y14.1 (both from memory)."""


def find_paper(name: str) -> Paper:
    """The paper of that name, capitals ignored. Raises ChanterdError naming those there are."""
    paper = PAPERS.get(name.strip().lower())
    if paper is None:
        raise ChanterdError(f"The paper is '{name}'; it must be a4 or letter.{did_you_mean(name.lower(), PAPERS)}")
    return paper
