"""An assignment as files that a person can run: job, shop and crib."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

from advisor.files.yaml_writer import sure, yaml_text
from advisor.knowledge.conditions import yes
from advisor.model.assignment import Assignment
from advisor.model.cutter import Cutter, CutterRow


def files(assignment: Assignment) -> Mapping[str, str]:
    """The files by their names; lengths in mm."""
    return {"job.yaml": _job(assignment), "shop.yaml": _shop(assignment), "crib.csv": _crib(assignment.crib)}


def _job(assignment: Assignment) -> str:
    job = assignment.job
    features = [feature.model_dump(exclude_none=True, exclude_defaults=False) for feature in job.features]
    return yaml_text(
        {
            "part": job.part,
            "units": "mm",
            "material": assignment.material.name,
            "machine": assignment.machine.name,
            "shop": "shop.yaml",
            "features": features,
        }
    )


def _shop(assignment: Assignment) -> str:
    machine = assignment.machine.model_dump(exclude_none=True, mode="json")
    machine.pop("assumed", None)
    shop: dict[str, Any] = {"machines": [machine], "crib": "crib.csv"}
    if assignment.house is not None:
        shop["house"] = str(assignment.house.resolve())
    return yaml_text(shop)


def _crib(crib: tuple[Cutter, ...]) -> str:
    names = list(CutterRow.model_fields)
    text = io.StringIO()
    writer = csv.DictWriter(text, names, lineterminator="\n")
    writer.writeheader()
    for cutter in crib:
        writer.writerow({name: _cell(getattr(cutter, name)) for name in names})
    return text.getvalue()


def _cell(value: object) -> object:
    if isinstance(value, bool):
        return yes(value)
    return "" if value is None else sure(str(value)) if isinstance(value, float) else value
