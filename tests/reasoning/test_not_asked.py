"""What the answer says was not asked, since a value of the feature was not given."""

from small_jobs import STEEL, asked, solid

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
