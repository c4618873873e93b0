"""Reading TOML tables: all mistakes at once, each named with its place, its value and the likely mend."""

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import chanterd
from chanterd.config import ChanterdError, Complaints, ConfigError, bundled, did_you_mean, read_toml
from chanterd.music.layout import read_layouts
from chanterd.music.pace import read_paces
from chanterd.music.tuning import read_tunings
from chanterd.practice.feedback.schedule import read_schedules


def told(table: dict[str, Any], take: str, *arguments: object, **options: object) -> tuple[Any, list[str]]:
    """What a ``take_*`` of ``limit`` returns, and what it complains of."""
    complaints = Complaints(Path("folder/steady.toml"))
    value = getattr(complaints, take)("beat", table, "limit", *arguments, **options)
    return value, complaints.lines


def test_the_tables_are_found_in_a_checkout_and_in_a_wheel(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Beside the package in a checkout; inside it, which comes first, when installed."""
    assert (bundled("configs") / "ornaments" / "1-gracenotes.toml").is_file()
    assert (bundled("web") / "index.html").is_file()
    inside = tmp_path / "chanterd" / "configs"
    inside.mkdir(parents=True)
    monkeypatch.setattr(chanterd.config, "__file__", str(tmp_path / "chanterd" / "config.py"))
    assert bundled("configs") == inside


def test_a_guess_is_made_only_when_something_is_near() -> None:
    """A misspelling is guessed; nothing like it, nothing said."""
    assert did_you_mean("stedy", ["steady", "learner"]) == " Did you mean 'steady'?"
    assert did_you_mean("piano", ["steady", "learner"]) == ""


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    """The path and the system's reason; a folder in its place is told too."""
    with pytest.raises(ConfigError, match=r"nowhere\.toml: cannot be read \(No such file or directory\)\."):
        read_toml(tmp_path / "nowhere.toml")
    with pytest.raises(ConfigError, match=r"cannot be read \(Is a directory\)\."):
        read_toml(tmp_path)


def test_a_file_that_is_no_toml_names_the_line(tmp_path: Path) -> None:
    """Where the parser stopped, and what is likely missing there."""
    path = tmp_path / "steady.toml"
    path.write_text('name = "steady"\nsaid = "unfinished\n')
    with pytest.raises(
        ConfigError, match=r"steady\.toml: is not valid TOML: .*line 2.*\. Is a quote or a bracket missing"
    ):
        read_toml(path)
    path.write_bytes(b'name = "\xff"\n')
    with pytest.raises(ConfigError, match=r"is not valid TOML: .*utf-8"):
        read_toml(path)


@pytest.mark.parametrize("value", [6, 6.0, 300, 50.5])
def test_a_number_within_its_range_is_taken(value: float) -> None:
    """Both ends are included; whole numbers do as well."""
    assert told({"limit": value}, "take_number", 6, 300) == (value, [])


@pytest.mark.parametrize("value", [5.999, 300.001, math.nan, math.inf, -math.inf, True, "40", [40]], ids=repr)
def test_any_other_number_is_told_with_its_range(value: object) -> None:
    """NaN and truth values included; the reader still goes on with a number, to find the next mistake."""
    found, lines = told({"limit": value}, "take_number", 6, 300)
    assert lines == [f"steady.toml: beat: 'limit' is {value!r}; it must be a number from 6 to 300."]
    assert found == 6
    assert told({"limit": True}, "take_number", 0, 1)[1] == [
        "steady.toml: beat: 'limit' is True; it must be a number from 0 to 1."
    ]


def test_a_number_may_have_a_default() -> None:
    """Left out, it is the default; wrong, it is told all the same."""
    assert told({}, "take_number", 6, 300, 40) == (40, [])
    assert told({"limit": 0}, "take_number", 6, 300, 40)[0] == 40
    assert told({}, "take_number", 6, 300)[1] == [
        "steady.toml: beat: 'limit' is missing; it must be a number from 6 to 300."
    ]


def test_a_text_must_be_one() -> None:
    """A number for a text, blanks, or nothing; with a default it may be left out or empty."""
    assert told({"limit": "near"}, "take_text") == ("near", [])
    for value in (3, "  ", ""):
        assert told({"limit": value}, "take_text") == (
            "",
            [f"steady.toml: beat: 'limit' is {value!r}; it must be a text in quotes."],
        )
    assert told({}, "take_text")[1] == ["steady.toml: beat: 'limit' is missing; it must be a text in quotes."]
    assert told({}, "take_text", default="far") == ("far", [])
    assert told({"limit": ""}, "take_text", default="far") == ("", [])


def test_a_flag_must_be_true_or_false() -> None:
    """A quoted "true" or a 1 is not one."""
    assert told({"limit": False}, "take_flag", default=True) == (False, [])
    assert told({}, "take_flag", default=True) == (True, [])
    for value in ("true", 1):
        assert told({"limit": value}, "take_flag", default=False) == (
            False,
            [f"steady.toml: beat: 'limit' is {value!r}; it must be true or false, without quotes."],
        )


def test_a_list_of_texts_must_be_one() -> None:
    """A text alone, a number among them, or an empty list where one is needed."""
    assert told({"limit": ["B", "C"]}, "take_texts") == (["B", "C"], [])
    assert told({}, "take_texts", default=["D"]) == (["D"], [])
    assert told({"limit": []}, "take_texts", default=["D"]) == ([], [])
    for value in ("B", ["B", 3], []):
        assert told({"limit": value}, "take_texts") == (
            [],
            [f'steady.toml: beat: \'limit\' is {value!r}; it must be a list of texts, such as ["B", "C"].'],
        )


def test_a_table_must_be_one() -> None:
    """A number in its place is told with how a table begins; left out it is empty, and its own keys are missed."""
    assert told({"limit": {"a": 1}}, "take_table") == ({"a": 1}, [])
    assert told({}, "take_table") == ({}, [])
    assert told({"limit": 5}, "take_table") == (
        {},
        ["steady.toml: beat: 'limit' is 5; it must be a table, begun by a line [limit]."],
    )


def test_rows_must_be_a_list_of_tables() -> None:
    """A single bracket makes one table of them: it is told with how a row begins. Left out, there are none."""
    assert told({"limit": [{"a": 1}]}, "take_rows") == ([{"a": 1}], [])
    assert told({}, "take_rows") == ([], [])
    mend = "begin each with a line [[limit]], two brackets on each side."
    for value in ({"a": 1}, 5, [5]):
        said = f"steady.toml: beat: 'limit' is no list of tables; {mend}"
        assert told({"limit": value}, "take_rows") == ([], [said])


@pytest.mark.parametrize(
    ("read", "file", "key"),
    [
        (read_layouts, "layouts.toml", "layout"),
        (read_paces, "tempi.toml", "tempo"),
        (read_tunings, "tunings.toml", "tuning"),
        (read_schedules, "feedback.toml", "feedback"),
    ],
)
def test_a_bracket_too_few_is_told_in_every_table_of_rows(
    read: Callable[[Path], object], file: str, key: str, tmp_path: Path
) -> None:
    """Instead of a fault of ours; an own table without a row is none."""
    (tmp_path / file).write_text(f'[{key}]\nname = "mine"\n')
    with pytest.raises(ConfigError, match=rf"^{file}: file: '{key}' is no list of tables; begin each with a line \[\["):
        read(tmp_path)
    (tmp_path / file).write_text("")
    assert read(tmp_path) == read(tmp_path / "other")


def test_every_unknown_key_is_told_with_a_guess() -> None:
    """A misspelt key would otherwise be ignored without a word."""
    complaints, known = Complaints(Path("steady.toml")), "Known are: within_ms, within_of_click."
    complaints.unknown_keys(
        "beat", {"within_ms": 1, "witin_of_click": 2, "colour": 3}, ("within_ms", "within_of_click")
    )
    assert complaints.lines == [
        f"steady.toml: beat: 'witin_of_click' is not known here. Did you mean 'within_of_click'? {known}",
        f"steady.toml: beat: 'colour' is not known here. {known}",
    ]


def test_all_mistakes_are_raised_at_once() -> None:
    """One error with a line for each; without a mistake, none."""
    complaints = Complaints(Path("steady.toml"))
    complaints.raise_if_any()
    complaints.add("beat", "First.")
    complaints.add("crushed", "Second.")
    with pytest.raises(ChanterdError) as caught:
        complaints.raise_if_any()
    assert str(caught.value) == "steady.toml: beat: First.\nsteady.toml: crushed: Second."
