"""XML as a tree that knows its lines."""

import pytest

from chanterd.config import ChanterdError
from chanterd.music.tunes.xml_tree import MOST_ELEMENTS, read_xml


def test_elements_know_their_place_and_text() -> None:
    """Lines and columns count from 1."""
    root = read_xml(b"<a>\n <b x='1'> one <c/>two</b>\n <b>three</b></a>")
    assert (root.name, [child.line for child in root.all("b")]) == ("a", [2, 3])
    first = root.first("b")
    assert first is not None
    assert (first.column, first.attributes, first.words()) == (2, {"x": "1"}, "one two")
    assert (root.words("b", "c"), root.first("b", "d"), root.words("x", "y")) == ("", None, "")


def test_utf_16_with_a_document_type_is_read() -> None:
    """As some notation programs write it."""
    text = '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE a PUBLIC "x" "y.dtd"><a>\u00e9</a>'
    assert read_xml(text.encode("utf-16")).words() == "\u00e9"


def test_a_long_text_of_many_lines_is_read_at_once() -> None:
    """Two million lines in one element."""
    assert read_xml(b"<a>" + b"\n" * 2_000_000 + b"x</a>").words() == "x"


def test_more_elements_than_a_score_has_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """They would only cost memory; the limit is lower here, to be reached sooner."""
    assert MOST_ELEMENTS == 250_000
    monkeypatch.setattr("chanterd.music.tunes.xml_tree.MOST_ELEMENTS", 1000)
    read_xml(b"<a>" + b"<b/>" * 999 + b"</a>")
    with pytest.raises(ChanterdError, match="more than 1,000 elements"):
        read_xml(b"<a>" + b"<b/>" * 1000 + b"</a>")


@pytest.mark.parametrize(
    ("data", "said"),
    [(b"<a><b></a>", "line 1, column 9: it is not XML"), (b"\n\n<", "line 3, column "), (b"", "not XML")],
)
def test_what_is_no_xml_is_said_with_its_line(data: bytes, said: str) -> None:
    """The parser's own reason is in it."""
    with pytest.raises(ChanterdError, match=said):
        read_xml(data)


@pytest.mark.parametrize("code", ["WTF-8", "utf-7", "cp037", "shift_jis", "", "idna", "base64"])
def test_a_code_that_cannot_be_read_is_said(code: str) -> None:
    """Whatever the document claims to be written in; a sentence, or what is in it."""
    document = f'<?xml version="1.0" encoding="{code}"?><a>b</a>'.encode()
    with pytest.raises(ChanterdError, match=r"it is not XML|the code in which it is written is not known here"):
        read_xml(document)
