"""The shipped plans: each shows its trap, and the good plan shows none of them."""

from functools import cache
from typing import Any

import pytest
import yaml

from advisor.knowledge.shipped import rule_base
from advisor.paths import cases_dir
from tests.review.planning import shipped

CASES = sorted(path.parent.name for path in cases_dir().glob("*/expected_plans.yaml"))
HATCH = "review-hatch-frame"


@cache
def expected(case: str) -> dict[str, dict[str, Any]]:
    """Return what is expected of the plans of a case."""
    found: dict[str, dict[str, Any]] = yaml.safe_load((cases_dir() / case / "expected_plans.yaml").read_text("utf-8"))
    return found


PLANS = [(case, name) for case in CASES for name in expected(case)]
TRAPS = {rule for case in CASES for entry in expected(case).values() for rule in entry["finds"]}


def test_there_are_plans_enough() -> None:
    assert len(PLANS) >= 20


@pytest.mark.parametrize("case", CASES)
def test_every_plan_that_lies_there_has_its_expectations(case: str) -> None:
    assert {path.name for path in (cases_dir() / case / "plans").iterdir()} == set(expected(case))


@pytest.mark.parametrize(("case", "name"), PLANS)
def test_a_plan_shows_what_it_was_written_to_show(case: str, name: str) -> None:
    weights = {finding.rule.id: finding.weight for finding in shipped(case, name).findings}
    wanted = expected(case)[name]["finds"]
    assert {rule: weights.get(rule) for rule in wanted} == wanted


@pytest.mark.parametrize(("case", "name"), PLANS)
def test_a_plan_ends_with_1_where_anything_is_to_be_stopped(case: str, name: str) -> None:
    assert shipped(case, name).stops == bool(expected(case)[name]["exit"])


def test_the_good_plan_has_no_trap_and_nothing_above_consider() -> None:
    found = shipped(HATCH, "good.yaml").findings
    assert {finding.rule.id for finding in found}.isdisjoint(TRAPS)
    assert {finding.weight for finding in found} <= {"consider"}


def test_the_good_plan_is_praised_in_every_feature() -> None:
    praised = {praise.feature for praise in shipped(HATCH, "good.yaml").well_chosen}
    assert praised == {"F1", "W1", "P1", "S1", "T1"}


def test_every_trap_is_a_rule_of_the_rule_base() -> None:
    assert set(rule_base().by_id) >= TRAPS
