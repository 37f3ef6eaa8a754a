"""That a feature has no answer through a fault of the program, in words."""

from __future__ import annotations

from advisor.files.problems import printable
from advisor.model.answer import Failed

REPORT = "Report this with the job, shop, crib and plan files. Plan this feature without the advisor."


def failure_text(failed: Failed) -> str:
    """In one line, which feature has no answer, why, and what to do."""
    return printable(f"{failed.feature}: internal error, no advice given for this feature: {failed.error}. {REPORT}")
