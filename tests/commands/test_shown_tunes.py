"""A player's tunes over weeks in the terminal."""

from chanterd.commands.shown_tunes import tunes_lines
from chanterd.history.store import open_store
from tests.command_runner import Commands
from tests.history.played_tunes import play_tune
from tests.history.practised_runs import noon, somebody
from tests.progress.test_tune_section import TUNE


def test_weeks_then_ornaments() -> None:
    """Then and now; of somebody who played none, it says so."""
    assert list(tunes_lines("Ailsa", [TUNE])) == [
        "A March: 3 runs on 3 days.",
        "  week of 2 March 2026: 25 of 100 clean, 76 to 80 clicks, 2 runs",
        "  week of 23 March 2026: 40 of 50 clean, 82 clicks, 1 run",
        "    grip from B to C  1 of 10 clean, now 5 of 6 clean",
    ]
    assert list(tunes_lines("Ailsa", [])) == ["Ailsa played no tune in these days."]


def test_the_command_shows_them(chanterd: Commands) -> None:
    """Within days, if so asked."""
    folder = chanterd.data / "chanterd"
    folder.mkdir(parents=True)
    store = open_store(None, folder)
    play_tune(store, somebody(store), wall=noon())
    store.close()
    code, out, err = chanterd.run("history", "tunes", "--player", "ailsa")
    assert (code, err) == (0, "")
    assert out.startswith("Seven Gulls: 1 run on 1 day.\n  week of 30 March 2026: ")
    assert "played no tune" in chanterd.run("history", "tunes", "--player", "Ailsa", "--from", "2030-01-01")[1]
    assert "swap" in chanterd.refused(
        "history", "tunes", "--player", "Ailsa", "--from", "2030-01-01", "--to", "2029-01-01"
    )
