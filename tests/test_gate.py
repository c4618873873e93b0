"""The gate in front of the tests: nothing skipped under CI, nothing lost."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
RUN = "import pytest, sys; from tests import gate; gate.FEWEST = 2; sys.exit(pytest.main(sys.argv[1:]))"

SKIPS = "import pytest\ndef test_it(): pytest.skip('no jackd here')\n"
SKIPS_WHOLE = "import pytest\npytest.skip('no jackd here', allow_module_level=True)\n"
EXPECTS_FAILURE = "import pytest\n@pytest.mark.xfail\ndef test_it(): assert False\n"
PASSES = "def test_it(): pass\n"


@pytest.mark.parametrize(
    ("content", "options", "ci", "exit_code", "said"),
    [
        (SKIPS, "", "true", pytest.ExitCode.TESTS_FAILED, "1 failed"),
        (SKIPS, "--numprocesses 1", "true", pytest.ExitCode.TESTS_FAILED, "1 failed"),
        (SKIPS_WHOLE, "", "true", pytest.ExitCode.INTERRUPTED, "1 error"),
        (SKIPS_WHOLE, "--numprocesses 1", "true", pytest.ExitCode.TESTS_FAILED, "1 error"),
        (EXPECTS_FAILURE, "", "true", pytest.ExitCode.OK, "1 xfailed"),
        (SKIPS, "", "", pytest.ExitCode.OK, "1 skipped"),
        (PASSES, "", "true", pytest.ExitCode.OK, "1 passed"),
        ("", "", "true", pytest.ExitCode.NO_TESTS_COLLECTED, "no tests ran"),
        (PASSES, "--whole", "", pytest.ExitCode.TESTS_FAILED, "only 1 tests were collected"),
        (PASSES, "--whole --numprocesses 1", "", pytest.ExitCode.INTERRUPTED, "only 1 tests were collected"),
        (PASSES + "def test_that(): pass\n", "--whole", "", pytest.ExitCode.OK, "2 passed"),
    ],
)
def test_what_passes_the_gate(tmp_path: Path, content: str, options: str, ci: str, exit_code: int, said: str) -> None:
    """Under CI a skip fails, with its reason; a full run with fewer tests than before fails; all else is pytest's."""
    (tmp_path / "test_some.py").write_text(content)
    plugins = ["-p", "no:cacheprovider", "-p", "xdist", "-p", "tests.gate", "-W", "ignore"]
    where = ["--rootdir", str(tmp_path), str(tmp_path)]
    command = [sys.executable, "-c", RUN, *plugins, *options.split(), *where]
    # Without the plugins that nobody asked for it is quicker.
    environment = {**os.environ, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1", "CI": ci}
    done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == exit_code, done.stdout
    assert said in done.stdout
    assert ("no jackd here" in done.stdout) == (content in {SKIPS, SKIPS_WHOLE} and ci == "true")
