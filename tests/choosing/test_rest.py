"""Which cutter of the crib takes what stays in the corners: named, or said that none reaches."""

from typing import Any

import pytest

from advisor.choosing.advice import advise
from advisor.choosing.rest import rest_of_corners
from advisor.knowledge.shipped import rule_base
from advisor.model.answer import FeatureAdvice
from advisor.model.cutter import Cutter
from advisor.situation.bench import bench_of
from advisor.situation.facts import corner_rest
from advisor.text.feature import rest_line
from tests.jobs.small import ALUMINIUM, STEEL, job, solid

POCKET: dict[str, Any] = {
    "kind": "closed_pocket",
    "length": 90,
    "width": 60,
    "depth": 20,
    "floor": True,
    "corner_radius": 4,
}
WIDE = solid(12, 26, ZEFP=4, FHA=36)
THRESHOLDS = rule_base().limits


def answer(crib: list[Cutter], material: str = STEEL, **more: Any) -> FeatureAdvice:
    assignment = job(POCKET | more, crib, material)
    found = advise(assignment, bench_of(assignment)).features[0]
    assert found.best is not None
    assert found.best.cutter.DC == 12
    return found


def advised(feature: dict[str, Any], crib: list[Cutter]) -> FeatureAdvice:
    assignment = job(feature, crib, STEEL)
    return advise(assignment, bench_of(assignment)).features[0]


def cautions(found: FeatureAdvice) -> set[str]:
    return {rule.id for rule in found.cautions}


def test_the_widest_cutter_that_reaches_the_corner_at_that_depth_takes_the_rest() -> None:
    """A corner of 4 mm less 0.5 mm on the walls is turned by 6 mm and less: the 4 mm cutter, the 6 mm one sooner."""
    six, four = solid(6, 10, LU=21, LPR=24, DN=5.6, ZEFP=4, FHA=36), solid(4, 8, LU=22, LPR=26, DN=3.7, ZEFP=4, FHA=36)
    found = answer([WIDE, four, six])
    assert found.rest is not None
    assert found.rest.cutter == six
    assert found.cautioned["rest_diameter"] == 6
    assert "corner-leaves-rest" in cautions(found)
    assert "no-cutter-reaches-the-corners" not in cautions(found)


@pytest.mark.parametrize(
    ("why", "narrow", "material"),
    [
        ("too short", solid(6, 10, LU=19, LPR=24, ZEFP=4, FHA=36), STEEL),
        ("the holder would hit", solid(6, 10, LU=20, LPR=20, DN=5.6, ZEFP=4, FHA=36), STEEL),
        ("too wide for the corner", solid(8.3, 22, ZEFP=4, FHA=36), STEEL),
    ],
)
def test_where_no_cutter_reaches_the_corners_the_answer_says_so(why: str, narrow: Cutter, material: str) -> None:
    found = answer([WIDE, narrow], material)
    assert found.rest is not None, why
    assert found.rest.cutter is None, why
    assert "no-cutter-reaches-the-corners" in cautions(found)
    assert "corner-leaves-rest" not in cautions(found)


def test_a_cutter_that_fits_but_is_ground_for_other_material_is_told_as_that() -> None:
    soft, blunt = solid(6, 21, ZEFP=4, FHA=36, TMC1ISO="H"), solid(5.5, 19, LU=19, LPR=24, ZEFP=4, FHA=36, TMC1ISO="H")
    found = answer([WIDE, soft, blunt])
    assert found.rest is not None
    assert (found.rest.cutter, found.rest.wrongly_ground) == (None, soft)
    told = {"corner-cutter-ground-for-another-group", "no-cutter-reaches-the-corners", "corner-leaves-rest"}
    assert cautions(found) & told == {"corner-cutter-ground-for-another-group"}
    said = dict(rest_line(found))["rest cutter"]
    assert said == "none; E6 fits the corners but is not ground for group P"
    six = solid(5, 21, ZEFP=4, FHA=36)
    assert cautions(answer([WIDE, soft, six])) & told == {"corner-leaves-rest"}
    assert cautions(answer([WIDE, blunt])) & told == {"no-cutter-reaches-the-corners"}


@pytest.mark.parametrize(
    ("radius", "width", "named"),
    [(8, 16, False), (8, 14, False), (8, 13, True), (8, 12, True), (10, 20, False), (10, 16, True), (6, 10, False)],
)
def test_a_rest_cutter_turns_the_corner_with_its_allowance_on(radius: float, width: float, named: bool) -> None:
    """Of a corner of 8 mm 7.5 mm are there beside an allowance of 0.5 mm: 16 mm does not get in, 15 mm stops there, and
    13 mm turns: 7.5 / 1.15 = 6.52. A cutter of 12 mm in a corner of 8 mm is the least of it: 7.5 / 6 = 1.25.
    """
    wide, narrow = solid(32, 40, ZEFP=4, FHA=36), solid(width, 38, ZEFP=4, FHA=36)
    long = {"corner_radius": radius, "width": 120, "length": 200}
    assignment = job(POCKET | long, [wide, narrow], STEEL)
    bench = bench_of(assignment)
    answered = advise(assignment, bench).features[0]
    best = next(one for one in answered.candidates if one.cutter == wide and one.grade != "forbidden")
    found = rest_of_corners(best, answered.region, answered.facts, [wide, narrow], bench)
    assert found is not None
    assert (found.cutter == narrow) is named


def test_a_deeper_allowance_makes_the_corner_narrower() -> None:
    """13 mm turns 8 mm less 0.5 mm, and not 8 mm less 1 mm."""
    wide, narrow = solid(32, 40, ZEFP=4, FHA=36), solid(13, 38, ZEFP=4, FHA=36)
    pocket = POCKET | {"corner_radius": 8, "width": 120, "length": 200}
    named = [advised(pocket | {"allowance_side": side}, [wide, narrow]).rest for side in (0.5, 1.0)]
    assert [found is not None and found.cutter == narrow for found in named] == [True, False]


def test_where_nothing_stays_in_the_corners_no_cutter_is_named() -> None:
    found = answer([WIDE], corner_radius=6.5)
    assert found.rest is None
    assert not cautions(found) & {"corner-leaves-rest", "no-cutter-reaches-the-corners"}


def test_a_richer_crib_makes_the_rest_in_the_corners_no_slower() -> None:
    """The time for the rest is reckoned without regard to the crib, so that a narrow cutter more never costs time."""
    alone, with_six = answer([WIDE]), answer([WIDE, solid(6, 10, LU=21, LPR=24, DN=5.6, ZEFP=4, FHA=36)])
    assert alone.best is not None
    assert with_six.best is not None
    assert with_six.best.time <= alone.best.time


def test_a_pencil_in_a_barn_is_poor_unless_a_corner_needs_it() -> None:
    """A 3 mm cutter 20 mm out of the holder, in a pocket 60 mm wide."""
    pencil = solid(3, 8, LU=22, LPR=24, DN=2.8)
    assignment = job(POCKET | {"corner_radius": 12}, [pencil], ALUMINIUM)
    found = advise(assignment, bench_of(assignment)).features[0].candidates
    assert "too-narrow-for-the-region" in {rule.id for rule in found[0].fired}
    assignment = job(POCKET | {"corner_radius": 2}, [pencil], ALUMINIUM)
    found = advise(assignment, bench_of(assignment)).features[0].candidates
    assert "too-narrow-for-the-region" not in {rule.id for rule in found[0].fired}


@pytest.mark.parametrize("diameter", [6, 5.1, 3])
def test_a_rest_cutter_need_only_turn_the_corner_however_wide_the_pocket(diameter: float) -> None:
    """4 mm less the allowance are turned by 6 mm; the pocket is 20 times as wide as the 3 mm cutter."""
    narrow = solid(diameter, 9, LU=21, LPR=24, DN=diameter * 0.94, ZEFP=4, FHA=36, DCONMS=max(6, diameter))
    found = answer([WIDE, narrow])
    assert found.rest is not None
    assert found.rest.cutter == narrow


def test_the_cutter_that_leaves_the_rest_does_not_take_it() -> None:
    """A 5.8 mm corner is too narrow for a 12 mm cutter, and for another as wide."""
    twin, six = solid(12, 30, ZEFP=4, FHA=36), solid(6, 21, ZEFP=4, FHA=36)
    alone, with_six = answer([WIDE, twin], corner_radius=5.8), answer([WIDE, twin, six], corner_radius=5.8)
    assert alone.rest is not None
    assert alone.rest.cutter is None
    assert with_six.rest is not None
    assert with_six.rest.cutter == six


def test_a_mill_that_leaves_a_slope_at_the_wall_takes_no_rest() -> None:
    """Its edge of 20 degrees clears floors in thin levels; the corner of a deep pocket is cut by an edge along it."""
    square, high_feed = solid(5, 21, ZEFP=4, FHA=36), solid(6, 0.5, ZEFP=4, KAPR=20, LU=24, LPR=30)
    found = answer([WIDE, high_feed, square])
    assert found.rest is not None
    assert found.rest.cutter == square


@pytest.mark.parametrize("radius", [20.0, 10.0, 5.0])
@pytest.mark.parametrize("side", [0.1, 0.3, 0.5, 1.0])
def test_a_cutter_as_round_as_the_finished_corner_leaves_no_rest(radius: float, side: float) -> None:
    """It leaves 0.414 of the allowance, measured out of the corner: the diagonal of a square less its side."""
    found = corner_rest(2 * radius, radius, side, THRESHOLDS)
    assert float(found["corner_rest"]) == pytest.approx((2**0.5 - 1) * side)
    assert float(found["corner_rest_beyond"]) <= 0
    assert float(corner_rest(2 * radius + 0.4 * side, radius, side, THRESHOLDS)["corner_rest_beyond"]) <= 0
    wider = corner_rest(2 * radius + max(0.5 * side, 0.25), radius, side, THRESHOLDS)
    assert float(wider["corner_rest_beyond"]) > 0


@pytest.mark.parametrize("radius", [10.0, 20.0])
def test_a_cutter_of_the_corner_is_told_no_rest_cutter(radius: float) -> None:
    wide, narrow = solid(20, 38, ZEFP=4), solid(8, 25, ZEFP=4)
    found = advised(POCKET | {"corner_radius": radius, "width": 90, "length": 120}, [wide, narrow])
    assert found.best is not None
    assert found.best.cutter == wide
    assert found.rest is None
    assert not cautions(found) & {"corner-leaves-rest", "no-cutter-reaches-the-corners"}


def test_the_rest_cutter_that_is_named_leaves_no_rest_itself() -> None:
    """4.5 mm beside the allowance: the 10 mm cutter stops short, though it leaves no more than finishing takes."""
    eight, ten = solid(7.5, 25, LU=30, LPR=33, DN=7, ZEFP=4), solid(10, 25, LU=30, LPR=33, DN=9.5, ZEFP=4)
    wide = solid(20, 38, ZEFP=4)
    found = advised(POCKET | {"corner_radius": 5, "width": 90, "length": 120}, [wide, ten, eight])
    assert found.best is not None
    assert found.best.cutter == wide
    assert found.rest is not None
    assert found.rest.cutter == eight
    alone = advised(POCKET | {"corner_radius": 5, "width": 90, "length": 120}, [eight])
    assert alone.best is not None
    assert alone.rest is None
    assert float(alone.best.facts["corner_ratio"]) > 1.15


HIGH_FEED = solid(6, 0.5, ZEFP=4, KAPR=20, LU=24, LPR=30)


def test_a_high_feed_cutter_takes_the_rest_where_no_square_one_is_right_for_it() -> None:
    """In thin levels it turns the corners all the way down, but for a low slope at the foot of the wall."""
    soft = solid(5.5, 21, ZEFP=4, FHA=36, TMC1ISO="N")
    for crib in ([WIDE, HIGH_FEED], [WIDE, HIGH_FEED, soft]):
        found = answer(crib)
        assert found.rest is not None
        assert (found.rest.cutter, found.rest.wrongly_ground) == (HIGH_FEED, None)
        told = {rule for rule in cautions(found) if "corner" in rule}
        assert "corner-rest-with-a-slope" in told
        assert not told & {"corner-leaves-rest", "corner-cutter-ground-for-another-group"}
    square = solid(6, 21, ZEFP=4, FHA=36)
    assert "corner-rest-with-a-slope" not in cautions(answer([WIDE, HIGH_FEED, square]))


@pytest.mark.parametrize(
    "other", [solid(6, 5, ZEFP=4, KAPR=45, LU=24, LPR=30), solid(6, 0.5, ZEFP=4, KAPR=20, LU=19, LPR=30)]
)
def test_a_cutter_with_a_high_slope_or_a_short_one_takes_no_rest(other: Cutter) -> None:
    found = answer([WIDE, other])
    assert found.rest is not None
    assert found.rest.cutter is None


def test_where_no_cutter_turns_the_corners_one_that_stops_in_them_is_told_as_that() -> None:
    """3.5 mm beside the allowance: 7 mm stops, 8 mm leaves 0.21 mm more, which finishing takes, and 8.3 mm does not."""
    seven, eight, nine = (solid(DC, 22, ZEFP=4, FHA=36) for DC in (7, 8, 8.3))
    told = {"corner-cutter-stops-there", "no-cutter-reaches-the-corners", "corner-leaves-rest"}
    for crib, named in (([WIDE, eight], eight), ([WIDE, eight, seven], seven), ([WIDE, nine], None)):
        found = answer(crib)
        assert found.rest is not None
        assert (found.rest.cutter, found.rest.stopping) == (None, named)
        wanted = "corner-cutter-stops-there" if named else "no-cutter-reaches-the-corners"
        assert cautions(found) & told == {wanted}
        assert found.cautioned["rest_widest"] == pytest.approx(7 / 1.15)
    assert dict(rest_line(answer([WIDE, eight])))["rest cutter"] == "none turns the corners; E8 stops in them"
    six = solid(6, 21, ZEFP=4, FHA=36)
    assert cautions(answer([WIDE, eight, six])) & told == {"corner-leaves-rest"}


@pytest.mark.parametrize(
    ("radius", "wanted"), [(5.5, "finishing-takes-the-little-rest"), (5, "no-cutter-reaches-the-corners")]
)
def test_where_little_stays_in_the_corners_it_is_left_to_the_finishing_cutter_and_that_alone_is_told(
    radius: float, wanted: str
) -> None:
    """A cutter of 12 mm leaves 0.16 mm and 0.37 mm beyond what finishing takes; nothing else is in the crib."""
    told = {"finishing-takes-the-little-rest", "no-cutter-reaches-the-corners", "corner-leaves-rest"}
    assert cautions(answer([WIDE], corner_radius=radius)) & told == {wanted}
