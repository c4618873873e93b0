"""``chanterd sheet``."""

from io import StringIO
from pathlib import Path

import pytest
import typer
from rich.console import Console
from typer.testing import CliRunner

from chanterd.commands import progress_bar
from chanterd.commands.sheet import sheet
from chanterd.config import ChanterdError
from tests.engraving.example_drills import parsed

app = typer.Typer()
app.command()(sheet)


def run(*words: str) -> str:
    """What it prints. Raises what it raises."""
    result = CliRunner().invoke(app, list(words), catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.stdout


def test_a_pdf(tmp_path: Path) -> None:
    """One file, and a line that says what is in it; nothing is left beside it."""
    out = tmp_path / "birls.PDF"
    said = run("birl", "--stages", "--tempo", "60-80", "--title", "Taps", "--paper", "letter", "--out", str(out))
    assert said == f"'Taps', 9 lines, is in {out}.\n"
    assert out.read_bytes().startswith(b"%PDF-")
    assert [*tmp_path.iterdir()] == [out]


def test_an_svg_for_each_page(tmp_path: Path) -> None:
    """Numbered from 1, in the order of the pages."""
    said = run("birl", "taorluath", "--out", str(tmp_path / "s.svg"))
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == [f"s-{number}.svg" for number in range(1, len(names) + 1)]
    assert said.endswith(f"is in {tmp_path / 's-1.svg'} to {names[-1]}.\n")


def test_an_svg_of_one_page_is_where_it_is_said_to_be(tmp_path: Path) -> None:
    """Numbered like the others."""
    assert (
        run("birl from E", "--out", str(tmp_path / "s.svg"))
        == f"'Birl from E', 1 line, is in {tmp_path / 's-1.svg'}.\n"
    )
    assert [path.name for path in tmp_path.iterdir()] == ["s-1.svg"]


def test_music_xml(tmp_path: Path) -> None:
    """For notation programs."""
    run("birl from E", "--out", str(tmp_path / "s.musicxml"))
    assert parsed((tmp_path / "s.musicxml").read_text()).tag == "score-partwise"


def test_a_teachers_own_ornament_is_printed(tmp_path: Path) -> None:
    """A row in the data folder is found by name, and one of the shipped name is spelled as the teacher spells it."""
    (tmp_path / "ornaments.toml").write_text(
        '[[ornament]]\nname = "birl"\nhow = "Three taps."\nbeat = "step 1"\n'
        '[[ornament.spelled]]\nthemes = ["low A"]\nleads = ["E"]\nsteps = ["A held", "G quick", "A held", "G quick"]\n'
        '[[ornament]]\nname = "kitchen tap"\nhow = "As we play it."\nbeat = "step 1"\n'
        '[[ornament.spelled]]\nthemes = ["C"]\nleads = ["D"]\nsteps = ["G quick"]\n'
    )
    out = tmp_path / "s.musicxml"
    said = run("birl from E", "kitchen tap", "--data", str(tmp_path), "--out", str(out))
    assert said == f"'Birl from E and kitchen tap from D', 2 lines, is in {out}.\n"
    assert len([*parsed(out.read_text()).iter("grace")]) == 4 * (4 + 1)
    with pytest.raises(ChanterdError, match="kitchen tap"):
        run("kitchen tap", "--data", str(tmp_path / "other"), "--out", str(out))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["gripp", "--out", "s.pdf"], r"^No drill matches 'gripp'\. Did you mean 'grip'\? Also near"),
        (
            ["birl", "--out", "s.doc"],
            r"^The file --out is 's\.doc'; its name must end in \.pdf, \.svg or \.musicxml\.$",
        ),
        (["birl", "--out", "s"], r"^The file --out is 's'"),
        (["birl", "--out", "nowhere/s.pdf"], r"^nowhere: there is no such folder; make it, or choose another"),
        (["birl", "--out", "s.pdf", "--paper", "a5"], r"^The paper is 'a5'"),
        (["birl", "--out", "s.pdf", "--tempo", "quick"], r"^The tempo 'quick' is not understood"),
    ],
)
def test_what_is_wrong_is_said_before_anything_is_written(
    words: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One sentence, and the folder stays empty."""
    monkeypatch.chdir(tmp_path)
    with pytest.raises(ChanterdError, match=said):
        run(*words)
    assert not [*tmp_path.iterdir()]


def test_what_cannot_be_written_leaves_nothing_half_done(tmp_path: Path) -> None:
    """A folder of that name is in the way: the error says so, and no part of a file stays behind."""
    (tmp_path / "s.musicxml").mkdir()
    with pytest.raises(ChanterdError, match=r"s\.musicxml: cannot be written \(.*\); choose another with --out\.$"):
        run("birl from E", "--out", str(tmp_path / "s.musicxml"))
    assert [path.name for path in tmp_path.iterdir()] == ["s.musicxml"]


def test_long_work_shows_a_bar_on_a_terminal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """How many pieces are engraved."""
    seen = StringIO()
    monkeypatch.setattr(progress_bar, "Console", lambda **_: Console(file=seen, force_terminal=True, width=80))
    run("birl", "--out", str(tmp_path / "s.pdf"))
    assert "Engraving" in seen.getvalue()
    assert "18/18" in seen.getvalue()
