"""The comparison of the advised way with another one, as JSON."""

from __future__ import annotations

from typing import Any

from advisor.analysis.blockers import Change, Lift
from advisor.analysis.comparison import Beside
from advisor.analysis.rival import deciding_facts
from advisor.choosing.time_parts import time_parts
from advisor.knowledge.conditions import Compare
from advisor.knowledge.schema import RuleBase
from advisor.model.candidate import Candidate
from advisor.render.figures import figures
from advisor.render.why_record import ground_record
from advisor.text.comparison import grounds, no_such_way, same_text, wanted_value
from advisor.text.differences import deciding_text


def beside_record(found: Beside) -> dict[str, Any]:
    """What was asked, both ways, what decides, and what would lift what forbids the other."""
    answer, rival, by = found.answer, found.rival, found.difference
    note = no_such_way(found) if rival is None else same_text(found) if found.same else ""
    return {
        "part": found.advice.assignment.job.part,
        "job_units": found.advice.assignment.job.units,
        "engine": found.advice.bench.inference.name,
        "feature": answer.region.id,
        "asked": found.wanted._asdict(),
        "same": found.same,
        "note": note,
        "advised": _way(answer.best, found.base),
        "instead": _way(rival, found.base),
        "deciding": {
            "by": by.by,
            "text": deciding_text(by, found.base),
            "rule": by.rule.id if by.rule else None,
        }
        if by
        else None,
        "lift": _lift(found.lift, rival, found.base) if found.lift and rival else None,
    }


def _way(item: Candidate | None, base: RuleBase) -> dict[str, Any] | None:
    if item is None:
        return None
    plan, timed = item.plan, item.time < float("inf")
    return {
        "method": item.method,
        "cutter": item.cutter.id,
        "entry": item.entry,
        "entry_cutter": item.drill.id if item.drill else None,
        "grade": item.grade,
        "settings": {
            "levels": plan.levels,
            "axial_depth": figures(plan.axial_depth),
            "radial_width": figures(plan.radial_width),
            "feed_rate": figures(plan.feed_rate),
            "spindle_speed": figures(plan.spindle_speed),
        }
        if plan
        else None,
        "loads": {
            name: figures(getattr(plan.load, name))
            for name in ("power", "power_available", "torque", "torque_available", "force", "deflection")
        }
        if plan
        else None,
        "time_s": figures(item.time) if timed else None,
        "time_parts": {name: figures(value) for name, value in time_parts(item).items()} if timed else None,
        "rules": [ground_record(one) for one in grounds(item, base)],
    }


def _lift(lift: Lift, rival: Candidate, base: RuleBase) -> dict[str, Any]:
    facts = [leaf for leaf in deciding_facts(lift.rule, rival.facts) if isinstance(leaf, Compare)]
    return {
        "rule": lift.rule.id,
        "facts": [
            {
                "fact": leaf.fact,
                "value": rival.facts.get(leaf.fact),
                "operator": leaf.operator,
                "limit": leaf.value,
                "threshold": leaf.threshold,
                "unit": base.measures[leaf.fact].unit,
                "silent_at": wanted_value(leaf, base),
            }
            for leaf in facts
        ],
        "changes": [_change(change) for change in lift.changes],
        "also_forbidden_by": [rule.id for rule in lift.others],
    }


def _change(change: Change) -> dict[str, Any]:
    then = change.then
    return {
        "of": change.whose,
        "input": change.field,
        "from": change.before,
        "to": change.after,
        "grade": then.grade,
        "time_s": figures(then.time) if then.time < float("inf") else None,
        "also_silent": [rule.id for rule in change.also],
        "still_forbidden_by": [rule.id for rule in change.still],
    }
