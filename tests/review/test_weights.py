"""What a rule of the advice weighs in a review where it says so itself, not by the time that is lost."""

import pytest
from judged import FORBIDS, LIMP, SPEAKS_AGAINST, TO_BE_CHANGED, Job, way
from planning import changed, reviewed, row
from small_jobs import job

from advisor.inputs.plan import OperationRow
from advisor.reasoning.advice import advise
from advisor.rulebase.shipped import rule_base

JOBS = SPEAKS_AGAINST | FORBIDS | TO_BE_CHANGED
WEIGHED = [rule.id for rule in rule_base().rules if rule.weight and rule.verdict != "finds"]
SLOW = "axes-too-slow-to-loop"
NEARLY_STIFF = SPEAKS_AGAINST["cutter-too-limp"]._replace(feature=LIMP | {"allowance_side": 0.31})


def weights(given: Job, **more: object) -> dict[str, str]:
    """Return what the review finds in a plan of the way that a job is about, said as far as it could be worked out."""
    found = advise(job(given.feature, given.crib, given.material, given.machine))
    chosen, _ = way(given)
    said = OperationRow.model_construct(feature=("F1",), cutter=chosen.cutter.id)
    keys = {"method": chosen.method} | ({"entry": chosen.entry} if chosen.entry else {})
    worked_out = chosen.plan is not None and chosen.grade != "forbidden"
    review = reviewed(found, changed(row("F1", chosen) if worked_out else said, **(keys | more)))
    return {finding.rule.id: finding.weight for finding in review.findings}


@pytest.mark.parametrize("rule", [rule for rule in WEIGHED if rule not in ("cutter-too-limp", SLOW)])
def test_whoever_plans_such_a_way_is_told_to_change_it(rule: str) -> None:
    assert weights(JOBS[rule])[rule] == "change"


def test_whoever_plans_a_feed_that_the_axes_cannot_follow_on_loops_is_told_to_change_it() -> None:
    assert weights(JOBS[SLOW], feed_rate=4000.0, feed_per_tooth=None)[SLOW] == "change"


def test_a_cutter_that_bends_just_beyond_what_the_allowance_covers_is_only_to_be_considered() -> None:
    assert weights(NEARLY_STIFF)["cutter-too-limp"] == "consider"
