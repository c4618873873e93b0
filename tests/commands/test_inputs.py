"""``chanterd inputs``."""

from chanterd.hearing.inputs import HELP
from tests.command_runner import Commands


def test_the_inputs_are_listed_with_what_else_can_be_said(chanterd: Commands) -> None:
    """Ports or what to do without any, the simulated player, and the words that --input takes."""
    code, out, _ = chanterd.run("inputs")
    assert code == 0
    assert "demo  (a simulated player)" in out
    assert HELP in out
