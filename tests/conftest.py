"""What holds for every test: none is passed over in silence, and chance repeats itself."""

from __future__ import annotations

from collections.abc import Mapping

import hypothesis
import pytest

# Node id of a test that may be skipped or fail as expected: why. A run with any other fails.
ALLOWED_SKIPS: Mapping[str, str] = {}

hypothesis.settings.register_profile("repeatable", deadline=None, derandomize=True)
hypothesis.settings.load_profile("repeatable")


def passed_over(config: pytest.Config) -> list[str]:
    """Give the node ids skipped, or failed as expected, without being allowed to."""
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    if reporter is None or hasattr(config, "workerinput"):
        return []
    reports = [*reporter.stats.get("skipped", ()), *reporter.stats.get("xfailed", ())]
    return sorted({report.nodeid for report in reports} - set(ALLOWED_SKIPS))


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Fail the run when a test was passed over."""
    if passed_over(session.config) and session.exitstatus == pytest.ExitCode.OK:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    """Name what was passed over."""
    for node in passed_over(config):
        terminalreporter.write_line(f"FAILED (passed over without leave) {node}", red=True)
