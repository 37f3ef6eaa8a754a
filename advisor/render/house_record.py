"""What house rules change, in the rule base and on jobs, as JSON."""

from __future__ import annotations

from typing import Any

from advisor.analysis.house_check import Checked
from advisor.analysis.house_trial import ChangeTrial
from advisor.knowledge.schema import Change, ChangeKind, RuleBase
from advisor.model.answer import FeatureAdvice
from advisor.text.house_trial import unmet_text


def house_record(found: Checked) -> dict[str, Any]:
    """What house rules change, and what each change does on jobs."""
    return {
        "folder": str(found.folder),
        "changes": [_change(change) for change in found.base.changes],
        "warnings": [str(problem) for problem in found.warnings],
        "faults": [str(problem) for problem in found.faults],
        "features": len(found.features),
        "changed": [
            {
                "case": one.case,
                "feature": one.feature,
                "changes": {name: {"from": before, "to": after} for name, (before, after) in one.changes.items()},
            }
            for one in found.changed
        ],
        **({} if found.trials is None else {"trials": [trial_record(one, found.base) for one in found.trials]}),
    }


def _change(change: Change) -> dict[str, Any]:
    values = {"from": change.before, "to": change.after} if change.kind is ChangeKind.MOVED else {}
    return {"kind": change.kind.value, "name": change.name, "reason": change.reason, "line": change.line, **values}


def trial_record(found: ChangeTrial, base: RuleBase) -> dict[str, Any]:
    """A change of the house with all the features that it fired on, or the nearest miss."""
    miss = found.miss
    return {
        "kind": found.change.kind,
        "name": found.change.name,
        "asked": found.asked,
        "answered": [
            {
                "job": one.job,
                "feature": one.feature,
                "advised": one.advised,
                "needed": one.needed,
                "without": _answer(one.changed.without) if one.changed else None,
                "with": _answer(one.changed.own) if one.changed else None,
            }
            for one in found.firings
        ],
        "nearest_miss": None
        if miss is None
        else {
            "job": miss.job,
            "feature": miss.feature,
            "method": miss.way.method if miss.way else None,
            "cutter": miss.way.cutter.id if miss.way else None,
            "entry": miss.way.entry if miss.way else None,
            "unmet": [unmet_text(leaf, miss, base) for leaf in miss.unmet],
        },
    }


def _answer(answer: FeatureAdvice) -> dict[str, Any]:
    best = answer.best
    return {
        "grade": answer.grade,
        "method": best.method if best else None,
        "cutter": best.cutter.id if best else None,
        "entry": best.entry if best else None,
        "levels": best.plan.levels if best and best.plan else None,
        "time_s": best.time if best else None,
        "cautions": [rule.id for rule in answer.cautions],
    }
