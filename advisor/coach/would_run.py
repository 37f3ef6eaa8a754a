"""Whether a shop would run what an exercise teaches: no answer that takes hours, crawls, runs dry where chips stick, or
takes a cutter that is made for something else.
"""

from __future__ import annotations

from advisor.choosing.time_parts import time_parts
from advisor.coach.scene import Scene, right_ways
from advisor.coach.table import table
from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.material import Material

MM3_PER_CM3 = 1000


def would_run(scene: Scene) -> bool:
    """Whether a shop would run the advised way, and no right way takes a cutter that is made for something else."""
    others = any(against_its_purpose(way) for way in (scene.best, *right_ways(scene)))
    return not others and _fits_the_shop(scene) and _in_reason(scene)


def against_its_purpose(way: Candidate) -> bool:
    """Whether a rule says that its cutter is made for something else."""
    return any(rule.id in table().would_run.never for rule in way.fired)


def _fits_the_shop(scene: Scene) -> bool:
    """Whether a rule speaks for the advised way, and it fits the feature, the machine and the cutter's teeth."""
    best, run, group = scene.best, table().would_run, scene.assignment.material.group
    if best.grade not in run.best or best.entry in run.not_so.get(scene.answer.region.kind, ()):
        return False
    if METHODS[best.method].passes_over and scene.bench.machine.spindle.power[-1] < run.face_power_least.get(
        group, 0.0
    ):
        return False
    if group in run.wet and not set(run.wet_coolants) & set(scene.bench.machine.coolant):
        return False
    if float(best.facts.get("reach_margin", run.reach_margin_least)) < run.reach_margin_least:
        return False
    teeth = best.cutter.ZEFP if METHODS[best.method].full_width and not best.cutter.kind.drill else 0
    return bool(teeth <= run.full_width_teeth_most)


def _in_reason(scene: Scene) -> bool:
    """Whether time, levels and removal rate of the advised way are such as a shop accepts."""
    best, run, group = scene.best, table().would_run, scene.assignment.material.group
    volume = scene.answer.region.area(0.0) * scene.answer.region.depth / MM3_PER_CM3
    slow = run.time_plain + volume * run.time_per_cm3[group]
    in_the_cut = best.time - time_parts(best)["change"]  # the machine changes the tool, however long it takes
    if in_the_cut > min(run.time_most, slow) or _too_much(scene, volume):
        return False
    plan = best.plan
    if plan is None:
        return True
    if time_parts(best)["entry"] > run.entry_share_most * in_the_cut:
        return False
    kept = float(plan.facts.get("rate_kept", 1.0))
    if METHODS[best.method].passes_over and float(plan.facts.get("passes", 1.0)) > run.face_passes_most:
        return False
    most = run.turns_most if METHODS[best.method].in_turns else run.levels_most
    return bool(kept >= run.rate_kept_least and plan.levels <= most)


def _too_much(scene: Scene, volume: float) -> bool:
    """Whether there is more to take, in depth or in all [cm³], than a shop roughs in such material."""
    run, group, depth = table().would_run, scene.assignment.material.group, scene.answer.region.depth
    return bool(depth > run.depth_most.get(group, depth) or volume > run.volume_most.get(group, volume))


def suits(cutter: Cutter, material: Material) -> bool:
    """Whether a shop keeps such a cutter for such a material: by what it is ground for, by teeth and substrate."""
    ground = getattr(cutter, "TMC1ISO", None)
    if ground is not None and material.group not in ground.split():
        return False
    purpose = table().purpose
    if cutter.substrate == "hss" and material.group not in purpose.hss:
        return False
    if cutter.kind.fluted and cutter.substrate == "carbide":
        least, most = purpose.teeth[material.group]
        return bool(least <= cutter.ZEFP <= most)
    return True
