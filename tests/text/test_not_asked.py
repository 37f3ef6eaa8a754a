"""What the answer says was not asked, since a value of the feature was not given."""

import pytest

from advisor.knowledge.shipped import rule_base
from advisor.text.missing import unasked
from tests.jobs.small import STEEL, asked, drill, solid

POCKET = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 50, "floor": True}
SHORT = solid(12, 12, LU=52, LPR=60, DN=11.5, ZEFP=4)


def test_a_rule_that_is_asked_without_the_wall_too_is_not_told_as_not_asked() -> None:
    """Too many levels speak against a way beside a wall of unknown thickness as well, and the answer shows that."""
    answer = asked(POCKET, [SHORT], STEEL)
    fired = {rule.id for one in answer.candidates for rule in one.fired}
    told = next(one.rules for one in answer.not_asked if one.missing == "thinnest_wall")
    assert "too-many-levels-for-engagement" in fired
    assert "too-many-levels-for-engagement" not in told
    assert "thin-wall-in-narrow-cuts" in told


@pytest.mark.parametrize(("material", "told"), [(STEEL, False), ("X153CrMoV12 hardened", True)])
def test_a_rule_of_another_material_is_not_told_as_not_asked(material: str, told: bool) -> None:
    """Whether a hole is for a thread matters to a tap in hardened steel; in mild steel that rule has nothing to say."""
    hole = {"kind": "round_hole", "diameter": 12, "depth": 20, "floor": True, "flat_floor": False}
    missing = {one.missing: one.rules for one in asked(hole, [drill(12)], material).not_asked}
    assert ("thread-in-hardened-steel" in missing["purpose"]) is told


def test_what_waits_for_the_purpose_of_a_hole_is_named() -> None:
    hole = {"kind": "round_hole", "diameter": 12, "depth": 20, "floor": True, "flat_floor": False}
    item = next(one for one in asked(hole, [drill(12)], STEEL).not_asked if one.missing == "purpose")
    assert "hole-cut-to-its-depth" in [getattr(rule, "id", rule) for rule in item.rules]
    assert "ream, bore or mill" in unasked(item, rule_base())
