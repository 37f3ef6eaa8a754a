"""From facts that the solver found to a job that can be run; and the search for one where that does not do."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from typing import Any

from advisor.inference import Inference
from advisor.knowledge.conditions import Facts, yes
from advisor.knowledge.schema import Rule
from advisor.mechanics.power import torque
from advisor.model.body import BODIES
from advisor.model.entry import entry_kind
from advisor.model.features import FEATURE_KINDS
from advisor.proof.example_job import Shows, Witness
from advisor.proof.jobs import Asked, Entry, Run, SmallJob, run, stock
from advisor.proof.search import PLANS, ROUGH, near, small_jobs, with_plans
from advisor.proof.world import REVIEW
from advisor.readers.materials import load_materials
from advisor.situation.facts import TRAITS
from advisor.situation.pairings import ways

TRIES = 6000
NEAR = 300
BESIDE = 50  # jobs near each one that is known
SYMBOLS = (
    "DC",
    "APMX",
    "LU",
    "LPR",
    "DN",
    "DCONMS",
    "RE",
    "KAPR",
    "FHA",
    "RMPX",
    "RPMX",
    "dead_centre",
    "holder_diameter",
    "point_angle",
)
LENGTHS = ("depth", "length", "width", "top")
MAY = (
    "corner_radius",
    "island",
    "island_length",
    "stock_side",
    "thinnest_wall",
    "floor_thickness",
    "clearance_below",
    "open_sides",
)
ALLOWANCES = ("allowance_side", "allowance_bottom")


def near_witness(facts: Facts, rules: Sequence[Rule], shows: Shows, inference: Inference, seed: int = 1) -> Witness:
    """A job that shows something: the one that has these facts, or one near it."""
    start = job_of(facts) if facts else None
    if start is None:
        return Witness(None, 0)
    return _first((start, *islice(near(start, seed), NEAR)), _planned(rules), shows, inference, seed)


def witness_beside(
    known: Sequence[SmallJob], rules: Sequence[Rule], shows: Shows, inference: Inference, seed: int = 1
) -> Witness:
    """A job that shows something, of those near some ``known`` ones; with other plans where they have plans."""
    tries = 0
    for one in known:
        jobs = islice(near(one._replace(plan=()), seed), BESIDE)
        found = _first(jobs, _planned(rules) or bool(one.plan), shows, inference, seed)
        tries += found.tries
        if found.job is not None:
            return Witness(found.job, tries)
    return Witness(None, tries)


def _planned(rules: Sequence[Rule]) -> bool:
    return any(rule.stage == REVIEW for rule in rules)


def chance_witness(
    rules: Sequence[Rule], planned: bool, shows: Shows, inference: Inference, seed: int = 1, most: int = TRIES
) -> Witness:
    """A job that shows something, of those made by chance about some rules; ``planned``: each with some plans."""
    jobs = islice(small_jobs(seed, rules), most // PLANS if planned else most)
    return _first(jobs, planned, shows, inference, seed)


def _first(jobs: Iterable[SmallJob], planned: bool, shows: Shows, inference: Inference, seed: int) -> Witness:
    """The first of some jobs that shows something; if it is ``planned``, each with some plans for it."""
    tries = 0
    for job in with_plans(jobs, inference, seed) if planned else jobs:
        tries += 1
        found = run(job, inference)
        if found is not None and shows(found):
            return Witness(job, tries)
    return Witness(None, tries)


def fires_together(firing: Sequence[str], silent: Sequence[str] = ()) -> Shows:
    """That rules fire for one and the same candidate, stand there, and that others do not fire for it."""

    def shown(found: Run) -> bool:
        return any(_among(one, firing) and not any(_among(one, [name]) for name in silent) for one in found.asked)

    return shown


def _among(one: Asked, wanted: Sequence[str]) -> bool:
    ids = {rule.id for rule in one.fired}
    return all(name in ids for name in wanted)


def job_of(facts: Facts) -> SmallJob | None:
    """The small job that has the facts of feature, cutter and machine among these; what they leave open is taken from
    the stock. Nothing where the stock has none of the kind.
    """
    held, kind = stock(), str(facts.get("feature", "closed_pocket"))
    body = facts.get("body")
    features = [one for one in held.features if one["kind"] == kind]
    cutters = [one for one in held.cutters if one["body"] == body] or [
        one
        for way in ways().values()
        if way.method == facts.get("method")
        for one in held.cutters
        if one["body"] in way.bodies
    ]
    materials = [name for name in held.materials if _has(name, facts)]
    if not (features and cutters and materials):
        return None
    cutter = _cutter(facts, cutters[0])
    crib = (cutter, _drill(facts)) if "hole_diameter" in facts else (cutter,)
    return SmallJob(_feature(facts, features[0]), crib, _machine(facts, held.machines[0]), materials[0], "the solver")


def _number(value: object) -> float:
    return float(f"{float(str(value)):.6g}")


def _feature(facts: Facts, entry: Entry) -> Mapping[str, Any]:
    kind, fields = entry["kind"], FEATURE_KINDS[entry["kind"]].model_fields
    found: dict[str, Any] = {"kind": kind}
    for name in fields:
        if name in entry and name not in (*MAY, *ALLOWANCES, *ROUGH):
            found[name] = entry[name]
    for name in (*LENGTHS, *MAY):
        if name in facts and name in fields:
            found[name] = _number(facts[name])
    if "length" in found and "length" not in facts:
        found["length"] = max(found["length"], found["width"])
    if "open_sides" in found:
        found["open_sides"] = round(found["open_sides"])
    if "open_at" in fields:
        found.pop("open_at", None)
        found |= {"open_at": facts["open_at"]} if "open_at" in facts else {}
    if "diameter" in fields and "width" in facts:
        found["diameter"] = _number(facts["width"])
    if "floor" in fields and "floor" in facts:
        found["floor"] = facts["floor"] == "yes"
    if "purpose" in fields:
        found.pop("purpose", None)
        found |= {"purpose": facts["purpose"]} if "purpose" in facts else {}
    if "flat_floor" in fields:
        found.pop("flat_floor", None)
        found |= {"flat_floor": facts["flat_floor"] == "yes"} if "flat_floor" in facts else {}
    if "open_ends" in fields:
        found["open_ends"] = 2 if facts.get("falls_in_two") == "yes" else int(facts.get("open_side") == "yes")
    if "wall_height" in facts and "tallest_wall" in fields:
        found["tallest_wall"] = _number(facts["wall_height"])
    if "side_allowance" in facts and kind != "planar_face":
        found["allowance_side"] = _number(facts["side_allowance"])
    return found | _rough(facts, found)


def _rough(facts: Facts, found: Mapping[str, Any]) -> dict[str, Any]:
    """How many alike, and the stock of a casting, that have these facts."""
    more: dict[str, Any] = {"count": round(_number(facts["count"]))} if _number(facts.get("count", 1.0)) > 1 else {}
    rough, floor = facts.get("rough"), found.get("floor", True)
    if rough == "floor":
        depth = _number(facts.get("depth", found["depth"]))
        return more | {"depth": 2 * depth, "stock_wall": 0.0, "stock_floor": depth}
    across = found.get("diameter", found.get("width", 0.0))
    skin = {"walls": facts.get("skin_wall"), "whole": (across - _number(facts.get("opening", 0.0))) / 2}.get(str(rough))
    if skin is None:
        return more
    return more | {"stock_wall": _number(skin)} | ({"stock_floor": 0.0} if floor else {})


def _cutter(facts: Facts, entry: Entry) -> Mapping[str, Any]:
    """A cutter of the stock, as wide as the facts say, with what else they say of it; the rest in proportion."""
    scale = _number(facts["DC"]) / entry["DC"] if "DC" in facts else 1.0
    lengths = {"DC", "APMX", "LU", "LPR", "DN", "DCONMS", "RE", "dead_centre", "holder_diameter"}
    found = {
        name: _number(value * scale) if name in lengths and value is not None else value
        for name, value in entry.items()
    }
    found |= {"id": "E1"} | {name: _number(facts[name]) for name in SYMBOLS if name in facts}
    if "RMPX" not in facts and "RMPX" in found and entry_kind(facts.get("entry")).ramps:
        del found["RMPX"]
    if "ZEFP" in facts:
        found["ZEFP"] = max(1, round(_number(facts["ZEFP"])))
    if "end_cutting" in facts:
        found["end_cutting"] = facts["end_cutting"] == "yes"
        found["dead_centre"] = 0.0 if found["end_cutting"] else found["dead_centre"] or _number(found["DC"] / 2)
    if "substrate" in facts:
        found["substrate"] = facts["substrate"]
    if "coating" in facts:
        found["COATING"] = facts["coating"]
    if "ground_here" in facts:
        found["TMC1ISO"] = _ground_for(facts)
    found["LU"] = max(found["LU"], found["APMX"])
    found["LPR"] = max(found["LPR"], found["LU"])
    return found


def _ground_for(facts: Facts) -> str:
    """The groups of ISO 513 that a cutter is ground for, so that what is said of its edge holds."""
    group, here = str(facts.get("group", "P")), facts["ground_here"] == "yes"
    edges = load_materials().edges_alone
    for name, alone in edges.items():
        if facts.get(name) == "yes":
            return alone
    wide = here and any(facts.get(name) == "no" for name, alone in edges.items() if alone == group)
    if here:
        return f"{group} S" if wide else group
    return "M S" if group not in "MS" else "P K"


def _drill(facts: Facts) -> Mapping[str, Any]:
    entry = next(one for one in stock().cutters if BODIES[one["body"]].drill)
    scale = _number(facts["hole_diameter"]) / entry["DC"]
    lengths = ("DC", "APMX", "LU", "LPR", "DCONMS", "holder_diameter")
    found = dict(entry) | {"id": "D1"} | {name: _number(entry[name] * scale) for name in lengths if entry.get(name)}
    if "hole_substrate" in facts:
        found["substrate"] = facts["hole_substrate"]
    if facts.get("hole_inserts") == "yes":
        found |= {"substrate": "carbide", "ZEFP": 1}
    if "hole_ground_here" in facts:
        group = str(facts.get("group", "P"))
        found["TMC1ISO"] = group if facts["hole_ground_here"] == "yes" else "H" if group != "H" else "P"
    if "hole_depth" in facts:  # as deep as the facts have it
        deep, top = _number(facts["hole_depth"]), _number(facts.get("top", 0.0))
        for symbol, margin, more in (("APMX", "flute", 0.0), ("LU", "reach", top), ("LPR", "holder", top)):
            if (beyond := facts.get(f"hole_{margin}_margin")) is not None:
                found[symbol] = _number(deep + more + _number(beyond))
    return found


def _machine(facts: Facts, entry: Entry) -> Mapping[str, Any]:
    found = dict(entry) | {"name": "machine"}
    if "torque_most" in facts:
        speed = found["spindle"]["speed"][0]
        power = _number(_number(facts["torque_most"]) / torque(1.0, speed))
        found["spindle"] = {"speed": [speed], "power": [power]}
    for name in ("axis_acceleration", "tool_change"):
        if name in facts:
            found[name] = _number(facts[name])
    kinds = ("flood", "air", "mist", "through")
    if any(f"coolant_{kind}" in facts for kind in kinds):
        found["coolant"] = [kind for kind in kinds if facts.get(f"coolant_{kind}") == "yes"] or ["none"]
    return found


def _has(name: str, facts: Facts) -> bool:
    """Whether a material has the words of these facts."""
    material = load_materials()[name]
    own = {"group": material.group, "material_class": material.cutting_class}
    own |= {f"material_{trait}": yes(getattr(material, trait)) for trait in TRAITS}
    return all(facts.get(fact, word) == word for fact, word in own.items())
