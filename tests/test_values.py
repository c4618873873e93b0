"""Kinds of value beyond what Python has: texts on one line, whole numbers, what a function reads."""

from typing import Annotated, Any

import pytest
from pydantic import TypeAdapter, ValidationError
from typing_extensions import TypedDict

from chanterd.config import ChanterdError
from chanterd.values import Read, Text, Whole, table


def half(words: str) -> float:
    """Half of a number in words."""
    if not words.isdecimal():
        raise ChanterdError("'half' must be of a number.")
    return int(words) / 2


@table
class Kinds(TypedDict, total=False):
    """One of each."""

    text: Annotated[str, Text(5)]
    perhaps: Annotated[str, Text(5, may_be_empty=True)]
    whole: Annotated[int, Whole()]
    half: Annotated[float, Read(half)]
    anything: Annotated[bool, Read(callable, of_text=False)]


def read(**values: object) -> dict[str, Any]:
    """The values, checked."""
    checked: dict[str, Any] = TypeAdapter(dict[str, Any]).validate_python(TypeAdapter(Kinds).validate_python(values))
    return checked


@pytest.mark.parametrize("text", ["a", "low G", "Dùthaich"[:5], "é" * 5])
def test_a_text_is_one_short_line(text: str) -> None:
    """Of any script; its length counts characters."""
    assert read(text=text) == {"text": text}


@pytest.mark.parametrize("text", ["", "  ", "a\0b", "a\nb", "a\x7fb", "a\u2028b", "a" * 6, 3, None])
def test_anything_else_is_none(text: object) -> None:
    """Blank, with control characters or ends of lines, too long, or no text."""
    with pytest.raises(ValidationError):
        read(text=text)


def test_an_empty_text_may_be_allowed() -> None:
    """But not blanks."""
    assert read(perhaps="") == {"perhaps": ""}
    with pytest.raises(ValidationError):
        read(perhaps=" ")


def test_a_whole_number_may_have_a_point() -> None:
    """2.0 is 2; 2.5, "2" and true are none."""
    assert read(whole=2.0) == {"whole": 2}
    for value in (2.5, "2", True):
        with pytest.raises(ValidationError):
            read(whole=value)


def test_a_value_may_be_read_by_a_function() -> None:
    """What it makes is the value; what it says is the mistake; a number does not get there where a text must."""
    assert read(half="3", anything=print) == {"half": 1.5, "anything": True}
    with pytest.raises(ValidationError, match=r"'half' must be of a number\."):
        read(half="x")
    with pytest.raises(ValidationError, match="string"):
        read(half=3)


def test_a_model_knows_its_keys_and_no_others() -> None:
    """A misspelt key would otherwise be ignored without a word."""
    with pytest.raises(ValidationError, match="Extra inputs"):
        read(txt="a")
