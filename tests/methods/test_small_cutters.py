"""Cutters of 2 to 4 mm: what they leave on walls, how thin a chip they still cut, and what stays in one width."""

from pathlib import Path
from typing import Any

import pytest

from advisor.choosing.advice import advise
from advisor.choosing.ranking import standing
from advisor.inference import start
from advisor.knowledge.house import house_base
from advisor.knowledge.shipped import rule_base
from advisor.model.candidate import Candidate
from advisor.situation.bench import bench_of
from tests.jobs.judged import CLEARING, HARD, RAMPED, STAINLESS
from tests.jobs.small import STEEL, job, solid

SLOT: dict[str, Any] = {"kind": "slot", "length": 30, "depth": 3, "floor": True, "open_ends": 2}


def small(width: float, diameter: float, material: str = STAINLESS, **more: Any) -> Candidate:
    cutter = solid(diameter, 2.7 * diameter, LPR=22 + 2 * diameter, DCONMS=max(6, diameter), ZEFP=4, FHA=38, RE=0.1)
    assignment = job(SLOT | {"width": width} | more, [cutter], material)
    found = advise(assignment, bench_of(assignment)).features[0].candidates
    return next(each for each in found if each.method == RAMPED and each.entry == "side_entry")


def against(found: Candidate) -> set[str]:
    return {rule.id for rule in standing(found.fired) if rule.verdict == "against"}


@pytest.mark.parametrize(
    ("diameter", "left"), [(2.99, 0.1), (3, 0.15), (5.99, 0.15), (6, 0.25), (9.99, 0.25), (10, 0.5)]
)
def test_the_narrower_a_cutter_the_less_it_leaves_on_the_walls(diameter: float, left: float) -> None:
    found = small(1.5 * diameter, diameter)
    assert found.facts["side_allowance"] == left


@pytest.mark.parametrize(
    ("diameter", "left"), [(2.99, 0.1), (3, 0.15), (5.99, 0.15), (6, 0.25), (9.99, 0.25), (10, 0.5)]
)
def test_the_narrower_a_cutter_the_less_it_leaves_on_the_floor(diameter: float, left: float) -> None:
    assert small(1.5 * diameter, diameter).facts["bottom_allowance"] == left


def test_what_a_shop_leaves_with_tiny_cutters_is_not_what_it_leaves_in_hardened_steel(tmp_path: Path) -> None:
    own = "thresholds: {allowance_tiny: {value: 0.06, reason: our cutters of 2 mm are short}}"
    (tmp_path / "house.yaml").write_text(own, encoding="utf-8")
    shop = start(house_base(rule_base(), tmp_path), "evaluator")
    for material, left in ((STAINLESS, 0.06), (HARD, 0.1)):
        assignment = job(SLOT | {"width": 4}, [solid(2, 6, ZEFP=6, RE=0.1)], material)
        found = advise(assignment, bench_of(assignment, shop)).features[0].candidates
        assert found[0].facts["side_allowance"] == left


def test_a_3_mm_cutter_in_a_slot_of_3_4_mm_is_good_and_leaves_what_it_leaves() -> None:
    found = small(3.4, 3)
    assert found.grade == "good"
    assert found.plan is not None
    assert found.plan.side_allowance == pytest.approx(0.2)
    assert found.facts["walls_time"] == 0


@pytest.mark.parametrize(
    ("width", "diameter", "finishable"),
    [
        (2.1, 2, True),
        (2.09, 2, False),
        (4.095, 3.9, True),
        (4.094, 3.9, False),
        (12.2, 12, True),
        (12.199, 12, False),
    ],
)
def test_a_slot_is_cut_to_size_where_less_than_a_finishing_cut_stays(
    width: float, diameter: float, finishable: bool
) -> None:
    """A tenth of a millimetre for a wide cutter, a fortieth of its width for a small one."""
    assert ("slot-cut-to-size" not in against(small(width, diameter))) == finishable


@pytest.mark.parametrize(("width", "passes"), [(3.48, False), (3.499, False), (3.5, True)])
def test_no_pass_along_a_wall_is_thinner_than_a_tenth_of_a_millimetre(width: float, passes: bool) -> None:
    found = small(width, 3)
    assert (float(found.facts["walls_time"]) > 0) == passes
    assert found.facts["side_allowance"] == pytest.approx(0.15 if passes else (width - 3) / 2)


def test_a_thin_pass_is_left_out_in_hardened_steel_and_where_the_shop_names_an_allowance_too() -> None:
    hard, own = small(3.3, 3, HARD), small(3.4, 3, allowance_side=0.15)
    for found, left in ((hard, 0.15), (own, 0.2)):
        assert found.plan is not None
        assert found.plan.side_allowance == pytest.approx(left)
        assert found.facts["walls_time"] == 0
    assert own.plan is not None
    assert [held.before for held in own.plan.held if held.setting == "allowance_side"] == [0.15]


def test_an_allowance_that_the_shop_names_is_not_lowered_and_cut_to_size_is_nothing_to_raise() -> None:
    assert "slot-cut-to-size" in against(small(3.4, 3, allowance_side=0.25))
    assert small(3.04, 3, allowance_side=0).facts["side_allowance"] == 0


@pytest.mark.parametrize("diameter", [2, 3, 4, 6])
@pytest.mark.parametrize("material", [STAINLESS, STEEL, HARD])
def test_the_chip_of_the_tables_does_not_rub_however_small_the_cutter(diameter: float, material: str) -> None:
    found = small(1.2 * diameter, diameter, material, depth=0.2 * diameter, allowance_side=0.05 * diameter)
    assert "edge-rubs" not in against(found)
    assert float(found.facts["chip"]) >= float(found.facts["chip_least_here"])


@pytest.mark.parametrize(("diameter", "least"), [(2, 0.006), (3, 0.009), (4, 0.01), (12, 0.01)])
def test_the_least_chip_follows_the_diameter_of_a_small_cutter(diameter: float, least: float) -> None:
    """The edge of a 2 mm cutter is rounded by 3 to 5 µm, that of a wide one by 10 µm and more."""
    assert small(1.3 * diameter, diameter, STEEL).facts["edge_chip_least"] == pytest.approx(least)


@pytest.mark.parametrize("material", ["X153CrMoV12 hardened", "100Cr6 hardened", "X40CrMoV5-1 hardened"])
@pytest.mark.parametrize("DC", [2, 3, 6, 10])
def test_in_hardened_steel_a_narrow_cut_feeds_some_8_thousandths_of_the_cutter(material: str, DC: float) -> None:
    """Source: common practice, no source; 0.05 mm for 6 mm, and never less than 0.01 mm."""
    step = {"kind": "step", "length": 10 * DC, "width": 2 * DC, "depth": 1.5 * DC}
    cutter = solid(DC, 2 * DC, ZEFP=4, LU=2.2 * DC, LPR=3 * DC, DN=0.95 * DC, DCONMS=max(6, DC))
    found = advise(job(step, [cutter], material)).features[0].candidates
    narrow = next(one.plan for one in found if one.method == CLEARING and one.plan)
    assert 0.0078 * DC <= narrow.feed_per_tooth <= 0.012 * DC
    assert narrow.feed_per_tooth > 0.01
