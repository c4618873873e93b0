"""``chanterd version``."""

from chanterd import __version__
from tests.command_runner import Commands


def test_the_version_is_printed(chanterd: Commands) -> None:
    """As the package has it."""
    assert chanterd.run("version") == (0, f"{__version__}\n", "")
