"""``chanterd assess --again``: the takes of the history, judged by the present judge."""

from tests.command_runner import Commands
from tests.written_takes import GRIP_WORDS as GRIP


def test_judging_everything_again_is_not_mixed_up_with_assessing_one_take(practised: Commands) -> None:
    """A file beside ``--again`` would be passed over, and the whole history judged instead."""
    assert "leave out TAKE and --drill, or leave out --again" in practised.refused("assess", "take.mid", "--again")
    assert "--player and --store go with --again" in practised.refused(
        "assess", "take.mid", "--drill", GRIP, "--player", "Ailsa"
    )


def test_everything_is_judged_again(practised: Commands) -> None:
    """By ``chanterd assess --again``: only one of the two runs has a take."""
    code, said, err = practised.run("assess", "--again")
    assert (code, err) == (0, "")
    assert said == "Judged 1 take again; 0 have new results.\n"
    assert "Did you mean 'Ailsa'?" in practised.refused("assess", "--again", "--player", "Alisa")
