"""A pytest plugin that keeps tests from vanishing unnoticed: skipped under CI, or no longer collected."""

from collections.abc import Generator
from typing import TypeVar

import pytest

FEWEST = 4600
"""How many tests there are at least; raised as they grow in number, so that a lost file of them is noticed."""

ReportT = TypeVar("ReportT", pytest.TestReport, pytest.CollectReport)


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
