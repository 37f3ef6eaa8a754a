"""Small jobs as witnesses: one feature, a cutter or two, a machine and a material; run, or written as files."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from advisor.choosing.advice import advise
from advisor.files.whole_file import writing
from advisor.files.yaml_writer import sure, yaml_text
from advisor.inference import Inference
from advisor.knowledge.conditions import Facts, yes
from advisor.knowledge.measures import EARLY
from advisor.knowledge.schema import Rule
from advisor.model.answer import FeatureAdvice
from advisor.model.assignment import Assignment
from advisor.model.cutter import Cutter, CutterRow, make_cutter
from advisor.model.features import FEATURE_KINDS, FeatureBase, parts_of
from advisor.model.job import Job
from advisor.model.machine import Machine, MachineRow, make_machine
from advisor.model.operations import Plan
from advisor.paths import cases_dir, shared_dir
from advisor.proof.plans import FEATURES, POCKET, plan_of, reviewed
from advisor.readers.assignment import read_assignment
from advisor.readers.materials import load_materials
from advisor.readers.plan import read_plan
from advisor.situation.bench import bench_of

Entry = Mapping[str, Any]


class SmallJob(NamedTuple):
    """A job of one feature as its files would say it; lengths in mm. ``origin`` says where it comes from.

    With a ``plan``, operations to be reviewed, there is a second feature like the first, and a pocket if it has one.
    """

    feature: Entry
    cutters: tuple[Entry, ...]
    machine: Entry
    material: str
    origin: str = ""
    plan: tuple[Entry, ...] = ()

    @property
    def features(self) -> list[Entry]:
        """The features of the job."""
        alike: list[Entry] = [{"id": name, **self.feature} for name in (FEATURES if self.plan else FEATURES[:1])]
        return [*alike, POCKET] if any(one["feature"] == POCKET["id"] for one in self.plan) else alike


class Asked(NamedTuple):
    """The rules that fired of those asked with these facts; ``scope`` says what was asked: a stage, or a candidate."""

    scope: str
    fired: tuple[Rule, ...]
    facts: Facts


class Run(NamedTuple):
    """What came of a small job: everything that was asked, and the advice; the ``fault`` in place of that where rules
    concluded different values for one fact.
    """

    job: SmallJob
    asked: tuple[Asked, ...]
    advice: FeatureAdvice | None
    fault: str = ""

    @property
    def fired(self) -> frozenset[str]:
        """The ids of all rules that fired for anything in it."""
        return frozenset(rule.id for one in self.asked for rule in one.fired)


class Listening(Inference):
    """An inference that remembers which rules fired with which facts."""

    def __init__(self, inner: Inference) -> None:
        self.__dict__.update(vars(inner))  # the same rule base, engine and answers so far
        self.heard: list[Asked] = []

    def every(
        self, stages: tuple[str, ...], levels: tuple[str, ...], facts: Facts, method: str | None = None
    ) -> tuple[Rule, ...]:
        """The rules that fire in several stages and levels, each heard of the early ones."""
        if not set(EARLY).intersection(stages):
            return super().every(stages, levels, facts, method)
        return tuple(rule for stage in stages for level in levels for rule in self.fired(stage, level, facts, method))

    def fired(self, stage: str, level: str, facts: Facts, method: str | None = None) -> tuple[Rule, ...]:
        """The rules that fire, as the inference tells them."""
        found = super().fired(stage, level, facts, method)
        if stage in EARLY:
            self.heard.append(Asked(stage, found, facts))
        return found


def assignment_of(job: SmallJob) -> Assignment:
    """The assignment of a small job.

    Raises:
        ValueError: it contradicts itself, as a file that says the same would.
    """
    features = tuple(FEATURE_KINDS[one["kind"]].model_validate(one) for one in job.features)
    if any(len(parts_of(feature)) > 1 for feature in features):
        raise ValueError("a feature with stock on walls and floor is two, and this job has one")
    return Assignment(
        job=Job(part="witness", material=job.material, features=features),
        material=load_materials()[job.material],
        machine=make_machine(**job.machine),
        crib=tuple(make_cutter(**entry) for entry in job.cutters),
    )


def run(job: SmallJob, inference: Inference) -> Run | None:
    """The job advised; nothing where its numbers contradict one another."""
    try:
        return _run(job, assignment_of(job), inference, plan_of(job.plan) if job.plan else None)
    except ValueError:
        return None


def _run(job: SmallJob, assignment: Assignment, inference: Inference, plan: Plan | None) -> Run:
    ears = Listening(inference)
    try:
        whole = advise(assignment, bench_of(assignment, ears))
    except RuntimeError as error:
        return Run(job, tuple(ears.heard), None, str(error))
    advice = whole.features[0]
    asked = list(ears.heard)
    asked += (Asked("candidate", item.fired, item.facts) for item in advice.candidates)
    asked.append(Asked("caution", advice.cautions, advice.cautioned))
    if plan is not None:
        asked += (Asked("review", fired, facts) for fired, facts in reviewed(plan, whole))
    return Run(job, tuple(asked), advice)


def run_files(folder: Path, inference: Inference) -> Run:
    """The job of a folder, read from its files and advised.

    Raises:
        BadInput: a file is not as it must be.
    """
    assignment = read_assignment(folder / "job.yaml")
    feature, planned = assignment.job.features[0], folder / "plan.yaml"
    job = SmallJob(feature_entry(feature), (), {}, assignment.material.name)
    return _run(job, assignment, inference, read_plan(planned) if planned.exists() else None)


def files(job: SmallJob, rule_ids: Sequence[str] = ()) -> dict[str, str]:
    """The texts of job.yaml, shop.yaml and crib.csv of a small job, by file name."""

    def text(value: object) -> str:
        return yaml_text(value, flow=None, width=120)

    about = f"Shows {', '.join(rule_ids)}" if rule_ids else "Witness"
    shown = {"part": about, "material": job.material, "machine": job.machine["name"], "shop": "shop.yaml"}
    rows = io.StringIO()
    heads = [name for name in CutterRow.model_fields if any(entry.get(name) is not None for entry in job.cutters)]
    table = csv.writer(rows, lineterminator="\n")
    table.writerow(heads)
    for entry in job.cutters:
        table.writerow([_cell(entry.get(name)) for name in heads])
    planned = {"plan.yaml": text({"operations": [dict(one) for one in job.plan]})} if job.plan else {}
    return {
        "job.yaml": text(shown | {"features": [dict(one) for one in job.features]}),
        "shop.yaml": text({"machines": [dict(job.machine)], "crib": "crib.csv"}),
        "crib.csv": rows.getvalue(),
    } | planned


def write_files(job: SmallJob, folder: Path, rule_ids: Sequence[str] = ()) -> None:
    """Write the files of a small job into a folder, which is made. Raises Unwritable."""
    told = files(job, rule_ids)
    with writing(folder):
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in told.items():
            (folder / name).write_text(text, encoding="utf-8")


def _cell(value: object) -> str:
    if isinstance(value, bool):
        return yes(value)
    return "" if value is None else sure(str(value)) if isinstance(value, float) else str(value)


def _given(model: Any, fields: Mapping[str, Any], leave: Sequence[str] = ()) -> dict[str, Any]:
    """The fields of a model that say something, as a file would write them."""
    found = {name: getattr(model, name) for name in fields if name not in leave}
    return {name: value for name, value in found.items() if value is not None}


def feature_entry(feature: FeatureBase) -> dict[str, Any]:
    """A feature as a job would write it, without its id."""
    return _given(feature, type(feature).model_fields, ("id",))


def cutter_entry(cutter: Cutter) -> dict[str, Any]:
    """A cutter as a crib would write it."""
    return _given(cutter, CutterRow.model_fields)


def machine_entry(machine: Machine) -> dict[str, Any]:
    """A machine as a shop would write it."""
    found = _given(machine, MachineRow.model_fields, ("spindle", "coolant"))
    spindle = {"speed": list(machine.spindle.speed), "power": list(machine.spindle.power)}
    return {"name": machine.name, "spindle": spindle, **found, "coolant": list(machine.coolant)}


class Stock(NamedTuple):
    """What small jobs are made of: the features, cutters and machines of the worked cases and the demo shop."""

    features: tuple[Entry, ...]
    cutters: tuple[Entry, ...]
    machines: tuple[Entry, ...]
    materials: tuple[str, ...]


@cache
def stock() -> Stock:
    """The features, cutters, machines and materials at hand, read once a process."""
    features: list[Entry] = []
    cutters: dict[str, Entry] = {}
    machines: dict[str, Entry] = {}
    for path in sorted(cases_dir().glob("*/job.yaml")):
        assignment = read_assignment(path)
        features += [feature_entry(feature) for feature in assignment.job.features]
        machines[str(machine_entry(assignment.machine))] = machine_entry(assignment.machine)
        cutters |= {str(cutter_entry(one)): cutter_entry(one) for one in assignment.crib}
    demo: list[Any] = []
    from advisor.readers.shop import read_shop

    shop = read_shop(shared_dir() / "shop.yaml", demo)
    machines |= {str(machine_entry(one)): machine_entry(one) for one in (shop.machines if shop else ())}
    names = tuple(material.name for material in load_materials())
    return Stock(tuple(features), tuple(cutters.values()), tuple(machines.values()), names)
