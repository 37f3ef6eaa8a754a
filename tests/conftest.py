"""Counts the checks from outside by themselves: published values and independent calculations, not our own words."""

import pytest

OUTSIDE = "tests/outside/"


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    counts = {
        outcome: sum(report.nodeid.startswith(OUTSIDE) for report in terminalreporter.getreports(outcome))
        for outcome in ("passed", "failed", "skipped")
    }
    if any(counts.values()):
        terminalreporter.write_line(
            f"checks from outside: {counts['passed']} passed, {counts['failed']} failed, {counts['skipped']} skipped"
        )
