"""The firings of the rules over the worked cases.

Working them out runs every case, so the answer is kept; reading it wants nothing of the reasoning.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from advisor.files.cache import kept
from advisor.paths import cases_dir, rules_dir, shared_dir
from advisor.text.firings import Firings


def firings() -> Firings:
    """The firings of the shipped rules over the shipped cases; from a checked copy where there is one."""

    def read() -> Firings:
        from advisor.text.case_runs import run  # only here: with a copy at hand nothing is run

        return run()

    return kept(Firings, list(_everything()), read)


def _everything() -> Iterator[Path]:
    """Every file that the firings rest on."""
    package = Path(__file__).parent.parent
    for folder, kind in ((rules_dir(), "*.yaml"), (shared_dir(), "*"), (cases_dir(), "*"), (package, "*.py")):
        yield from (path for path in sorted(folder.rglob(kind)) if path.is_file())
