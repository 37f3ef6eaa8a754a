"""A long cutter where a short one of the crib reaches: told by how much more it bends."""

import pytest

from advisor.choosing.advice import advise
from advisor.model.operations import OperationRow
from advisor.review.verdict import Review, review
from tests.jobs.small import STEEL, job, solid
from tests.review.planning import changed, plan_of

STEP = {"kind": "step", "length": 120, "width": 12, "depth": 16}
# Bars of one diameter: (100/50)³ = 8 times; flutes over the whole length leave no step in the shape
SHORT, LONG = solid(16, 50, LU=50, LPR=50), solid(16, 100, id="E16L", LU=100, LPR=100)


def reviewed(depth: float = 16, features: int = 1, cutter: str = LONG.id) -> Review:
    """Return the review of a plan that takes one cutter for one or two steps."""
    found = advise(job(STEP | {"depth": depth}, [SHORT, LONG], STEEL))
    if features > 1:
        first = found.assignment.job.features[0]
        both = found.assignment.job.model_copy(update={"features": (first, first.model_copy(update={"id": "F2"}))})
        found = advise(found.assignment.model_copy(update={"job": both}))
    ids = [one.id for one in found.assignment.job.features]
    rows = [changed(OperationRow.model_construct(feature=(name,), cutter=cutter)) for name in ids]
    return review(plan_of(*rows), found.assignment, found)


def weights(found: Review) -> dict[str, str]:
    return {one.rule.id: one.weight for one in found.findings}


def test_the_cutter_twice_as_long_bends_eight_times_as_much() -> None:
    assert reviewed().operations[0].candidate.facts["stiffer_by"] == pytest.approx(8)


def test_a_much_longer_cutter_is_to_be_changed_where_the_short_one_reaches_and_that_is_told_once() -> None:
    found = weights(reviewed())
    assert found["a-much-shorter-cutter-reaches"] == "change"
    assert "a-shorter-cutter-reaches" not in found


def test_where_the_long_cutter_is_used_elsewhere_too_it_is_only_considered() -> None:
    found = weights(reviewed(features=2))
    assert "a-much-shorter-cutter-reaches" not in found
    assert found["a-shorter-cutter-reaches"] == "consider"


@pytest.mark.parametrize(("depth", "told"), [(49.5, True), (49.505, False)])
def test_a_shorter_cutter_reaches_where_its_holder_keeps_a_millimetre_from_the_stock(depth: float, told: bool) -> None:
    """Half a millimetre stays at the bottom, so the short cutter goes 49 mm deep of the 50 mm that it stands out."""
    assert ("a-much-shorter-cutter-reaches" in weights(reviewed(depth))) is told


@pytest.mark.parametrize(("depth", "cutter"), [(60, LONG.id), (16, SHORT.id)])
def test_nothing_is_told_where_no_shorter_one_reaches(depth: float, cutter: str) -> None:
    assert not {"a-much-shorter-cutter-reaches", "a-shorter-cutter-reaches"} & set(
        weights(reviewed(depth, cutter=cutter))
    )


@pytest.mark.parametrize(("ground", "told"), [("P M K", True), ("N", False), (None, True)])
def test_a_shorter_cutter_is_named_only_if_it_is_ground_for_the_material_as_well(
    ground: str | None, told: bool
) -> None:
    """Nobody is sent from a cutter for steel to a shorter one for aluminium."""
    long, short = (cutter.model_copy(update={"TMC1ISO": "P"}) for cutter in (LONG, SHORT))
    found = advise(job(STEP, [long, short.model_copy(update={"TMC1ISO": ground})], STEEL))
    row = changed(OperationRow.model_construct(feature=("F1",), cutter=LONG.id))
    assert ("a-much-shorter-cutter-reaches" in weights(review(plan_of(row), found.assignment, found))) is told


def test_a_shorter_cutter_of_another_edge_angle_is_not_alike() -> None:
    found = advise(job(STEP, [LONG, SHORT.model_copy(update={"KAPR": 45.0})], STEEL))
    row = changed(OperationRow.model_construct(feature=("F1",), cutter=LONG.id))
    assert not {"a-shorter-cutter-reaches", "a-much-shorter-cutter-reaches"} & set(
        weights(review(plan_of(row), found.assignment, found))
    )
