"""For all tests: hypothesis asks the same examples every time.

So a change is told from chance. Fresh examples are sought on purpose: ``HYPOTHESIS_PROFILE=fresh pytest``, and by the
long reports under fuzz, search and benchmarks. The checks from outside (published values and independent calculations,
not our own words) are counted by themselves.
"""

import os

import pytest
from hypothesis import HealthCheck, settings

from advisor.paths import CONFIG

OUTSIDE = "tests/outside/"
# Files that take long, the longest first: begun last, one would keep a single process busy while the others are done.
LONG = (
    "proof/test_own_rules", "cli/test_many", "cli/test_cluster", "coach/test_learners", "analysis/test_sensitivity",
    "cli/test_check", "render/test_snapshots", "search/test_more", "search/test_ways", "cli/test_commands",
    "coach/test_grading", "fuzz/test_houses", "fuzz/test_coincidences", "review/test_fair", "proof/", "cli/",
)  # fmt: skip

os.environ[CONFIG] = os.path.join(os.path.dirname(__file__), "no-settings")  # not those of whoever runs the tests

settings.register_profile("same", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("fresh", settings.get_profile("same"), derandomize=False, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the files that take long first; all else stays in its order."""

    def place(item: pytest.Item) -> int:
        return next((place for place, name in enumerate(LONG) if f"tests/{name}" in item.nodeid), len(LONG))

    items.sort(key=place)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    counts = {
        outcome: sum(report.nodeid.startswith(OUTSIDE) for report in terminalreporter.getreports(outcome))
        for outcome in ("passed", "failed", "skipped")
    }
    if any(counts.values()):
        terminalreporter.write_line(
            f"checks from outside: {counts['passed']} passed, {counts['failed']} failed, {counts['skipped']} skipped"
        )
