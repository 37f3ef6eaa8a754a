"""Where less stock stands beside a wall than is usually left on it, something is left and something is cut."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.choosing.advice import advise_feature
from advisor.mechanics.lengths import HAIR
from advisor.model.answer import FeatureAdvice
from advisor.model.features import FEATURE_KINDS
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.situation.bench import bench_of

ASSIGNMENT = read_assignment(cases_dir() / "winch-side-plate" / "job.yaml")
BENCH = bench_of(ASSIGNMENT)


def asked(kind: str, stock: float, depth: float, **more: float) -> FeatureAdvice:
    """Return the advice for a step or an outline with so much stock beside its wall [mm]."""
    sizes = {"width": stock} if kind == "step" else {"width": 50, "stock_side": stock}
    given = {"id": "F", "kind": kind, "length": 100, "depth": depth} | sizes | more
    return advise_feature(FEATURE_KINDS[kind].model_validate(given), ASSIGNMENT.crib, BENCH)


@settings(max_examples=30)
@given(
    kind=st.sampled_from(["step", "outside_profile"]),
    stock=st.floats(0.02, 3),
    depth=st.floats(1, 60),
)
def test_something_is_left_and_something_is_cut(kind: str, stock: float, depth: float) -> None:
    """0.5 mm was once left of 0.45 mm, and 0.8 mm cut of it."""
    for item in asked(kind, stock, depth).candidates:
        if item.plan is not None:
            left = item.plan.side_allowance
            assert 0 < left < stock, item.cutter.id
            assert item.plan.radial_width <= stock - left + HAIR or item.method == "plunge_roughing", item.cutter.id


@pytest.mark.parametrize("kind", ["step", "outside_profile"])
def test_of_little_stock_a_share_is_left_and_finishing_is_named(kind: str) -> None:
    """Source: common practice, no source."""
    found = asked(kind, 0.45, 30)
    assert found.best is not None
    assert found.best.plan is not None
    assert found.best.plan.side_allowance == pytest.approx(0.225)
    assert "little-stock-to-rough" in {rule.id for rule in found.cautions}
    much = asked(kind, 6, 30)
    assert much.best is not None
    assert "little-stock-to-rough" not in {rule.id for rule in much.cautions}


def test_an_allowance_of_the_shop_stays_its_own() -> None:
    found = asked("step", 0.45, 30, allowance_side=0.4)
    assert found.best is not None
    assert found.best.plan is not None
    assert found.best.plan.side_allowance == 0.4
