"""Whether a shop would run what an exercise teaches: no answer that takes hours, crawls, or takes a cutter for other
material.
"""

from __future__ import annotations

from advisor.coach.scene import Scene, right_ways
from advisor.coach.table import table
from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.material import Material

MM3_PER_CM3 = 1000


def would_run(scene: Scene) -> bool:
    """Whether a shop would run the advised way, and no right way takes a cutter that is ground for other material."""
    return not any(_ground_otherwise(way) for way in (scene.best, *right_ways(scene))) and _in_reason(scene)


def _in_reason(scene: Scene) -> bool:
    """Whether time, levels and removal rate of the advised way are such as a shop accepts."""
    best, run = scene.best, table()["would_run"]
    volume = scene.answer.region.area(0.0) * scene.answer.region.depth / MM3_PER_CM3
    slow = run["time_plain"] + volume * run["time_per_cm3"][scene.assignment.material.group]
    if best.time > min(run["time_most"], slow):
        return False
    plan = best.plan
    if plan is None:
        return True
    kept = float(plan.facts.get("rate_kept", 1.0))
    if METHODS[best.method].passes_over and float(plan.facts.get("passes", 1.0)) > run["face_passes_most"]:
        return False
    most = run["turns_most" if METHODS[best.method].in_turns else "levels_most"]
    return bool(kept >= run["rate_kept_least"] and plan.levels <= most)


def _ground_otherwise(way: Candidate) -> bool:
    """Whether a rule says that its cutter is ground for other material."""
    return any(rule.id in table()["would_run"]["never"] for rule in way.fired)


def suits(cutter: Cutter, material: Material) -> bool:
    """Whether a shop keeps such a cutter for such a material: by what it is ground for, else by teeth and substrate."""
    ground = getattr(cutter, "TMC1ISO", None)
    if ground is not None:
        return material.group in ground.split()
    purpose = table()["purpose"]
    if cutter.substrate == "hss" and material.group not in purpose["hss"]:
        return False
    if cutter.kind.fluted and cutter.substrate == "carbide":
        least, most = purpose["teeth"][material.group]
        return bool(least <= cutter.ZEFP <= most)
    return True
