"""Plans made from advice, and random features to make them for."""

from collections.abc import Iterable
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import yaml

from advisor.choosing.advice import advise
from advisor.choosing.job_advice import Advice
from advisor.inference import Inference
from advisor.model.assignment import Assignment
from advisor.model.candidate import Candidate
from advisor.model.features import FeatureBase
from advisor.model.operations import Operation, OperationRow, Plan
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.readers.plan import read_plan
from advisor.readers.plan_check import check_plan
from advisor.readers.plan_line import plan_said
from advisor.readers.plan_rows import known_of
from advisor.review.remedies import remedied
from advisor.review.verdict import Review, review
from advisor.situation.bench import bench_of

SETTINGS = (
    "method", "entry", "entry_cutter", "axial_depth", "radial_width", "levels", "allowance_side", "allowance_bottom",
    "overcut", "ramp_angle", "feed_per_tooth", "feed_rate", "spindle_speed",
)  # fmt: skip
MATERIALS = ("EN AW-6082-T6", "C45", "42CrMo4", "X5CrNi18-10", "EN-GJL-250", "Ti-6Al-4V", "X153CrMoV12")
MACHINES = ("vmc-40-12k", "vmc-30-24k", "hmc-50-6k", "mill-40-4k", "bench-20-8k")


@cache
def assignment(case: str) -> Assignment:
    """Return the assignment of a case."""
    return read_assignment(cases_dir() / case / "job.yaml")


@cache
def advice(case: str) -> Advice:
    """Return the advice for a case; worked out once a run."""
    return advise(assignment(case))


def said(candidate: Candidate) -> dict[str, Any]:
    """Return every setting of an advised way as a plan would say it."""
    plan, way_in = candidate.plan, candidate.way_in
    assert plan is not None
    assert way_in is not None
    return {
        "method": candidate.method,
        "entry": candidate.entry,
        "entry_cutter": candidate.drill.id if candidate.drill else None,
        "axial_depth": plan.axial_depth,
        "radial_width": plan.radial_width,
        "levels": plan.levels,
        "allowance_side": plan.side_allowance,
        "allowance_bottom": candidate.facts["bottom_allowance"],
        "overcut": candidate.facts["overcut"],
        "ramp_angle": way_in.ramp_angle,
        "feed_per_tooth": plan.feed_per_tooth,
        "feed_rate": plan.feed_rate,
        "spindle_speed": plan.spindle_speed,
    }


def row(feature: str, candidate: Candidate, keys: Iterable[str] = SETTINGS, figures: int | None = None) -> OperationRow:
    """Return an operation with some of the settings of an advised way, perhaps as rounded as the report shows them."""
    given = {key: value for key, value in said(candidate).items() if key in keys and value is not None}
    if "feed_rate" in given and "feed_per_tooth" not in given and "centre_feed" in candidate.facts:
        given["feed_rate"] = candidate.facts["centre_feed"]  # alone it is what the control is given
    if figures is not None:
        given = {
            key: float(f"{value:.{figures}g}") if isinstance(value, float) else value for key, value in given.items()
        }
    return changed(OperationRow.model_construct(feature=(feature,), cutter=candidate.cutter.id), **given)


def changed(one: OperationRow, **given: Any) -> OperationRow:
    """Return an operation with other settings, unchecked: tests make numbers that no file would pass."""
    empty = dict.fromkeys(OperationRow.model_fields)
    known = {name: value for name, value in one.__dict__.items() if value is not None}
    return OperationRow.model_construct(**(empty | known | given))


def plan_of(*rows: OperationRow, programmer: str | None = None) -> Plan:
    """Return a plan of operations."""
    told = tuple(Operation(place, one, "a test", None) for place, one in enumerate(rows, 1))
    return Plan("a test", programmer, told)


def reviewed(found: Advice, *rows: OperationRow) -> Review:
    """Return the review of a plan of these operations."""
    return review(plan_of(*rows), found.assignment, found)


def shipped(case: str, name: str) -> Review:
    """Return the review of a plan that lies beside a case."""
    plan = read_plan(cases_dir() / case / "plans" / name)
    check_plan(plan, assignment(case))
    return review(plan, assignment(case), advice(case))


@cache
def whole(case: str, name: str) -> Review:
    """Return the same with its set of remedies."""
    return remedied(shipped(case, name))


def as_read(job: dict[str, Any], plan: str | list[dict[str, Any]]) -> tuple[Plan, Assignment]:
    """Return a plan, said in a line or as its operations, and its assignment, read from files as people write them.

    A job that names a shop takes the one that lies beside these tests.
    """
    with TemporaryDirectory() as folder:
        where, beside = Path(folder) / "job.yaml", Path(folder) / "plan.yaml"
        told = {"part": "A part", **job}
        if "shop" in told:
            told["shop"] = str(Path(__file__).parent / told["shop"])
        where.write_text(yaml.safe_dump(told), encoding="utf-8")
        assigned = read_assignment(where)
        if isinstance(plan, str):
            known = known_of(assigned)
            read = plan_said([plan], known.cutters, assigned.job.units, known.features, known.parts)
        else:
            beside.write_text(yaml.safe_dump({"operations": plan}), encoding="utf-8")
            read = read_plan(beside, assigned.job.units, known_of(assigned))
        check_plan(read, assigned)
        return read, assigned


def read_and_reviewed(
    job: dict[str, Any], plan: str | list[dict[str, Any]], inference: Inference | None = None
) -> Review:
    """Return the review of a plan that is read so."""
    read, assigned = as_read(job, plan)
    return review(read, assigned, advise(assigned, bench_of(assigned, inference)) if inference else None)


def with_feature(feature: FeatureBase, material: str, machine: str) -> Advice:
    """Return the advice for one feature in a material on a machine of the demo shop."""
    from advisor.paths import shared_dir
    from advisor.readers.materials import load_materials
    from advisor.readers.shop import read_shop

    shop = read_shop(shared_dir() / "shop.yaml", [])
    assert shop is not None
    found = load_materials().find(material)
    base = assignment("winch-side-plate")
    whole = base.model_copy(
        update={
            "job": base.job.model_copy(update={"features": (feature,)}),
            "material": found,
            "machine": next(one for one in shop.machines if one.name == machine),
        }
    )
    return advise(whole)
