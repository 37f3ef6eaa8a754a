"""A crib as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from advisor.model.cutter import Cutter
from advisor.text.crib import lacks, reach


def crib_record(
    cutters: Sequence[Cutter], notes: Sequence[str], unserved: Sequence[dict[str, str]] | None
) -> dict[str, Any]:
    """The cutters of a crib; ``unserved`` are the features of a job that it cannot serve, None without a job."""
    found: dict[str, Any] = {
        "cutters": [
            cutter.model_dump(mode="json") | {"assumed": [one.text for one in cutter.assumed]} for cutter in cutters
        ],
        "notes": list(notes),
        "reach": list(reach(cutters)),
        "missing": list(lacks(cutters)),
    }
    return found if unserved is None else found | {"unserved": list(unserved)}
