"""Agreement is not the measure, but the advice itself must stand its own review."""

from collections.abc import Sequence

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from advisor.choosing.job_advice import Advice
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import SOUND, Candidate
from advisor.model.features import FeatureBase
from advisor.paths import cases_dir
from tests.jobs.strategies import features
from tests.review.planning import (
    MACHINES,
    MATERIALS,
    SETTINGS,
    advice,
    changed,
    reviewed,
    row,
    with_feature,
)

CASES = sorted(path.parent.name for path in cases_dir().glob("*/job.yaml"))
SLACK = 0.02


def sound(answer: FeatureAdvice) -> Candidate | None:
    """Return the advised way if it is graded good or workable."""
    return answer.best if answer.best is not None and answer.best.grade in SOUND else None


def heavy(found: Advice, feature: str, best: Candidate, keys: Sequence[str], figures: int | None) -> list[str]:
    """Return what is to be stopped or changed in a plan that says only some settings of the advice."""
    review = reviewed(found, row(feature, best, keys, figures))
    return [f"{finding.rule.id}: {finding.text}" for finding in review.findings if finding.weight != "consider"]


@pytest.mark.parametrize("figures", [None, 3], ids=["exact", "as the report shows it"])
@pytest.mark.parametrize("case", CASES)
def test_a_plan_made_from_sound_advice_has_nothing_to_stop_or_to_change(case: str, figures: int | None) -> None:
    found = [(answer, best) for answer in advice(case).features if (best := sound(answer)) is not None]
    assert found or case in ("valve-block-no-way", "keyway-cut-to-size")
    for answer, best in found:
        for keys in (SETTINGS, (), SETTINGS[:6], SETTINGS[6:], ("axial_depth", "feed_rate"), ("spindle_speed",)):
            assert not heavy(advice(case), answer.region.id, best, keys, figures)


@pytest.mark.parametrize("case", CASES)
def test_a_plan_made_from_advice_has_the_numbers_of_the_advice(case: str) -> None:
    """The same mechanics, the plan's own numbers: all that differs is what the advice was held back from."""
    held = {
        "wanted_feed",
        "axis_feed_ratio",
        "allowed_depth",
        "helix_beyond_hole",
        "held_by",
        "left_over",  # of a hole to bore a plan may leave what a rough pass and a fine one take
        "drill_size_least",
    }
    for answer in advice(case).features:
        if (best := sound(answer)) is None:
            continue
        facts = reviewed(advice(case), row(answer.region.id, best)).operations[0].candidate.facts
        for name, value in best.facts.items():
            if name not in held:
                assert facts[name] == (value if isinstance(value, str) else pytest.approx(value)), name


@settings(max_examples=25, suppress_health_check=[HealthCheck.filter_too_much])
@given(
    feature=features(),
    material=st.sampled_from(MATERIALS),
    machine=st.sampled_from(MACHINES),
    keys=st.lists(st.sampled_from(SETTINGS), unique=True),
    figures=st.sampled_from([None, 3]),
)
def test_no_plan_made_from_sound_advice_for_any_feature_has_anything_to_stop_or_to_change(
    feature: FeatureBase, material: str, machine: str, keys: list[str], figures: int | None
) -> None:
    found = with_feature(feature, material, machine)
    best = sound(found.features[0])
    assume(best is not None)
    assert best is not None
    for chosen in (SETTINGS, keys):
        assert not heavy(found, "X", best, chosen, figures)


def test_what_differs_and_works_is_no_finding() -> None:
    """Another method and cutter, nearly as quick: the window in wide layers with 32 mm of inserts."""
    found = advice("review-hatch-frame")
    answer = next(one for one in found.features if one.region.id == "W1")
    best = answer.best
    assert best is not None
    other = next(one for one in answer.candidates if one.cutter.id == "I32" and one.method == "layered_pocketing")
    assert best.cutter.id != other.cutter.id
    assert 1 < other.time / best.time < 1.15
    findings = reviewed(found, changed(row("W1", other), tabs=True)).findings
    assert not [one for one in findings if one.weight != "consider"]


def test_a_slow_way_is_a_finding_only_beyond_its_threshold() -> None:
    found = advice("review-hatch-frame")
    best = found.features[4].best
    assert best is not None
    assert best.plan is not None
    for factor, told in ((0.95, False), (0.5, True)):
        slow = changed(row("T1", best), feed_per_tooth=best.plan.feed_per_tooth * factor, feed_rate=None)
        rules = {one.rule.id for one in reviewed(found, slow).findings}
        assert ("slower-than-advised" in rules) is told
