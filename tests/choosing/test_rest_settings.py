"""The settings of the cutter for the corners: typed into a plan, they are let pass."""

import pytest

from advisor.choosing.advice import advise
from advisor.readers.plan_line import plan_said
from advisor.review.verdict import review
from tests.jobs.small import job, solid

POCKET = {"id": "P", "kind": "closed_pocket", "length": 90, "width": 60, "depth": 12, "corner_radius": 5, "floor": True}


@pytest.mark.parametrize(("material", "teeth"), [("EN AW-6082-T6", 3), ("C45", 4), ("X5CrNi18-10", 4)])
def test_the_rest_is_taken_as_told(material: str, teeth: int) -> None:
    crib = [solid(16, 32, ZEFP=teeth, LU=34, DN=15.4), solid(6, 13, ZEFP=teeth, LU=20, DN=5.6)]
    given = job(POCKET, crib, material)
    answer = advise(given).features[0]
    assert answer.best is not None
    assert answer.rest is not None
    assert answer.rest.cutter is not None
    assert answer.rest.cutter.id == "E6"
    told = answer.rest.settings
    assert told is not None
    assert told.levels * told.axial_depth == pytest.approx(11.5, abs=0.01 * told.levels)
    assert told.axial_depth <= 6
    assert told.feed_rate == pytest.approx(told.feed_per_tooth * teeth * told.spindle_speed)
    typed = (
        f"P: layers E6 ap {told.axial_depth:.3f} levels {told.levels} ae {told.radial_width:.3f} "
        f"n {told.spindle_speed:g} fz {told.feed_per_tooth:.4f}"
    )
    main = f"P: {answer.best.method.replace('_', ' ')} {answer.best.cutter.id}"
    found = review(plan_said([main, typed], [one.id for one in crib], "mm"), given)
    assert not [one.rule.id for one in found.findings if one.operation == 2 and one.weight in ("stop", "change")]
