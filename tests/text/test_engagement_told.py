"""The line of the radial width says where on the path the engagement beside it is found."""

from typing import Any

import pytest

from advisor.knowledge.shipped import rule_base
from advisor.text.feature import settings
from tests.jobs.small import asked, solid

POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 20, "floor": True}
STEP: dict[str, Any] = {"kind": "step", "length": 200, "width": 40, "depth": 5}


@pytest.mark.parametrize(
    ("feature", "method", "end"),
    [
        (POCKET, "layered_pocketing", "engagement 107°, 180° in the corners"),
        (POCKET, "engagement_limited_clearing", "engagement 45.6°"),
        (STEP, "layered_pocketing", "engagement 95.6°"),
    ],
)
def test_an_engagement_that_only_the_corners_have_is_told_as_theirs(
    feature: dict[str, Any], method: str, end: str
) -> None:
    """65 % of the cutter are arccos(-0.3), 107°, on the straight; 90° more in a corner is the whole half circle;
    15 % are arccos(0.7), 54.9 % arccos(-0.098)."""
    found = next(each for each in asked(feature, [solid(12, 26)]).candidates if each.method == method)
    line = dict(settings(found, rule_base()))["radial width"]
    assert line.endswith(end), line
