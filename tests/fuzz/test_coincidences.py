"""Sizes that coincide, exactly or all but, are answered like any others, and a hair beside nothing changes."""

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.choosing.advice import advise
from advisor.model.answer import FeatureAdvice
from advisor.model.assignment import Assignment
from advisor.model.candidate import Candidate
from advisor.model.features import FEATURE_KINDS
from advisor.model.job import Job
from advisor.model.operations import Operation, OperationRow, Plan
from advisor.paths import shared_dir
from advisor.readers.crib import read_crib
from advisor.readers.materials import load_materials
from advisor.readers.shop import read_shop
from advisor.review.verdict import review
from advisor.situation.bench import bench_of
from tests.fuzz.coincidences import LAST_BITS, answered, apart, beside, inference, trial
from tests.fuzz.coincident import made

SEEDS = st.integers(0, 10**9)
ONCE_BROKEN = (
    128,
    735,
    1860,
    7072,
    7116,
    45412,
    200733,
    200841,
    306700,
    5012764,
    5039228,
    11003556,
    12006768,
)  # each was a finding
SOME = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


@pytest.mark.parametrize("seed", [*ONCE_BROKEN, *range(60)])
def test_sizes_that_coincide_are_answered(seed: int) -> None:
    found = trial(seed)
    assert found.ended in ("answered", "refused"), found.told


@SOME
@given(seed=SEEDS)
def test_any_sizes_that_coincide_are_answered(seed: int) -> None:
    found = trial(seed)
    assert found.ended in ("answered", "refused"), found.told


@SOME
@given(seed=SEEDS)
def test_a_hair_more_or_less_gives_the_same_answer(seed: int) -> None:
    assert beside(made(seed)) == ""


def test_most_of_the_jobs_are_answered_and_a_tenth_of_a_millimetre_is_seen() -> None:
    ended = [trial(seed).ended for seed in range(200, 240)]
    assert ended.count("answered") >= 25
    job = next(made(seed) for seed in range(1000) if made(seed).kind == "slot")
    job = job._replace(
        sizes={"width": job.crib[0].DC, "length": 200.0, "depth": 5.0}, words={"floor": True, "open_ends": 0}
    )
    assert apart(answered(job, {}, True).features[0], answered(job, {"width": 0.1}, True).features[0])


def asked(feature: dict[str, Any], material: str, cutters: tuple[str, ...] = ()) -> tuple[Assignment, FeatureAdvice]:
    """The demo shop's answer for a feature with every bit of its sizes, with some of its cutters or all."""
    problems: list[Any] = []
    shop = read_shop(shared_dir() / "shop.yaml", problems)
    assert shop is not None
    crib = tuple(one for one in read_crib(shop.crib).cutters if not cutters or one.id in cutters)
    told = FEATURE_KINDS[feature["kind"]].model_validate({"id": "F1", **feature})
    told = told.model_copy(update={name: value for name, value in feature.items() if isinstance(value, float)})
    job = Job(part="part", material=material, features=(told,))  # type: ignore[arg-type]
    whole = Assignment(job=job, material=load_materials()[material], machine=shop.machines[0], crib=crib)
    return whole, advise(whole, bench_of(whole, inference())).features[0]


SLOT = {"kind": "slot", "length": 40.0, "depth": 6.0, "allowance_side": 0.7, "floor": True, "open_ends": 1}


def ways_of(width: float) -> list[Candidate]:
    """The ways of a 6 mm cutter in a slot that keeps 0.7 mm on each wall, those that are worked out."""
    _, found = asked({**SLOT, "width": width}, "EN AW-6082-T6", ("E6N3", "E6P4"))
    return [way for way in found.candidates if way.plan is not None]


@pytest.mark.parametrize("times", [1.0, *(1 + bits for bits in LAST_BITS)])
def test_a_slot_as_wide_as_cutter_and_allowances_leaves_nothing_on_its_walls(times: float) -> None:
    """7.4 - 2 * 0.7 - 6 is 4.4e-16 to a computer: a rest that once was divided into no passes at all."""
    found = ways_of(7.4 * times)
    assert {"layered_pocketing", "ramped_slotting"} <= {way.method for way in found}
    assert all(way.facts["wall_spare"] == 0 for way in found)
    assert all(way.facts["walls_time"] == 0 for way in found if way.method == "ramped_slotting")


def test_a_slot_four_tenths_wider_leaves_something_on_its_walls() -> None:
    found = ways_of(7.8)
    assert "ramped_slotting" in {way.method for way in found}
    assert all(0.199 < way.facts["wall_spare"] < 0.201 for way in found)
    assert all(way.facts["walls_time"] > 0 for way in found if way.method == "ramped_slotting")


@pytest.mark.parametrize("axial", [7.0, 7.0 * (1 + 1e-12), 7.0 * (1 - 1e-12), 21.0, 21.0 * (1 + 1e-12)])
def test_levels_of_a_plan_that_divide_exactly_leave_none_idle(axial: float) -> None:
    slot = {"kind": "slot", "length": 90.0, "width": 30.0, "depth": 21.0, "floor": True, "open_ends": 2}
    whole, answer = asked({**slot, "allowance_bottom": 0.0}, "C45", ("E16P5", "E20P5"))
    del answer
    levels = 3 if axial < 10 else 1
    row = OperationRow.model_validate({"feature": "F1", "cutter": "E16P5", "axial_depth": axial, "levels": levels,
                                       "radial_width": 8.0, "method": "layered_pocketing"})  # fmt: skip
    row = row.model_copy(update={"axial_depth": axial})
    plan = Plan("plan", None, (Operation(1, row, "plan.yaml", 1),))
    facts = review(plan, whole, advise(whole, bench_of(whole, inference()))).operations[0].candidate.facts
    assert facts["levels_idle"] == 0
    assert facts["level_shortfall"] == 0
