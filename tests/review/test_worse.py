"""Making a plan's number worse never makes the review milder."""

from itertools import pairwise

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from advisor.choosing.job_advice import Advice
from advisor.knowledge.schema import WEIGHTS
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import SOUND
from advisor.model.features import FeatureBase
from advisor.paths import cases_dir
from tests.jobs.strategies import features
from tests.review.planning import MACHINES, MATERIALS, advice, changed, reviewed, row, with_feature

CASES = sorted(path.parent.name for path in cases_dir().glob("*/job.yaml"))
UP = (
    "axial_depth",
    "radial_width",
    "feed_per_tooth",
    "feed_rate",
    "spindle_speed",
    "ramp_angle",
    "allowance_side",
    "overcut",
)
DOWN = ("feed_per_tooth", "feed_rate", "allowance_side", "allowance_bottom", "overcut")
TIED = {
    "axial_depth": ("levels",),
    "feed_rate": ("feed_per_tooth",),
    "feed_per_tooth": ("feed_rate",),
    "spindle_speed": ("feed_rate",),
}
FACTORS = (1.0, 1.2, 1.5, 2.0, 3.0, 5.0, 10.0)


def heaviest(found: Advice, feature: str, answer: FeatureAdvice, setting: str, value: float) -> int:
    """Return how heavy the worst finding is with one setting of the advice changed: 3 is a stop, 0 nothing."""
    best = answer.best
    assert best is not None
    free: dict[str, object] = dict.fromkeys(TIED.get(setting, ()))
    review = reviewed(found, changed(row(feature, best), **free, **{setting: value}))
    return max((len(WEIGHTS) - WEIGHTS.index(finding.weight) for finding in review.findings), default=0)


def worsened(answer: FeatureAdvice, setting: str, down: bool) -> list[float]:
    """Return the values of a setting of the advice, worse and worse, as far as they mean anything."""
    best, region = answer.best, answer.region
    assert best is not None
    value = getattr(row("X", best), setting)
    if not value or (setting == "axial_depth" and best.method in ("drilling", "plunge_roughing")):
        return []
    if setting == "feed_rate":  # in a bore a plan tells that of the cutter's centre
        value = float(best.facts.get("centre_feed", value))
    values = [value / factor if down else value * factor for factor in FACTORS]
    most = {"radial_width": best.cutter.DC, "ramp_angle": 90.0, "allowance_side": (region.narrowest or 1e9) / 2.01}
    values = [min(each, most.get(setting, each)) for each in values]
    return [*values, 0.0] if down and setting.startswith(("allowance", "overcut")) else values


def never_milder(found: Advice, answer: FeatureAdvice, setting: str, down: bool) -> None:
    """Check one setting of one feature. Between nothing and ``consider`` the weight may go either way."""
    weights = [heaviest(found, answer.region.id, answer, setting, value) for value in worsened(answer, setting, down)]
    for before, after in pairwise(weights):
        assert after >= before or before == 1, (answer.region.id, setting, weights)


@pytest.mark.parametrize("case", CASES)
def test_in_the_worked_cases_a_worse_number_is_never_judged_milder(case: str) -> None:
    found = advice(case)
    for place, answer in enumerate(found.features, start=CASES.index(case)):
        if answer.best is not None and answer.best.grade in SOUND:
            never_milder(found, answer, UP[place % len(UP)], False)
            never_milder(found, answer, DOWN[place % len(DOWN)], True)


@settings(max_examples=25, suppress_health_check=[HealthCheck.filter_too_much])
@given(
    feature=features(),
    material=st.sampled_from(MATERIALS),
    machine=st.sampled_from(MACHINES),
    change=st.sampled_from([*((name, False) for name in UP), *((name, True) for name in DOWN)]),
)
def test_in_any_feature_a_worse_number_is_never_judged_milder(
    feature: FeatureBase, material: str, machine: str, change: tuple[str, bool]
) -> None:
    found = with_feature(feature, material, machine)
    answer = found.features[0]
    assume(answer.best is not None and answer.best.grade in SOUND)
    never_milder(found, answer, *change)


@pytest.mark.parametrize(
    ("setting", "value", "rule"),
    [
        ("feed_per_tooth", 1.0, "chip-breaks-the-edge"),
        ("feed_per_tooth", 0.005, "feed-far-below-the-table"),
        ("radial_width", 16.0, "deeper-than-layers-break"),
        ("spindle_speed", 30000.0, "speed-beyond-the-spindle"),
        ("allowance_side", 0.0, "bends-into-the-finished-wall"),
        ("axial_depth", 33.0, "level-beyond-the-flutes"),
    ],
)
def test_a_number_made_bad_enough_is_found(setting: str, value: float, rule: str) -> None:
    found = advice("review-hatch-frame")
    answer = next(one for one in found.features if one.region.id == "T1")
    other = next(
        one for one in answer.candidates if (one.cutter.id, one.method) == ("E16P5", "engagement_limited_clearing")
    )
    free: dict[str, object] = dict.fromkeys(TIED.get(setting, ()))
    review = reviewed(found, changed(row("T1", other), **free, **{setting: value}))
    assert rule in {finding.rule.id for finding in review.findings}
