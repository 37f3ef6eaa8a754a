"""Drills with inserts and with exchangeable tips: their feed in each turn, their speed, and which of them are on offer.

Source of each: common practice, no source. An inner and an outer insert cut one chip together, so that such a drill has
one effective tooth: in structural steel 0.08 to 0.15 mm a turn at 180 to 220 m/min, and some 4.5 kN of thrust at
27.5 mm.
"""

from typing import Any

import pytest

from advisor.analysis.standard_cutters import drill_of
from advisor.methods.drills import has_inserts
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter, make_cutter
from advisor.text.repairs import to_buy
from advisor.text.words import cutter_text
from tests.jobs.judged import DRILLING
from tests.jobs.small import STEEL, STRONG, asked, solid

STRUCTURAL, HARD, HARDEST = "S355J2", "X38CrMoV5-1 hardened", "X153CrMoV12 hardened"
HOLE: dict[str, Any] = {"kind": "round_hole", "depth": 50, "floor": False, "clearance_below": 20}


def indexable(DC: float, **more: Any) -> Cutter:
    """Return a drill with inserts."""
    return made(DC, 1, **more)


def made(DC: float, teeth: int, **more: Any) -> Cutter:
    """Return a drill three diameters long."""
    return make_cutter(id=f"D{DC:g}", body="drill", DC=DC, APMX=3 * DC, ZEFP=teeth, **more)


def drilled(drill: Cutter, material: str = STRUCTURAL) -> Candidate:
    """Return the way of drilling a hole of its size."""
    found = asked(HOLE | {"diameter": drill.DC, "purpose": "clearance"}, [drill], material, STRONG)
    return next(one for one in found.candidates if one.method == DRILLING)


def feed(drill: Cutter, material: str = STRUCTURAL) -> float:
    """Return the feed of a drill in one turn [mm]."""
    return float(drilled(drill, material).facts["feed_per_revolution"])


def test_a_drill_with_inserts_runs_fast_and_is_fed_little() -> None:
    facts = drilled(indexable(27.5)).facts
    assert 0.08 <= float(facts["feed_per_revolution"]) <= 0.15
    assert 180 <= float(facts["cutting_speed"]) <= 220
    assert float(facts["thrust"]) == pytest.approx(4750, rel=0.05)


def test_its_feed_is_the_chip_of_inserts_whatever_its_diameter() -> None:
    """S355: 0.13 mm."""
    assert [feed(indexable(DC)) for DC in (16, 27.5, 40)] == pytest.approx([0.13] * 3)


def test_its_speed_is_a_share_of_that_of_inserts() -> None:
    """S355: 0.9 of 230 m/min, 2 396 /min at 27.5 mm, rounded down."""
    assert drilled(indexable(27.5)).facts["spindle_speed"] == 2390


@pytest.mark.parametrize(
    ("teeth", "substrate", "inserts"), [(1, "carbide", True), (1, "hss", False), (2, "carbide", False)]
)
def test_only_one_tooth_of_carbide_makes_it_one_with_inserts(teeth: int, substrate: str, inserts: bool) -> None:
    drill = made(27.5, teeth, substrate=substrate)
    assert has_inserts(drill) is inserts
    assert ("with inserts" in cutter_text(drill)) is inserts


def test_a_wide_drill_with_two_teeth_has_an_exchangeable_tip_whose_feed_grows_no_more() -> None:
    assert feed(made(27.5, 2)) == pytest.approx(feed(made(20, 2)))
    assert feed(made(20, 2)) > feed(made(19.9, 2))


def test_the_feed_of_a_drill_of_high_speed_steel_goes_on_growing() -> None:
    assert feed(made(26.5, 2, substrate="hss")) > 1.1 * feed(made(22, 2, substrate="hss"))


@pytest.mark.parametrize("material", [HARD, HARDEST])
def test_in_hardened_steel_it_has_no_data_like_other_inserts(material: str) -> None:
    found = drilled(indexable(27.5, TMC1ISO="H"), material)
    assert found.grade == "forbidden"
    assert "drill-inserts-no-data-for-hard" in {rule.id for rule in found.fired}
    assert "drill-inserts-no-data-for-hard" not in {
        rule.id for rule in drilled(made(16, 2, TMC1ISO="H"), material).fired
    }


@pytest.mark.parametrize(("DC", "inserts"), [(20, False), (20.1, True)])
def test_a_drill_on_offer_that_is_told_to_have_inserts_is_reckoned_so(DC: float, inserts: bool) -> None:
    found = drill_of(DC, 40, "P")
    assert found is not None
    assert has_inserts(found) is inserts
    assert ("with carbide inserts" in to_buy(found)) is inserts


def test_a_hole_for_the_way_in_is_drilled_with_the_feed_of_inserts() -> None:
    """C45: the chip of inserts is at most 0.15 mm; a solid drill of 27.5 mm would get more than twice that."""
    pocket = {"kind": "closed_pocket", "length": 150, "width": 100, "depth": 40, "floor": True}
    found = asked(pocket, [solid(25, 50, ZEFP=4), indexable(27.5, TMC1ISO="P")], STEEL, STRONG)
    feeds = {
        float(one.facts["hole_feed_per_revolution"])
        for one in found.candidates
        if "hole_feed_per_revolution" in one.facts
    }
    assert feeds
    assert all(0.08 <= one <= 0.15 for one in feeds)
