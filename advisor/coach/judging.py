"""What somebody's own choice is worth: it is reviewed as a plan of one operation."""

from __future__ import annotations

from math import floor
from typing import Any, NamedTuple

from advisor.coach.scene import Scene
from advisor.files.checking import raise_if_any
from advisor.files.problems import BadInput, Problem
from advisor.knowledge.conditions import Known, leaves
from advisor.knowledge.wording import quantity
from advisor.methods.registry import METHODS
from advisor.model.candidate import SOUND, Candidate
from advisor.model.finding import Finding
from advisor.model.operations import Operation, Plan
from advisor.readers.plan_check import check_plan
from advisor.readers.plan_rows import known_of, row_of
from advisor.review.finding import HEAVY
from advisor.review.verdict import review

TYPED = ((1.0, 200), (float("inf"), 100))  # steps of a width in a millimetre: below a millimetre, and from there on


class Verdict(NamedTuple):
    """A choice worked out and judged, with what was found, worst first."""

    way: Candidate
    findings: tuple[Finding, ...]
    most: float

    @property
    def heavy(self) -> tuple[Finding, ...]:
        """What stops it, or is to be changed."""
        return tuple(found for found in self.findings if found.weight in HEAVY)

    @property
    def right(self) -> bool:
        """Whether it is neither forbidden nor poor, nothing is to be changed, and it takes no noticeably longer."""
        return self.way.grade in SOUND and not self.heavy and self.way.time <= self.most

    @property
    def texts(self) -> tuple[str, ...]:
        """What would happen at the machine, in words."""
        return tuple(found.text for found in self.findings)


class Impossible(ValueError):
    """A choice that no plan can say; the message tells what is wanted instead."""


def judged(scene: Scene, given: dict[str, Any]) -> Verdict:
    """The verdict on an operation in the feature of a scene; ``given`` are the fields of a plan's operation.

    Raises:
        Impossible: no plan can say this of such a feature and cutter.
    """
    plan = _plan(scene, given)
    found = review(plan, scene.assignment, scene.advice)
    own = tuple(finding for finding in found.findings if finding.operation == 1 and not _asks_for_more(finding))
    most = scene.bench.limits["review_time_ratio"] * scene.best.time
    return Verdict(found.operations[0].candidate, own, most)


def _plan(scene: Scene, given: dict[str, Any]) -> Plan:
    problems: list[Problem] = []
    known = known_of(scene.assignment)
    row = row_of({"feature": scene.feature.id, **given}, "mm", ("answer", None, "answer"), problems, known, [])
    try:
        raise_if_any(problems)
        plan = Plan(
            "answer", None, tuple([Operation(1, row, "answer", None)] if row else ()), units=scene.assignment.job.units
        )
        check_plan(plan, scene.assignment)
    except BadInput as error:
        raise Impossible(f"{error.problems[0].found}: wanted {error.problems[0].wanted}") from error
    return plan


def _asks_for_more(finding: Finding) -> bool:
    """Whether a finding only asks for what was not said: an answer says no more than it was asked for."""
    asked = leaves(finding.rule.condition)
    return finding.weight not in HEAVY and any(isinstance(leaf, Known) and not leaf.present for leaf in asked)


def settings_of(way: Candidate) -> dict[str, Any]:
    """A way as the fields of a plan's operation: all that was settled for it."""
    plan = way.plan
    given: dict[str, Any] = {"cutter": way.cutter.id, "method": way.method, "entry": way.entry}
    if way.drill is not None:
        given["entry_cutter"] = way.drill.id
    if plan is None:
        return given
    method = METHODS[way.method]
    if method.in_levels:
        given["levels"] = plan.levels
    if method.in_levels and not method.full_width:
        given["radial_width"] = cut_down(plan.radial_width)
    if way.facts["feature"] != "planar_face":
        given["allowance_side"] = round(plan.side_allowance, 3)
    past = float(way.facts.get("overcut", 0.0))
    given["overcut" if past > 0 else "allowance_bottom"] = past or float(way.facts.get("bottom_allowance", 0.0))
    return given


def cut_down(value: float) -> float:
    """A width as it is told and typed: never more than was worked out [mm]."""
    steps = next(steps for most, steps in TYPED if value < most)
    return floor(round(value * steps, 6)) / steps


UNITS = {
    "radial_width": "mm",
    "allowance_side": "mm",
    "allowance_bottom": "mm",
    "overcut": "mm",
    "ramp_angle": "deg",
    "feed_per_tooth": "mm",
    "spindle_speed": "1/min",
    "levels": "count",
}


def setting_text(name: str, value: object) -> str:
    """The value of a setting with its unit."""
    return quantity(value if isinstance(value, str) else float(str(value)), UNITS.get(name, ""), 4)
