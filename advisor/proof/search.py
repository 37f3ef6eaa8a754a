"""Searching for a job: small jobs made by chance, from a seed, of what the cases and the demo shop hold."""

from __future__ import annotations

import random
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from math import exp
from typing import Any, get_args

from advisor.inference import Inference
from advisor.knowledge.conditions import Compare, leaves
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.model.body import BODIES
from advisor.model.cutter import Coating
from advisor.model.features import FEATURE_KINDS, OpenAt, Purpose
from advisor.proof.jobs import Entry, SmallJob, run, stock
from advisor.proof.plans import beside_a_pocket, operations
from advisor.situation.pairings import ways

SPREAD = 0.7  # standard deviation of the logarithm by which numbers are moved
OFTEN, SELDOM = 0.5, 0.15
ACROSS = ("DC", "DN", "DCONMS", "RE", "dead_centre", "holder_diameter")
PLANS = 4  # for each job
WHOLE = ("ZEFP", "open_ends", "open_sides")
ROUGH = ("count", "stock_wall", "stock_floor")  # drawn together, since they hang together


def small_jobs(seed: int, rules: Sequence[Rule] = ()) -> Iterator[SmallJob]:
    """Small jobs without end, the same for the same seed; of the kinds that the rules are about."""
    chance = random.Random(seed)
    wanted = _wanted(rules)
    held = stock()
    kinds = sorted(wanted["feature"])
    features = {kind: [one for one in held.features if one["kind"] == kind] for kind in kinds}
    kinds = [kind for kind in kinds if features[kind]]
    cutters = [one for one in held.cutters if one["body"] in wanted["body"]]
    drills = [one for one in held.cutters if BODIES[one["body"]].drill]
    materials = [name for name in held.materials if _suits(name, wanted)]
    if not (kinds and cutters and materials):
        return
    ids = sorted(_ids(rules))
    while True:
        feature = _feature(chance, chance.choice(features[chance.choice(kinds)]))
        cutter = _cutter(chance, chance.choice(cutters), chance.choice(ids) if ids else "E1")
        if chance.random() < SELDOM:
            cutter = _fitted(cutter, feature, chance.uniform(0.4, 1) * feature.get("width", cutter["DC"]))
        also = [_drill(chance, chance.choice(drills), cutter)] if chance.random() < OFTEN else []
        if chance.random() < SELDOM:  # one for the corners
            narrow = chance.uniform(0.5, 2) * (feature.get("corner_radius") or cutter["DC"] / 4)
            also.append(_fitted(_cutter(chance, chance.choice(cutters), "E2"), feature, narrow))
        crib = (cutter, *also) if not BODIES[cutter["body"]].drill else (cutter,)
        machine = _machine(chance, chance.choice(held.machines))
        yield SmallJob(feature, crib, machine, chance.choice(materials), f"by chance, seed {seed}")


def _ids(rules: Iterable[Rule]) -> set[str]:
    """The ids of cutters that rules ask for."""
    measures = rule_base().measures
    compared = (leaf for rule in rules for leaf in leaves(rule.condition) if isinstance(leaf, Compare))
    return {str(leaf.value) for leaf in compared if measures[leaf.fact].named and leaf.operator == "="}


def planned(job: SmallJob, inference: Inference, seed: int) -> Iterator[SmallJob]:
    """The job with some plans for it, made by chance of what the advice has for it."""
    chance = random.Random(seed)
    mills, drills = ([one for one in stock().cutters if BODIES[one["body"]].drill is drill] for drill in (False, True))
    first = job.cutters[0]
    others: tuple[Entry, ...] = (
        _cutter(chance, chance.choice(mills), "E3"),
        dict(chance.choice(drills)) | {"id": "D2"},
    )
    others += (_drill(chance, chance.choice(drills), first, "D3"),)
    added = {one["id"] for one in others}
    job = job._replace(cutters=(*(one for one in job.cutters if one["id"] not in added), *others))
    found = run(job, inference)
    if found is not None and found.advice is not None:
        holes = tuple(one["id"] for one in job.cutters if one["id"] in ("D1", "D2", "D3"))
        for _ in range(PLANS):
            yield job._replace(plan=operations(chance, found.advice, holes))
        for plan in beside_a_pocket(chance, found.advice, holes):
            yield job._replace(plan=plan)


def with_plans(jobs: Iterable[SmallJob], inference: Inference, seed: int) -> Iterator[SmallJob]:
    """The jobs, each with some plans for it in its place."""
    for place, job in enumerate(jobs):
        yield from planned(job, inference, seed + place)


def _wanted(rules: Sequence[Rule]) -> dict[str, set[str]]:
    """The kinds of feature, bodies, groups and classes of material that all the rules can be about."""
    found = {
        "feature": {kind for way in ways().values() for kind in way.features},
        "body": {body for way in ways().values() for body in way.bodies},
    }
    about = [(fact, set(words)) for rule in rules for fact, words in rule.about]
    for fact, words in about:
        if fact == "method":
            meant = [ways()[word] for word in words]
            found["feature"] &= {kind for way in meant for kind in way.features}
            found["body"] &= {body for way in meant for body in way.bodies}
        else:
            found[fact] = found[fact] & words if fact in found else words
    return found


def about(rules: Sequence[Rule]) -> Hashable:
    """What small jobs for these rules are about: where it is the same, so are the jobs of one seed."""
    wanted = frozenset((fact, frozenset(words)) for fact, words in _wanted(rules).items())
    return wanted, frozenset(_ids(rules))


def _suits(name: str, wanted: Mapping[str, set[str]]) -> bool:
    from advisor.knowledge.conditions import yes
    from advisor.readers.materials import load_materials
    from advisor.situation.facts import TRAITS

    material = load_materials()[name]
    facts = {"group": material.group, "material_class": material.cutting_class}
    facts |= {f"material_{trait}": yes(getattr(material, trait)) for trait in TRAITS}
    return all(word in wanted[fact] for fact, word in facts.items() if fact in wanted)


def _moved(chance: random.Random, value: float) -> float:
    return float(f"{value * exp(chance.gauss(0, SPREAD)):.3g}")


def _feature(chance: random.Random, entry: Entry) -> dict[str, Any]:
    """A feature with some of its numbers moved, and some of what may be given added or left out."""
    found = dict(entry)
    for name, field in FEATURE_KINDS[entry["kind"]].model_fields.items():
        value, needed = found.get(name), field.is_required()
        if name in ROUGH:
            found.pop(name, None)
        elif isinstance(value, bool):
            found[name] = chance.random() < OFTEN if chance.random() < OFTEN else value
        elif isinstance(value, float) and not (not needed and chance.random() < SELDOM):
            found[name] = _moved(chance, value) if chance.random() < OFTEN else value
        elif name in WHOLE:
            found[name] = chance.choice((0, 1, 2))
        elif name == "allowance_side" and chance.random() < SELDOM:
            found[name] = 0.0
        elif not needed and name != "kind" and chance.random() < SELDOM:
            found[name] = _given(chance, name, found["depth"])
        elif not needed and name != "kind":
            found.pop(name, None)
    if chance.random() < OFTEN:
        found.pop("clearance_below" if found.get("floor") else "floor_thickness", None)
    return found | _rough(chance, entry, found)


def _rough(chance: random.Random, entry: Entry, found: Entry) -> dict[str, Any]:
    """How many alike, and the stock that a casting has on its walls or on its floor: that of the entry, or some."""
    more: dict[str, Any] = {"count": chance.choice((2, 5))} if chance.random() < SELDOM else {}
    of_entry, kind = entry.get("stock_wall"), entry["kind"]
    if kind in ("planar_face", "outside_profile") or "island" in found:
        return more
    if of_entry is None and chance.random() < 1 - SELDOM / 2:
        return more
    more["stock_wall"] = _moved(chance, found["depth"] / 6 if of_entry is None else of_entry) if of_entry != 0 else 0.0
    if found.get("floor", True):
        more["stock_floor"] = 0.0 if more["stock_wall"] else _moved(chance, entry.get("stock_floor") or 1.0)
    return more


def _given(chance: random.Random, name: str, depth: float) -> object:
    """A value for what may be given of a feature."""
    if name == "flat_floor":
        return chance.random() < OFTEN
    if name == "open_at":
        return chance.choice(get_args(OpenAt))
    return chance.choice(get_args(Purpose)) if name == "purpose" else _moved(chance, depth) / 4


def _cutter(chance: random.Random, entry: Entry, name: str) -> dict[str, Any]:
    """A cutter of the stock made longer, shorter, or with other teeth and angles; its diameter as it is, mostly."""
    found = dict(entry) | {"id": name}
    for symbol in ("APMX", "LU", "LPR", "RMPX", "FHA", "RE", "DCONMS"):
        if found.get(symbol) is not None and chance.random() < SELDOM:
            found[symbol] = _moved(chance, found[symbol])
    if chance.random() < SELDOM:  # the same cutter, wider or narrower in all its parts
        factor = exp(chance.gauss(0, SPREAD))
        found |= _scaled(found, ACROSS, factor)
    if chance.random() < SELDOM:
        found["ZEFP"] = max(1, found["ZEFP"] + chance.choice((-2, -1, 1, 2, 3)))
    if chance.random() < SELDOM:
        found.pop("RMPX", None)
    for symbol, words in (("TMC1ISO", ("N", "P M K", "S", "P H")), ("COATING", get_args(Coating))):
        if chance.random() < SELDOM:
            found[symbol] = chance.choice(words)
    return _in_order(found)


def _scaled(entry: Entry, symbols: Sequence[str], factor: float) -> dict[str, float]:
    """The numbers of a cutter by these symbols, those that it has, times a factor."""
    return {symbol: float(f"{entry[symbol] * factor:.3g}") for symbol in symbols if entry.get(symbol) is not None}


def _in_order(found: dict[str, Any]) -> dict[str, Any]:
    """The cutter with its usable length no shorter than its flutes, and its projection no shorter than that."""
    found["LU"] = max(found["LU"], found["APMX"])
    found["LPR"] = max(found["LPR"], found["LU"])
    return found


def _fitted(entry: Entry, feature: Entry, diameter: float) -> dict[str, Any]:
    """The cutter, scaled in all its parts to a diameter, and so long that it reaches the depth of the feature."""
    factor = diameter / entry["DC"]
    found = dict(entry) | _scaled(entry, (*ACROSS, "APMX"), factor)
    found["LU"] = max(found["LU"], feature["depth"])
    return _in_order(found)


def _drill(chance: random.Random, entry: Entry, cutter: Entry, name: str = "D1") -> dict[str, Any]:
    """A drill for a hole that the cutter goes down, so wide that it may suit; as long as the one given."""
    factor = cutter["DC"] * chance.uniform(1, 1.25) / entry["DC"]
    lengths = ("DC", "APMX", "LU", "LPR", "DCONMS", "holder_diameter")
    along = factor * exp(chance.gauss(0, SPREAD)) if chance.random() < OFTEN else factor
    if chance.random() < SELDOM:  # too short for many a feature
        along *= chance.uniform(0.1, 0.6)
    factors = {name: along if name in ("APMX", "LU", "LPR") else factor for name in lengths}
    return (
        dict(entry)
        | {"id": name}
        | {name: round(entry[name] * factors[name], 1) for name in lengths if entry.get(name)}
    )


def _machine(chance: random.Random, entry: Entry) -> dict[str, Any]:
    found = dict(entry) | {"name": "machine"}
    spindle = found["spindle"]
    if chance.random() < OFTEN:
        factor = exp(chance.gauss(0, 1))
        found["spindle"] = {
            "speed": spindle["speed"],
            "power": [float(f"{power * factor:.3g}") for power in spindle["power"]],
        }
    for name in ("axis_acceleration", "feed_max", "stiffness"):
        if chance.random() < SELDOM:
            found[name] = _moved(chance, found[name])
    if chance.random() < SELDOM:
        found["coolant"] = chance.choice((["none"], ["air"], ["mist"], ["flood"]))
    return found


def near(job: SmallJob, seed: int) -> Iterator[SmallJob]:
    """Jobs near one, without end: its feature and cutter as they are or a little moved, machine and material others."""
    chance, held = random.Random(seed), stock()
    while True:
        feature = _feature(chance, job.feature) if chance.random() < SELDOM else job.feature
        cutters = tuple(_cutter(chance, one, one["id"]) if chance.random() < SELDOM else one for one in job.cutters)
        machine = _machine(chance, chance.choice((job.machine, *held.machines)))
        material = chance.choice((job.material, *held.materials))
        yield SmallJob(feature, cutters, machine, material, f"{job.origin}, then by chance, seed {seed}")


def beside(job: SmallJob, chance: random.Random) -> SmallJob:
    """A job that differs from one in a number or two of its feature or of a cutter, or in its machine or material."""
    held, what = stock(), chance.choice(("feature", "cutter", "cutter", "both", "machine", "material"))
    feature, cutters, machine, material = dict(job.feature), list(job.cutters), job.machine, job.material
    if what in ("feature", "both"):
        name = chance.choice([one for one, value in feature.items() if isinstance(value, float)])
        feature[name] = _moved(chance, feature[name]) or feature[name]
    if what in ("cutter", "both"):
        place = chance.randrange(len(cutters))
        cutters[place] = _changed(chance, cutters[place])
    if what == "machine":
        machine = _machine(chance, chance.choice((job.machine, *held.machines)))
    if what == "material":
        material = chance.choice(held.materials)
    return SmallJob(feature, tuple(cutters), machine, material, f"{job.origin}, then step by step")


def _changed(chance: random.Random, entry: Entry) -> dict[str, Any]:
    """A cutter with its lengths, its widths or one of its numbers changed."""
    found = dict(entry)
    along, across = ("APMX", "LU", "LPR"), (*ACROSS, "APMX")
    names = chance.choice((along, across, (chance.choice(along),), ("RMPX",)))
    factor = exp(chance.gauss(0, SPREAD))
    found |= _scaled(found, names, factor)
    if names == ("RMPX",) and chance.random() < OFTEN:
        found.pop("RMPX", None)
    return _in_order(found)
