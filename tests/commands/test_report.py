"""``chanterd report``, as it is typed."""

from pathlib import Path

import pypdfium2
import pytest

from chanterd.history.store import open_store
from tests.command_runner import Commands
from tests.history.practised_runs import somebody
from tests.progress.simulated_history import practise_days


@pytest.fixture
def chanterd(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Commands:
    """The command line, with a month of Ailsa's simulated practice in its history."""
    folder = tmp_path / "chanterd"
    folder.mkdir()
    store = open_store(None, folder)
    practise_days(store, somebody(store), 30)
    store.close()
    return Commands(capfd, monkeypatch, tmp_path)


def test_a_report_of_a_span_of_days_is_made(chanterd: Commands, tmp_path: Path) -> None:
    """The player's name in any capitals; one line says where it is."""
    out = tmp_path / "march.pdf"
    days = ("--from", "2026-03-02", "--to", "2026-03-31")
    code, said, _ = chanterd.run("report", "--player", "ailsa", *days, "--out", out)
    assert code == 0
    assert said == f"The report on Ailsa, 2 March to 31 March 2026, is in {out}.\n"
    document = pypdfium2.PdfDocument(out)
    text = document[0].get_textpage().get_text_bounded()
    document.close()
    assert "Practice report" in text
    assert "of 30 days" in text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--player", "Ailsi", "--out", "a.pdf"), "Did you mean 'Ailsa'?"),
        (("--player", "Ailsa", "--out", "a.txt"), "its name must end in .pdf."),
        (("--player", "Ailsa", "--out", "a.pdf", "--from", "March"), "'from' is 'March'"),
        (("--player", "Ailsa", "--out", "a.pdf", "--paper", "a5"), "it must be a4 or letter."),
        (("--player", "Ailsa", "--out", "a.pdf", "--in-a-row", "0"), "a whole number from 1 to 100, such as 3."),
        (("--player", "Ailsa", "--out", "nowhere/a.pdf"), "cannot be written"),
    ],
)
def test_what_cannot_be_made_is_one_line_and_leaves_nothing(
    chanterd: Commands, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], said: str
) -> None:
    """Exit code 2, no file and no half of one."""
    monkeypatch.chdir(tmp_path)
    before = set(tmp_path.iterdir())
    code, out, err = chanterd.run("report", *words)
    assert (code, out) == (2, "")
    assert said in err
    assert len(err.splitlines()) == 1
    assert set(tmp_path.iterdir()) == before
