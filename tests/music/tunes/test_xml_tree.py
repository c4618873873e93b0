"""XML as a tree that knows its lines."""

import pytest

from chanterd.config import ChanterdError
from chanterd.music.tunes.xml_tree import read_xml


def test_elements_know_their_place_and_text() -> None:
    """Lines and columns count from 1."""
    root = read_xml(b"<a>\n <b x='1'> one <c/>two</b>\n <b>three</b></a>")
    assert (root.name, [child.line for child in root.all("b")]) == ("a", [2, 3])
    first = root.first("b")
    assert first is not None
    assert (first.column, first.attributes, first.words()) == (2, {"x": "1"}, "one two")
    assert (root.words("b", "c"), root.first("b", "d"), root.words("x", "y")) == ("", None, "")


@pytest.mark.parametrize(
    ("data", "said"), [(b"<a><b></a>", "line 1: it is not XML"), (b"\n\n<", "line 3"), (b"", "not XML")]
)
def test_what_is_no_xml_is_said_with_its_line(data: bytes, said: str) -> None:
    """The parser's own reason is in it."""
    with pytest.raises(ChanterdError, match=said):
        read_xml(data)
