"""A row of an ornament table: what it may hold, and how its mistakes are reported."""

from pathlib import Path

import pytest

from chanterd.music.note import Note
from tests.music.ornament_tables import TAP, book, mistakes

WHERE = "shipped.toml: ornament (tapped)"
TAPS = '[taps]\n"B" = "low G"\n"C" = "low G"\n'
GOOD = TAPS + TAP


def test_a_tap_is_spelled_by_the_note_it_is_on(tmp_path: Path) -> None:
    """The same row taps low G from B and low A from C where the table of taps says so."""
    tapped = book(tmp_path, GOOD.replace('"C" = "low G"', '"C" = "low A"')).find("tapped")
    found = {spelling.on(theme) for spelling in tapped.spellings for theme in spelling.themes}
    assert found == {(Note.LOW_G, Note.B), (Note.LOW_A, Note.C)}


@pytest.mark.parametrize(
    ("good", "bad", "said"),
    [
        ("how =", "hwo =", f"{WHERE}: 'hwo' is not known here. Did you mean 'how'?"),
        (
            'beat = "step 1"',
            'beat = "step 2"',
            f"{WHERE}: 'beat' is 'step 2'; it must be 'theme' or 'step 1' to 'step 1'.",
        ),
        ('beat = "step 1"', "beat = 1", f"{WHERE}: 'beat' is 1; it must be a text in quotes."),
        ('themes = ["B"', 'themes = ["H"', f"{WHERE} spelled 1: 'H' is not a note of the chanter."),
        ('themes = ["B"', 'themes = ["G"', "Say which: 'low' or 'high'."),
        (
            "tap quick",
            "tap qick",
            "step 'tap qick' must be one of G A B c d e f g a, T or tap, a blank, then 'quick' or",
        ),
        ("tap quick", "tap qick", "as in 'g quick'. Did you mean 'quick'?"),
        ("tap quick", "h quick", "step 'h quick' must be one of"),
        ("tap quick", "quick", "step 'quick' must be one of"),
        (
            "tap quick",
            "c quick",
            f"{WHERE}: on C it cannot sound: the C gracenote cannot sound before C. Leave that note",
        ),
        ('steps = ["tap quick"]', "steps = 3", f"{WHERE} spelled 1: 'steps' is 3; it must be a list of texts"),
        (
            "steps =",
            'leads = ["low G"]\nsteps =',
            f"{WHERE}: on B it cannot sound: from low G the low G tap cannot sound.",
        ),
        ("steps =", 'motion = "down"\nsteps =', "'motion' is 'down'; it must be one of 'any', 'level', 'level or up'."),
        ("steps =", 'motion = "level"\nleads = ["B"]\nsteps =', "on C it cannot sound: no lead and motion lead to it."),
        (
            '"C" = "low G"\n',
            "",
            f"{WHERE} spelled 1: there is no note to tap on below C; leave it out, or add it to [taps].",
        ),
        ('"C" = "low G"', '"C" = "D"', "taps: 'C' is 'D'; a tap must be lower than its note."),
        ('"C" = "low G"', '"Cc" = "low G"', "taps: 'Cc' is not a note of the chanter."),
        ('"C" = "low G"', '"C" = 3', "taps: 'C' is 3; it must be a text in quotes."),
        (
            "beat =",
            'build = ["1", "1 x"]\nbeat =',
            "'build' has '1 x'; each stage is step numbers from 1 to 1, such as '1 3'.",
        ),
        (
            'name = "tapped"',
            'name = "tapped from below"',
            "'name' must hold no comma and no ' from ', because a drill is",
        ),
        (
            'name = "tapped"',
            'name = "tapped, low"',
            "'name' must hold no comma and no ' from ', because a drill is",
        ),
        (
            GOOD[GOOD.index("[[ornament.spelled") :],
            "",
            f"{WHERE}: 'spelled' is missing; it must be [[",
        ),
        (
            "how = ",
            'or_beat = ["step 9"]\nhow = ',
            f"{WHERE}: 'or_beat' is 'step 9'; it must be 'theme' or 'step 1' to 'step 1'.",
        ),
        ("how = ", "disputed = 3\nhow = ", f"{WHERE}: 'disputed' is 3; it must be a text in quotes."),
        ('how = "One tap, on the beat."', 'how = ""', f"{WHERE}: 'how' is ''; it must be a text in quotes."),
    ],
)
def test_a_mistake_is_reported_with_its_place_and_mend(tmp_path: Path, good: str, bad: str, said: str) -> None:
    """The field, the value, what is allowed, and a guess where one is near."""
    assert good in GOOD
    assert said in "\n".join(mistakes(tmp_path, GOOD.replace(good, bad)))


def test_taps_must_be_a_table(tmp_path: Path) -> None:
    """A number is none; that there is then no tap for a row is no mistake of the row."""
    said = "shipped.toml: file: 'taps' is 3; it must be a table, begun by a line [taps]."
    assert mistakes(tmp_path, "taps = 3\n" + TAP) == [said]


def test_all_mistakes_of_a_row_are_reported_at_once(tmp_path: Path) -> None:
    """A teacher who mends a row sees everything that is wrong with it."""
    wrong = GOOD.replace("how =", "hwo =").replace("step 1", "step 7").replace('"B", "C"]', '"B", "X"]')
    assert len(mistakes(tmp_path, wrong)) == 4


@pytest.mark.parametrize(
    ("good", "bad", "said"),
    [
        ('["tap quick"]', "[" + '"g quick", "T held", ' * 5000 + "]", "it must be a list of texts, of 0 to 64"),
        ("step 1", "step " + "9" * 60, "it must be 'theme' or 'step 1' to 'step 1'."),
        ("beat =", 'build = ["' + "9" * 150 + '"]\nbeat =', "each stage is step numbers from 1 to 1"),
        ('name = "tapped"', f'name = "{"a" * 100_000}"', "'name' is 'aaaa"),
        (
            'name = "tapped"',
            'name = "tap\\u0000ped"',
            "'name' is 'tap\\x00ped'; it must be a text in",
        ),
    ],
    ids=["10,000 steps", "beat", "build", "100,000 letters", "NUL"],
)
def test_a_row_of_any_size_is_answered_with_a_short_sentence(tmp_path: Path, good: str, bad: str, said: str) -> None:
    """What is wrong is cut to a line's length; what is allowed is said."""
    lines = mistakes(tmp_path, GOOD.replace(good, bad))
    assert any(said in line for line in lines), lines
    assert all(len(line) < 400 for line in lines)
