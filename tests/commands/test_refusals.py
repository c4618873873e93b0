"""A command line that is not understood: what is wrong and the likely mend, in one line."""

import shlex

import pytest

from chanterd.commands.main import SUMMARIES
from tests.command_runner import Commands
from tests.written_takes import GRIP_WORDS

SEE = "See 'chanterd assess --help'."
INPUTS = "Say 'demo', a MIDI port's name or a unique part of it, a .mid file, or raw:PATH."


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            "assess take.mid",
            f"'chanterd assess' needs --drill: the drill you played, such as '{GRIP_WORDS}'. {SEE}",
        ),
        ("assess --drill x", "'chanterd assess' needs TAKE: the recording, a Standard MIDI File. " + SEE),
        (
            "assess take.mid --dril x",
            f"'chanterd assess' has no option --dril. Did you mean '--drill'? {SEE}",
        ),
        ("assess take.mid --drill", "--drill needs a value after it."),
        ("assess take.mid --drill x --json=1", "--json takes no value. See 'chanterd --help'."),
        (
            "assess take.mid --drill grip from B to C",
            "'chanterd assess' has no use for 'from B to C'. Put quotes around words that belong together.",
        ),
        (
            "history delete 1",
            (
                "'chanterd history delete' has no use for '1' by itself: what you mean goes behind an option. "
                "See 'chanterd history delete --help'."
            ),
        ),
        (
            "asess take.mid",
            f"There is no command 'asess'. Did you mean 'assess'? The commands are: {', '.join(SUMMARIES)}.",
        ),
        ("-x", "'chanterd' has no option -x. See 'chanterd --help'."),
        (
            "learn",
            f"'chanterd learn' needs --input: say {INPUTS.removeprefix('Say ')} See 'chanterd learn --help'.",
        ),
        (
            "learn --input demo --name ' '",
            "The name --name is empty; give the chanter a name of one letter or more.",
        ),
    ],
)
def test_a_command_line_that_is_not_understood_is_reported_in_one_line(
    chanterd: Commands, words: str, said: str
) -> None:
    """What is wrong and the likely mend; exit 2, nothing on stdout."""
    assert chanterd.refused(*shlex.split(words)) == said
