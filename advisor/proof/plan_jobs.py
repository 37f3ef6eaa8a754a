"""Jobs with a plan that are written down, from sound to wrong, as ``cases/plans.yaml`` has them; and some near them."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from functools import cache
from math import exp
from pathlib import Path
from typing import Any

import yaml

from advisor.files.yaml_reader import read_yaml
from advisor.model.body import BODIES
from advisor.paths import cases_dir
from advisor.proof.jobs import Entry, SmallJob, cutter_entry, feature_entry, machine_entry
from advisor.proof.plans import FEATURES
from advisor.readers.assignment import parse_assignment

FILE = "plans.yaml"
SELDOM_FILE = "seldom.yaml"
VARIED = 2  # jobs near each one, in which other rules fire beside
SPREAD = 0.1  # standard deviation of the logarithm by which the lengths of a feature are moved
SELDOM, OFTEN = 0.3, 0.7


@cache
def worked_plans() -> tuple[SmallJob, ...]:
    """The jobs of one feature, or of two alike, with a plan, on a machine and with cutters of the demo shop."""
    table: Mapping[str, list[dict[str, Any]]] = read_yaml(cases_dir() / FILE).value
    found = (_small(entry) for entries in table.values() for entry in entries)
    return tuple(job for job in found if job is not None)


def near_worked(seed: int) -> Iterator[SmallJob]:
    """The jobs that are written down, each with some near it: its lengths a little moved, its plan as it is.

    Where it has a carbide drill, there is one near it whose drill has inserts.
    """
    chance = random.Random(seed)
    for job in worked_plans():
        yield job
        if (indexable := tuple(map(_with_inserts, job.cutters))) != job.cutters:
            yield job._replace(cutters=indexable, origin=f"{job.origin}, the drill with inserts")
        for _ in range(VARIED):
            yield job._replace(
                feature=_moved(chance, job.feature),
                cutters=tuple(_ground(chance, cutter) for cutter in job.cutters),
                origin=f"{job.origin}, then by chance, seed {seed}",
            )


@cache
def seldom() -> tuple[SmallJob, ...]:
    """The jobs in which rules fire that seldom fire in jobs made by chance, as ``cases/seldom.yaml`` has them."""
    return written(cases_dir() / SELDOM_FILE)


def written(file: Path) -> tuple[SmallJob, ...]:
    """The small jobs of a file. Raises BadInput where it is no YAML."""
    return tuple(map(_written, read_yaml(file).value))


def _written(one: Mapping[str, Any]) -> SmallJob:
    plan = tuple(one.get("plan", ()))
    return SmallJob(one["feature"], tuple(one["cutters"]), one["machine"], one["material"], one["name"], plan)


def near_most() -> int:
    """The most jobs that are tried near those that are written down, themselves among them."""
    return (2 + VARIED) * len(worked_plans())


def _with_inserts(cutter: Entry) -> Entry:
    """A carbide drill as one with inserts, which has one effective tooth; any other cutter as it is."""
    carbide = BODIES[cutter["body"]].drill and cutter.get("substrate") != "hss"
    return {**cutter, "ZEFP": 1} if carbide else cutter


def _ground(chance: random.Random, cutter: Entry) -> Entry:
    """A drill of which the crib does not say what it is ground for now and then is for the softer groups."""
    said = not BODIES[cutter["body"]].drill or cutter.get("TMC1ISO") is not None or chance.random() > OFTEN
    return cutter if said else {**cutter, "TMC1ISO": "P M K"}


def _small(entry: Mapping[str, Any]) -> SmallJob | None:
    job, plan = entry["job"], entry.get("plan")
    alike = [{name: value for name, value in one.items() if name != "id"} for one in job["features"]]
    if "shop" in job or not isinstance(plan, list) or len(alike) > len(FEATURES) or alike[1:] != alike[:-1]:
        return None
    assignment = parse_assignment(yaml.safe_dump({"part": "A part", **job}, allow_unicode=True), own_shop=lambda: None)
    names = dict(zip((one["id"] for one in job["features"]), FEATURES, strict=False))
    if not all(isinstance(one["feature"], str) for one in plan):
        return None
    named = {name for one in plan for name in (one["cutter"], one.get("entry_cutter"))}
    return SmallJob(
        feature_entry(assignment.job.features[0]),
        tuple(cutter_entry(cutter) for cutter in assignment.crib if cutter.id in named),
        machine_entry(assignment.machine),
        assignment.material.name,
        entry["name"],
        tuple({**one, "feature": names[one["feature"]]} for one in plan),
    )


def _moved(chance: random.Random, feature: Mapping[str, Any]) -> Mapping[str, Any]:
    return {
        name: float(f"{value * exp(chance.gauss(0, SPREAD)):.3g}")
        if isinstance(value, float) and chance.random() < SELDOM
        else value
        for name, value in feature.items()
    }
