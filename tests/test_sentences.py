"""What is said of each kind of mistake: field, value, what is allowed, likely mend."""

from pathlib import Path
from typing import Annotated, Any, Literal, NotRequired

import pytest
from annotated_types import Interval, Len
from typing_extensions import Doc, TypedDict

from chanterd.sentences import split
from chanterd.table_file import TableFile
from chanterd.values import Text, Title, Whole, table


@table
class Inner(TypedDict):
    """A table within the table."""

    number: Annotated[float, Interval(ge=0, le=1)]


@table
class Everything(TypedDict, total=False):
    """One key of each kind."""

    whole: Annotated[int, Interval(ge=1, le=16), Whole()]
    text: Annotated[str, Text(9)]
    flag: bool
    one: Literal["a", "b"]
    texts: Annotated[list[Title], Len(1, 3)]
    numbers: list[Annotated[int, Interval(ge=0, le=127)]]
    inner: Inner
    rows: NotRequired[list[Inner]]
    said: Annotated[float, Interval(ge=1, le=2), Doc("a share of a click, such as 1.5")]


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("whole", 2.5, "file: 'whole' is 2.5; it must be a whole number from 1 to 16."),
        ("whole", 10**4000, "file: 'whole' is 1000"),
        ("whole", "2", "file: 'whole' is '2'; it must be a whole number from 1 to 16, without quotes."),
        ("text", 3, "file: 'text' is 3; it must be a text in quotes."),
        ("text", "a\tb", r"file: 'text' is 'a\tb'; it must be a text in quotes on one line, of at most 9 characters,"),
        ("text", "a" * 10, "of at most 9 characters, without control characters."),
        ("flag", "true", "file: 'flag' is 'true'; it must be true or false, without quotes."),
        ("one", "c", "file: 'one' is 'c'; it must be one of 'a', 'b'."),
        ("texts", "a", "file: 'texts' is 'a'; it must be a list of texts, such as [\"B\", \"C\"]."),
        ("texts", [], 'file: \'texts\' is []; it must be a list of texts, of 1 to 3, such as ["B", "C"].'),
        ("texts", ["a", 3], "file: 'texts' has 3; each must be a text in quotes."),
        ("numbers", [1, 128], "file: 'numbers' has 128; each must be a whole number from 0 to 127."),
        ("numbers", 1, "file: 'numbers' is 1; it must be a list of numbers, such as [45, 57]."),
        ("inner", 3, "file: 'inner' is 3; it must be a table, begun by a line [inner]."),
        ("inner", {"number": 2}, "inner: 'number' is 2; it must be a number from 0 to 1."),
        ("inner", {}, "inner: 'number' is missing; it must be a number from 0 to 1."),
        ("rows", {}, "file: 'rows' is {}; it must be a list of tables; begin each with a line [[rows]], two brackets"),
        ("rows", [{"number": 1}, {"numbr": 1}], "rows 2: 'numbr' is not known here. Did you mean 'number'?"),
        ("said", 3, "file: 'said' is 3; it must be a share of a click, such as 1.5."),
        ("flga", True, "file: 'flga' is not known here. Did you mean 'flag'? Known are: whole, text, flag,"),
    ],
)
def test_each_kind_of_mistake_has_its_sentence(key: str, value: Any, said: str) -> None:
    """One for the whole program, whatever table it is in."""
    file = TableFile("a.toml", Path("a.toml"), own=True, content={key: value})
    assert file.checked(Everything) is None
    assert any(said in line for line in file.lines()), file.lines()


def test_a_form_is_spoken_to_by_the_names_of_its_fields() -> None:
    """In place of keys, one table at a time where they differ; texts have no quotes there."""
    names = {"text": "Name", "number": "Share", "inner.number": "Inner share"}
    content = {"text": "", "whole": "2", "inner": {"number": 2}, "rows": [{"number": 3}]}
    file = TableFile("a.toml", Path("a.toml"), own=True, content=content, names=names)
    file.checked(Everything)
    assert sorted((one.where, one.field, one.said) for one in file.mistakes) == [
        ("file", "text", "'Name' is ''; it must be some text."),
        ("file", "whole", "'whole' is '2'; it must be a whole number from 1 to 16."),
        ("inner", "number", "'Inner share' is 2; it must be a number from 0 to 1."),
        ("rows 1", "number", "'Share' is 3; it must be a number from 0 to 1."),
    ]


def test_a_place_is_split_at_its_key() -> None:
    """The tables around it, the key, and the place in the key's list."""
    assert split(("spelled", 1, "steps", 3)) == (("spelled", 1), "steps", (3,))
    assert split(("notes", "H", "[key]")) == (("notes",), "H", ())
    assert split(()) == ((), "", ())
