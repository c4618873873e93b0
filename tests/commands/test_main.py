"""The command line: it lists its commands, and loads for each only what that one needs."""

import re
import signal
import subprocess
import sys
from pathlib import Path

import httpx
import pytest

from chanterd.commands.main import SUMMARIES, load_command
from tests.command_runner import Commands
from tests.written_takes import GRIP_WORDS

TOP = Path(__file__).parents[2]
WEB = {"fastapi", "uvicorn", "starlette"}
DATABASE = {"sqlalchemy", "alembic"}
PRINTING = {"verovio", "reportlab", "svglib"}
NUMBERS = {"numpy", "scipy"}
SELDOM = {"cryptography", "segno", "defusedxml", "tomlkit", "chanterd.assessing", "chanterd.progress.report"}
"""For TLS, QR codes, tunes from a file, changed plans, recordings and reports."""
LOADED = """
import sys, atexit
atexit.register(lambda: sys.stderr.write(' '.join(sorted({name.split('.')[0] for name in sys.modules}))))
from chanterd.commands.main import main
main()
"""
"""Runs a command, and names at its end what it has imported."""
PLUGINS = """
import sys, atexit
atexit.register(lambda: sys.stderr.write(str(sys.modules['pydantic.plugin._loader']._plugins)))
from chanterd.commands.main import main
main()
"""
"""Runs a command, and says at its end which plugins were looked for; None: nobody looked."""
PLAN = """
name = "A short one"
said = "One part."
[[part]]
warm_up = true
drill = "birl from E"
click_bpm = 240
reps = 2
"""


def test_help_is_there_and_bare_chanterd_shows_it(chanterd: Commands) -> None:
    """Whoever knows nothing yet learns the commands, and that is no error."""
    for words in ((), ("--help",)):
        code, out, err = chanterd.run(*words)
        assert (code, err) == (0, "")
        for command in SUMMARIES:
            assert command in out
    code, out, _ = chanterd.run("assess", "--help")
    assert code == 0
    assert "--drill" in out


@pytest.mark.parametrize("name", SUMMARIES)
def test_the_help_of_a_command_is_about_practice(chanterd: Commands, name: str) -> None:
    """And not about the shell, as typer offers by itself."""
    code, out, _ = chanterd.run(name, "--help")
    assert code == 0
    assert "completion" not in out


@pytest.mark.parametrize("name", SUMMARIES)
def test_the_list_of_commands_says_what_each_command_says_itself(name: str) -> None:
    """The list is printed without loading the commands, so its words are written a second time."""
    assert load_command(name).help.splitlines()[0] == SUMMARIES[name]


def loaded_by(*words: str) -> set[str]:
    """The top-level packages that a command has imported by its end, in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *words], cwd=TOP, capture_output=True, text=True, check=True, timeout=60
    )
    return set(done.stderr.split())


@pytest.mark.parametrize(
    ("words", "unwanted"),
    [
        (("--help",), WEB | DATABASE | PRINTING | NUMBERS | {"mido", "rtmidi"}),
        (("version",), WEB | DATABASE | PRINTING | NUMBERS | {"mido", "rtmidi"}),
        (("drills", "birl"), WEB | DATABASE | PRINTING | NUMBERS | {"mido", "rtmidi"}),
        (
            ("tune", "configs/tunes/seven-gulls.abc"),
            WEB | DATABASE | PRINTING | NUMBERS | {"mido", "rtmidi", "defusedxml"},
        ),
        (("service",), WEB | DATABASE | PRINTING | NUMBERS | {"rtmidi"}),
        (("serve", "--help"), PRINTING | {"rtmidi", "rich.progress"}),
    ],
)
def test_a_command_loads_nothing_that_it_does_not_need(words: tuple[str, ...], unwanted: set[str]) -> None:
    """So that nobody waits for it: help needs no web server, and a list of drills no database."""
    assert loaded_by(*words) & unwanted == set()


@pytest.mark.parametrize("options", [(), ("--json",)])
def test_assessing_loads_neither_a_server_nor_a_database(take: Path, options: tuple[str, ...]) -> None:
    """A recording is read, followed and judged with mido alone."""
    loaded = loaded_by("assess", str(take), "--drill", GRIP_WORDS, *options)
    assert loaded & (WEB | DATABASE | PRINTING | NUMBERS | {"rtmidi"}) == set()
    assert "mido" in loaded


def test_no_package_is_searched_for_plugins(take: Path) -> None:
    """A checker of data would otherwise read at every start what each installed package says of itself."""
    command = [sys.executable, "-c", PLUGINS, "assess", str(take), "--drill", GRIP_WORDS]
    assert subprocess.run(command, cwd=TOP, capture_output=True, text=True, check=True, timeout=60).stderr == "None"


def test_a_daemon_loads_what_prints_only_when_something_is_printed(tmp_path: Path) -> None:
    """It serves its page and a plan with the simulated player to the end, without the engraver and the PDF writer."""
    plan = tmp_path / "short.toml"
    plan.write_text(PLAN)
    loaded = loaded_by("practise", str(plan), "--port", "0", "--no-open", "--data", str(tmp_path / "data"))
    assert WEB & loaded == WEB
    assert PRINTING & loaded == set()


def test_a_daemon_that_nobody_uses_yet_has_loaded_only_what_its_page_needs(tmp_path: Path) -> None:
    """The page is drawn without what records, reports, encrypts or reads a tune, and without most of the routes."""
    words = ("serve", "--input", "demo", "--port", "0", "--no-open", "--data", str(tmp_path))
    later = "from chanterd.serving import app; app.READY_AFTER_S = 600"
    script = later + LOADED.replace("split('.')[0]", "strip()")
    with subprocess.Popen(
        [sys.executable, "-c", script, *words], cwd=TOP, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        found = re.search(r"http://\S+", process.stdout.readline())
        assert found is not None
        assert httpx.get(f"{found[0]}api/state", timeout=30).json()["seats"]
        process.send_signal(signal.SIGINT)
        loaded = set(process.communicate(timeout=60)[1].split())
    assert "chanterd.serving.app" in loaded
    assert loaded & (PRINTING | NUMBERS | SELDOM) == set()
    routes = {name.rpartition(".")[2] for name in loaded if name.startswith("chanterd.serving.routes.")}
    assert routes <= {"enter", "join"}
