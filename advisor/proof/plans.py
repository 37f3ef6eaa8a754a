"""Plans for small jobs, made by chance: what somebody might have chosen, from sound to foolish; and their review."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from math import exp
from typing import Any

from advisor.choosing.job_advice import Advice
from advisor.files.units import MM_PER_INCH
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.model.entry import ENTRIES, entry_kind
from advisor.model.operations import Operation, OperationRow, Plan
from advisor.review.assumed import BY_DRILL
from advisor.review.verdict import review
from advisor.situation.pairings import ways

OFTEN, SELDOM, FOLLY = 0.5, 0.15, 0.1
SPREAD = 0.8
COOLANTS = ("flood", "mist", "air", "through", "none")
CUTTING_SPEEDS = (40, 80, 150, 300, 600)
FEED_RATES = (200, 500, 1000, 2000, 4000, 8000)
FEATURES = ("F1", "F2")
POCKET: Mapping[str, Any] = {
    "id": "F3", "kind": "closed_pocket", "length": 60.0, "width": 40.0, "depth": 8.0, "floor": True
}  # fmt: skip


def operations(chance: random.Random, answer: FeatureAdvice, drills: Sequence[str]) -> tuple[Mapping[str, Any], ...]:
    """A few operations on features alike: the ways of the advice with some of their numbers moved, or others."""
    ways_ = [item for item in answer.candidates if item.plan is not None] or list(answer.candidates)
    if not ways_:
        return ()
    found = [_operation(chance, chance.choice(ways_), drills) for _ in range(chance.choice((1, 1, 2, 3, 4)))]
    own = random.Random(len(found) + sum(map(len, found)))  # leaves the plans as they would be without it
    if own.random() < SELDOM:
        found.insert(0, _pilot(own, answer.region.depth, own.choice(drills)))
    if own.random() < SELDOM:  # a line that says neither method nor width
        found[-1] = {name: value for name, value in found[-1].items() if name not in ("method", "radial_width")}
    if own.random() < SELDOM:  # the number of a cutting speed typed as the speed of the spindle
        found[-1] = {**found[-1], "spindle_speed": float(own.choice(CUTTING_SPEEDS))}
    if own.random() < SELDOM and "feed_per_tooth" in found[-1]:  # one unit taken for the other
        slip = own.choice((MM_PER_INCH, 1 / MM_PER_INCH))
        found[-1] = {**found[-1], "feed_per_tooth": float(f"{found[-1]['feed_per_tooth'] * slip:.3g}")}
    if own.random() < SELDOM:  # a feed rate alone, as the control is given it
        rest = {name: value for name, value in found[-1].items() if name not in ("feed_per_tooth", "spindle_speed")}
        found[-1] = {**rest, "feed_rate": float(own.choice(FEED_RATES))}
    if own.random() < SELDOM:  # a hole for the way in without its drill
        found[-1] = {name: value for name, value in found[-1].items() if name != "entry_cutter"}
    if own.random() < SELDOM:  # a drill that comes when the cutter has gone down
        found.append(_pilot(own, answer.region.depth, own.choice(drills)))
    return tuple(found)


def _pilot(chance: random.Random, depth: float, drill: str) -> Mapping[str, Any]:
    """A drill for the way in that somebody sends to a depth."""
    deep = _moved(chance, depth, "axial_depth")
    return {"feature": chance.choice(FEATURES), "cutter": drill, "method": BY_DRILL, "axial_depth": deep}


def beside_a_pocket(
    chance: random.Random, answer: FeatureAdvice, drills: Sequence[str]
) -> Iterator[tuple[Mapping[str, Any], ...]]:
    """A few operations, with a pocket cut after them, and before them: rules about the order want another feature."""
    found = operations(chance, answer, drills)
    if found:
        pocket = {"feature": POCKET["id"], "cutter": found[0]["cutter"]}
        yield (*found, pocket)
        yield (pocket, *found)


def _operation(chance: random.Random, item: Candidate, drills: Sequence[str]) -> Mapping[str, Any]:
    method, entry = item.method, item.entry
    if chance.random() < FOLLY:
        method = chance.choice(list(ways()))
    if chance.random() < FOLLY:
        entry = chance.choice(tuple(ENTRIES))
    found: dict[str, Any] = {"feature": chance.choice(FEATURES), "cutter": item.cutter.id, "method": method}
    if entry is not None:
        found["entry"] = entry
        if entry_kind(entry).needs_drill:
            found["entry_cutter"] = item.drill.id if item.drill and chance.random() < OFTEN else chance.choice(drills)
    if (plan := item.plan) is not None:
        chosen = {
            "axial_depth": plan.axial_depth,
            "radial_width": plan.radial_width,
            "feed_per_tooth": plan.feed_per_tooth,
            "spindle_speed": plan.spindle_speed,
            "allowance_side": plan.side_allowance,
            "allowance_bottom": float(item.facts["bottom_allowance"]),
            "overcut": float(item.facts["overcut"]),
            "ramp_angle": float(item.facts.get("entry_angle", item.facts.get("ramp_angle", 0.0))),
        }
        for name, value in chosen.items():
            if chance.random() < OFTEN / 2:
                found[name] = _moved(chance, value, name)
        if chance.random() < SELDOM:
            found["levels"] = max(1, plan.levels + chance.choice((-1, 0, 1, 2)))
    if chance.random() < OFTEN:
        found["coolant"] = chance.choice(COOLANTS)
    if chance.random() < OFTEN:
        found["tabs"] = chance.random() < OFTEN
    may_be_none = ("tabs", "allowance_side", "allowance_bottom", "overcut")
    return {name: value for name, value in found.items() if value != 0.0 or name in may_be_none}


def _moved(chance: random.Random, value: float, name: str) -> float:
    if name in ("allowance_side", "allowance_bottom", "overcut"):
        value = 0.0 if chance.random() < SELDOM else value or chance.random()
    return float(f"{value * exp(chance.gauss(0, SPREAD)):.3g}")


def plan_of(entries: Sequence[Mapping[str, Any]]) -> Plan:
    """A plan of these operations.

    Raises:
        ValueError: a number in it is out of bounds, as in a file that says the same.
    """
    rows = [OperationRow.model_validate(entry) for entry in entries]
    return Plan("plan.yaml", None, tuple(Operation(at, row, "plan.yaml", None) for at, row in enumerate(rows, 1)))


def reviewed(plan: Plan, advice: Advice) -> Iterator[tuple[Any, Any]]:
    """The rules that fired about each operation with its facts, then those about the whole."""
    found = review(plan, advice.assignment, advice)
    for one in found.operations:
        yield one.candidate.fired, one.candidate.facts
    yield tuple(finding.rule for finding in found.findings if finding.operation is None), {}
