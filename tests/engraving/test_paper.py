"""Sizes of paper."""

import pytest

from chanterd.config import ChanterdError
from chanterd.engraving.paper import find_paper


def test_the_two_papers_have_their_standard_sizes() -> None:
    """A4 is 210 by 297 mm (ISO 216); Letter is 8.5 by 11 inches (ANSI/ASME Y14.1); both from memory."""
    assert (find_paper("A4").width, find_paper("a4").height) == (210, 297)
    assert (find_paper("Letter").width, find_paper("letter").height) == pytest.approx((8.5 * 25.4, 11 * 25.4))


def test_other_paper_is_refused_by_name() -> None:
    """The sentence names what there is, and guesses."""
    with pytest.raises(
        ChanterdError, match=r"^The paper is 'leter'; it must be a4 or letter\. Did you mean 'letter'\?$"
    ):
        find_paper("leter")
