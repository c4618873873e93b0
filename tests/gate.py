"""A pytest plugin that keeps tests from vanishing unnoticed: skipped under CI, or no longer collected.

Named on the command line (``-p tests.gate``), so that each process that runs a part of the tests has it too.
"""

import os
from collections.abc import Generator
from typing import TypeVar

import pytest

FEWEST = 5700
"""How many tests there are at least; raised as they grow in number, so that a lost file of them is noticed."""

ReportT = TypeVar("ReportT", pytest.TestReport, pytest.CollectReport)


def pytest_addoption(parser: pytest.Parser) -> None:
    """How the run says that all tests were asked for."""
    parser.addoption("--whole", action="store_true", help=f"fail if fewer than {FEWEST} tests are found")


def pytest_configure(config: pytest.Config) -> None:
    """Put the gate up."""
    config.pluginmanager.register(Gate(whole=config.getoption("whole"), strict=os.environ.get("CI") == "true"))


class Gate:
    """``strict``: a skipped test counts as failed. ``whole``: all tests were asked for, so that they can be counted."""

    def __init__(self, *, whole: bool, strict: bool) -> None:
        self.whole = whole
        self.strict = strict

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_makereport(self) -> Generator[None, pytest.TestReport, pytest.TestReport]:
        """A test that skipped itself."""
        return self._judged((yield))

    @pytest.hookimpl(wrapper=True)
    def pytest_make_collect_report(self) -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
        """A whole file that skipped itself."""
        return self._judged((yield))

    def _judged(self, report: ReportT) -> ReportT:
        """The report, failed if it was skipped and may not be; an expected failure is no skip."""
        if self.strict and report.skipped and not hasattr(report, "wasxfail"):
            report.outcome = "failed"
            report.longrepr = f"Skipped, which CI does not allow: {report.longrepr}"
        return report

    def pytest_collection_finish(self, session: pytest.Session) -> None:
        """End the run at once if tests have gone missing."""
        if self.whole and len(session.items) < FEWEST:
            session.shouldfail = (
                f"only {len(session.items)} tests were collected and there were at least {FEWEST}: "
                "has a file lost its test_ name? If they went for a reason, lower FEWEST in tests/gate.py"
            )
