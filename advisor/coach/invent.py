"""Inventing a job: a feature built round a cutter of the demo crib, its sizes near the lines of the rules."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf
from random import Random
from typing import Any

from advisor.coach.table import Recipe, Size, by_difficulty, table
from advisor.coach.topics import asks_what_for
from advisor.coach.would_run import suits
from advisor.knowledge.shipped import rule_base
from advisor.model.assignment import Assignment
from advisor.model.cutter import Cutter
from advisor.model.features import FEATURE_KINDS, FeatureBase
from advisor.model.job import Job
from advisor.model.material import Material
from advisor.readers.assignment import demo_crib, demo_shop
from advisor.readers.materials import load_materials
from advisor.situation.pairings import ways

NAMES = {"slot": "S1", "round_hole": "H1", "planar_face": "F1", "step": "T1", "outside_profile": "C1"}
DRILLS_KEPT = 2


def invented(topic: str | None, difficulty: int, rng: Random) -> Assignment | None:
    """A job of one feature; nothing where the sizes that came up belong to no feature there can be."""
    recipes = [recipe for recipe in table().recipes if _is_for(recipe, topic)]
    if not recipes:
        return None
    recipe, cutters = rng.choice(recipes), demo_crib().cutters
    material = _material(topic, rng)
    kept = [one for one in cutters if suits(one, material)]
    fitting = [one for one in kept if one.body in recipe.bodies]
    if asks_what_for(topic):  # which cutter is made for the material is the question
        kept = list(cutters)
    if not fitting:
        return None
    cutter = rng.choice(fitting)
    feature = _feature(recipe, cutter, difficulty, rng)
    if feature is None:
        return None
    machine = rng.choice(demo_shop().machines)
    crib = _crib(cutter, feature, kept, rng)
    job = Job(part=rng.choice(table().parts), material=material.name, machine=machine.name, features=(feature,))
    return Assignment(job=job, material=material, machine=machine, crib=crib, demo_shop=True)


def _is_for(recipe: Recipe, topic: str | None) -> bool:
    """Whether a recipe serves a topic; what comes loose or burns is invented only where it is the question."""
    return topic in recipe.topics if topic is not None else recipe.topics != (table().fire.topic,)


def _material(topic: str | None, rng: Random) -> Material:
    """A material, each group as often; one whose chips burn only where that is the question."""
    every, fire = load_materials().all, table().fire
    if topic == fire.topic and rng.random() < fire.chance:
        return rng.choice([one for one in every if one.cutting_class in fire.classes])
    group = rng.choice(sorted({material.group for material in every}))
    return rng.choice([one for one in every if one.group == group and one.cutting_class not in fire.classes])


def _feature(recipe: Recipe, cutter: Cutter, difficulty: int, rng: Random) -> FeatureBase | None:
    kind = recipe.kind
    given: dict[str, Any] = {"id": NAMES.get(kind, "P1"), "kind": kind}
    for name, wanted in recipe.sizes.items():
        if rng.random() > wanted.chance:
            continue
        given[name] = rng.choice(wanted.words) if wanted.words else _size(wanted, given, cutter, difficulty, rng)
    if given.get("floor") is True:
        given.pop("clearance_below", None)
    else:
        given.pop("flat_floor", None)
    try:
        return FEATURE_KINDS[kind].model_validate(given)
    except ValueError:
        return None


def _size(wanted: Size, given: Mapping[str, Any], cutter: Cutter, difficulty: int, rng: Random) -> float:
    """A size as a shop would draw it [mm]."""
    if wanted.mm is not None:
        return rounded(rng.uniform(*wanted.mm))
    limits, of = rule_base().limits, wanted.of or ""
    beside: float = given[of] if of in given else limits[of] if of in limits else getattr(cutter, of)
    if wanted.between is not None:
        return rounded(beside * rng.uniform(*wanted.between))
    line = rng.choice(wanted.near or ())
    spread = by_difficulty(table().spread, difficulty)
    return rounded(beside * float(limits[line] if isinstance(line, str) else line) * (1 + rng.uniform(-spread, spread)))


def rounded(value: float) -> float:
    """A length to the step that drawings have at this size [mm]."""
    step: float = next(step for most, step in table().steps if value <= most)
    return round(max(step, round(value / step) * step), 3)


def _crib(cutter: Cutter, feature: FeatureBase, every: Sequence[Cutter], rng: Random) -> tuple[Cutter, ...]:
    """The cutter that the feature was built round, others near its width, and drills that could serve."""
    sizes = table().crib
    wanted = rng.randint(sizes.least, sizes.most) - 1
    drills = [one for one in every if one.kind.drill and one is not cutter and _serves(one, cutter, feature)]
    meant = {body for way in ways().values() if feature.kind in way.features for body in way.bodies}
    others = [
        one
        for one in every
        if not one.kind.drill and one is not cutter and one.body in meant and _room(feature) > one.DC
    ]
    near = sorted(others, key=lambda one: abs(one.DC - cutter.DC) * rng.uniform(*table().crib_order) + rng.random())
    few = rng.randint(0, min(DRILLS_KEPT, len(drills), max(0, wanted - 1)))
    kept = {cutter.id, *(one.id for one in rng.sample(drills, few)), *(one.id for one in near[: wanted - few])}
    return tuple(one for one in every if one.id in kept)


def _room(feature: FeatureBase) -> float:
    """The width that a cutter must go into; no limit where there are no two walls [mm]."""
    if feature.kind not in table().drills.features and feature.kind != "round_hole":
        return inf
    return float(getattr(feature, "width", 0.0) or getattr(feature, "diameter", 0.0))


def _serves(drill: Cutter, cutter: Cutter, feature: FeatureBase) -> bool:
    """Whether somebody would reach for a drill here: for the hole itself, or to let the cutter down."""
    if feature.kind == "round_hole":
        least, most = table().drills.hole
        return bool(least <= drill.DC / float(getattr(feature, "diameter", cutter.DC)) <= most)
    least, most = table().drills.way_in
    width = float(getattr(feature, "width", 0.0))
    return feature.kind in table().drills.features and least <= drill.DC / cutter.DC <= most and width > drill.DC
