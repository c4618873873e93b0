"""Tables are read within bounds and checked by their models: all mistakes at once, each with its place and mend."""

import math
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any, NotRequired

import pytest
from annotated_types import Interval
from typing_extensions import TypedDict, is_typeddict

from chanterd.config import ConfigError
from chanterd.hearing.chanter import load_profiles
from chanterd.judging.standard import read_standards
from chanterd.music.book import read_book, standard_book
from chanterd.music.layout import read_layouts
from chanterd.music.pace import read_paces
from chanterd.music.tuning import read_tunings
from chanterd.practice.feedback.schedule import read_schedules
from chanterd.practice.plans.plan import read_plans
from chanterd.practice.proposal.rule import read_proposal_rule
from chanterd.table_file import MOST_LINES, TableFile, read_one, read_toml
from chanterd.values import Sentence, Title, table

TABLES: dict[str, Callable[[Path], object]] = {
    "ornaments": read_book,
    "standards/mine": read_standards,
    "layouts": read_layouts,
    "tempi": read_paces,
    "tunings": read_tunings,
    "feedback": read_schedules,
    "chanters/mine": load_profiles,
    "plans/mine": lambda folder: read_plans(None, folder),
    "proposal": lambda folder: read_proposal_rule(standard_book(), folder),
}
"""Every table that a teacher may write, and what reads it from a data folder."""

ATTACKS = {
    "nested brackets": "x = " + "[" * 50_000,
    "nested tables": "x = " + "{a = " * 50_000,
    "closed brackets": f"x = {'[' * 400}{']' * 400}",
    "dotted key": f"x.{'a.' * 20_000}b = 1",
    "quoted dotted keys": "\n".join(f"x{number}." + '"a" . ' * 500 + "b = 1" for number in range(60)),
    "dotted header": f"[{'a.' * 500}b]\n" + "\n".join(f"k{number} = 1" for number in range(20_000)),
    "one word": "a" * 250_000,
    "quotes": '"' * 250_000,
    "digits": f"x = {'9' * 5000}",
    "hexadecimal digits": f"x = 0x{'f' * 100_000}",
    "exponent": "x = 1e999999",
    "date": "x = 9999-99-99",
    "NUL": 'name = "a\0b"',
    "NUL as an escape": 'name = "a\\u0000b"\nsaid = "a\\u0000b"',
    "long name": f'name = "{"a" * 100_000}"',
    "long key": f'"{"a" * 100_000}" = 1',
    "many keys": "\n".join(f"key{number} = 1" for number in range(10_000)),
    "many rows": "[[layout]]\n[[ornament]]\n[[part]]\n[[tuning]]\n[[tempo]]\n[[feedback]]\n" * 1500,
    "too long": "# " + "x" * 1_000_000,
}
"""What a table may hold by accident or malice."""


@table
class Limits(TypedDict):
    """A model with each kind of value."""

    name: Title
    said: NotRequired[Sentence]
    limit: Annotated[float, Interval(ge=6, le=300)]
    on: NotRequired[bool]


def wrong(content: dict[str, Any]) -> list[str]:
    """What is said of a file with that in it."""
    file = TableFile("steady.toml", Path("steady.toml"), own=True, content=content)
    file.checked(Limits)
    return file.lines()


@pytest.mark.parametrize("text", ATTACKS.values(), ids=ATTACKS)
@pytest.mark.parametrize("name", TABLES)
def test_no_table_ends_in_anything_but_short_sentences(tmp_path: Path, name: str, text: str) -> None:
    """Whatever is in it: the file is named, and no screen is flooded."""
    path = tmp_path / f"{name}.toml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text)
    with pytest.raises(ConfigError) as error:
        TABLES[name](tmp_path)
    lines = str(error.value).splitlines()
    assert len(lines) <= MOST_LINES + 1
    assert all(path.name in line and len(line) < 1000 and line.isprintable() for line in lines), lines


@pytest.mark.parametrize("name", TABLES)
def test_a_table_that_is_no_file_does_not_hang(tmp_path: Path, name: str) -> None:
    """A pipe that nobody writes to, a device without an end, a folder: a sentence each, at once."""
    path = tmp_path / f"{name}.toml"
    path.parent.mkdir(exist_ok=True)
    began = time.monotonic()
    os.mkfifo(path)
    with pytest.raises(ConfigError, match=r"is a pipe or a device"):
        TABLES[name](tmp_path)
    path.unlink()
    path.symlink_to("/dev/zero")
    with pytest.raises(ConfigError, match=r"is a pipe or a device"):
        TABLES[name](tmp_path)
    path.unlink()
    path.mkdir()
    with pytest.raises(ConfigError, match=r"cannot be read \(Is a directory\)"):
        TABLES[name](tmp_path)
    assert time.monotonic() - began < 5


@pytest.mark.parametrize("name", TABLES)
def test_a_byte_order_mark_is_skipped(tmp_path: Path, name: str) -> None:
    """Some editors write one; the mistakes are those of the same file without it."""
    path = tmp_path / f"{name}.toml"
    path.parent.mkdir(exist_ok=True)
    said = []
    for mark in (b"", b"\xef\xbb\xbf"):
        path.write_bytes(mark + b"wrong = 1\n")
        with pytest.raises(ConfigError) as error:
            TABLES[name](tmp_path)
        said.append(str(error.value))
    assert said[0] == said[1]
    assert "'wrong' is not known here" in said[0]


@pytest.mark.parametrize(
    ("file", "key"),
    [("layouts", "layout"), ("tempi", "tempo"), ("tunings", "tuning"), ("feedback", "feedback")],
)
def test_a_bracket_too_few_is_said_in_every_table_of_rows(file: str, key: str, tmp_path: Path) -> None:
    """With how a row begins; a table of one's own without a row is no mistake."""
    read = TABLES[file]
    (tmp_path / f"{file}.toml").write_text(f'[{key}]\nname = "mine"\n')
    said = rf"^{file}\.toml: file: '{key}' is no list of tables; begin each with a line \[\["
    with pytest.raises(ConfigError, match=said):
        read(tmp_path)
    (tmp_path / f"{file}.toml").write_text("")
    assert read(tmp_path) == read(tmp_path / "other")


def test_a_file_name_that_cannot_be_shown_is_said(tmp_path: Path) -> None:
    """Otherwise it would be the key of a plan, and end in what pages are sent."""
    (tmp_path / "plans").mkdir()
    (Path(os.fsdecode(os.fsencode(tmp_path) + b"/plans/\xff.toml"))).touch()
    (tmp_path / "plans" / "a\nb.toml").touch()
    with pytest.raises(ConfigError, match=r"has a name that cannot be shown; give it another") as error:
        TABLES["plans/mine"](tmp_path)
    lines = str(error.value).splitlines()
    assert len(lines) == 2
    assert all(line.isprintable() for line in lines)


def test_a_file_that_is_not_there_or_no_toml_is_named(tmp_path: Path) -> None:
    """The path and the system's reason; the line where the parser stopped, and what is likely missing there."""
    with pytest.raises(ConfigError, match=r"nowhere\.toml: cannot be read \(No such file or directory\); check"):
        read_toml(tmp_path / "nowhere.toml")
    path = tmp_path / "steady.toml"
    path.write_text('name = "steady"\nsaid = "unfinished\n')
    with pytest.raises(ConfigError, match=r"is not valid TOML: .*line 2.*\. Is a quote or a bracket missing there\?"):
        read_toml(path)
    path.write_bytes(b'name = "\xff"\n')
    with pytest.raises(ConfigError, match=r"is not valid TOML: .*utf-8"):
        read_toml(path)


@pytest.mark.parametrize("value", [6, 6.0, 300, 50.5])
def test_a_number_within_its_range_is_right(value: float) -> None:
    """Both ends are included; whole numbers do as well."""
    assert wrong({"name": "a", "limit": value}) == []


@pytest.mark.parametrize("value", [5.999, 300.001, math.nan, math.inf, -math.inf, True, [40]], ids=repr)
def test_any_other_number_is_said_with_its_range(value: object) -> None:
    """NaN and truth values included."""
    said = f"steady.toml: file: 'limit' is {value!r}; it must be a number from 6 to 300."
    assert wrong({"name": "a", "limit": value}) == [said]


def test_every_mistake_of_a_table_is_said_at_once() -> None:
    """Misspelt, missing, quoted, blank: a line each, with the likely mend."""
    assert sorted(wrong({"said": "  ", "limit": "40", "onn": True, "on": 1})) == [
        "steady.toml: file: 'limit' is '40'; it must be a number from 6 to 300, without quotes.",
        "steady.toml: file: 'name' is missing; it must be a text in quotes.",
        "steady.toml: file: 'on' is 1; it must be true or false, without quotes.",
        ("steady.toml: file: 'onn' is not known here. Did you mean 'on'? Known are: name, said, limit, on."),
        "steady.toml: file: 'said' is '  '; it must be a text in quotes.",
    ]


def test_a_table_of_its_own_is_read_or_refused_whole(tmp_path: Path) -> None:
    """Nothing of a wrong one is used."""
    path = tmp_path / "steady.toml"
    path.write_text('name = "steady"\nlimit = 9\n')
    assert read_one(path, Limits) == {"name": "steady", "limit": 9}
    path.write_text('name = "steady"\nlimit = 1\n')
    with pytest.raises(ConfigError, match=r"steady\.toml: file: 'limit' is 1; it must be a number from 6 to 300\."):
        read_one(path, Limits)


def test_a_rule_is_checked_on_what_is_right() -> None:
    """A mistake elsewhere in the row does not hide it, and a value that is wrong already is not held against it."""

    def small(row: Limits, _: object) -> str | None:
        return "'limit' is too large for its name." if row["limit"] > len(row["name"]) * 10 else None

    def checked(content: dict[str, Any]) -> list[str]:
        file = TableFile("a.toml", Path("a.toml"), own=True, content=content)
        assert file.checked(Limits, rules=[small]) is None
        return file.lines()

    assert checked({"name": "a", "limit": 20, "on": 3})[-1] == "a.toml: file: 'limit' is too large for its name."
    assert len(checked({"name": 3, "limit": 20})) == 1


def test_every_model_refuses_what_it_does_not_know() -> None:
    """A model without the decorator would ignore a misspelt key without a word."""
    models = [
        made
        for name, module in sorted(sys.modules.items())
        if name.startswith("chanterd.")
        for made in vars(module).values()
        if is_typeddict(made) and made.__name__.endswith(("Table", "Head"))
    ]
    assert len({model.__name__ for model in models}) > 25
    without = [model.__name__ for model in models if getattr(model, "__pydantic_config__", {}).get("extra") != "forbid"]
    assert without == []
