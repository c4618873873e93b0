"""Errors, guesses, and where the bundled folders are."""

from pathlib import Path

import pytest

import chanterd
from chanterd.config import ChanterdError, bundled, did_you_mean, find, quoted


def test_the_tables_are_found_in_a_checkout_and_in_a_wheel(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Beside the package in a checkout; inside it, which comes first, when installed."""
    assert (bundled("configs") / "ornaments" / "1-gracenotes.toml").is_file()
    assert (bundled("web") / "index.html").is_file()
    inside = tmp_path / "chanterd" / "configs"
    inside.mkdir(parents=True)
    monkeypatch.setattr(chanterd.config, "__file__", str(tmp_path / "chanterd" / "config.py"))
    assert bundled("configs") == inside


def test_a_guess_is_made_only_when_something_is_near() -> None:
    """A misspelling is guessed; nothing like it, nothing said; nor is a word of 100,000 letters compared."""
    assert did_you_mean("stedy", ["steady", "learner"]) == " Did you mean 'steady'?"
    assert did_you_mean("piano", ["steady", "learner"]) == ""
    assert did_you_mean("a" * 100_000, ["a" * 99_999]) == ""


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("low G", "'low G'"),
        ("a\0b\n", r"'a\x00b\n'"),
        (16**5000, "a number of thousands of digits"),
        ("a" * 100_000, "'" + "a" * 79 + "… (100002 characters)"),
    ],
    ids=["word", "control", "digits", "long"],
)
def test_a_wrong_value_is_repeated_on_one_short_line(value: object, said: str) -> None:
    """Control characters as escapes; what is long is cut, with its length."""
    assert quoted(value) == said


def test_one_is_found_by_its_name_or_guessed() -> None:
    """The first if no name is given; otherwise the error guesses and names all that there are."""
    known = {"two clicks": 2, "every click": 1}
    assert find("layout", "every click", known) == 1
    assert find("layout", None, known) == 2
    said = r"^The layout 'evry click' is not known\. Did you mean 'every click'\? Known are: two clicks, every click\.$"
    with pytest.raises(ChanterdError, match=said):
        find("layout", "evry click", known)
