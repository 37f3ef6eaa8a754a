"""Plans as programmers write them: sound ones are not faulted, and each real mistake is found.

All that is found in each plan stands in ``findings_of_plans.yaml``, so that a finding more, one less or another weight
is seen; also in the plans of ``changed_plans.yaml``, which show what those of ``cases/plans.yaml`` do not. After a
wanted change write it anew, look at what ``git diff`` shows, and keep it if it is right:

    SNAPSHOTS=renew python -m pytest -n0 tests/review/test_thirty_plans.py
"""

import os
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.knowledge.schema import WEIGHTS
from advisor.knowledge.shipped import rule_base
from advisor.model.assignment import Assignment
from advisor.model.operations import Plan
from advisor.paths import cases_dir
from advisor.proof.jobs import assignment_of
from advisor.proof.plan_jobs import written
from advisor.proof.plans import plan_of
from advisor.review.verdict import Review, review
from advisor.text.findings import well_chosen_text
from tests import plain_yaml
from tests.review.planning import as_read

PLANS: dict[str, list[dict[str, Any]]] = plain_yaml.load(cases_dir() / "plans.yaml")
BY_NAME = {entry["name"]: entry for entries in PLANS.values() for entry in entries}
CHANGED = {job.origin: job for job in written(Path(__file__).with_name("changed_plans.yaml"))}
KEPT = Path(__file__).with_name("findings_of_plans.yaml")
GOOD, FAULTY = ([entry["name"] for entry in PLANS[kind]] for kind in ("good", "faulty"))


@cache
def reviewed(name: str) -> Review:
    """Return the review of a plan, read from files as a programmer would write them where it is one of the table."""
    return review(*read(name))


def read(name: str) -> tuple[Plan, Assignment]:
    """Return a plan of the table, or one that was changed, and its assignment."""
    if name in CHANGED:
        return plan_of(CHANGED[name].plan), assignment_of(CHANGED[name])
    entry = BY_NAME[name]
    return as_read(entry["job"], entry.get("say") or entry["plan"])


@cache
def kept() -> Mapping[str, Sequence[str]]:
    """Return all that was found in each plan when it was last written."""
    found: Mapping[str, Sequence[str]] = plain_yaml.load(KEPT)
    return found


def told(found: Review) -> list[str]:
    """Return all that is found in a plan: weight, feature, rule."""
    return [f"{one.weight} {one.feature or 'plan'} {one.rule.id}" for one in found.findings]


def test_there_are_plans_enough_of_both_kinds() -> None:
    assert len(GOOD) >= 15
    assert len(FAULTY) >= 18


def test_what_is_found_in_all_plans_is_written_down_anew() -> None:
    if os.environ.get("SNAPSHOTS") != "renew":
        pytest.skip("only with SNAPSHOTS=renew")
    found = {name: told(reviewed(name)) for name in (*BY_NAME, *CHANGED)}
    KEPT.write_text(yaml.safe_dump(found, sort_keys=False, width=200, allow_unicode=True), encoding="utf-8")


@pytest.mark.parametrize("name", [*BY_NAME, *CHANGED])
def test_what_is_found_in_a_plan_is_what_was_found_before(name: str) -> None:
    assert told(reviewed(name)) == list(kept()[name])


def test_nothing_is_kept_of_plans_that_are_gone() -> None:
    assert set(kept()) == {*BY_NAME, *CHANGED}


@pytest.mark.parametrize("name", GOOD)
def test_a_sound_plan_has_nothing_to_stop_or_to_change(name: str) -> None:
    lines = [f"{found.weight} {found.rule.id}: {found.text}" for found in reviewed(name).findings]
    assert [line for line in lines if not line.startswith("consider")] == []
    assert not {found.rule.id for found in reviewed(name).findings} & set(BY_NAME[name].get("not", []))


@pytest.mark.parametrize("name", FAULTY)
def test_a_real_mistake_is_found_with_its_weight(name: str) -> None:
    wanted: dict[str, str] = BY_NAME[name]["finds"]
    known = {rule: weight for rule, weight in wanted.items() if rule in rule_base().by_id}
    if not known:
        pytest.skip(f"no rule {', '.join(wanted)} in this rule base")
    weights = {found.rule.id: found.weight for found in reviewed(name).findings}
    for rule, weight in known.items():
        assert rule in weights, (rule, weights)
        assert WEIGHTS.index(weights[rule]) <= WEIGHTS.index(weight)
    assert not set(weights) & set(BY_NAME[name].get("not", []))


@pytest.mark.parametrize("name", [name for name in FAULTY if BY_NAME[name].get("alone")])
def test_one_mistake_is_one_finding(name: str) -> None:
    heavy = [found.rule.id for found in reviewed(name).findings if found.weight != "consider"]
    assert heavy == list(BY_NAME[name]["finds"])


@pytest.mark.parametrize("name", FAULTY)
def test_an_operation_to_stop_or_to_change_is_not_praised(name: str) -> None:
    found = reviewed(name)
    heavy = {(one.operation, one.feature) for one in found.findings if one.weight != "consider"}
    assert not [one for one in found.well_chosen if (one.operation, one.feature) in heavy]


@pytest.mark.parametrize("name", FAULTY)
def test_of_what_is_to_be_stopped_nothing_is_said_of_its_time(name: str) -> None:
    found = reviewed(name)
    stopped = {(one.operation, one.feature) for one in found.findings if one.weight == "stop"}
    slow = {(one.operation, one.feature) for one in found.findings if one.rule.id == "slower-than-advised"}
    assert not stopped & slow


@pytest.mark.parametrize("name", GOOD)
def test_what_is_slower_is_told_with_its_seconds_and_what_is_quicker_too(name: str) -> None:
    found = reviewed(name)
    for judged in found.operations:
        facts = judged.candidate.facts
        if "time_over_advised" not in facts or len(found.operations) > 1:  # they share the time of the advice
            continue
        slower = [one.text for one in found.findings if one.rule.id == "slower-than-advised"]
        praised = [well_chosen_text(one, found.bench.base) for one in found.well_chosen]
        quicker = [text for text in praised if "plan is quicker" in text.lower()]
        pointed = (
            facts["slower_but_for_levels"] > 1.25 and facts["time_lost"] > 10 and facts["advised_rates_lower"] == "no"
        )
        assert bool(slower) is pointed
        assert bool(quicker) is (facts["planned_time"] * 1.02 < facts["advised_time"])


def test_a_sound_plan_that_is_quicker_is_told_to_be_so_and_ours_is_not_called_better() -> None:
    found = reviewed("a hole drilled a little quicker than advised")
    told = [well_chosen_text(one, found.bench.base) for one in found.well_chosen]
    assert any("The plan is quicker." in text for text in told)
    assert not [one for one in found.findings if one.instead or one.rule.id == "slower-than-advised"]


def test_no_plan_is_told_to_run_faster_than_its_spindle_or_cutter_turns() -> None:
    """Also where the tables have a far higher speed for the edge."""
    told = 0
    for name in BY_NAME:
        for found in reviewed(name).findings:
            if found.rule.id == "speed-far-below-the-table":
                told += 1
                speed, most = float(found.facts["speed_borne"]), float(found.facts["speed_most"])
                assert speed <= min(most, float(found.facts.get("RPMX", most)))
                power = float(found.facts["power_share"]) * speed / float(found.facts["spindle_speed"])
                assert power <= 0.95 or found.facts["power_share"] < 0.95  # more speed, more power on a rising curve
    assert told
