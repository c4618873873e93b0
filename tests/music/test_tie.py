"""Ornaments that name each other: what takes their place, and what their build-up goes on from."""

from pathlib import Path

from chanterd.music.book import standard_book
from tests.music.ornament_tables import FAMILY, TAP, book, mistakes


def test_a_birl_s_build_up_goes_on_through_its_family() -> None:
    """First the birl, then with a G gracenote, then double (how it is practised: common practice, no source)."""
    double = standard_book().find("G gracenote double birl")
    assert double.builds_on
    assert double.builds_on.name == "G gracenote birl"
    assert double.builds_on.builds_on
    assert double.builds_on.builds_on.name == "birl"


def test_a_name_may_be_another_name_of_the_ornament(tmp_path: Path) -> None:
    """``opening`` is what the test family is also called."""
    found = book(tmp_path, FAMILY + 'builds_on = "Opening"\n').find("half opened")
    assert found.builds_on
    assert found.builds_on.name == "opened"


def test_a_name_that_is_not_in_the_book_is_refused(tmp_path: Path) -> None:
    """With a guess at what was meant."""
    wrong = FAMILY + 'builds_on = "opend"\ninstead = ["half opend"]\n'
    assert mistakes(tmp_path, wrong) == [
        (
            "shipped.toml: ornament (half opened): 'instead' names 'half opend', which is not in the book. "
            "Did you mean 'half opened'?"
        ),
        (
            "shipped.toml: ornament (half opened): 'builds_on' names 'opend', which is not in the book. "
            "Did you mean 'opened'?"
        ),
    ]


def test_a_circular_build_up_is_refused(tmp_path: Path) -> None:
    """Each would have to be learned before the other."""
    wrong = FAMILY.replace('beat = "step 1"', 'beat = "step 1"\nbuilds_on = "half opened"') + 'builds_on = "opened"\n'
    said = "'builds_on' goes round in a circle: opened builds on half opened builds on opened."
    assert said in "\n".join(mistakes(tmp_path, wrong))


def test_an_ornament_does_not_build_on_itself(tmp_path: Path) -> None:
    """The shortest circle."""
    said = "'builds_on' goes round in a circle: half opened builds on half opened."
    assert said in "\n".join(mistakes(tmp_path, FAMILY + 'builds_on = "half opened"\n'))


def test_a_name_is_one_ornament_s_only(tmp_path: Path) -> None:
    """Otherwise nobody would know which was meant; case and hyphens make no difference."""
    said = "shipped.toml: ornament (half opened): the name 'opening' belongs to the opened already; names must differ."
    assert mistakes(tmp_path, FAMILY + 'also = ["OPENING"]\n') == [said]


def test_a_build_up_through_a_thousand_ornaments_is_refused(tmp_path: Path) -> None:
    """In a sentence for each ornament from which it is too long, not in a fault of the program."""
    rows = [TAP.replace('"tapped"', f'"tapped {number}"') for number in range(900)]
    linked = [
        row.replace("beat =", f'builds_on = "tapped {number - 1}"\nbeat =') for number, row in enumerate(rows) if number
    ]
    lines = mistakes(tmp_path, '[taps]\n"B" = "low G"\n"C" = "low G"\n' + rows[0] + "".join(linked))
    assert "'builds_on' goes on through more than 20 ornaments; leave it out in one of them." in lines[0]
    assert len(lines) <= 51
