"""For all tests: hypothesis asks the same examples every time.

So a change is told from chance. Fresh examples are sought on purpose: ``HYPOTHESIS_PROFILE=fresh pytest``, and by the
long reports under fuzz, search and benchmarks. The checks from outside (published values and independent calculations,
not our own words) are counted by themselves.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

from advisor.paths import CONFIG

if TYPE_CHECKING:
    from xdist.remote import Producer
    from xdist.scheduler import LoadFileScheduling

OUTSIDE = "tests/outside/"
# Files that take long, the longest first: begun last, one would keep a single process busy while the others are done.
LONG = (
    "analysis/test_sensitivity", "coach/test_exercises", "proof/test_own_rules", "cli/test_many", "cli/test_cluster",
    "coach/test_learners", "cli/test_check", "search/test_more", "search/test_ways", "cli/test_commands",
    "fuzz/test_houses", "fuzz/test_coincidences", "review/test_thirty_plans", "review/test_fair", "proof/", "cli/",
)  # fmt: skip
# Files that look at the same answers: one process has them, and works each answer out once.
TOGETHER = {
    "the worked cases": ("analysis/test_sensitivity", "render/test_snapshots"),
    "exercises": (
        "coach/test_exercises", "coach/test_grading", "coach/test_session", "coach/test_topics",
        "coach/test_worth_asking", "coach/test_would_run", "coach/test_plainly",
    ),
}  # fmt: skip

os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # commands in processes of their own need not compile the program again
os.environ[CONFIG] = os.path.join(os.path.dirname(__file__), "no-settings")  # not those of whoever runs the tests

settings.register_profile("same", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("fresh", settings.get_profile("same"), derandomize=False, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> LoadFileScheduling | None:
    """Give each process whole files, and those that belong together at once."""
    if config.getvalue("dist") != "loadfile":
        return None
    from xdist.scheduler import LoadFileScheduling

    class Sharing(LoadFileScheduling):
        def _split_scope(self, nodeid: str) -> str:
            file: str = super()._split_scope(nodeid)
            return next(
                (what for what, files in TOGETHER.items() if any(f"tests/{one}" in file for one in files)), file
            )

    return Sharing(config, log)


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Iterator[None]:
    """Look for no cycles in what is collected: it stays to the end, and to look took a fifth of the time."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


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
