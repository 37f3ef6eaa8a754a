"""What a job is tried for, and the job that shows it."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from advisor.proof.jobs import Run, SmallJob

Shows = Callable[[Run], bool]


class Witness(NamedTuple):
    """A job that shows what was claimed, if one was found, and how many jobs were tried for it."""

    job: SmallJob | None
    tries: int
