"""A caution is given where it matters, and says nothing that does not fit the cut.

Source of each: common practice, no source.
"""

from typing import Any

import pytest

from advisor.choosing.advice import advise, cautions_for
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import fill
from tests.jobs.judged import hole
from tests.jobs.small import ALUMINIUM, STEEL, inserted, job, solid

POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 90, "width": 60, "floor": True}
SLOT: dict[str, Any] = {"kind": "slot", "length": 80, "width": 14, "floor": True, "open_ends": 0}
IRON, BRASS = "EN-GJL-200", "CuZn39Pb3"


def told(method: str, feature: dict[str, Any], material: str = ALUMINIUM, DC: float = 12) -> dict[str, str]:
    """Return the cautions of the best way of a method with a short end mill, each with what to do."""
    found = advise(job(feature, [solid(DC, 4 * DC)], material))
    way = next(each for each in found.features[0].candidates if each.method == method)
    return {rule.id: fill(rule_base(), rule, rule.remedy, way.facts) for rule in cautions_for(way, found.bench)}


@pytest.mark.parametrize(("depth", "packed"), [(3, False), (23.9, False), (24, True), (30, True)])
def test_in_a_closed_pocket_chips_stay_from_two_diameters_on(depth: float, packed: bool) -> None:
    assert ("chips-packed" in told("layered_pocketing", POCKET | {"depth": depth})) is packed


@pytest.mark.parametrize(
    ("ends", "depth", "packed"), [(0, 11.9, False), (0, 12, True), (2, 23.9, False), (2, 24, True)]
)
def test_at_full_width_chips_stay_from_one_diameter_on_unless_they_leave_by_an_open_end(
    ends: int, depth: float, packed: bool
) -> None:
    assert ("chips-packed" in told("ramped_slotting", SLOT | {"depth": depth, "open_ends": ends})) is packed


@pytest.mark.parametrize(("depth", "packed"), [(11.9, False), (12, True)])
def test_a_bore_on_a_helix_keeps_its_chips_from_one_diameter_on(depth: float, packed: bool) -> None:
    assert ("chips-packed-in-one-go" in told("helical_boring", hole(18, depth, flat_floor=True))) is packed


@pytest.mark.parametrize(("depth", "packed"), [(35.9, False), (36, True)])
@pytest.mark.parametrize("material", [IRON, BRASS])
def test_short_chips_of_iron_and_brass_stay_from_three_diameters_on(material: str, depth: float, packed: bool) -> None:
    assert ("chips-packed" in told("layered_pocketing", POCKET | {"depth": depth}, material)) is packed


def test_a_floor_that_hardly_bends_under_a_bore_gets_no_word() -> None:
    """8 mm across and 2.5 mm thick with its allowance, 30 N: some hundred-thousandths of a millimetre."""
    floors = {"thin-floor", "thin-floor-under-one-pass"}
    found = hole(8, 6, flat_floor=True, floor_thickness=1.5)
    assert not floors & set(told("helical_boring", found, STEEL, 6))


def test_a_wide_thin_floor_under_layers_is_cleared_from_the_middle_and_under_a_slot_only_supported() -> None:
    wide = told("layered_pocketing", POCKET | {"depth": 10, "floor_thickness": 2})
    slot = told("ramped_slotting", {**SLOT, "width": 36, "length": 120, "depth": 10, "floor_thickness": 1}, DC=32)
    assert "from the middle outwards" in wide["thin-floor"]
    assert slot["thin-floor-under-one-pass"] == "Support the floor from below."
    assert "thin-floor" not in slot


@pytest.mark.parametrize(("radius", "named"), [(0.3, False), (1.2, False), (1.3, False), (1.31, True), (5, True)])
def test_a_large_corner_radius_is_told_to_leave_a_fillet_on_a_floor(radius: float, named: bool) -> None:
    """0.3 mm stay on the wall, and 1 mm more is what a finishing cutter takes out of the edge as usual."""
    crib = [inserted(20, RE=radius)]
    step = {"kind": "step", "length": 90, "width": 30}
    for shape in (POCKET | {"corner_radius": 12}, step):
        found = advise(job(shape | {"depth": 20, "allowance_side": 0.3}, crib, STEEL))
        way = next(each for each in found.features[0].candidates if each.plan is not None)
        assert way.facts["side_allowance"] == pytest.approx(0.3)
        cautions = {rule.id for rule in cautions_for(way, found.bench)}
        assert ("radius-leaves-a-fillet-on-the-floor" in cautions) is named
